# As strong as asked; the water and limits may stop it.
saltwright formulate --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv --to-ec 1.2 | sed '/^Ratios/,/^$/!{/^Recipe/,$d}'
try() {
    saltwright "$@" --target examples/pepper.csv --shelf examples/straights.csv
    echo "exit $?" >&2
}
try check --water examples/town.csv --recipe examples/recipe.csv --to-ec 1.9 | sed '/^Recipe/,$d'
try stock --water examples/town.csv --tank 200L --to-ec 1.9 | sed '/^Stock/,$d' | head -12
try formulate --water examples/town.csv --to-ec 3
try formulate --water examples/well.csv --to-ec 0.2
saltwright formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --to-ec 0.6
try check --water examples/well.csv --recipe examples/recipe.csv --to-ec 0.5
try formulate --water examples/well.csv --to-ec weak
for ec in 20.1 0 1.8zork 25dS/m; do
    try formulate --water examples/well.csv --to-ec $ec 2>&1 | grep -v '^Try'
done
for ec in 1.2 1.2mS/cm 1.2dS/m "1200 uS/cm"; do
    saltwright formulate --water examples/town.csv --target examples/basil.csv \
        --shelf examples/straights.csv --to-ec "$ec" | grep '^  to EC'
done
