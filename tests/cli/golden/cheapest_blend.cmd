saltwright formulate --water examples/waters.csv:well \
    --water examples/waters.csv:purified --target examples/pepper.csv \
    --shelf examples/straights.csv --objective cheapest --volume 2m3
