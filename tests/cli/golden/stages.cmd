# A crop's stages in one file: each recipe at once, or one of them.
stages="--target examples/pepper-stages.csv --shelf examples/straights.csv"
saltwright formulate --water examples/town.csv $stages
saltwright formulate --water examples/well.csv --water examples/town.csv \
    $stages --to-ec 1.6 | sed '/^Measure/,$d'
saltwright formulate --water examples/town.csv $stages --stage flowering |
    sed '/^Recipe/,$d'
try() {
    saltwright "$@" --water examples/town.csv $stages
    echo "exit $?" >&2
}
try formulate --stage seedling
try formulate --scale-step 10g
try stock --tank 200L
try batch
