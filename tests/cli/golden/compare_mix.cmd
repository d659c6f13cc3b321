# Well or town, or a mix of both and purified water.
saltwright compare --water examples/well.csv --water examples/town.csv \
    --purified typical --blend --target examples/basil.csv \
    --shelf examples/straights.csv
# The water has its price too; and no water is left alone.
saltwright compare --water examples/waters.csv --blend --objective cheapest \
    --water-price 0.10,1.90,1.20 --target examples/pepper.csv \
    --shelf examples/straights.csv | sed '/^Measure/,$d'
try() {
    saltwright compare --target examples/basil.csv \
        --shelf examples/straights.csv "$@"
    echo "exit $?" >&2
}
try --water examples/well.csv --blend
try --water examples/waters.csv --water-price 1,2
try --water examples/well.csv --purified nowhere.csv
