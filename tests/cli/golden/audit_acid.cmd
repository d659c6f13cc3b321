printf '%s\n' parameter,value,unit pH,5.2, EC,80,uS/cm \
    'alkalinity,4,mg/L CaCO3' Ca,5,mg/L Mg,1,mg/L Na,5,mg/L Cl,8,mg/L \
    SO4,8,mg/L NO3-N,0.1,mg/L |
    saltwright audit --water - \
        --only verdict,water,rereadings,guidelines,limits_met,notes
