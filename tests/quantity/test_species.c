/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every parameter in every spelling of a unit that says what it is of.  What
 * is expected is worked out here, from formula masses written out below
 * (standard atomic weights, IUPAC 2021, abridged; Prohaska et al. 2022), not
 * from the library's tables.
 */
#include "suite.h"

#include "quantity/units.h"
#include "readings.h"
#include "tolerances.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Formula masses are written with three decimals. */
#define TOL_MASS 1e-4

/* A parameter given as a species: mg/L (meq/L of alkalinity and hardness) per
 * mmol/L of the species, of g/mol; per meq/L, 0 where it has no charge. */
static const struct given {
    const char *name, *species;
    double per_mmol, g_per_mol, per_meq;
} givens[] = {
    {"NO3", "NO3", 14.007, 62.004, 14.007},
    {"NO3", "N", 14.007, 14.007, 14.007},
    {"NO3", "NO3-N", 14.007, 14.007, 14.007},
    {"NO3-N", "N", 14.007, 14.007, 14.007},
    {"NO3-N", "NO3-N", 14.007, 14.007, 14.007},
    {"Nitrate as N", "N-NO3", 14.007, 14.007, 14.007},
    {"nitrate", "NO3", 14.007, 62.004, 14.007},
    {"nitrate", "N", 14.007, 14.007, 14.007},
    {"Nitrates", "NO3-N", 14.007, 14.007, 14.007},
    {"Nitrate", "NO3-", 14.007, 62.004, 14.007},
    {"N", "NO3-N", 14.007, 14.007, 14.007},
    {"NH4", "NH4", 14.007, 18.039, 14.007},
    {"NH4", "N", 14.007, 14.007, 14.007},
    {"NH4-N", "N", 14.007, 14.007, 14.007},
    {"NH4", "NH4-N", 14.007, 14.007, 14.007},
    {"ammonium", "NH4", 14.007, 18.039, 14.007},
    {"ammonia", "N", 14.007, 14.007, 14.007},
    {"ammonia", "NH3", 14.007, 17.031, 0},
    {"Ammonium", "NH4+", 14.007, 18.039, 14.007},
    {"total nitrogen", "NH4-N", 14.007, 14.007, 14.007},
    {"urea", "N", 14.007, 14.007, 0},
    {"urea-N", "N", 14.007, 14.007, 0},
    {"SO4", "SO4", 32.06, 96.056, 16.03},
    {"SO4", "S", 32.06, 32.06, 16.03},
    {"SO4", "SO4-S", 32.06, 32.06, 16.03},
    {"sulfate", "S", 32.06, 32.06, 16.03},
    {"Sulphates", "SO4", 32.06, 96.056, 16.03},
    {"sulfate", "SO4 2-", 32.06, 96.056, 16.03},
    {"SO4-S", "S", 32.06, 32.06, 16.03},
    {"S", "S", 32.06, 32.06, 16.03},
    {"S", "SO4-S", 32.06, 32.06, 16.03},
    {"S", "SO3", 32.06, 80.057, 16.03},
    {"P", "P", 30.974, 30.974, 0},
    {"P", "P2O5", 61.948, 141.943, 0},
    {"PO4", "P", 30.974, 30.974, 0},
    {"PO4", "PO4", 30.974, 94.970, 0},
    {"PO4", "PO4-P", 30.974, 30.974, 0},
    {"PO4", "P2O5", 61.948, 141.943, 0},
    {"phosphate", "P", 30.974, 30.974, 0},
    {"phosphate", "PO4", 30.974, 94.970, 0},
    {"phosphate", "P2O5", 61.948, 141.943, 0},
    {"orthophosphate", "H2PO4", 30.974, 96.986, 30.974},
    {"phosphate", "HPO4", 30.974, 95.978, 15.487},
    {"K", "K", 39.098, 39.098, 39.098},
    {"K", "K2O", 78.196, 94.195, 39.098},
    {"potassium", "K", 39.098, 39.098, 39.098},
    {"Ca", "Ca", 40.078, 40.078, 20.039},
    {"Ca", "Ca2+", 40.078, 40.078, 20.039},
    {"Ca", "CaO", 40.078, 56.077, 20.039},
    {"Ca", "CaCO3", 40.078, 100.086, 20.039},
    {"Mg", "Mg", 24.305, 24.305, 12.1525},
    {"Mg", "MgO", 24.305, 40.304, 12.1525},
    {"Mg", "CaCO3", 24.305, 100.086, 12.1525},
    {"Mg hardness", "CaCO3", 24.305, 100.086, 12.1525},
    {"Mg hardness", "Mg", 24.305, 24.305, 12.1525},
    {"Na", "Na", 22.990, 22.990, 22.990},
    {"sodium", "Na+", 22.990, 22.990, 22.990},
    {"Na", "NaCl", 22.990, 58.440, 22.990},
    {"Cl", "Cl", 35.45, 35.45, 35.45},
    {"chloride", "Cl-", 35.45, 35.45, 35.45},
    {"chloride", "NaCl", 35.45, 58.440, 35.45},
    {"F", "F", 18.998, 18.998, 18.998},
    {"Fe", "Fe", 55.845, 55.845, 0},
    {"Fe", "Fe2O3", 111.69, 159.687, 0},
    {"Mn", "Mn", 54.938, 54.938, 27.469},
    {"Mn", "MnO", 54.938, 70.937, 27.469},
    {"Zn", "Zn", 65.38, 65.38, 32.69},
    {"Cu", "Cu", 63.546, 63.546, 31.773},
    {"B", "B", 10.81, 10.81, 0},
    {"B", "B2O3", 21.62, 69.617, 0},
    {"B", "H3BO3", 10.81, 61.831, 0},
    {"borate", "B", 10.81, 10.81, 0},
    {"boric acid", "B", 10.81, 10.81, 0},
    {"Mo", "Mo", 95.95, 95.95, 0},
    {"Mo", "MoO4", 95.95, 159.946, 47.975},
    {"Si", "Si", 28.085, 28.085, 0},
    {"Si", "SiO2", 28.085, 60.083, 0},
    {"SiO2", "Si", 28.085, 28.085, 0},
    {"silica", "SiO2", 28.085, 60.083, 0},
    {"silicate", "SiO2", 28.085, 60.083, 0},
    {"alkalinity", "CaCO3", 2, 100.086, 1},
    {"alkalinity", "HCO3", 1, 61.016, 1},
    {"alkalinity", "CaO", 2, 56.077, 1},
    {"total alkalinity", "CO3", 2, 60.008, 1},
    {"alkalinity as CaCO3", "CaCO3", 2, 100.086, 1},
    {"HCO3", "HCO3", 1, 61.016, 1},
    {"HCO3", "CaCO3", 2, 100.086, 1},
    {"bicarbonates", "HCO3-", 1, 61.016, 1},
    {"bicarbonate alkalinity", "CaCO3", 2, 100.086, 1},
    {"bicarbonate alkalinity", "HCO3", 1, 61.016, 1},
    {"CO3", "CO3", 2, 60.008, 1},
    {"CO3", "CaCO3", 2, 100.086, 1},
    {"OH", "CaCO3", 2, 100.086, 1},
    {"hardness", "CaCO3", 2, 100.086, 1},
    {"hardness", "CaO", 2, 56.077, 1},
    {"total hardness", "Ca", 2, 40.078, 1},
    {"Ca hardness", "CaCO3", 2, 100.086, 1},
    {"Ca hardness", "Ca", 2, 40.078, 1},
    {"NO2", "N", 14.007, 14.007, 14.007},
    {"nitrite", "NO2", 14.007, 46.005, 14.007},
    {"NO2-N", "N", 14.007, 14.007, 14.007},
    {"free chlorine", "Cl2", 70.90, 70.90, 0},
    {"chlorine", "Cl2", 70.90, 70.90, 0},
    {"chloramine", "Cl2", 70.90, 70.90, 0},
    {"monochloramine", "NH2Cl", 70.90, 51.473, 0},
    {"As", "As", 74.922, 74.922, 0},
    {"Lead", "Pb", 207.2, 207.2, 103.6},
    {"Cd", "Cd", 112.41, 112.41, 56.205},
    {"Al", "Al", 26.982, 26.982, 0},
};

/* Spellings of 1 mg/L, 1 mmol/L and 1 meq/L with # for the species. */
static const struct spelling {
    const char *text;
    double size;
} by_mass[] =
    {
        {"mg/L as #", 1},
        {"mg/L #", 1},
        {"mg/l (#)", 1},
        {"mg/L (as #)", 1},
        {"mg #/L", 1},
        {"mg # / L", 1},
        {"mg-#/L", 1},
        {"mg#/L", 1},
        {"mg.#/l", 1},
        {"mg_#/L", 1},
        {"mg (#)/L", 1},
        {"mg(#)/L", 1},
        {"mg[#]/L", 1},
        {"mg{#}/L", 1},
        {"mg # L-1", 1},
        {"mg #·L⁻¹", 1},
        {"mg # L^-1", 1},
        {"mg L-1 #", 1},
        {"mg L-1 as #", 1},
        {"mg/L-#", 1},
        {"mg/L, as #", 1},
        {"mg/L expressed as #", 1},
        {"mg/l en #", 1},
        {"mg/l als #", 1},
        {"mg/L como #", 1},
        {"mg # per L", 1},
        {"mg per litre as #", 1},
        {"mg per litre #", 1},
        {"mg/liter (#)", 1},
        {"mg/dm3 #", 1},
        {"mg # dm-3", 1},
        {"mg#/dm³", 1},
        {"g #/m3", 1},
        {"g # m-3", 1},
        {"g/m³ as #", 1},
        {"mg #/kg", 1},
        {"mg/kg as #", 1},
        {"ppm #", 1},
        {"ppm as #", 1},
        {"ppm (#)", 1},
        {"ppm#", 1},
        {"ppm-#", 1},
        {"#, mg/L", 1},
        {"# mg/L", 1},
        {"# (mg/L)", 1},
        {"MG/L AS #", 1},
        {"ug #/L", 1e-3},
        {"µg/L as #", 1e-3},
        {"ug#/L", 1e-3},
        {"ppb #", 1e-3},
        {"g #/L", 1e3},
        {"g/L as #", 1e3},
        {"mg #/100 mL", 10},
        {"mg/100 mL #", 10},
        {"mg/100 mL as #", 10},
        {"mg/L  as  #", 1},
        {"mg/l as #.", 1},
        {"mg/L:#", 1},
},
  by_mole[] =
      {
          {"mmol #/L", 1},    {"mmol/L #", 1},    {"mmol/L as #", 1},
          {"mmol#/L", 1},     {"mmol-#/L", 1},    {"mmol # L-1", 1},
          {"mmol/l (#)", 1},  {"mM #", 1},        {"mol #/m3", 1},
          {"umol #/L", 1e-3}, {"µmol/L #", 1e-3}, {"mmol #/kg", 1},
},
  by_charge[] = {
      {"meq #/L", 1},     {"meq/L #", 1},  {"meq/L as #", 1}, {"meq#/L", 1},
      {"mmol(c) #/L", 1}, {"me/L (#)", 1}, {"meq # L-1", 1},
};

enum {
    GIVENS = sizeof givens / sizeof *givens,
    MASSES = sizeof by_mass / sizeof *by_mass,
    MOLES = sizeof by_mole / sizeof *by_mole,
    CHARGES = sizeof by_charge / sizeof *by_charge
};

static void spell(const char *pattern, const char *species, char unit[80])
{
    const char *at = strchr(pattern, '#');
    (void)snprintf(unit, 80, "%.*s%s%s", (int)(at - pattern), pattern, species,
                   at + 1);
}

static sw_status convert(const char *name, const char *unit, double *out)
{
    sw_parameter p;
    *out = NAN;
    sw_status status = sw_parameter_find_in(name, unit, &p, NULL);
    return status ? status : sw_reading_convert(&p, 3, unit, out, NULL);
}

static void is_read(const struct given *g, const struct spelling *s,
                    double per_one)
{
    char unit[80];
    double out;
    spell(s->text, g->species, unit);
    double expected = 3 * s->size * per_one;
    ck_assert_msg(convert(g->name, unit, &out) == SW_OK, "%s in '%s' refused",
                  g->name, unit);
    ck_assert_msg(fabs(out - expected) <= TOL_MASS * expected,
                  "%s 3 '%s' is %g, expected %g", g->name, unit, out, expected);
}

START_TEST(a_mass_is_of_the_species_the_unit_names)
{
    for (int i = 0; i < GIVENS; i++)
        for (int k = 0; k < MASSES; k++)
            is_read(&givens[i], &by_mass[k],
                    givens[i].per_mmol / givens[i].g_per_mol);
}
END_TEST

START_TEST(a_mole_is_of_the_species_the_unit_names)
{
    for (int i = 0; i < GIVENS; i++)
        for (int k = 0; k < MOLES; k++)
            is_read(&givens[i], &by_mole[k], givens[i].per_mmol);
}
END_TEST

START_TEST(an_equivalent_is_one_whatever_it_is_called_after)
{
    for (int i = 0; i < GIVENS; i++)
        for (int k = 0; k < CHARGES && givens[i].per_meq > 0; k++)
            is_read(&givens[i], &by_charge[k], givens[i].per_meq);
}
END_TEST

static const char *const species[] = {
    "N",    "NO3", "NO3-N", "NH4",  "NH4-N", "NH3",   "NO2",   "P",
    "PO4",  "S",   "SO4",   "P2O5", "K",     "K2O",   "Ca",    "CaO",
    "Mg",   "MgO", "Na",    "Cl",   "Cl2",   "HCO3",  "CO3",   "CaCO3",
    "Fe",   "Mn",  "Zn",    "Cu",   "B",     "H3BO3", "Mo",    "Si",
    "SiO2", "F",   "NaCl",  "As",   "SO3",   "OH",    "NO2-N", "S as SO4"};

/* Whether this parameter is listed above with a species of the same mass. */
static bool may_be(const char *name, const char *of)
{
    for (int i = 0; i < GIVENS; i++)
        if (!strcmp(givens[i].name, name) && !strcmp(givens[i].species, of))
            return true;
    return false;
}

/* Pairs that are right beside those listed for every spelling. */
static bool is_right_too(const char *name, const char *of)
{
    static const char *const pairs[] = {"NH4 NH3",
                                        "ammonium N",
                                        "ammonium NH3",
                                        "ammonium NH4-N",
                                        "ammonia NH4",
                                        "ammonia NH4-N",
                                        "Ammonium N",
                                        "Ammonium NH4",
                                        "Ammonium NH3",
                                        "Ammonium NH4-N",
                                        "nitrate NO3-N",
                                        "Nitrates N",
                                        "Nitrates NO3",
                                        "Nitrate N",
                                        "Nitrate NO3",
                                        "Nitrate NO3-N",
                                        "Nitrate as N N",
                                        "Nitrate as N NO3-N",
                                        "NH4-N NH4-N",
                                        "N NH4-N",
                                        "total nitrogen NO3-N",
                                        "sulfate SO4",
                                        "Sulphates S",
                                        "SO4 SO3",
                                        "sulfate SO3",
                                        "Sulphates SO3",
                                        "orthophosphate P",
                                        "orthophosphate PO4",
                                        "orthophosphate P2O5",
                                        "potassium K2O",
                                        "sodium Na",
                                        "sodium NaCl",
                                        "chloride Cl",
                                        "borate H3BO3",
                                        "boric acid H3BO3",
                                        "SiO2 SiO2",
                                        "silica Si",
                                        "silicate Si",
                                        "alkalinity CO3",
                                        "alkalinity OH",
                                        "total alkalinity CaCO3",
                                        "total alkalinity HCO3",
                                        "total alkalinity OH",
                                        "total alkalinity CaO",
                                        "HCO3 CaO",
                                        "bicarbonates HCO3",
                                        "bicarbonates CaCO3",
                                        "bicarbonates CaO",
                                        "bicarbonate alkalinity CaO",
                                        "CO3 CaO",
                                        "OH OH",
                                        "OH CaO",
                                        "hardness Ca",
                                        "total hardness CaCO3",
                                        "total hardness CaO",
                                        "Ca hardness CaO",
                                        "Mg CaO",
                                        "Mg hardness CaO",
                                        "Mg hardness MgO",
                                        "Cl NaCl",
                                        "NO2 NO2",
                                        "NO2 NO2-N",
                                        "nitrite N",
                                        "nitrite NO2-N",
                                        "NO2-N NO2-N",
                                        "monochloramine Cl2",
                                        "SO4-S S",
                                        "SO4-S SO3"};
    char pair[80];
    (void)snprintf(pair, sizeof pair, "%s %s", name, of);
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        if (!strcmp(pairs[i], pair))
            return true;
    return false;
}

/* Ca in mg N/L, NO3 in mg/L as NH4, SO4-S in mg SO4/L: never a number. */
START_TEST(a_species_that_is_not_the_parameter_s_is_refused)
{
    static const char *const patterns[] = {"mg/L as #", "mg #/L", "mg#/L",
                                           "ppm #", "mmol #/L"};
    char unit[80];
    double out;
    int refused = 0;
    for (int i = 0; i < GIVENS; i++)
        for (size_t k = 0; k < sizeof species / sizeof *species; k++) {
            if (may_be(givens[i].name, species[k]) ||
                is_right_too(givens[i].name, species[k]))
                continue;
            for (size_t j = 0; j < sizeof patterns / sizeof *patterns; j++) {
                spell(patterns[j], species[k], unit);
                refused++;
                ck_assert_msg(convert(givens[i].name, unit, &out) != SW_OK &&
                                  isnan(out),
                              "%s in '%s' is %g", givens[i].name, unit, out);
            }
        }
    ck_assert_int_gt(refused, 10000);
}
END_TEST

/* ---- One by one -------------------------------------------------------- */

/* "NO3, mg/L as N" is NO3-N, whatever the column was called. */
START_TEST(a_unit_may_say_what_it_is_of)
{
    reads("NO3", 2, "mg/L as N", 2);
    reads("NO3", 2, "mg N/L", 2);
    reads("NO3", 2, "mg/L (NO3)", 2 * 14.007 / 62.004);
    reads("NO3-N", 2, "mg N/L", 2);
    reads("SO4", 2, "mg/L S", 2);
    reads("SO4", 2, "mg/L SO4", 2 * 32.06 / 96.056);
    reads("PO4", 2, "mg P/L", 2);
    reads("K", 2, "mg/L as K2O", 2 * 78.196 / 94.195);
    reads("Ca", 2, "mg/L as Ca", 2);
    reads("alkalinity", 2, "mmol/L HCO3", 2);
    reads("alkalinity", 2, "mmol/L as CaCO3", 4);
    reads("hardness", 2, "mmol/L CaCO3", 4);
    reads("Ca", 2, "meq/L CaCO3", 2 * 20.039);
    reads("Ca", 2, "mg-eq/L", 2 * 20.039);
    reads("Ca", 2, "mgeq/l", 2 * 20.039);
    reads("alkalinity", 2, "mg CaCO3 eq/L", 4 / 100.086);
    reads("alkalinity", 2, "mg CaCO3 equivalent/L", 4 / 100.086);
    reads("NO3", 2, "mg/L asNO3", 2 * 14.007 / 62.004);
    unfit("Ca", "mg Ca/L Mg", "not known");
    unfit("Ca", "mg Ca/h", "not known");
    unfit("Ca", "mg/L asXY", "not known");
    reads("sulfide", 34.076, "mg/L as H2S", 32.06);
    unfit("alkalinity", "mg eq CaCO3/L", "not known");
    unfit("SO4-S", "mg/L as SO4", "more than one thing");
    unfit("Ca", "mg/L N/A", "not known");
    unfit("alkalinity as CaCO3", "mg/L HCO3", "says it is of HCO3");
    unfit("TDS", "mg/L as NaCl", "says it is of NaCl");
    unfit("Ca", "mg/L as Mg", "says it is of Mg");
    unfit("NO3-N", "mg/L as NO3", "says it is of NO3");
    unfit("K", "mg/L Ca", "says it is of Ca");
    unfit("K", "mg /L Ca", "says it is of Ca");
    unfit("EC", "mS/cm Ca", "not known");
}
END_TEST

static void settles(const char *name, const char *unit, double expected)
{
    sw_parameter p;
    double out = NAN;
    ck_assert_msg(sw_parameter_find_in(name, unit, &p, NULL) == SW_OK, "%s, %s",
                  name, unit);
    ck_assert_int_eq(sw_reading_convert(&p, 2, unit, &out, NULL), SW_OK);
    ck_assert_double_eq_tol(out, 2 * expected, TOL_UNIT * 100);
}

static void stays_open(const char *name, const char *unit)
{
    sw_parameter p;
    sw_error error = {0};
    ck_assert_msg(sw_parameter_find_in(name, unit, &p, &error) == SW_ERR_NAME,
                  "%s, %s", name, unit);
    ck_assert_ptr_nonnull(strstr(error.message, "choose: "));
}

START_TEST(a_unit_may_settle_what_a_name_leaves_open)
{
    settles("Nitrate", "mg/L as N", 1);
    settles("Nitrate", "mg/L as NO3", 14.007 / 62.004);
    settles("Nitratos", "meq/L", 14.007);
    settles("Ammonium", "mmol/L", 14.007);
    settles("Phosphate", "umol/L", 30.974e-3);
    settles("N", "mg NO3-N/L", 1);
    settles("S as SO4", "mg SO4/L", 32.06 / 96.056);
    settles("chlorine", "ppm Cl2", 1);
    stays_open("Nitrate", "mg/L");
    stays_open("Nitrate", "mg/L as P");
    stays_open("N", "mg N/L");
    stays_open("N", "mg/L as NO3");
    stays_open("N", "mmol/L");
    stays_open("chlorine", "mg/L as Cl");
    settles("nitrate + nitrite", "mg/L as N", 1);
    settles("NO2+NO3", "umol/L", 14.007e-3);
    stays_open("nitrate + nitrite", "mg/L");
    stays_open("NOx", "mg/L");
    stays_open("TON", "mg/L as N");
}
END_TEST
