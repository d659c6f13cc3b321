# A weekly report of an invented house: what the crop left of its feed.
cat >"$TMPDIR/house.csv" <<'END'
sample,pH,EC [mS/cm],NO3-N [mg/L],NH4-N [mg/L],P [mg/L],K [mg/L],Ca [mg/L],Mg [mg/L],S [mg/L],Na [mg/L],Cl [mg/L],Fe [mg/L],Mn [mg/L],B [mg/L]
feed,5.6,2.4,210,12,45,300,180,48,80,25,35,1.9,0.6,0.35
drain,6.7,3.3,230,<0.5,22,250,290,80,150,72,100,1.1,0.1,0.5
END
cd "$TMPDIR" || exit
saltwright audit --solution house.csv:drain --feed house.csv:feed --drained 30%
saltwright audit --solution house.csv:feed --target "$OLDPWD/examples/basil.csv" \
    --brief
saltwright audit --solution house.csv:drain --feed house.csv:feed --format csv |
    grep '^sample' | sed -E 's|([.][0-9]{3})[0-9]*|\1|g' | head -60
saltwright audit --water house.csv:feed --drained 30%
saltwright audit --feed house.csv:feed
