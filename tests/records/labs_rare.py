# SPDX-License-Identifier: GPL-3.0-or-later
"""Small reports, invented, as those of labs_said.py: what seldom stands in one,
each on the way of a branch of the readers that no other report takes."""

SAID = [
    ("a factor in a title, in front",
     "All values 1000 x\nParameter,Value,Unit\nCa,0.05,mg/L\n", "refused 1"),
    ("a factor in a title, with a star",
     "Multiply: 10 * reading\nParameter,Value,Unit\nCa,5,mg/L\n", "refused 1"),
    ("a factor in a title, after a sign",
     "Values * 1000\nParameter,Value,Unit\nCa,0.05,mg/L\n", "refused 1"),
    ("no factor: the name of a site",
     "Block 1000 xylem, plot 10 xy\nParameter,Value,Unit\nCa,50,mg/L\n",
     "Ca 50"),
    ("as lime in a title, of what cannot be",
     "Results as CaO\nParameter,Value,Unit\nBoron,1,mg/L\n", "refused 1"),
    ("as CaCO3 in a title, of what is given in mmol",
     "Results as CaCO3\nParameter,Value,Unit\nCa,2,mmol/L\n", "Ca 80.156"),
    ("a unit twice in a title, spelled twice",
     "Results in mg/L or mg/l\nParameter,Value\nCa,50\n", "Ca 50"),
    ("two units in a title",
     "Metals in ug/L, salts in mg/L\nParameter,Value (mg/L)\nCa,50\nZinc,5\n",
     "refused 1"),
    ("a unit of EC in a title that is not the column's",
     "Conductivity in uS/cm\nParameter,Value (mS/cm)\nEC,0.5\npH,7\n",
     "EC 0.5, pH 7"),
    ("a title of limits",
     "Maximum and WHO limits in ug/L are shown elsewhere\n"
     "Parameter,Value (mg/L)\nCa,50\n", "Ca 50"),
    ("a temperature at which a sample was kept",
     "Samples kept at 20 \u00b0C\nParameter,Value,Unit\nCa,50,mg/L\npH,7,\n",
     "Ca 50, pH 7"),
    ("a temperature in a title, the same in the name",
     "Conductivity at 20 \u00b0C\nParameter,Value,Unit\n"
     "Conductivity at 20 \u00b0C,500,uS/cm\nCa,50,mg/L\n", "EC 0.558, Ca 50"),
    ("a temperature in a title, another in the name",
     "Conductivity at 20 \u00b0C\nParameter,Value,Unit\n"
     "EC (25 \u00b0C),500,uS/cm\nCa,50,mg/L\n", "EC 0.5, Ca 50"),
    ("a temperature in a title, 25 in the unit",
     "Conductivity at 20 \u00b0C\nParameter,Value,Unit\n"
     "EC,500,uS/cm @25\u00b0C\nCa,50,mg/L\n", "EC 0.5, Ca 50"),
    ("more titles than are kept",
     "".join(f"Part {i} in mg/L\n" for i in range(20)) +
     "Parameter,Value,Unit\nCa,50,mg/L\n", "Ca 50"),
    ("a title of what may be two things",
     "Nitrogen as CaCO3\nParameter,Value,Unit\nCa,50,mg/L\n", "Ca 50"),
    ("a date in a title is no temperature",
     "Printed 20.04.2019 C, lot 2-15 C\nParameter,Value,Unit\nEC,500,uS/cm\n"
     "Ca,50,mg/L\n", "EC 0.5, Ca 50"),
    ("words of a title that say nothing",
     "Given as . mg and expressed as is\nParameter,Value,Unit\nCa,50,mg/L\n",
     "Ca 50"),
    ("a unit as long as a sentence",
     "Results in milligrams-of-the-substance-named-there/litre-of-water\n"
     "Parameter,Value,Unit\nCa,50,mg/L\n", "Ca 50"),
]

VALUES = [
    ("a limit that says equal too",
     "Parameter,Value,Unit\nBoron,<=0.05,mg/L\nCa,50,mg/L\n", "B <0.05, Ca 50"),
    ("a sign of more or less in front",
     "Parameter,Value,Unit\nBoron,+0.05 mg/L,mg/L\nCa,50,mg/L\n",
     "B 0.05, Ca 50"),
    ("stars behind a number",
     "Parameter,Value,Unit\nBoron,0.05 **,mg/L\nCa,50,mg/L\n", "B 0.05, Ca 50"),
    ("a unit in capitals behind a number",
     "Parameter,Value,Unit\nBoron,0.05 M,mg/L\nCa,50,mg/L\n", "refused 2"),
    ("a number and a letter of less",
     "Parameter,Value,Unit\nBoron,0.05 U,mg/L\nCa,50,mg/L\n", "B <0.05, Ca 50"),
    ("a word of less behind a sign",
     "Parameter,Value,Unit\nBoron,< ND,mg/L\nIron,<LOQ,mg/L\nCa,50,mg/L\n",
     "B <~0.05, Fe <~0.05, Ca 50"),
    ("a word, a limit's name and a limit",
     "Parameter,Value,Unit\nBoron,ND (MDL 0.05),mg/L\nIron,ND (note 0.05),mg/L\n"
     "Zinc,<LOD (0.02),mg/L\nCa,50,mg/L\n", "refused 3"),
    ("a limit's name in front of a limit",
     "Parameter,Value,Unit\nBoron,LOD 0.05,mg/L\nCa,50,mg/L\n",
     "B <0.05, Ca 50"),
    ("powers of ten in words",
     "Parameter,Value,Unit\nCa,5x10^1,mg/L\nMg,1.2E+,mg/L\nNa,2 10,mg/L\n",
     "refused 2 3 4"),
    ("from and to",
     "Parameter,Value,Unit\nCa,68-72,mg/L\nMg,5 - 7,mg/L\nNa,10-,mg/L\n",
     "refused 2 3 4"),
    ("give or take",
     "Parameter,Value,Unit\nCa,70.0 \u00b1 3.5,mg/L\nMg,70.0\u00b13.5,mg/L\n"
     "Na,\u224830,mg/L\nK,3\u00d710,mg/L\n", "refused 2 3 4 5"),
    ("dashes",
     "Parameter,Value,Unit\nCa,50,mg/L\nMg,\u2013,mg/L\nNa,- -,mg/L\n", "Ca 50"),
    ("a number longer than any",
     "Parameter,Value,Unit\nCa," + "5" * 70 + " mg/L,mg/L\nMg,"
     + "1" * 140 + ",mg/L\n", "refused 2 3"),
    ("a number and a word",
     "Parameter,Value,Unit\nCa,50 clear,mg/L\nMg,5,mg/L\n", "refused 2"),
]

FOUND = [
    ("a hint of less beside what is below already",
     "Parameter,Value,Unit,Remark\nBoron,<0.05,mg/L,below detection\n"
     "Zinc,,mg/L,below detection\nCa,50,mg/L,\n",
     "B <0.05, Zn <~0.02, Ca 50"),
    ("a limit in a unit nobody knows",
     "Parameter,Value,Unit,RL,RL unit\nBoron,ND,mg/L,1,furlong\nCa,50,mg/L,,\n",
     "B <~0.05, Ca 50"),
    ("a limit of words",
     "Parameter,Value,Unit,RL\nBoron,ND,mg/L,about one\nCa,50,mg/L,1\n",
     "B <~0.05, Ca 50"),
    ("not detected of what has no usual limit",
     "Parameter,Value,Unit\nAlkalinity as CaCO3,ND,mg/L\nTDS,ND,mg/L\n"
     "Ca,50,mg/L\n", "alk <~0.1, TDS <~10, Ca 50"),
    ("not detected pH",
     "Parameter,Value,Unit\npH,ND,\nCa,50,mg/L\n", "refused 2"),
    ("a fraction that is neither",
     "Parameter,Fraction,Value,Unit\nIron,suspended,0.5,mg/L\n"
     "Zinc,Total,0.1,mg/L\nCa,dissolved,50,mg/L\n", "Zn 0.1, Ca 50"),
    ("below, of what may be two things",
     "Parameter,Value,Unit\nNitrogen,<5,mg/L\nCa,50,mg/L\n", "refused 2"),
    ("not detected, with a limit that has the unit",
     "Parameter,Value,RL,RL unit\nBoron,ND,50,ug/L\nCa,50 mg/L,,\n",
     "B <0.05, Ca 50"),
    ("not detected, unknown, without any unit",
     "Parameter,Value\nUnobtainium,ND\nNitrogen,ND\nZinc,ND\nCa,50 mg/L\n",
     "refused 3"),
    ("not detected, with limits and without a unit",
     "Parameter,Value,MDL,RL\nBoron,ND,0.05,\nZinc,ND,,0.02\nCa,50 mg/L,,\n",
     "refused 2 3"),
    ("words where others have a number",
     "Parameter,Value,Unit\nColour,clear,\nOdour,5 strong,\nCa,50,mg/L\n",
     "Ca 50"),
    ("the same in two columns, one of them not read",
     "Parameter,mg/L,mmol/L\nNitrogen,5,1\nCa,40.08,1\nBoron,<0.05,0.001\n"
     "pH,7,7\nZinc,0.1,x\nMg,abc,1\n", "refused 2 7"),
    ("the same in two columns that differ",
     "Parameter,mg/L,mmol/L\nCa,40.08,2\nMg,24.3,1\n", "refused 2"),
]

HEADS = [
    ("more words for one thing than are kept",
     "Parameter,Symbol,Formula,Abbreviation,Full name,Description,Value,Unit\n"
     "Calcium,Ca,Ca,Ca,Calcium,lime,50,mg/L\n", "Ca 50"),
    ("units of a mean, of an extreme and of nothing",
     "Parameter,Value,Unit,Mean,Unit,Max,Unit,?,Unit\n"
     "Ca,50,mg/L,52,mg/L,60,mg/L,1,mg/L\n", "Ca 50"),
    ("values in more units than are kept",
     "Parameter,mg/L,mmol/L,meq/L,ug/L,umol/L,g/L,ppm\n"
     "Ca,40.08,1,2,40080,1000,0.04008,40.08\n", "Ca 40.08"),
    ("origins without number",
     "Parameter,Value,Unit,Status,Matrix,Medium,Sample type,QC type,Result type,"
     "Type of sample,Media\nCa,50,mg/L,final,water,water,water,,,,water\n",
     "Ca 50"),
    ("columns of words without number",
     "Parameter,Value,Unit," + ",".join(f"Word {chr(65 + i)}"
                                        for i in range(20)) + "\n"
     "Ca,50,mg/L" + ",text" * 20 + "\n", "Ca 50"),
    ("ignored columns with long names",
     "Parameter,Value,Unit," + ",".join("Interpretation " + chr(65 + i) * 60
                                        for i in range(10)) + "\n"
     "Ca,50,mg/L" + ",good" * 10 + "\n", "Ca 50"),
    ("more panels than are kept",
     ",".join(["Parameter,Value,Unit"] * 6) + "\n" +
     ",".join(f"{n},{5 + i},mg/L" for i, n in enumerate(
         ("Ca", "Mg", "Na", "K", "Cl", "S"))) + "\n",
     "refused 2"),
    ("feed and drain are no readings",
     "Parameter,Value,Unit,Drain,Feed\nCa,50,mg/L,60,40\n", "Ca 50"),
    ("marks without number",
     "Parameter,Value,Unit,Flag,Qual,Q,Flags,Lab flag,Data flag,Sign\n"
     "Boron,0.05,mg/L,,,,,,,<\nCa,50,mg/L,,,,,,,\n", "B 0.05, Ca 50"),
    ("a better head for the time after a worse",
     "Sample,Time,Sampling time,Date,Sample date,Parameter,Value,Unit\n"
     "A,8:00,9:00,2021-03-02,2021-03-03,Ca,50,mg/L\n", "Ca 50"),
    ("a table of names alone",
     "Parameter,Unit\nCa,mg/L\nMg,mg/L\n", "refused 1"),
]

RESOLVED = [
    ("a basis that says nothing",
     "Parameter,Basis,Value,Unit\nCa,as such,50,mg/L\nMg,(1),5,mg/L\n"
     "Na,element,6,mg/L\nNitrate,N,7,mg/L\nHardness,CaCO3,100,mg/L CaCO3\n",
     "refused 2"),
    ("an open name and one that is not",
     "Parameter,Symbol,Value,Unit\nNitrate,NO3-N,5,mg/L\nCa,Ca,50,mg/L\n",
     "NO3-N 5, Ca 50"),
    ("a name that is none, and its symbol",
     "Parameter,Symbol,Value,Unit\nLime (quick),Ca,50,mg/L\nSalt,Na,5,mg/L\n"
     "Ca (strange),nothing,50,mg/L\n", "refused 4"),
    ("conductivity in two names",
     "Parameter,Symbol,Value,Unit\nConductivity,EC 20,500,uS/cm\n"
     "Ca,Ca,50,mg/L\n", "EC 0.558, Ca 50"),
    ("a definition that cannot be in the unit",
     "Parameter,Symbol,Value,Unit\nReaction,pH,7,mg/L\nCa,Ca,50,mg/L\n",
     "Ca 50"),
    ("units of name and row",
     "Parameter,Value,Unit\nCa (mg/L),50,mg L-1\nMg (mg/L),5,ug/L\n",
     "refused 3"),
    ("the unit of a section and of a head",
     "Parameter,Value (mg/L),Unit\nCations (mmol/L),,\nCa,1,\npH,7,\n",
     "refused 3"),
    ("a name longer than any",
     "Parameter,Value,Unit\n" + "Ca " * 60 + ",50,mg/L\nMg,5,mg/L\n" +
     "Water of the well " * 30 + ",x,mg/L\n", "Mg 5"),
    ("a temperature of its own column for 25",
     "Parameter,Value,Unit,Temperature basis\nEC,500,uS/cm,25\n"
     "Ca,50,mg/L,\n", "EC 0.5, Ca 50"),
    ("a temperature of its own column against the name",
     "Parameter,Value,Unit,Temperature basis\nEC (25 \u00b0C),500,uS/cm,18\n"
     "Ca,50,mg/L,\n", "refused 2"),
    ("a temperature of its own column of 20",
     "Parameter,Value,Unit,Temperature basis\nEC,500,uS/cm,20\nCa,50,mg/L,\n",
     "EC 0.558, Ca 50"),
]

BESIDE = [
    ("a number of the Chemical Abstracts Service",
     "Parameter,Value,Unit\nCalcium (7440-70-2),50,mg/L\n"
     "Zinc (1-66-6),0.1,mg/L\nBoron (7440-428),0.1,mg/L\n"
     "Iron (7439-89-66),0.1,mg/L\nMagnesium (74399-95-4),5,mg/L\n",
     "refused 3 4 5"),
    ("standards and their letters",
     "Parameter,Value,Unit\nCalcium (EPA 200.7 A),50,mg/L\n"
     "Magnesium (SM 3111 B),5,mg/L\nSodium (ISO x y),6,mg/L\n", "Ca 50, Mg 5, Na 6"),
    ("a laboratory or the field beside a name",
     "Parameter,Value,Unit\npH (lab),7,\nCa (laboratory),50,mg/L\n",
     "pH 7, Ca 50"),
    ("a temperature beside what does not depend on it",
     "Parameter,Value,Unit\nTDS (180 degC),300,mg/L\nCa (20 oC),50,mg/L\n"
     "Mg (@20 C),5,mg/L\n", "TDS 300, Ca 50, Mg 5"),
    ("two bases beside a name",
     "Parameter,Value,Unit\nNitrate (as N) (NO3),5,mg/L\nCa,50,mg/L\n",
     "refused 2"),
    ("a limit beside a name",
     "Parameter,Value,Unit\nCalcium (target),200,mg/L\nCalcium,50,mg/L\n",
     "Ca 50"),
    ("valences",
     "Parameter,Value,Unit\nFe2+,0.5,mg/L\nFerric iron,0.2,mg/L\nCa,50,mg/L\n",
     "refused 3"),
    ("valences in letters",
     "Parameter,Value,Unit\nIron (II),0.5,mg/L\nIron II,0.2,mg/L\nCa,50,mg/L\n",
     "refused 2 3"),
    ("words in the middle of a name",
     "Parameter,Value,Unit\nCalcium , dissolved,50,mg/L\n"
     "Magnesium hardness; mg/L,5,\nSodium  ion,6,mg/L\n",
     "refused 2 3"),
]

TOGETHER = [
    ("what may be two things beside one of them",
     "Parameter,Value,Unit\nPhosphate-P,2,mg/L\nPhosphate,6,mg/L\nCa,50,mg/L\n",
     "P 2, Ca 50"),
    ("nitrogen beside nitrate",
     "Parameter,Value,Unit\nNitrogen,7,mg/L\nNO3-N,5,mg/L\nCa,50,mg/L\n",
     "NO3-N 5, Ca 50"),
    ("dissolved beside unsaid, of what is no trace",
     "Parameter,Value,Unit\n\"Phosphorus, dissolved\",2,mg/L\nPhosphorus,3,mg/L\n"
     "Ca,50,mg/L\n", "P 2, P 3, Ca 50"),
    ("nitrate below and the sum above",
     "Parameter,Value,Unit\nNO3-N,<5,mg/L\nNO3+NO2 as N,1,mg/L\nCa,50,mg/L\n",
     "NO3-N <5, Ca 50"),
    ("samples of one name on two hours",
     "Station,Date,Time,Parameter,Value,Unit\nN,2021-03-02,8:00,Ca,50,mg/L\n"
     "N,2021-03-02,9:00,Ca,52,mg/L\nN,2021-03-02,,Ca,54,mg/L\n",
     "Ca 50\nCa 52\nCa 54"),
    ("samples of one name by the hour in their day",
     "Station,Date,Parameter,Value,Unit\nN,2021-03-02T08:00,Ca,50,mg/L\n"
     "N,2021-03-02T09:00,Ca,52,mg/L\nN,2021-03-02,Ca,54,mg/L\n",
     "Ca 50\nCa 52\nCa 54"),
    ("a short date",
     "Station,Date,Parameter,Value,Unit\nN,2 May,Ca,50,mg/L\n,3 May,Ca,52,mg/L\n",
     "Ca 50\nCa 52"),
]

LONG = [
    ("three columns of values and a row's unit among them",
     "Parameter,mg/L,meq/L,Unit\nCa,50,,mg/L\nMg,,1,meq/L\nNa,6,,ug/L\n",
     "refused 4"),
    ("above the range, without a number",
     "Parameter,Value,Unit,Detection condition\n"
     "Iron,,mg/L,Present Above Quantification Limit\nCa,50,mg/L,\n",
     "refused 2"),
    ("a heading that tells a species",
     "Parameter,Value,Unit\nCa as CaCO3,,\nCa,50,mg/L\nin water,,\nMg,5,mg/L\n",
     "refused 4"),
    ("a heading with a temperature",
     "Parameter,Value,Unit\nAt 20 \u00b0C,,\nEC,500,uS/cm\nCa,50,mg/L\n",
     "EC 0.558, Ca 50"),
    ("a heading with a factor",
     "Parameter,Value,Unit\nMetals (x 1000),,\nZinc,0.1,mg/L\nCa,50,mg/L\n",
     "refused 2"),
    ("a sentence as a heading",
     "Parameter,Value,Unit\nCa,50,mg/L\n" + "What follows was found by another "
     "laboratory of the same house in the week after,,\nMg,5,mg/L\n",
     "Ca 50, Mg 5"),
    ("units in two columns, one of them empty",
     "Parameter,Value,Unit,Unit\nCa,50,mg/L,\nMg,5,,mg/L\nNa,6,mg/L,ug/L\n",
     "refused 3 4"),
    ("a value without a name, and a remark below the values",
     "Parameter,Value,Unit\nCa,50,mg/L\n,7,\n,approx.,\n,5,mg/L\n",
     "refused 5"),
    ("titles of samples",
     "Sample,North well\nSample,South well\nSample,\nWell,A,B\n"
     "Parameter,Value,Unit\nCa,50,mg/L\n", "Ca 50"),
    ("a header without values below another",
     "Parameter,Value,Unit\nCa,50,mg/L\nParameter,Value,mg/L\nMg,5,\n",
     "refused 4"),
    ("a date alone, a station alone",
     "Station,Date,Parameter,Value,Unit\nN,,Ca,50,mg/L\n,2021-03-02,Mg,5,mg/L\n",
     "Ca 50\nMg 5"),
]

WIDE = [
    ("a row of units in which one is the head's",
     "Sample,Ca [mg/L],Mg [mg/L],Na\n,mg/L,ug/L,mg/L\nA,50,5,6\n",
     "refused 2"),
    ("a title row between samples",
     "Sample,Ca mg/L,Mg mg/L\nA,50,5\nNorth part,,\nB,60,6\n",
     "Ca 50, Mg 5\nCa 60, Mg 6"),
    ("a further header between samples",
     "Sample,Ca mg/L,Mg mg/L\nA,50,5\nSample,Na mg/L,Cl mg/L\nB,60,6\n",
     "Ca 50, Mg 5\nNa 60, Cl 6"),
    ("limits in the middle of samples",
     "Sample,Ca mg/L,B mg/L\nA,50,ND\nDetection limit,1,0.05\nB,60,ND\n",
     "Ca 50, B <0.05\nCa 60, B <0.05"),
    ("marks for every second row",
     "Sample,Ca mg/L,B mg/L\nA,50,0.05\n,,U\nB,60,0.06\n,,U\n",
     "Ca 50, B <0.05\nCa 60, B <0.06"),
    ("a name with a factor is none",
     "Sample,Ca mg/L (x 10),Mg mg/L\nA,5,5\n", "Mg 5"),
    ("a row of words over the columns",
     "Sample,Ca mg/L,Mg mg/L\nFraction,dissolved,total\nMethod,ICP,ICP\nA,50,5\n",
     "Ca 50, Mg 5"),
    ("a row of bases",
     "Sample,Ca mg/L,NO3 mg/L\nBasis,Ca,N\nA,50,5\n", "Ca 50, NO3-N 5"),
    ("blanks and limits among samples",
     "Sample,Ca mg/L\nField blank,0.1\nWHO limit,200\nA,50\n", "Ca 50"),
    ("a station with its date, turned",
     "Station,North,South\nDate,2021-03-02,2021-03-03\nCa mg/L,50,60\nMg mg/L,5,6\n",
     "Ca 50, Mg 5\nCa 60, Mg 6"),
    ("remarks beside samples",
     "Sample,Ca mg/L,Remark,Matrix\nA,50,x 10,water\nB,60,fine,sediment\n",
     "refused 2"),
    ("empty rows below a header",
     "Sample,Ca mg/L,Mg mg/L\n,,\n;;;\nA,50,5\n", "Ca 50, Mg 5"),
    ("a factor in a row of remarks",
     "Sample,Ca,Mg\nunit,mg/L,mg/L\nRemark,x 10,\nA,250,12\n", "refused 3"),
]

CASES = (SAID + VALUES + FOUND + HEADS + RESOLVED + BESIDE + TOGETHER + LONG
         + WIDE)
