# The well's sulfate, 62 mg/L, handed on as 62 mg/L of sulfur in sulfate.
sed 's/^SO4,/SO4-S,/' examples/well.csv | saltwright audit --water -
