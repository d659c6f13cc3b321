sed '/^nitric acid/s/1.24,,,,/1.24,,0.3,,g\/L/' examples/straights.csv |
    saltwright formulate --water examples/well.csv \
        --target examples/basil.csv --shelf -
