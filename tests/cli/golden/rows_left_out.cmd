# A blank among the wells of a sheet, and a well called N: what is left out is
# in the notes of every command.
sheet() {
    cat <<X
well,pH,EC [mS/cm],alkalinity [mg/L CaCO3],Ca [mg/L],Mg [mg/L],Na [mg/L],K [mg/L],Cl [mg/L],SO4 [mg/L],NO3-N [mg/L]
E,7.3,0.55,168,60,12,20,2,25,30,3
N,7.3,0.60,180,65,13,20,2,25,34,3
Blank,5.6,0.01,2,0.1,0.1,0.1,0.1,0.1,0.1,0.1
X
}
sheet | saltwright audit --water - --only notes
sheet | saltwright recipes --water - --target examples/basil.csv \
    --shelf examples/straights.csv --only notes
sheet | saltwright compare --water - --target examples/basil.csv \
    --shelf examples/straights.csv --only notes
sheet | saltwright formulate --water -:N --target examples/basil.csv \
    --shelf examples/straights.csv --only notes
