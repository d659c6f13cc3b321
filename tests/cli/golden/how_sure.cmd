saltwright stock --water examples/town.csv --target tests/cli/plain.csv \
    --shelf examples/premix.csv --tank 200L --how-sure --doubt label=3% |
    sed -n '/^How sure/,/^$/p'
saltwright formulate --water examples/town.csv --target tests/cli/plain.csv \
    --shelf examples/premix.csv --how-sure --format csv | \
    grep -E '^how_sure.*,[KN],(p|med|half)' | sed -E 's|([.][0-9]{3})[0-9]*|\1|'
saltwright formulate --water examples/town.csv --target tests/cli/plain.csv \
    --shelf examples/premix.csv --how-sure --doubt labl=3%
saltwright formulate --water examples/town.csv --target tests/cli/plain.csv \
    --shelf examples/premix.csv --how-sure --doubt label=3
saltwright formulate --water examples/town.csv --target tests/cli/plain.csv \
    --shelf examples/premix.csv --doubt label=3%
