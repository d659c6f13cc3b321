saltwright compare --water examples/waters.csv --target examples/basil.csv \
    --shelf examples/straights.csv
