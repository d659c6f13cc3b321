saltwright batch --water examples/seasons.csv --target examples/pepper.csv \
    --shelf examples/straights.csv
