ask="--water examples/town.csv --target examples/pepper.csv
    --shelf examples/straights.csv"
saltwright check $ask --recipe examples/recipe.csv --measured-ec 1930uS/cm \
    --measured-ph 6.2 | sed -n '/^What the meters/,/^Limits/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ec 2.2mS/cm |
    sed -n '/^What the meters/,/^Limits/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ph 3 \
    --measured-ec 6mS/cm |
    sed -n '1,/^  water  /p;/^What the meters/,/^Limits/p;/^Notes/,/^  - The/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ph 3 \
    --measured-ec 6mS/cm --format csv | grep -E '^meter(,|.mistakes,"too l|.looks)' |
    sed -E 's|([.][0-9]{3})[0-9]*|\1|'
saltwright stock $ask --tank 50gal --measured-ec 1.5mS/cm --measured-ph 6.1 \
    --doubt meter-ec=4% | sed -n '/^What the meters/,/^Limits/p'
for ec in 2.2zork 501 0 -2.2mS/cm 600dS/m; do
    saltwright check $ask --recipe examples/recipe.csv --measured-ec $ec 2>&1 |
        grep -v '^Try'
done
for ec in 2.2 2.2mS/cm 2.2dS/m "2200 uS/cm"; do
    saltwright check $ask --recipe examples/recipe.csv --measured-ec "$ec" |
        grep 'EC measured'
done
# CO2 that has left moves the pH, and is no mistake.
for ph in 6.5 6.6; do
    saltwright check $ask --recipe examples/recipe.csv --measured-ec 2.2mS/cm \
        --measured-ph $ph | sed -n '/^What the meters/,/^  EC measured/p'
done
saltwright formulate --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv --measured-ec 1.9mS/cm --measured-ph 5.2 |
    sed -n '/check next/,/^$/p'
saltwright check $ask --recipe examples/recipe.csv --measured-ph acid
saltwright check $ask --recipe examples/recipe.csv --measured-ec 2.2mS/cm \
    --doubt meter-ec=0%
