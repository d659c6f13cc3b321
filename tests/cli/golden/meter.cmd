ask="--water examples/town.csv --target examples/pepper.csv
    --shelf examples/straights.csv"
saltwright check $ask --recipe examples/recipe.csv --measured-ec 1930uS/cm \
    --measured-ph 6.2 | sed -n '/^What the meters/,/^Sodium/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ec 2.2mS/cm |
    sed -n '/^What the meters/,/^Sodium/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ph 3 \
    --measured-ec 6mS/cm | grep -A3 '^What the meters'
saltwright stock $ask --tank 50gal --measured-ec 1.5mS/cm --measured-ph 6.1 \
    --doubt meter-ec=4% | sed -n '/^What the meters/,/^Sodium/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ec 2.2
saltwright check $ask --recipe examples/recipe.csv --measured-ph acid
saltwright check $ask --recipe examples/recipe.csv --measured-ec 2.2mS/cm \
    --doubt meter-ec=0%
