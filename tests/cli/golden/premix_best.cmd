ask="--water examples/town.csv --target examples/basil.csv
    --shelf examples/premix.csv"
saltwright check $ask --dose "leaf premix=best" | sed -n '1,/^What the crop/p'
saltwright check $ask --dose "leaf premix=best" --top-up --format csv |
    grep '^premix' | sed -E 's|([.][0-9]{3})[0-9]*|\1|'
saltwright check $ask --dose "leaf premix=best" --dose "calcium nitrate=best"
saltwright check $ask --dose "sodium chloride=best"
saltwright check $ask --dose "=best"
