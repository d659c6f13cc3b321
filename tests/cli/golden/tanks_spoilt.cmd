file=$(mktemp)
check() {
    saltwright check --water examples/town.csv --target examples/basil.csv \
        --shelf examples/straights.csv --stocks "$file" "$@" 2>&1 |
        sed "s|$file|tanks.csv|; /^  water/,\$d"
    echo "exit ${PIPESTATUS[0]}"
}
printf 'tank,product,amount,unit\nA,calcium nitrate,6,kg\nA,%s,2,kg\n' \
    'monopotassium phosphate' >"$file"
check --tank 100L
check --tank 100L --tank A=80L --tank A=50L
printf 'tank,product,amount,unit\nA,calcium nitrate,6,kg\nB,%s,300,L\n' \
    'nitric acid 38 %' >"$file"
check --tank 100L
printf 'tank,product,amount,unit\nA,calcium nitrate,200,kg\n' >"$file"
check --tank 100L
rm "$file"
