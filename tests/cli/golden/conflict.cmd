printf 'parameter,target,min,max\nCa,,,20\nN,150,,\n' |
    saltwright formulate --water examples/well.csv --target - \
        --shelf examples/straights.csv
