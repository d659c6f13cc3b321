cd tests/published
saltwright check --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --stocks florida_tanks.csv --tank 30gal |
    sed -n '1,/^  ~ water/p'
saltwright stock --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --tank 30gal --factor 100 |
    sed -n '/^Stock tanks/,/^Do/p'
saltwright check --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --stocks florida_tanks.csv --tank 30gal \
    --tank B=120L --head B=128 --amounts metric | sed -n '/^Stock tanks/,/^Do/p'
saltwright check --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --stocks florida_tanks.csv
saltwright check --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --stocks florida_tanks.csv --tank C=30gal
saltwright check --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --dose "iron chelate=1g/gal" --head B=100
saltwright check --water florida_well.csv --target florida_target.csv \
    --shelf florida_shelf.csv --stocks florida_tanks.csv --tank 30gal \
    --head 128
cd ../..
saltwright stock --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv --tank 200L --head B=128 --per-day 1500L \
    --fills 6 | sed -n '/^Stock tanks/,/^Do/p'
