# Each of these waters, and any mix of them, meets a pH asked for in the air.
sed 's/^pH,.*/pH aired,6.0,5.6,6.4,,/' examples/basil.csv |
    saltwright compare --water examples/well.csv --water examples/town.csv \
        --blend --target - --shelf examples/straights.csv --only blend
