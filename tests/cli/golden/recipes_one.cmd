saltwright recipes --water examples/waters.csv --target examples/pepper.csv \
    --shelf examples/straights.csv --one-recipe --only verdict,waters,notes,proof
