saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --why | sed -n '/^Why this/,/^Notes/p'
printf '%s\n' parameter,target,min,max N,150,, P,40,, K,195,,200 Ca,140,, \
    Mg,45,, S,50,,52 NH4-N:N,,,0.01 Na,,,60 |
    saltwright formulate --water examples/well.csv --target - \
        --shelf examples/straights.csv --why --objective cheapest |
    sed -n '/^Why this/,/^Notes/p'
printf '%s\n' parameter,target,min,max N,150,, P,40,, K,195,,200 Ca,140,, \
    Mg,45,, S,50,,52 NH4-N:N,,,0.01 Na,,,60 |
    saltwright formulate --water examples/well.csv --target - \
        --shelf examples/straights.csv --why --format csv |
    grep -E '^why.(misses|limits|products)' | grep -Ev ',(bound|unit|take|largest)' |
    sed -E 's|([.][0-9]{3})[0-9]*|\1|'
printf 'parameter,target\nN,150\nCa,20\n' >"$TMPDIR/no-buy.csv"
saltwright formulate --water examples/well.csv --target "$TMPDIR/no-buy.csv" \
    --shelf examples/straights.csv --why |
    sed -n '/^What the shelf lacks/,/^Notes/p'
