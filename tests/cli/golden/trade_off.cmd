saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --trade-off cost --curve "$TMPDIR/curve.svg" |
    sed -n '/^Trade-off/,/^Notes/p'
sed -n '/<desc>/,/<\/desc>/p' "$TMPDIR/curve.svg" | fold -sw 78 | head -3
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --trade-off products |
    sed -n '/^Trade-off/,/^Notes/p'
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --trade-off products --format csv |
    grep '^trade_off' | grep -v g_per_l | sed -E 's|([.][0-9]{3})[0-9]*|\1|' | head -4
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --trade-off price
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --curve curve.svg
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --trade-off cost --curve curve.png
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --trade-off cost --objective even
saltwright formulate --water examples/town.csv --target examples/basil.csv \
    --shelf examples/premix.csv --trade-off cost --only trade_off
