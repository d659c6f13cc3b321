grep -v '^\(Na\|SO4\),' examples/well.csv | sed 's/^Cl,.*/Cl,<200,mg\/L/' |
    saltwright check --water - --target examples/basil.csv \
        --shelf examples/straights.csv --dose 'calcium nitrate=0.8g/L'
