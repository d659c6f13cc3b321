saltwright stock --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv --tank 50gal --factor 100
