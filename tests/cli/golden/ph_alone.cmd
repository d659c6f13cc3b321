# A target of pH alone: acid or base of the catalogue, or of the shelf.
ph='parameter,target,min,max\npH,5.8,5.5,6.2\n'
printf "$ph" | saltwright formulate --water examples/well.csv --target - \
    --only verdict,water,closed,open,notes
printf "$ph" | saltwright formulate --water examples/town.csv --target - \
    --shelf examples/straights.csv --volume 400gal
# Each tank by its own row; a base where the water is too acid.
printf "${ph}pH aired,6.4,,\n" |
    saltwright formulate --water examples/town.csv --target - \
        --shelf examples/straights.csv --format json |
    grep -E '"ph|acid_meq|per_1000'
printf 'parameter,value,unit\npH,5.1,\nalkalinity,0,mg/L CaCO3\n' > "$TMPDIR/rain.csv"
printf "$ph" | saltwright formulate --water "$TMPDIR/rain.csv" --target - --format csv \
    2>/dev/null | grep -E '^(closed|open).*(,,|potassium bicarb)' | sed -E 's|([.][0-9]{3})[0-9]*|\1|'
# The pH aired alone is of an open tank.
printf 'parameter,target\npH aired,5.8\n' |
    saltwright formulate --water examples/town.csv --target - \
        --shelf examples/straights.csv --only verdict,water,closed,open,notes
# What the shelf fixes is in the solution.
printf "$ph" >"$TMPDIR/ph.csv"
printf 'product,label,fixed,unit\nfeed,P2O5 40; K2O 10,1,g/L\nnitric acid 60 %%,,,\n' |
    saltwright formulate --water examples/town.csv --target "$TMPDIR/ph.csv" \
        --shelf - --only verdict,water,closed,open,notes
printf 'parameter,min,max\npH,6,8\npH aired,6,8.3\n' |
    saltwright formulate --water examples/town.csv --target - | sed '/^$/q'
for more in "--why" "--water examples/well.csv"; do
    printf "$ph" |
        saltwright formulate --water examples/town.csv --target - $more
done
