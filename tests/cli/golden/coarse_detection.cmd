# The well's sodium and calcium as a laboratory of coarse methods gives them.
coarse() {
    sed 's/^Na,.*/Na,<100,mg\/L/; s/^Ca,.*/Ca,<50,mg\/L/' examples/well.csv
}
coarse | saltwright audit --water - --only limits_met
coarse | saltwright formulate --water - --target examples/basil.csv \
    --shelf examples/straights.csv --volume 1000L --format json |
    grep -A2 coarse-detection
coarse | saltwright check --water - --target examples/pepper.csv \
    --recipe examples/recipe.csv --shelf examples/straights.csv >/dev/null
coarse | saltwright compare --water - --water examples/town.csv \
    --target examples/basil.csv --shelf examples/straights.csv >/dev/null
