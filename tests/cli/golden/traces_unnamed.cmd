# No trace element is named, and sulfate is short: the manganese, zinc and
# copper of the shelf must not stand in for it.
cat >"$TMPDIR/macros.csv" <<'END'
parameter,target,min,max
N,150,,160
P,40,,
K,200,190,
Ca,100,,110
Mg,40,35,
S,40,,50
pH,5.8,5.5,6.2
END
cd "$TMPDIR" && saltwright formulate --water "$OLDPWD/examples/well.csv" \
    --target macros.csv --shelf "$OLDPWD/examples/straights.csv" |
    sed -n '/^Recipe/,/^$/p;/^Proof/,/^$/p'
