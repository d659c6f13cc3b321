saltwright check --water examples/town.csv --target tests/cli/plain.csv \
    --shelf examples/premix.csv --dose "leaf premix=2.65g/gal" --top-up \
    --volume 400gal --amounts us
