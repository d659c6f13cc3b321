# A coarse scale and a small tank, acid on the shelf, no pH asked for: whole
# steps must not salt the solution to keep a pH that nobody named.
printf '%s\n' parameter,target N,150 P,40 K,200 Ca,140 Mg,40 |
    saltwright formulate --water examples/town.csv --target - \
        --shelf examples/straights.csv --scale-step 5g --volume 20L \
        --only recipe,weighed,components,measures,finished,guidelines,limits_met,proof
