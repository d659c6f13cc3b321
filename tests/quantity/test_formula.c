/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Formulas: how they may be written, what they carry, what is refused. */
#include "suite.h"

#include "quantity/formula.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

/* What one mole of `formula` carries: mg, meq, mmol. */
static sw_content mole_of(const char *formula)
{
    sw_content per_g;
    sw_content per_mol = {{0}};
    sw_error error = {0};
    double molar_mass = 0;
    ck_assert_msg(sw_formula_content(formula, 1, &per_g, &molar_mass, &error) ==
                      SW_OK,
                  "%s: %s", formula, error.message);
    sw_content_add(&per_mol, molar_mass, &per_g);
    return per_mol;
}

static double molar_mass_of(const char *formula)
{
    sw_content per_g;
    double molar_mass = 0;
    ck_assert_int_eq(sw_formula_content(formula, 1, &per_g, &molar_mass, NULL),
                     SW_OK);
    return molar_mass;
}

static sw_error refuse(const char *formula)
{
    sw_content per_g;
    sw_error error = {0};
    ck_assert_msg(sw_formula_content(formula, 1, &per_g, NULL, &error) != SW_OK,
                  "%s was accepted", formula);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_double_eq(per_g.amount[i], 0);
    return error;
}

static void is_same(const char *a, const char *b)
{
    sw_content of_a = mole_of(a);
    sw_content of_b = mole_of(b);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_msg(fabs(of_a.amount[i] - of_b.amount[i]) < TOL_EQ_PER_MOL,
                      "%s and %s: %d", a, b, i);
    ck_assert_double_eq_tol(molar_mass_of(a), molar_mass_of(b),
                            TOL_MOLAR_MASS_G_PER_MOL);
}

/* Alkalinity, carbon or another amount of a mole, in eq or mol. */
static void carries(const char *formula, int what, double eq_per_mol)
{
    double amount = mole_of(formula).amount[what];
    ck_assert_msg(fabs(amount - 1e3 * eq_per_mol) < TOL_EQ_PER_MOL * 1e3,
                  "%s carries %g, expected %g", formula, amount / 1e3,
                  eq_per_mol);
}

START_TEST(a_hydrate_dot_may_be_written_in_many_ways)
{
    static const char *const ways[] = {
        "MgSO4·7H2O", "MgSO4.7H2O",      "MgSO4*7H2O",  "MgSO4•7H2O",
        "MgSO4∙7H2O", "MgSO4⋅7H2O",      "MgSO4 7H2O",  "MgSO4 x 7 H2O",
        "MgSO4x7H2O", "MgSO4 X 7H2O",    "MgSO4×7H2O",  "MgSO4 . 7H2O",
        "MgSO₄·7H₂O", " MgSO4 · 7 H2O ", "Mg SO4·7H2O", "[Mg][SO4]·7(H2O)",
    };
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        is_same(ways[i], "MgSO4·7H2O");
}
END_TEST

START_TEST(brackets_nest_and_multiply)
{
    is_same("{[(NH4)]2}SO4", "(NH4)2SO4");
    is_same("Fe2((SO4))3", "Fe2(SO4)3");
    is_same("( NH4 )2SO4", "(NH4)2SO4");
}
END_TEST

START_TEST(a_part_may_have_a_coefficient_also_a_broken_one)
{
    ck_assert_double_eq_tol(molar_mass_of("5Ca(NO3)2·NH4NO3·10H2O"),
                            5 * molar_mass_of("Ca(NO3)2") +
                                molar_mass_of("NH4NO3") +
                                10 * molar_mass_of("H2O"),
                            TOL_MOLAR_MASS_G_PER_MOL);
    ck_assert_double_eq_tol(molar_mass_of("CaSO4·0.5H2O"),
                            molar_mass_of("CaSO4") + molar_mass_of("H2O") / 2,
                            TOL_MOLAR_MASS_G_PER_MOL);
}
END_TEST

START_TEST(nitrogen_is_split_by_the_groups_it_stands_in)
{
    double n = mole_of("HNO3").amount[SW_NO3_N];
    ck_assert_double_eq_tol(n, 14007, TOL_EQ_PER_MOL);
    sw_content salt = mole_of("5Ca(NO3)2·NH4NO3·10H2O");
    ck_assert_double_eq_tol(salt.amount[SW_NO3_N], 11 * n, TOL_EQ_PER_MOL);
    ck_assert_double_eq_tol(salt.amount[SW_NH4_N], n, TOL_EQ_PER_MOL);
    ck_assert_double_eq_tol(salt.amount[SW_N], 12 * n, TOL_EQ_PER_MOL);
    sw_content urea = mole_of("CO(NH2)2·H3PO4");
    ck_assert_double_eq_tol(urea.amount[SW_UREA_N], 2 * n, TOL_EQ_PER_MOL);
    ck_assert_double_eq_tol(urea.amount[SW_N], 2 * n, TOL_EQ_PER_MOL);
    carries("CO(NH2)2·H3PO4", SW_CARBON, 0);
    urea = mole_of("C2H8N4O2"); /* two of it */
    ck_assert_double_eq_tol(urea.amount[SW_UREA_N], 4 * n, TOL_EQ_PER_MOL);
}
END_TEST

START_TEST(urea_is_known_in_every_usual_spelling)
{
    is_same("(NH2)2CO", "CO(NH2)2");
    is_same("CH4N2O", "CO(NH2)2");
    is_same("H2NCONH2", "CO(NH2)2");
    is_same("CO(NH2)2H3PO4", "CO(NH2)2·H3PO4");
}
END_TEST

/* The rule and its examples: methods.md, Composition. */
START_TEST(alkalinity_follows_one_rule)
{
    static const struct {
        const char *formula;
        double eq_per_mol;
    } cases[] = {
        {"KH2PO4", 0},        {"K2HPO4", 1},     {"K3PO4", 2},
        {"H3PO4", -1},        {"HNO3", -1},      {"H2SO4", -2},
        {"HCl", -1},          {"KHCO3", 1},      {"K2CO3", 2},
        {"KOH", 1},           {"Ca(OH)2", 2},    {"NH3", 1},
        {"NH4OH", 1},         {"NH4NO3", 0},     {"(NH4)2HPO4", 1},
        {"CO(NH2)2", 0},      {"H3BO3", 0},      {"Na2B4O7·10H2O", 2},
        {"K2SiO3", 2},        {"H4SiO4", 0},     {"Na2MoO4", 0},
        {"MoO3", -2},         {"C6H8O7", 0},     {"K3C6H5O7", 3},
        {"HF", -1},           {"NaF", 0},        {"KHSO4", -1},
        {"FeSO4·7H2O", 0},    {"FeCl3·6H2O", 0}, {"MnO", 2},
        {"ZnO", 2},           {"CuO", 2},        {"MgNH4PO4·6H2O", 2},
        {"(NH4)6Mo7O24", -8}, {"P2O5", -2},      {"SO3", -2},
        {"H2SiF6", -6},       {"K4P2O7", 2},     {"CO2", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        carries(cases[i].formula, SW_ALKALINITY, cases[i].eq_per_mol);
}
END_TEST

START_TEST(carbonate_and_citrate_are_counted_apart)
{
    carries("K2CO3", SW_CARBON, 1);
    carries("NaHCO3", SW_CARBON, 1);
    carries("CHNaO3", SW_CARBON, 1);
    carries("CO2", SW_CARBON, 1);
    carries("C6H8O7·H2O", SW_CITRATE, 1);
    carries("C6H8O7", SW_CARBON, 0);
    carries("FeC6H5O7", SW_CITRATE, 1);
}
END_TEST

/* Iron takes the oxidation number, 2 or 3, that makes its part neutral. */
START_TEST(iron_is_ferrous_or_ferric_as_its_formula_needs)
{
    carries("(NH4)2Fe(SO4)2·6H2O", SW_ALKALINITY, 0);
    carries("NH4Fe(SO4)2·12H2O", SW_ALKALINITY, 0);
    carries("Fe(NO3)3·9H2O", SW_ALKALINITY, 0);
    carries("FePO4", SW_ALKALINITY, 2);
    carries("FeO", SW_ALKALINITY, 2);
    carries("Fe2O3", SW_ALKALINITY, 6);
}
END_TEST

START_TEST(a_chelate_holds_its_metal_and_feeds_no_nitrogen)
{
    sw_content per_mol = mole_of("NaFeEDTA");
    ck_assert_double_eq_tol(per_mol.amount[SW_FE], 55845, TOL_EQ_PER_MOL);
    ck_assert_double_eq(per_mol.amount[SW_CHELATED_FE], per_mol.amount[SW_FE]);
    ck_assert_double_eq(per_mol.amount[SW_N], 0);
    carries("NaFeEDTA", SW_ALKALINITY, 0);
    carries("NaFeEDTA", SW_CHELATE_CHARGE, 1);
    carries("Na2FeDTPA", SW_CHELATE_CHARGE, 2);
    carries("NaFeEDDHA", SW_CHELATE_CHARGE, 1);
    carries("FeHEDTA", SW_CHELATE_CHARGE, 0);
    carries("Na2MnEDTA", SW_CHELATE_CHARGE, 2);
    carries("Na2ZnEDTA", SW_ALKALINITY, 0);
    carries("K2CuEDTA", SW_ALKALINITY, 0);
    ck_assert_double_gt(mole_of("Na2MnEDTA").amount[SW_CHELATED_MN], 0);
    ck_assert_double_gt(mole_of("Na2ZnEDTA").amount[SW_CHELATED_ZN], 0);
    ck_assert_double_gt(mole_of("K2CuEDTA").amount[SW_CHELATED_CU], 0);
}
END_TEST

/* Its one acidic hydrogen is off at any pH a feed has. */
START_TEST(an_acid_chelate_counts_minus_its_hydrogen)
{
    carries("NaHFeDTPA", SW_ALKALINITY, -1);
    carries("NaHFeDTPA", SW_CHELATE_CHARGE, 2);
}
END_TEST

START_TEST(a_chelate_may_be_written_as_atoms)
{
    is_same("C10H12FeN2NaO8·3H2O", "NaFe-EDTA·3H2O");
    is_same("C14H18FeN3Na2O10", "Na2FeDTPA");
    is_same("C18H16FeN2NaO6", "NaFeEDDHA");
    is_same("C10H15FeN2O7", "FeHEDTA");
}
END_TEST

START_TEST(purity_scales_everything)
{
    sw_content pure;
    sw_content half;
    ck_assert_int_eq(sw_formula_content("KHCO3", 1, &pure, NULL, NULL), SW_OK);
    ck_assert_int_eq(sw_formula_content("KHCO3", 0.5, &half, NULL, NULL),
                     SW_OK);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_double_eq_tol(half.amount[i], pure.amount[i] / 2,
                                TOL_EQ_PER_MOL);
}
END_TEST

START_TEST(purity_is_a_fraction_above_zero)
{
    static const double wrong[] = {0, -0.1, 1.01, 98, NAN, INFINITY};
    sw_content per_g;
    sw_error error;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        ck_assert_int_eq(
            sw_formula_content("KCl", wrong[i], &per_g, NULL, &error),
            SW_ERR_VALUE);
        ck_assert_ptr_nonnull(strstr(error.message, "0.985"));
    }
}
END_TEST

START_TEST(an_error_tells_the_character_it_is_at)
{
    static const struct {
        const char *formula;
        sw_status status;
        unsigned long column;
    } cases[] = {
        {"", SW_ERR_SYNTAX, 1},
        {"Ca(NO3", SW_ERR_SYNTAX, 3},
        {"KNO3)", SW_ERR_SYNTAX, 5},
        {"K(NO3]", SW_ERR_SYNTAX, 2},
        {"Xy", SW_ERR_NAME, 1},
        {"KCl·QO", SW_ERR_NAME, 5},
        {"kno3", SW_ERR_SYNTAX, 1},
        {"KCl0", SW_ERR_SYNTAX, 4},
        {"KCl12345", SW_ERR_SYNTAX, 4},
        {"FeSO4·xH2O", SW_ERR_SYNTAX, 7},
        {"FeSO4·nH2O", SW_ERR_SYNTAX, 7},
        {"NO3-", SW_ERR_SYNTAX, 4},
        {"Fe3+", SW_ERR_SYNTAX, 4},
        {"()", SW_ERR_SYNTAX, 2},
        {"KCl··H2O", SW_ERR_SYNTAX, 5},
        {"KCl·", SW_ERR_SYNTAX, 5},
        {"KCl·99999H2O", SW_ERR_VALUE, 5},
        {"0KCl", SW_ERR_VALUE, 1},
        {"Ca(NO₃)₂·Zz", SW_ERR_NAME, 10},
        {"CoSO4·7H2O", SW_ERR_VALUE, 1},
        {"KCl·NaNO2", SW_ERR_VALUE, 5},
        {"☃", SW_ERR_SYNTAX, 1},
        {"((((((((((KCl))))))))))", SW_ERR_LIMIT, 9},
        {"K(N(O5)00)", SW_ERR_SYNTAX, 8},
        {"CO(NH200)2", SW_ERR_VALUE, 1},
        {"K.K.K.K.K.K.K.K.K.K.K.K.K", SW_ERR_LIMIT, 25},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_error error = refuse(cases[i].formula);
        ck_assert_msg(error.status == cases[i].status &&
                          error.column == cases[i].column,
                      "%s: status %d at %lu: %s", cases[i].formula,
                      (int)error.status, error.column, error.message);
    }
}
END_TEST

START_TEST(a_formula_that_is_too_long_is_refused)
{
    char formula[400];
    memset(formula, 'K', sizeof formula - 1);
    formula[sizeof formula - 1] = '\0';
    ck_assert_int_eq(refuse(formula).status, SW_ERR_LIMIT);
}
END_TEST

/* A lost subscript, or a form that is no nutrient, cannot be neutral. */
START_TEST(what_has_no_stated_place_is_refused)
{
    static const char *const formulas[] = {
        "CaNO3",          "K2SO3",     "Na2S2O3",   "H3PO3",
        "KMnO4",          "H2O2",      "S",         "MnO2",
        "CuCl",           "FeSO",      "Fe3O4",     "Na2S",
        "NaClO",          "K2S2O8",    "CaO2",      "KNO2",
        "N2O5",           "N2H8SO4",   "CaCN2",     "CH6N2O2",
        "KSCN",           "CCl4",      "HCOOH",     "Ca(CH3COO)2",
        "C6H12O6",        "K2C2O4",    "NaEDTA",    "EDTA",
        "Na2H2EDTA·2H2O", "Na2CaEDTA", "Fe-DTPA",   "Na2Fe2EDTA",
        "NiSO4",          "KI",        "KAl(SO4)2", "LiCl",
        "NH4CO2NH2",      "C3H7NO3",   "KClCH4N2O",
    };
    for (size_t i = 0; i < sizeof formulas / sizeof *formulas; i++)
        ck_assert_int_eq(refuse(formulas[i]).status, SW_ERR_VALUE);
}
END_TEST

/* Two of NH2 to each CO, and potassium instead of more: as many charges. */
START_TEST(amides_with_too_little_hydrogen_are_no_urea)
{
    static const char *const formulas[] = {"(CO)2(NH2)2N2", "K4(CO)2(NH2)2N2",
                                           "K2CO(NH2)N", "K6(CO)3(NH2)3N3"};
    is_same("(CO)2(NH2)4", "(CO(NH2)2)2");
    for (size_t i = 0; i < sizeof formulas / sizeof *formulas; i++)
        ck_assert_int_eq(refuse(formulas[i]).status, SW_ERR_VALUE);
}
END_TEST

START_TEST(the_reason_names_the_cure)
{
    ck_assert_ptr_nonnull(strstr(refuse("NaNO2").message, "nitrite"));
    ck_assert_ptr_nonnull(strstr(refuse("CH6N2O2").message, "CO(NH2)2"));
    ck_assert_ptr_nonnull(strstr(refuse("CS(NH2)2").message, "N")); /* no O */
    ck_assert_ptr_nonnull(strstr(refuse("CaNO3").message, "+1"));
    ck_assert_ptr_nonnull(strstr(refuse("K2C2O4").message, "label"));
}
END_TEST
