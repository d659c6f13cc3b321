/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Formula masses and element contents as printed: g/mol and % by mass from
 * IUPAC atomic weights, worked out apart from this library (atomic weights:
 * Prohaska et al. 2022, Pure Appl. Chem. 94:573).
 */
#include "suite.h"

#include "printed.h"
#include "quantity/formula.h"
#include "saltwright.h"

typedef struct printed_content {
    sw_component component;
    const char *percent;
} printed_content;

typedef struct printed_salt {
    const char *formula;
    const char *molar_mass;
    printed_content contents[3];
} printed_salt;

static const printed_salt salts[] = {
    {"KNO3", "101.102", {{SW_K, "38.672"}, {SW_N, "13.854"}}},
    {"Ca(NO3)2.4H2O", "236.146", {{SW_CA, "16.972"}, {SW_N, "11.863"}}},
    {"Ca(NO3)2", "164.086", {{SW_CA, "24.425"}, {SW_N, "17.073"}}},
    {"KH2PO4", "136.084", {{SW_K, "28.731"}, {SW_P, "22.761"}}},
    {"MgSO4.7H2O", "246.466", {{SW_MG, "9.861"}, {SW_S, "13.008"}}},
    {"K2SO4", "174.252", {{SW_K, "44.875"}, {SW_S, "18.399"}}},
    {"NH4NO3", "80.043", {{SW_N, "34.999"}}},
    {"NH4H2PO4", "115.025", {{SW_N, "12.177"}, {SW_P, "26.928"}}},
    {"(NH4)2SO4", "132.134", {{SW_N, "21.201"}, {SW_S, "24.263"}}},
    {"KCl", "74.548", {{SW_K, "52.447"}, {SW_CL, "47.553"}}},
    {"Mg(NO3)2.6H2O", "256.403", {{SW_MG, "9.479"}, {SW_N, "10.926"}}},
    {"CaCl2", "110.978", {{SW_CA, "36.113"}}},
    {"CaCl2.2H2O", "147.008", {{SW_CA, "27.262"}, {SW_CL, "48.229"}}},
    {"K2HPO4", "174.174", {{SW_K, "44.895"}, {SW_P, "17.783"}}},
    {"NaH2PO4.2H2O", "156.006", {{SW_P, "19.854"}, {SW_NA, "14.737"}}},
    {"H3BO3", "61.831", {{SW_B, "17.483"}}},
    {"Na2B4O7.10H2O", "381.363", {{SW_B, "11.338"}}},
    {"MnSO4.H2O", "169.009", {{SW_MN, "32.506"}}},
    {"MnSO4.4H2O", "223.054", {{SW_MN, "24.630"}}},
    {"MnCl2.4H2O", "197.898", {{SW_MN, "27.761"}}},
    {"ZnSO4.7H2O", "287.541", {{SW_ZN, "22.738"}}},
    {"ZnSO4.H2O", "179.451", {{SW_ZN, "36.433"}}},
    {"CuSO4.5H2O", "249.677", {{SW_CU, "25.451"}}},
    {"Na2MoO4.2H2O", "241.956", {{SW_MO, "39.656"}}},
    {"(NH4)6Mo7O24.4H2O", "1235.92", {{SW_MO, "54.344"}}},
    {"NaFe-EDTA", "367.047", {{SW_FE, "15.215"}}},
    {"H3PO4", "97.994", {{SW_P, "31.608"}}},
    {"HNO3", "63.012", {{SW_N, "22.229"}}},
    {"H2SO4", "98.072", {{SW_S, "32.690"}}},
    {"5Ca(NO3)2.NH4NO3.10H2O",
     "1080.623",
     {{SW_CA, "18.544"}, {SW_NH4_N, "1.296"}, {SW_NO3_N, "14.258"}}},
};

START_TEST_EACH(formula_masses_and_contents_are_as_printed,
                sizeof salts / sizeof *salts)
{
    const printed_salt *salt = &salts[_i];
    sw_content per_g;
    double molar_mass = 0;
    ck_assert_int_eq(
        sw_formula_content(salt->formula, 1, &per_g, &molar_mass, NULL), SW_OK);
    ck_printed(salt->formula, molar_mass, salt->molar_mass);
    for (int i = 0; i < 3 && salt->contents[i].percent; i++)
        ck_printed(salt->formula,
                   per_g.amount[salt->contents[i].component] / 10,
                   salt->contents[i].percent);
}
END_TEST

static sw_content catalogue_content(const char *name)
{
    sw_product *product = NULL;
    sw_error error = {0};
    ck_assert_msg(sw_catalogue_find(name, &product, &error) == SW_OK, "%s",
                  error.message);
    sw_content per_g = product->per_g;
    sw_product_free(product);
    return per_g;
}

/* mg/L from `mg` of a product in a litre. */
static double ppm(const char *name, double mg, sw_component component)
{
    return catalogue_content(name).amount[component] * mg / 1e3;
}

/*
 * Hoagland D.R., Arnon D.I. (1950), Calif. Agric. Exp. Stn. Circular 347:
 * micro stock, 1 mL/L.  "H2MoO4.H2O assaying 85 % MoO3" gives Mo 0.01, not the
 * 0.05 that secondary sources repeat from the edition of 1938.
 */
START_TEST(hoagland_and_arnon_micros_come_out_as_quoted)
{
    ck_printed("B", ppm("boric acid", 2.86, SW_B), "0.50");
    ck_printed("Mn", ppm("manganese chloride tetrahydrate", 1.81, SW_MN),
               "0.50");
    ck_printed("Zn", ppm("zinc sulfate heptahydrate", 0.22, SW_ZN), "0.05");
    ck_printed("Cu", ppm("copper sulfate pentahydrate", 0.08, SW_CU), "0.02");
    ck_printed("Cl", ppm("manganese chloride tetrahydrate", 1.81, SW_CL),
               "0.65");
    ck_printed("Mo", ppm("molybdic acid 85 % MoO3", 0.02, SW_MO), "0.01");
}
END_TEST

/* meq of acid per litre of a catalogue acid: mol/L times the protons. */
static double normality(const char *name)
{
    sw_product *acid = NULL;
    ck_assert_int_eq(sw_catalogue_find(name, &acid, NULL), SW_OK);
    double eq_per_l =
        -acid->per_g.amount[SW_ALKALINITY] * acid->density_g_per_ml;
    sw_product_free(acid);
    return eq_per_l;
}

/* mL per 1000 L that take up 1 meq/L, by stoichiometry. */
START_TEST(acids_take_up_what_stoichiometry_says)
{
    static const struct {
        const char *name, *ml_per_1000_l;
    } acids[] = {
        {"nitric acid 67 %", "67.2"},       {"nitric acid 61.4 %", "74.7"},
        {"nitric acid 60 %", "76.8"},       {"nitric acid 38 %", "134.5"},
        {"phosphoric acid 75 %", "82.9"},   {"phosphoric acid 85 %", "68.3"},
        {"phosphoric acid 59 %", "117.3"},  {"sulfuric acid 93 %", "28.7"},
        {"sulfuric acid 35 %", "111.1"},    {"sulfuric acid 98 %", "27.2"},
        {"hydrochloric acid 32 %", "98.3"},
    };
    for (size_t i = 0; i < sizeof acids / sizeof *acids; i++)
        ck_printed(acids[i].name, 1e3 / normality(acids[i].name),
                   acids[i].ml_per_1000_l);
}
END_TEST

/*
 * Label of the grade: 15.5 % N (14.4 to 14.5 as NO3-N, 1.0 to 1.1 as NH4-N),
 * 19 % Ca, 26.5 % CaO; pure salt Ca 18.544, N 15.554.
 */
START_TEST(the_greenhouse_grade_lies_near_its_formula)
{
    sw_content label =
        catalogue_content("calcium ammonium nitrate double salt");
    sw_content pure;
    ck_assert_int_eq(
        sw_formula_content("5Ca(NO3)2·NH4NO3·10H2O", 1, &pure, NULL, NULL),
        SW_OK);
    ck_assert_double_eq_tol(label.amount[SW_CA], pure.amount[SW_CA], 5);
    ck_assert_double_eq_tol(label.amount[SW_N], pure.amount[SW_N], 1);
    ck_assert_double_eq_tol(label.amount[SW_ALKALINITY], 0, 0.05);
}
END_TEST
