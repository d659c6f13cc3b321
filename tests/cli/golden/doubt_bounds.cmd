# More than anybody would weigh, dilute or measure with.
ask="--water examples/town.csv --target tests/cli/plain.csv
    --shelf examples/premix.csv --how-sure"
for doubt in lab=51% lab-ph=2.1 label=50.1% scale=1e9kg scale=10.1kg scale=1L \
    fine-scale=101g fill=60% injector=nan% meter-ec=-1% meter-ph=2.5 lab=; do
    saltwright formulate $ask --doubt "$doubt" 2>&1 | grep -v '^Try'
    echo "exit ${PIPESTATUS[0]}"
done
for doubt in scale=10.1g fine-scale=10.1g; do
    saltwright formulate $ask --volume 10L --doubt $doubt 2>&1 |
        grep -v '^Try'
done
saltwright formulate $ask --doubt scale=1kg --doubt fine-scale=100g \
    --doubt lab=50% --doubt lab-ph=2 --doubt label=50% --doubt fill=50% |
    grep '^  Assumed errors' -A3
