saltwright check --water examples/well.csv --target examples/pepper.csv \
    --shelf examples/straights.csv --recipe examples/recipe.csv
