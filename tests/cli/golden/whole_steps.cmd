saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --volume 50gal --scale-step 0.1oz \
    --fine-step 0.1g --amounts us --only recipe,weighed,proof
saltwright stock --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv --tank 200L --scale-step 25g \
    --fine-step 1g --trace-solution 2L --only stock,gear,steps,weighed
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --volume 200L --scale-step 5g \
    --trace-solution none --format csv | grep -E '^(weighed|"weighed|certificate)' | \
    sed -E 's|([.][0-9]{3})[0-9]*|\1|'
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --volume 200L --fine-step 0.1g
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --scale-step 5
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --scale-step 5g --search-time 1h
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --scale-step 5g --objective even
