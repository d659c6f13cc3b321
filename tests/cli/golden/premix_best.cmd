ask="--water examples/town.csv --target examples/basil.csv
    --shelf examples/premix.csv"
saltwright check $ask --dose "leaf premix=best" \
    --only verdict,asked,recipe,premixes
saltwright check $ask --dose "leaf premix=best" --top-up --format csv |
    grep '^premix' | sed -E 's|([.][0-9]{3})[0-9]*|\1|'
# Several together, and in a fixed proportion.
saltwright check $ask --dose "leaf premix=best" --dose "calcium nitrate=best" |
    sed -n '/^Recipe/,/Total/p'
saltwright check $ask --dose "leaf premix=best:3g/gal" \
    --dose "calcium nitrate=best:1.5 g/gal" | sed -n '/^Recipe/,/Total/p'
saltwright check $ask --dose "leaf premix=best3g/gal"
saltwright check $ask --dose "sodium chloride=best"
# What holds the best rate: the shelf, the target, what the target leaves out.
sed 's|^\(leaf premix.*,\),,0.70,|\1,0.5,,|' examples/premix.csv |
    saltwright check --water examples/town.csv --target examples/basil.csv \
        --shelf - --dose "leaf premix=best" |
    sed -n "/^The premix/,/^ *brought/p;/best rate/,/target/p"
sed 's|^S,60,,,|S,60,,61,|' examples/basil.csv |
    saltwright check --water examples/town.csv --target - \
        --shelf examples/premix.csv --dose "leaf premix=best" --format json |
    grep -E 'best_|held_by'
sed 's|^S,60,,,|S,60,,61,|' examples/basil.csv |
    saltwright check --water examples/town.csv --target - \
        --shelf examples/premix.csv --dose "leaf premix=best" --format csv |
    grep -E 'held_by|without_limits'
saltwright check --water examples/town.csv --target tests/cli/plain.csv \
    --dose "calcium chloride 94 %=best" | grep -A3 'best rate'
saltwright check --water examples/well.csv --target examples/basil.csv \
    --dose "calcium chloride 94 %=best" | grep -A3 'best rate'
saltwright check $ask --dose "=best"
# Where nothing of it is best: the Result says so, and why.
saltwright check $ask --dose "calcium nitrate=2g/L" \
    --dose "leaf premix=1.4g/L" --dose "magnesium sulfate=best" | sed '/^$/q'
