# Each of these is a mistake somebody makes on the first day.
try() {
    saltwright "$@"
    echo "exit $?" >&2
}
common="--water examples/well.csv --target examples/basil.csv"
try formulat
try formulate
try check $common --top-up --shelf examples/premix.csv --dose x
try formulate $common --shelf examples/straights.csv --volume 400
try formulate $common --shelf examples/straights.csv --volum=400gal --taget=x
try formulate $common --shelf examples
try formulate $common --shelf nowhere.csv
try formulate --water examples/waters.csv --target x --shelf y
try formulate $common --shelf examples/straights.csv --share 60,30
try check $common
try check $common --dose "bloom boost=2g/L"
try check $common --dose "boric acid=2"
try catalogue "magnesium sulphate"
