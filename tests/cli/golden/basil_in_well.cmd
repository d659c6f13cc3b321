saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --volume 400gal
