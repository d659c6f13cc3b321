/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How far a test lets a number be off, and why.  One block a module, in the
 * order of the alphabet; a relative tolerance unless its name ends in a unit.
 */
#ifndef SW_TESTS_TOLERANCES_H
#define SW_TESTS_TOLERANCES_H

/* assess: how often a re-reading must be found; the stated aim. */
#define RATE_TRUTH_FIRST 0.90
/* assess: sound reports accused; the odds of 7 to 1 allow far more. */
#define RATE_ACCUSED 0.01
/* assess: mistyped figures that a misreading is told for; 2 % were found. */
#define RATE_SLIP_ACCUSED 0.03
/* assess: published equivalent weights are rounded to four figures. */
#define TOL_ROUNDED_WEIGHT 5e-4
/* assess: quoted ppm of a classic recipe, rounded to two or three figures. */
#define TOL_QUOTED_PPM 5e-3
/* assess: mS/cm; the share is bracketed to 1e-6 of some mS/cm. */
#define TOL_SHARE_OF_EC 1e-5
/* assess: published ppm of a design in whole meq/L, three or four figures. */
#define TOL_PUBLISHED_PPM 2e-3

/* assess: a titration by another formula of activities. */
#define TOL_TITRATION 0.005

/* assess: a dose is told to three figures, worth up to this in pH. */
#define TOL_ROUNDED_DOSE 0.03

/* assess: a pH is told to one decimal. */
#define TOL_SHOWN_PH 0.06

/* chemistry: mean absolute errors of conductivity required of the method. */
#define TOL_EC_SALTS 0.006
#define TOL_EC_STUYFZAND 0.042
#define TOL_EC_KWALE 0.080
/* chemistry: the 0.01 M potassium chloride standard, required. */
#define TOL_EC_STANDARD 0.003
/* chemistry: potassium chloride away from 25 degC; its rise alone. */
#define TOL_EC_COLD 0.012
#define TOL_EC_COLD_RATIO 0.006
/* chemistry: what an interval said to hold 9 in 10 may hold of a set of 20 to
 * 70 measurements. */
#define RATE_EC_INSIDE_LOW 0.85
#define RATE_EC_INSIDE_HIGH 0.95
/* chemistry: another code with the same constants; its Debye-Hueckel A, its
 * litres and a few constants differ a little. */
#define TOL_MODEL_PH 0.02
#define TOL_MODEL_EC 0.03
#define TOL_MODEL_IONIC 0.005
#define TOL_MODEL_INDEX 0.05
#define TOL_MODEL_ACID 0.01
#define TOL_MODEL_ACID_MMOL_PER_KG 0.005
/* chemistry: log K written with two to three digits beside its expression. */
#define TOL_EXPRESSION_LOG_K 0.03
/* chemistry: masses are kept to five figures. */
#define TOL_ATOMIC_WEIGHT 0.006
/* chemistry: relative imbalance of mass and charge promised. */
#define TOL_BALANCE 1e-10
/* chemistry: pH, EC and indices by two solves that each balance to 1e-12, which
 * nothing but a bare buffer makes worse. */
#define TOL_KERNEL 1e-9
/* chemistry: pH found again from the alkalinity it had. */
#define TOL_SAME_PH 1e-6
/* chemistry: pH of pure substances, two to three digits. */
#define TOL_KNOWN_PH 0.05
/* chemistry: a buffer standard by pK and activity coefficients of its own. */
#define TOL_BUFFER_PH 0.03
/* chemistry: one displaced volume for all solutes. */
#define TOL_WATER_KG_PER_L 0.003
/* chemistry: ln of saturation at an onset found to 1e-4 of the pH. */
#define TOL_ONSET 0.005
/* chemistry: index of a solution saturated by a handbook, 5 % of it. */
#define TOL_GYPSUM 0.03
/* chemistry: an osmotic coefficient of a mixture, between those of its salts
 * (Robinson & Stokes 1959: 0.86 to 0.96 at this strength). */
#define TOL_OSMOTIC 0.03
/* chemistry: acid tables print two or three figures. */
#define TOL_ACID_TABLE 0.02
#define TOL_ACID_FACTOR 0.03
/* chemistry: "about 80 % gives about pH 5.8"; hardness and pH of a water move
 * it by this. */
#define TOL_ACID_RULE_PH 0.15
/* assess: at pH 5.8 it is 75 to 80 %, by the water's CO2 and ionic strength. */
#define TOL_ACID_RULE_SHARE 0.07

/* decide: 8,192 Sobol points against the exact spread of linear cases; the
 * 5 and 95 % points are read off about 400 points each. */
#define TOL_SAMPLED 1e-2
/* decide: the share of a solver's corner, and 0.03 mg/L of sodium that the
 * molybdate brings, of 135. */
#define TOL_KEPT 5e-4
/* decide: oxide factors of four figures. */
#define TOL_RATIO 1e-3
/* decide: molar masses to five figures; grades of reagents to 1 %. */
#define TOL_FORM 0.03
/* decide: a fill fitted to EC within the errors of meter and model. */
#define TOL_FILL 0.1
/* decide: a sum of some 50 shares. */
#define TOL_BELIEF 1e-12
/* decide: mistakes believed less than 1e-3 do not count in the bits, and
 * outcomes ten standard deviations apart do not overlap. */
#define TOL_BITS 0.03

/* decide: a root found to 1e-9 of its factor; meters show 0.01 mS/cm. */
#define TOL_TO_EC 1e-4
/* decide: a pH row settles to 1e-6 meq/L where carbonate buffers little. */
#define TOL_RANGE_PH 1e-4
/* decide: a table of a digit or two balances to its last one. */
#define TOL_PURIFIED_MEQ 0.005

/* formulate: amounts, deviations and prices of problems near 1 solved by hand;
 * orthogonal factors leave a few roundings.  Absolute. */
#define TOL_HAND_SOLVED 1e-12
/* formulate: amounts by another active set beside an objective of 1e5, which
 * leaves ten digits to the rest; gaps of sums near 1.  Relative. */
#define TOL_ABSURD 1e-8
/* formulate: an amount by the path of before, whose rows of the pH settle to
 * 1e-10 meq/L; relative, of a milligram at least. */
#define TOL_OLD_RECIPE 1e-6
#define LEAST_G_PER_L 1e-3
#define TOL_SAME_GAP 1e-12
/* formulate: a price against the slope over SLOPE_STEP of its bound, which
 * curvature of order 1 bends by the step.  Absolute. */
#define SLOPE_STEP 1e-6
#define TOL_SLOPE 1e-5
/* formulate: the pH of the full speciation where a pH limit binds; the rows
 * settle to 1e-6 meq/L in solutions that take 0.1 meq/L or more per pH. */
#define TOL_SETTLED_PH 1e-5
/* formulate: a price against the slope over PH_STEP; activities the price
 * holds still move along with the pH.  Relative. */
#define PH_STEP 1e-3
#define TOL_PH_SLOPE 0.05
/* formulate: share of the target; a guard lets what is out of its band go
 * farther by a thousandth of what there is, at most five targets of it. */
#define TOL_GUARDED_SHARE 5e-3
/* formulate: share of the target; at the end of its band but for rounding. */
#define TOL_AT_BAND 1e-6
/* formulate: the same least squares by way of other limits.  Absolute. */
#define TOL_SAME_OBJECTIVE 1e-9
/* formulate: gap of a proof beside 1 + objective. */
#define TOL_PROOF_GAP 1e-10
/* formulate: scaled violation of the KKT conditions that counts as none. */
#define TOL_KKT 1e-9

/* published: contents of a crop's set worked out to two to four figures. */
#define TOL_PRINTED_CONTENT 0.008
/* published: sums of printed me/L, whose P is printed to one decimal. */
#define TOL_PRINTED_CHARGES 1e-3
/* published: an EC that a table of targets states is nominal. */
#define TOL_NOMINAL_EC 0.12
/* published: extension leaflets round the acids' densities to two figures. */
#define TOL_EXTENSION_ACIDS 0.02
/* published: factors from older weights (N 14.0067, P 30.9738), or cut and
 * not rounded, are off by a unit of their fourth figure. */
#define TOL_OLDER_WEIGHTS 2e-4
/* published: products of the same factors taken in another order. */
#define TOL_TRADE_ARITHMETIC 1e-9

/* quantity: sums of a few products, compared with whole numbers.  Absolute. */
#define TOL_EQ_PER_MOL 1e-9
/* quantity: labels in the tests give percent to three decimals; half of the
 * last is 0.005 mg/g, and as much again where two ions are summed. */
#define TOL_LABEL_DIGITS_MG_PER_G 0.011
/* records: charges of a label; NO3-N to 0.1 % is 0.036 meq/g either way. */
#define TOL_LABEL_MEQ_PER_G 0.036
/* quantity: molar masses added in another order. */
#define TOL_MOLAR_MASS_G_PER_MOL 1e-9
/* quantity: exact unit definitions, a few roundings. */
#define TOL_UNIT 1e-12
/* records: expected values are written with four digits or more. */
#define TOL_LAB_DIGITS 2e-4
/* stock: one sum of squares, from scaled and from plain numbers. */
#define TOL_STOCK_OBJECTIVE 1e-6
/* stock: weights to finished solution and back; a few roundings. */
#define TOL_STOCK_MASS 1e-9
/* stock: objective of an integer program against trying everything. */
#define TOL_STOCK_MIP 1e-6
/* stock: the same equations and parameters; four figures. */
#define TOL_STOCK_SAME_MODEL 0.002
/* stock: parameters of 2011 against activity coefficients of 1959; MgSO4,
 * where the early ones rest on few points, is off by 10 %. */
#define TOL_STOCK_GAMMA 0.10
/* stock: Pitzer's closed form of his integral J. */
#define TOL_STOCK_J 0.015
/* stock: central differences of a step of 1e-5. */
#define TOL_STOCK_GIBBS_DUHEM 1e-6
/* stock: permittivity of 1956 against that of 1990. */
#define TOL_STOCK_A_PHI 0.004
/* stock: NIST's buffers rest on another convention for single ions, 0.02 apart
 * up to 0.1 mol/kg, and carbonate's constant on another fit, 0.02 more; citrate
 * has SIT's term alone; the textbook's pK for ammonium is for infinite
 * dilution, 0.1 below that at 0.1 mol/kg. */
#define TOL_BUFFER 0.05
#define TOL_BUFFER_CITRATE 0.06
#define TOL_BUFFER_AMMONIA 0.15
/* stock: partial molal volumes with the limiting slope, to 5 mol/L; too much
 * water found, too little found (which is safe). */
#define TOL_STOCK_WATER 0.01
#define TOL_STOCK_WATER_SAFE 0.05
/* stock: Pitzer 1984 against gypsum measured 1901-1906; worst and median. */
#define TOL_STOCK_GYPSUM 0.13
#define TOL_STOCK_GYPSUM_MEDIAN 0.06
/* stock: each of its systems; worst and median in NaCl and K2SO4, median in
 * MgSO4, whose pair with itself is the worst known. */
#define TOL_STOCK_GYPSUM_BESIDE 0.07
#define TOL_STOCK_GYPSUM_BESIDE_MEDIAN 0.04
#define TOL_STOCK_GYPSUM_MGSO4_MEDIAN 0.08
/* stock: a salt alone, by halving to the figures its K is made of; the root of
 * the pH leaves 1e-5 in so thin a solution as gypsum's. */
#define TOL_STOCK_ALONE 2e-5
/* stock: log K of the same parameters with A_phi of another source. */
#define TOL_STOCK_LOG_K 0.005
/* stock: log K of gypsum from solubility, and fitted with ion pairs. */
#define TOL_STOCK_LOG_K_GYPSUM 0.05
/* stock: a row of the solubility table left out, from its neighbours. */
#define TOL_STOCK_LEFT_OUT 0.03
/* stock: a constant enthalpy against terms in the temperature, 5 to 40 degC. */
#define TOL_CALCITE_LOG_K 0.045
/* stock: pH; its row holds the activities of the recipe before whole steps. */
#define TOL_STEPS_PH 2e-3
/* decide: a price has the activities of the recipe; solved anew they follow.
 * Relative. */
#define TOL_PRICE 0.05
/* decide: the end of a range is halved down to 1e-7 of the bound. */
#define TOL_RANGE 1e-6
/* decide: the cheap end is asked for a billionth above its cost. */
#define TOL_FRONT_END 1e-8
/* decide: g/L; less than this of a product is rounding, not use. */
#define TOL_NO_AMOUNT 1e-9

#endif
