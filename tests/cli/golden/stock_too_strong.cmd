saltwright stock --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --tank 200L --factor 2000 | head -24
