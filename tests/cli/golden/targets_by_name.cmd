# A crop's published targets in place of a target file; one started from them.
common="--water examples/well.csv --shelf examples/straights.csv --volume 1000L"
saltwright catalogue --targets yamazaki-lettuce
saltwright catalogue --targets tomato | head -6
saltwright catalogue --targets tomaro
saltwright formulate $common --target tomato
echo "exit $?"
saltwright formulate $common --target yamazaki-letuce
echo "exit $?"
saltwright formulate $common --target no-such.csv
echo "exit $?"
printf 'parameter,target,max,unit,stage\nbase,yamazaki-lettuce,,,\nCa,100,,mg/L,late\nNH4-N,none,,,\nCa,80,,mg/L,early\n' |
    saltwright formulate $common --target - --stage late | sed -n '/^Result/,/^  shelf/p; /^What the crop/,/^$/p; /^Proof/,/^$/p'
# A file of that name wins.
(
    well=$PWD/examples
    cd "$(mktemp -d)"
    printf 'parameter,target\nCa,50\n' >tomato
    saltwright formulate --water "$well/town.csv" --shelf "$well/straights.csv" \
        --target tomato --volume 10L | grep -m1 '^  target '
)
