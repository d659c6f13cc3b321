printf '%s\n' product,formula 'dipotassium phosphate,K2HPO4' \
    'calcium nitrate,Ca(NO3)2·4H2O' 'potassium nitrate,KNO3' \
    'magnesium sulfate,MgSO4·7H2O' |
    saltwright formulate --water examples/waters.csv:purified \
        --target examples/basil.csv --shelf -
