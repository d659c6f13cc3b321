# SPDX-License-Identifier: GPL-3.0-or-later
"""What stands beside readings and makes other numbers of them: signs, what
values are given as, factors, temperatures, units in two places, what is not of
the water.  Each is a small report, invented, and what is to be read of it, a
line for each sample: mg/L, alkalinity in meq/L, EC in mS/cm; "<" below that
limit, "<~" below a usual one; or "refused" with the lines that are named."""

HEADS = [
    ("the unit of a row and of its head must agree",
     "Parameter,Result (mg/L),Unit\nCalcium,50,mg/L\nBoron,110,ug/L\n",
     "refused 3"),
    ("a row without a unit has that of the head",
     "Parameter,Result (mg/L),Unit\nCalcium,50,\nEC,500,uS/cm\npH,7,\n",
     "Ca 50, EC 0.5, pH 7"),
    ("molar over mass", "Parameter,Result (mmol/L),Unit\nCalcium,50,mg/L\n",
     "refused 2"),
    ("the same unit spelled otherwise",
     "Parameter,Result (mg/l),Unit\nCalcium,50,mg L-1\n", "Ca 50"),
    ("a basis in the head of values",
     "Parameter,Value (as CaCO3),Unit\nCalcium,250,mg/L\nMagnesium,50,mg/L\n",
     "Ca 100.11, Mg 12.142"),
    ("a basis in the head of names",
     "Parameter (as CaCO3),Value,Unit\nCalcium,250,mg/L\npH,7,\n",
     "Ca 100.11, pH 7"),
    ("a basis in the head of units",
     "Parameter,Value,Unit (as CaCO3)\nCalcium,250,mg/L\n", "Ca 100.11"),
    ("what cannot be as CaCO3 is asked about",
     "Parameter,Value (as CaCO3),Unit\nCalcium,250,mg/L\nBoron,1,mg/L\n",
     "refused 3"),
    ("a unit that says of what goes before",
     "Parameter,Value (as CaCO3),Unit\nCalcium,250,mg/L Ca\n", "Ca 250"),
    ("as N says nothing of calcium",
     "Parameter,Result as N,Unit\nNO3,5,mg/L\nNH4,1,mg/L\nCa,40,mg/L\n",
     "NO3-N 5, NH4-N 1, Ca 40"),
    ("a basis in a word of lower case",
     "Parameter,Result as nitrogen,Unit\nNO3,5,mg/L\n", "NO3-N 5"),
    ("words that are no basis",
     "Parameter,Result as is,Unit\nNO3,5,mg/L\n", "NO3-N 1.129"),
    ("as N in German", "Parameter;Wert (als N);Einheit\nNitrat;5;mg/l\n",
     "NO3-N 5"),
    ("a factor in the head", "Parameter,Value (x1000),Unit\nCa,2.5,mg/L\n",
     "refused 1"),
    ("a factor in the head, apart",
     "Parameter,Value x 10,Unit\nCa,2.5,mg/L\n", "refused 1"),
    ("a factor written with a cross",
     "Parameter,Result (\u00d7 100),Unit\nCa,2.5,mg/L\n", "refused 1"),
    ("the commonest head there is",
     "Parameter,Concentration (mg/L)\nCalcium,50\nIron,0.2\n",
     "Ca 50, Fe 0.2"),
    ("a name of words that say nothing",
     "Parameter,Value,Unit\nCalcium,50,mg/L\nTotal,500,mg/L\nLab,7,mg/L\n"
     "Gesamt,5,mg/L\nDissolved,4,mg/L\nWater,3,mg/L\nConcentration,2,mg/L\n",
     "Ca 50"),
]

HEADINGS = [
    ("a heading with a basis, up to the next",
     "Parameter,Value,Unit\nCations (as CaCO3),,\nCalcium,250,mg/L\n"
     "Anions (as ion),,\nChloride,40,mg/L\n", "Ca 100.11, Cl 40"),
    ("a title with a basis is asked about",
     "Results expressed as mg/L CaCO3\nParameter,Value,Unit\n"
     "Calcium,250,mg/L\n", "refused 1"),
    ("a title of a reading that says so itself",
     "Alkalinity as CaCO3\nParameter,Value,Unit\nCalcium,250,mg/L\n"
     "Alkalinity,50.04,mg/L CaCO3\n", "Ca 250, alk 1"),
    ("a title of another reading is not of this",
     "Hardness as CaCO3\nParameter,Value,Unit\nCalcium,250,mg/L\n", "Ca 250"),
    ("a footnote with a basis",
     "Parameter,Value,Unit\nCalcium*,250,mg/L\n* as CaCO3,,\n", "refused 3"),
    ("a heading nothing follows is a footnote",
     "Parameter,Value,Unit\nCalcium,250,mg/L\nas CaCO3,,\n", "refused 3"),
    ("a footnote with a temperature",
     "Parameter,Value,Unit\nConductivity*,500,uS/cm\n* at 20 \u00b0C\n",
     "refused 3"),
    ("numbers in brackets that are explained below",
     "Analyte,Result,Unit\npH (1),7.8,\nCalcium (2),62,mg/L\n"
     "Iron,0.12 (3),mg/L\nBoron,<0.05 (3),mg/L\n(1) measured on receipt,,\n"
     "(2) above guidance level,,\n(3) by ICP,,\n",
     "pH 7.8, Ca 62, Fe 0.12, B <0.05"),
    ("the same of samples in rows",
     "Sample,pH (1),Ca mg/L\nA (1),7.8,62 (2)\nA (2),7.7,60\n"
     "(1) on receipt,,\n(2) repeated,,\n", "pH 7.8, Ca 62\npH 7.7, Ca 60"),
    ("numbers in brackets that nothing explains, or only above",
     "(1) on receipt,,\nAnalyte,Result,Unit\npH (1),7.8,\nIron,0.12 (3),mg/L\n",
     "refused 3 4"),
    ("a number in brackets that leaves another value",
     "Analyte,Result,Unit\nIron,0.12 (1),mg/L\nBoron,0.1 (2),mg/L\n"
     "Zinc,0.1 (3),mg/L\nCopper,0.1 (4),mg/L\nManganese (5),120,mg/L\n"
     "Calcium,48 (6),mg/L\n"
     "(1) below detection limit,,\n(2) rejected,,\n(3) n.d.,,\n"
     "(4) blank,,\n(5) in ug/L,,\n(6) limit of detection,,\n",
     "refused 2 3 4 5 6 7"),
    ("a number in brackets explained as a basis",
     "Analyte,Result,Unit\nCalcium (1),250,mg/L\n(1) as CaCO3,,\n",
     "refused 3"),
    ("a title with a temperature",
     "Conductivity measured at 20 \u00b0C\nParameter,Value,Unit\n"
     "Conductivity,500,uS/cm\n", "refused 1"),
    ("a title at 25 degrees",
     "Conductivity measured at 25 \u00b0C\nParameter,Value,Unit\n"
     "Conductivity,500,uS/cm\n", "EC 0.5"),
    ("a title about something dried or cooled",
     "TDS dried at 180 \u00b0C; kept at 4 \u00b0C\nParameter,Value,Unit\n"
     "Conductivity,500,uS/cm\n", "EC 0.5"),
    ("a title with a unit and a basis",
     "Results in mg/L as CaCO3,,\nParameter,Result,Units\nCalcium,150,mg/L\n",
     "refused 1"),
    ("a title with a basis over units in heads",
     "Water analysis (all values ppm as CaCO3)\nSample,Ca [ppm],Mg [ppm]\n"
     "Well,150,50\n", "refused 1"),
    ("a row of its own below a reading",
     "Parameter,Result,Units\nCalcium,150,mg/L\nas CaCO3,,\n"
     "Magnesium,12,mg/L\n", "refused 3"),
    ("a section against the head of values",
     "Parameter,Result (mg/L)\nCalcium,60\nTrace metals (ug/L),\nZinc,4\n",
     "refused 4"),
    ("a section against it in words",
     "Parameter,Result (mg/L)\nCalcium,60\n"
     "Trace elements in micrograms per litre,\nZinc,4\n", "refused 4"),
    ("a footnote against the head of values",
     "Parameter,Result (mg/L)\nCalcium,60\nZinc*,4\n* ug/L\n", "refused 4"),
    ("a title of two units against the head of values",
     "Metals in ug/L; others mg/L,\nParameter,Result (mg/L)\nCalcium,60\n",
     "refused 1"),
    ("a title of a unit beside units of rows",
     "Results in mg/L,,\nParameter,Result,Unit\nCalcium,60,mg/L\n"
     "Boron,50,ug/L\n", "Ca 60, B 0.05"),
    ("a temperature in a column of its own",
     "Parameter,Temp,Result,Units\nConductivity,20,500,uS/cm\n"
     "Calcium,,60,mg/L\n", "EC 0.558, Ca 60"),
    ("one remark for all in lower case",
     "all values as caco3\nWell,Ca mg/L,Mg mg/L\nA,250,50\n", "refused 1"),
    ("a title over samples in rows",
     "All values as CaCO3\nWell,Ca mg/L,Mg mg/L\nA,250,50\n", "refused 1"),
    ("a title over samples in columns heads all of them",
     "Results as CaCO3;;\nParameter;Einheit;Nord\nCalcium;mg/l;250\n"
     "Magnesium;mg/l;50\n", "Ca 100.11, Mg 12.142"),
    ("a basis where a row of units begins",
     "Sample,Ca,Mg\nas CaCO3,mg/L,mg/L\nA,250,50\n", "refused 2"),
    ("a sample whose name has a basis",
     "Analyte,Unit,Well (as CaCO3)\nCalcium,mg/L,250\nMagnesium,mg/L,50\n",
     "Ca 100.11, Mg 12.142"),
]

REMARKS = [
    ("remarks of a row",
     "Parameter;Value;Unit;Notes\nConductivity;500;uS/cm;20 \u00b0C\n"
     "Calcium;250;mg/l;as CaCO3\nNitrate;5;mg/l;as N\nSodium;20;mg/l;fine\n",
     "EC 0.558, Ca 100.11, NO3-N 5, Na 20"),
    ("a remark that cannot be of its reading",
     "Parameter;Remark;Value;Unit\nChloride;as CaCO3;50;mg/l\n", "refused 2"),
    ("the temperature of an archive",
     "CharacteristicName,ResultMeasureValue,ResultMeasure/MeasureUnitCode,"
     "ResultTemperatureBasisText\npH,7.2,std units,\n"
     "Specific conductance,500,uS/cm,20 deg C\n", "EC 0.558, pH 7.2"),
    ("the temperature of a description",
     "Parameter;Description;Value;Unit\nConductivity;electrical conductivity "
     "at 20 \u00b0C;500;uS/cm\nSodium;;20;mg/l\n", "EC 0.558, Na 20"),
    ("a temperature at which nothing is read",
     "Parameter,Result,Unit,Reference temp.\nConductivity,500,uS/cm,18\n",
     "refused 2"),
    ("25 degrees",
     "Parameter,Result,Unit,Reference temp.\nConductivity,500,uS/cm,25\n",
     "EC 0.5"),
    ("a maximum is no reading",
     "CharacteristicName,ResultMeasureValue,ResultMeasure/MeasureUnitCode,"
     "StatisticalBaseCode\nSodium,44,mg/l,Maximum\nSodium,22,mg/l,Mean\n"
     "Calcium,40,mg/l,\n", "Na 22, Ca 40"),
    ("not valid",
     "Parameter;Value;Unit;Valid\nCalcium;250;mg/l;no\nSodium;20;mg/l;yes\n",
     "Na 20"),
    ("censored", "Parameter,Result,Censored,Unit\nBoron,100,TRUE,ug/L\n"
     "Zinc,5,FALSE,ug/L\n", "B <0.1, Zn 0.005"),
    ("remarks that may say not detected",
     "Parameter,Result,Unit,Comment\nBoron,100,ug/L,< LOD\nZinc,5,ug/L,\n"
     "Cu,2,ug/L,Not detected at 2 ug/L\nIron,30,ug/L,fine\n", "refused 2 4"),
    ("a guideline without a head is no mark",
     "Parameter,Result,Unit,Guide\nSodium,14,mg/L,<50\n", "Na 14"),
    ("flags in words", "Parameter,Result,Flag,Unit\nBoron,100,LT,ug/L\n"
     "Zinc,5,less than,ug/L\n", "B <0.1, Zn <0.005"),
]

SIGNS = [
    ("unnamed, before each",
     "Well,,Ca mg/L,,Na mg/L,,B ug/L\nA,,40,,22,<,20\n",
     "Ca 40, Na 22, B <0.02"),
    ("unnamed, after each",
     "Well,Ca mg/L,,Na mg/L,,B ug/L,\nA,40,,22,,20,<\n",
     "Ca 40, Na 22, B <0.02"),
    ("named <, before each",
     "Well,<,Ca mg/L,<,Na mg/L,<,B ug/L\nA,,40,,22,<,20\n",
     "Ca 40, Na 22, B <0.02"),
    ("named for their parameters, before",
     "Well,r_Ca,Ca mg/L,r_Na,Na mg/L,r_B,B ug/L\nA,,40,,22,<,20\n",
     "Ca 40, Na 22, B <0.02"),
    ("remarks named for them, before",
     "Well,Remark Ca,Ca mg/L,Remark B,B ug/L\nA,,40,<,20\n",
     "Ca 40, B <0.02"),
    ("named for them, after",
     "Well,Ca mg/L,Ca_rmk,B ug/L,B_rmk\nA,40,,20,<\n", "Ca 40, B <0.02"),
    ("Qual stands after",
     "Well,Ca mg/L,Qual,Na mg/L,B ug/L\nA,40,<,22,20\n",
     "Ca <40, Na 22, B 0.02"),
    ("a sign between two that could be of either",
     "Well,Ca mg/L,<,B ug/L\nA,40,<,20\n", "refused 2"),
    ("beside samples in columns, after",
     "Parameter;Probe 1;;Probe 2;;Einheit\nBor;0,02;<;0,05;;mg/l\n"
     "Zink;0,2;;0,01;<;mg/l\n", "B <0.02, Zn 0.2\nB 0.05, Zn <0.01"),
    ("beside samples in columns, before",
     "Parameter;Vorzeichen;Probe 1;Vorzeichen;Probe 2;Einheit\n"
     "Bor;<;0,02;;0,05;mg/l\nZink;;0,2;<;0,01;mg/l\n",
     "B <0.02, Zn 0.2\nB 0.05, Zn <0.01"),
    ("no Qual of a sample of another name",
     "Analyte,Units,MW-1 deep,MW-1 Qual\nCalcium,mg/L,50,J\n",
     "refused 2"),
    ("named for their samples",
     "Analyte,Units,MW-1 Result,MW-1 Qual,MW-2 Result,MW-2 Qual\n"
     "Calcium,mg/L,48,,52,\nBoron,mg/L,0.05,U,0.1,J\n",
     "Ca 48, B <0.05\nCa 52, B 0.1"),
    ("named for them, with limits between",
     "Analyte,Units,MW-1,MW-1 RL,MW-1 (Flag),MW-2,MW-2 RL,MW-2 (Flag)\n"
     "Boron,mg/L,0.05,0.05,U,0.1,0.05,\nIron,mg/L,0.2,0.02,,0.1,0.1,U\n",
     "B <0.05, Fe 0.2\nB 0.1, Fe <0.1"),
    ("named for one of them",
     "Analyte,Units,MW-1,MW-2,MW-2_Q\nCalcium,mg/L,48,52,\n"
     "Boron,mg/L,0.05,0.1,U\n", "Ca 48, B 0.05\nCa 52, B <0.1"),
    ("in no column's name, a J among them",
     "Analyte,Units,MW-1,,MW-2,\nCalcium,mg/L,48,,52,\n"
     "Boron,mg/L,0.05,U,0.1,J\n", "Ca 48, B <0.05\nCa 52, B 0.1"),
    ("one of marks beside two samples",
     "Analyte,Unit,Qual,Well,Pond\nIron,mg/L,<,2,3\nZinc,mg/L,,0.2,0.3\n",
     "refused 2"),
]

OWNERS = [
    ("blocks of two waters",
     "Parameter,Result,Unit\nCalcium,50,mg/L\nRaw water,,\nChloride,90,mg/L\n"
     "Treated water,,\nSodium,10,mg/L\n", "refused 3 5"),
    ("results of another well",
     "Parameter,Result,Unit\nCalcium,50,mg/L\nResults of well 2,,\n"
     "Sodium,10,mg/L\n", "refused 3"),
    ("a heading over all readings",
     "Parameter,Result,Unit\nOrchard bore,,\nCalcium,50,mg/L\nCations,,\n"
     "Sodium,10,mg/L\nTrace elements,,\nBoron,1,mg/L\nEnd of report,,\n",
     "Ca 50, Na 10, B 1"),
    ("a page of a report",
     "Parameter,Result,Unit\nCalcium,50,mg/L\nPage 2 of 2,,\n"
     "Sodium,10,mg/L\n", "Ca 50, Na 10"),
    ("a heading that is not known, after limits",
     "Parameter;Wert;Einheit\nCalcium;50;mg/l\nGrenzwerte;;\n"
     "Chlorid;250;mg/l\nEmpfehlung;;\nNatrium;30;mg/l\n", "refused 5"),
    ("a former analysis",
     "Parameter,Result,Unit\nCalcium,50,mg/L\nFormer analysis,,\n"
     "Chloride,90,mg/L\n", "Ca 50"),
] + [
    ("a column of limits",
     f"Analyte,Unit,{head},Bore\nSodium,mg/L,200,66\nCalcium,mg/L,,86\n",
     "Ca 86, Na 66")
    for head in ("ANZECC 2000", "ADWG", "Limit of Reporting",
                 "Drinking water standard NZ", "Max allowed", "Ideal",
                 "GW nach TrinkwV", "zul. H\u00f6chstkonz.", "H\u00f6chstwert",
                 "Valor m\u00e1ximo admisible", "Valeur limite", "Uncertainty",
                 "Method Blank", "LCS %", "Total", "Removal %")
] + [
    ("rows that are no samples",
     "Sample,Ca (mg/L),Na (mg/L)\nTap,20,30\nRegulation 98/83,75,200\n"
     "Uncertainty,2,3\nTotal,97,233\n", "Ca 20, Na 30"),
    ("limits alone", "Parameter;Unit;Max allowed\nSodium;mg/L;180\n",
     "refused 0"),
    ("limits with a unit in their head",
     "Analyte,Result (mg/L),RL (ug/L)\nCalcium,50,100\nSodium,ND,1000\n",
     "Ca 50, Na <1"),
]

LAYOUTS = [
    ("a substance that is not known carries its unit",
     "Analyte,Units,Sample A\nCalcium,mg/L,52\nSodium,mg/L,44\n"
     "Glyphosate,ug/L,0.1\nMagnesium,mg/L,14\n", "Ca 52, Na 44, Mg 14"),
    ("the same, with the units last",
     "Analyte,North,South,Units\nCalcium,52,50,mg/L\nSodium,44,40,mg/L\n"
     "Glyphosate,0.1,,ug/L\nMagnesium,14,13,mg/L\n",
     "Ca 52, Na 44, Mg 14\nCa 50, Na 40, Mg 13"),
    ("one row alone",
     "Parameter,Raw water,Treated water,Unit\nCalcium,50,2,mg/L\n",
     "Ca 50\nCa 2"),
    ("feed beside drain, with units",
     "sample,irr_pH,irr_K [mmol/L],drain_pH,drain_K [mmol/L]\n"
     "A,5.6,1,6.2,2\n", "K 39.098, pH 5.6\nK 78.197, pH 6.2"),
    ("units behind an underscore",
     "Well,Ca_mgL,B_ugL,EC_uS_cm,Alk_mg_CaCO3_L\nA,40,20,500,150.12\n",
     "Ca 40, B 0.02, EC 0.5, alk 3"),
    ("names twice in two units",
     "Sample,Ca,Ca,Mg,Mg\n,mg/L,meq/L,mg/L,meq/L\nTap,20,1.0,12.15,1.0\n",
     "Ca 20, Ca 20.04, Mg 12.15, Mg 12.15"),
    ("names twice, of two fractions",
     "Analyte,Unit,Fraction,Well\nIron,mg/L,Total,2\n"
     "Iron,mg/L,Dissolved,0.2\n", "Fe 0.2"),
    ("a basis beside samples in columns",
     "Analyte,Unit,Basis,Well\nCalcium,mg/L,CaCO3,250\nNO3,mg/L,N,5\n",
     "Ca 100.11, NO3-N 5"),
    ("symbols beside samples in columns",
     "Analyte,Symbol,Unit,Well A\nCalcium,Ca,mg/L,50\nNitrate,NO3-N,mg/L,5\n",
     "Ca 50, NO3-N 5"),
    ("samples in two units each",
     "Parameter;Brunnen 1 mg/l;Brunnen 1 mmol/l\nCalcium;50;1,25\n",
     "Ca 50, Ca 50.0975"),
    ("a unit of a sample against one of a row",
     "Parameter;Brunnen 1 (mg/l);Einheit\nBor;50;\u00b5g/l\npH;7;\n",
     "refused 2"),
    ("a unit for all in a title",
     "Analysenergebnisse in mg/l, sofern nicht anders angegeben;\n"
     "Parameter;Ergebnis\npH-Wert;7,1\nCalcium;55,5\nEisen [\u00b5g/l];41\n",
     "Ca 55.5, Fe 0.041, pH 7.1"),
    ("a unit for all beside the names of samples",
     "Sample (all mg/L),Calcium,Sodium\nA,50,20\n", "Ca 50, Na 20"),
    ("units of sections with samples in columns",
     "Monster;Bron;Put\npH;7;8\nKationen (mmol/l);;\nNa;1;2\n"
     "Spoorelementen (\u00b5mol/l);;\nB;10;20\n",
     "pH 7, Na 22.99, B 0.1081\npH 8, Na 45.98, B 0.2162"),
    ("three columns of units",
     "CATIONS,mg/L as ion,mg/L as CaCO3,epm\nCalcium,80,200,4.0\n"
     "Sodium,46,100,2.0\nTotal cations,,300,6.0\n", "Ca 80, Na 46"),
    ("a value and a unit twice",
     "Determinaci\u00f3n;Resultado;Unidad;Resultado;Unidad\n"
     "Cloruros;7,10;meq/l;251,7;mg/l\nBoro;0,4;mg/l;;\n",
     "Cl 251.7, B 0.4"),
    ("lines within a head",
     "Sample;\"Nitrate\n(as N)\nmg/L\";\"Calcium\nmg/L\"\nBore 7;1.9;33\n",
     "NO3-N 1.9, Ca 33"),
    ("valencies that add up",
     "Parameter,Value,Unit\nFe3+,0.2,mg/L\nFe2+,0.2,mg/L\n", "refused 3"),
    ("valencies in brackets",
     "Parameter,Value,Unit\nIron (II),0.2,mg/L\nIron (III),0.1,mg/L\n",
     "refused 2 3"),
    ("a sum below its part",
     "Parameter,Result,Unit\nNitrate+Nitrite as N,5,mg/L\n"
     "Nitrate as NO3,40,mg/L\n", "refused 2"),
    ("a sum above its part",
     "Parameter,Result,Unit\nNitrate+Nitrite as N,9.1,mg/L\n"
     "Nitrate as NO3,40,mg/L\n", "NO3-N 9.0362"),
    ("ions of phosphate that add up",
     "Parameter,Value,Unit\nPO4,1,mg/L\nHPO4,1,mg/L\n", "refused 3"),
    ("a ratio is no hardness",
     "Parameter,Value,Unit\nCa:Mg,3.2,\nNa,20,mg/L\n", "Na 20"),
    ("names of samples above those of analytes",
     "Sample ID,,MW-1,MW-2,\nDate Sampled,,2/1/2022,2/2/2022,\n"
     "Analyte,Units,,,RL\nCalcium,mg/L,41,88,1\nSodium,mg/L,13,<1,1\n",
     "Ca 41, Na 13\nCa 88, Na <1"),
    ("a temperature of its own against the unit's",
     "Parameter,Result,Unit,Reference temp.\n"
     "Conductivity,500,uS/cm @25C,20\n", "refused 2"),
    ("two times of one day",
     "CharacteristicName,MonitoringLocationIdentifier,ActivityStartDate,"
     "ActivityStartTime/Time,ResultMeasureValue,ResultMeasure/MeasureUnitCode\n"
     "Calcium,A,2020-01-02,10:30,40,mg/l\nCalcium,A,2020-01-02,12:00,50,mg/l\n",
     "Ca 40\nCa 50"),
    ("a parameter behind a word that is not known",
     "sample,pH,tank_K [mmol/L]\nA,7,1\n", "refused 1"),
    ("a mean of an archive",
     "monitoringSiteIdentifier,"
     "observedPropertyDeterminandLabel,procedureAnalysedMatrix,resultUom,"
     "phenomenonTimeReferenceYear,resultMinimumValue,resultQualityMeanBelowLOQ,"
     "resultMeanValue,resultMaximumValue,procedureLOQValue\n"
     "X9,pH,W,[pH],2014,5.8,0,7.2,9.4,0.1\n"
     "X9,Calcium,W-DIS,mg/L,2014,70,0,88.5,115,1\n"
     "X9,Boron,W-DIS,mg/L,2014,,1,0.05,,0.1\n", "pH 7.2, Ca 88.5, B <0.1"),
    ("spaces nobody sees behind a sign",
     "Parameter,Result,Unit\nBoron,<\u00a05,\u00b5g/L\nCa,30\u2009,mg/L\n",
     "B <0.005, Ca 30"),
    ("tons in an acre-foot",
     "Parameter,Result,Unit\nTDS,0.5,tons/ac ft\nCa,30,mg/L\n",
     "Ca 30, TDS 367.73"),
    ("not detected, with nothing to have a unit",
     "Analyte,Result,Condition,Units\nCalcium,50,,mg/L\nZinc,,Not Detected,\n",
     "Ca 50, Zn <~0.02"),
    ("a word and a limit by its name",
     "Parameter,Result,Unit\nCalcium,50,mg/L\nIron,BDL (DL 0.1),mg/L\n",
     "Ca 50, Fe <0.1"),
    ("levels in words",
     "Test,Result,Units,Level\nCalcium,50,ppm,ok\nSodium,90,ppm,high\n",
     "Ca 50, Na 90"),
    ("levels in words, before",
     "Test,Level,Result,Units\nCalcium,ok,50,ppm\nSodium,high,90,ppm\n",
     "Ca 50, Na 90"),
    ("sums, and a unit of nothing",
     "Par\u00e1metro;Valor;Unidad\nCalcio;80,2;mg/L\nSuma cationes;4,0;meq/L\n"
     "pH;7,5;unitless\n", "pH 7.5, Ca 80.2"),
    ("a unit in the head of names",
     "Parameter (mg/L),Result\nCalcium,50\nBoron (ug/L),100\n",
     "Ca 50, B 0.1"),
]

CASES = OWNERS + LAYOUTS + HEADS + HEADINGS + REMARKS + SIGNS


def wanted(line):
    """("Ca", 40, below, by a usual limit) of a line of a case."""
    out = []
    for part in line.split(", "):
        name, value = part.split()
        usual = value.startswith("<~")
        out.append((name, float(value.lstrip("<~")), value[0] == "<", usual))
    return sorted(out)
