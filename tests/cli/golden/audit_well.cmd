saltwright audit --water examples/well.csv
