saltwright stock --water examples/well.csv --target examples/basil.csv \
    --shelf examples/premix.csv --tank 200L |
    sed -n '/^Do they/,/^Mix in this/p; /chelate/,+3p; /calcite (lime)/,+2p'
