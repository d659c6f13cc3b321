saltwright recipes --water examples/waters.csv --target examples/basil.csv \
    --shelf examples/straights.csv
