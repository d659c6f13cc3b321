# Invented wells of one laboratory, whose bicarbonate is calcium carbonate; the
# file gives no units.
wells() {
    awk -v factor="$1" 'BEGIN {
        print "well,pH,EC,CO3,HCO3,Cl,SO4,NO3,Na,K,Ca,Mg"
        for (i = 0; i < 24; i++) {
            alk = 3 + 0.15 * i; cl = 2 + 0.3 * (i * 7 % 11)
            ca = 2 + 0.13 * (i * 5 % 9); mg = 1 + 0.1 * (i % 7)
            na = alk + cl + 1.5 - ca - mg
            printf "w%d,7.6,%.0f,0,%.1f,%.1f,48,31,%.1f,2,%.1f,%.1f\n", i,
                95 * (alk + cl + 1.5) + 60, factor * alk, 35.45 * cl,
                22.99 * na, 20.04 * ca, 12.15 * mg
        }
    }'
}
units="mg/L; EC uS/cm"
wells 50.04 >"$TMPDIR/wells.csv"
cd "$TMPDIR" || exit
saltwright audit --water wells.csv
saltwright audit --water wells.csv --units "$units" | sed '/^  w9/,/^  w23/d'
saltwright audit --water wells.csv --units "$units" --brief \
    --read-as "HCO3=[mg/L CaCO3]"
wells 61.02 | saltwright audit --water - --units "$units" --brief
saltwright audit --water wells.csv --units "$units" --format csv |
    grep -E '^(rereadings|balance|samples,w0)' |
    sed -E 's|([.][0-9]{3})[0-9]*|\1|g'
saltwright audit --water wells.csv:w3 --units "$units" --only checks
saltwright audit --water wells.csv --units "$units" --purified typical
