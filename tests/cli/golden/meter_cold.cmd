saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --meter-temperature 59F |
    sed -n '/^Finished/,/^$/p'
saltwright audit --water examples/well.csv --meter-temperature 15C \
    --only water,meter
printf '%s\n' parameter,value,unit pH,7, Ca,40,mg/L |
    saltwright audit --water - --meter-temperature 15C
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --meter-temperature 15C \
    --measured-ec 1.47mS/cm --measured-ph 5.8 |
    sed -n '/^What the meters/,/^$/p'
