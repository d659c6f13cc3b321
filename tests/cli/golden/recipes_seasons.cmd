saltwright recipes --water examples/seasons.csv --target examples/basil.csv \
    --shelf examples/straights.csv
