printf '%s\n' parameter,target,min,max Ca,,150, Mg,,60, S,50,,50 N,90,,100 \
    P,40,35,45 K,220,215, NH4-N:N,,0.02, B,0.35,,0.5 |
    saltwright formulate --water examples/well.csv --target - \
        --shelf examples/straights.csv
