ask="--holds 160gal --water examples/town.csv --target examples/basil.csv
    --shelf examples/straights.csv"
saltwright renew --solution examples/return.csv:early $ask --volume 264gal \
    --only verdict,asked,renewal,recipe
saltwright renew --solution examples/return.csv:late $ask --volume 200gal \
    --only verdict,asked,renewal,proof,notes,safety
saltwright renew --solution examples/return.csv:late $ask --format csv |
    grep '^renewal' | sed -E 's|([.][0-9]{3})[0-9]*|\1|'
# Fresh water that is no better.
sed -e '/^#/d; s/Mo .mg.L./&,alkalinity [mg\/L CaCO3]/; s/^[el].*/&,40/' \
    examples/return.csv |
    saltwright renew --solution examples/return.csv:late --holds 160gal \
    --water -:late --target examples/basil.csv \
    --shelf examples/straights.csv 2>/dev/null | sed -n '1,/^Recipe/p'
# What nothing on the shelf brings is said, and the rest brought to target.
silicon() {
    (cat examples/basil.csv && echo Si,50,45,,,mg/L) |
        saltwright renew --solution examples/return.csv:late --holds 600L \
            --water examples/town.csv --target - --volume 1000L \
            --shelf examples/straights.csv "$@"
    echo "exit $?"
}
silicon | sed -n '1,/^  Short/p;/^The tank/,/^  add/p;/^exit/p'
silicon --format csv | grep '^renewal' | sed -E 's|([.][0-9]{3})[0-9]*|\1|'
silicon --format json | grep -A7 '"unreached"' |
    sed -E 's|([.][0-9]{3})[0-9]*|\1|'
saltwright renew --solution examples/return.csv $ask
saltwright renew --solution examples/return.csv:late $ask --volume 100gal
saltwright renew --solution examples/return.csv:late $ask \
    --water examples/well.csv
