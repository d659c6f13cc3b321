/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels: what they declare, what they leave open, what is refused. */
#include "suite.h"

#include "quantity/formula.h"
#include "quantity/label.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

static sw_content read_label(const char *label)
{
    sw_label read;
    sw_error error = {0};
    ck_assert_msg(sw_label_read(label, NULL, 0, &read, &error) == SW_OK,
                  "%s: %s", label, error.message);
    return read.per_g;
}

static sw_error refuse(const char *label)
{
    sw_label read;
    sw_error error = {0};
    ck_assert_msg(sw_label_read(label, NULL, 0, &read, &error) != SW_OK,
                  "'%s' was accepted", label);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_double_eq(read.per_g.amount[i], 0);
    return error;
}

static void is_same(const char *a, const char *b)
{
    sw_content of_a = read_label(a);
    sw_content of_b = read_label(b);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_msg(of_a.amount[i] == of_b.amount[i], "%s and %s: %d", a, b,
                      i);
}

START_TEST(a_label_declares_percent_by_mass)
{
    sw_content per_g = read_label("NO3-N 14.4; NH4-N 1.1; Ca 19");
    ck_assert_double_eq_tol(per_g.amount[SW_NO3_N], 144, TOL_UNIT * 1e3);
    ck_assert_double_eq_tol(per_g.amount[SW_NH4_N], 11, TOL_UNIT * 1e3);
    ck_assert_double_eq_tol(per_g.amount[SW_N], 155, TOL_UNIT * 1e3);
    ck_assert_double_eq_tol(per_g.amount[SW_CA], 190, TOL_UNIT * 1e3);
}
END_TEST

START_TEST(a_label_may_be_written_in_many_ways)
{
    static const char *const ways[] = {
        "NO3-N 14,4 %; NH4-N 1,1 %; Ca 19 %",
        "NO3-N 14,4 %; NH4-N 1,1 %; (19 % Ca)",
        "NO3-N 14,4 %; NH4-N 1,1 %; calcium (19 % Ca", /* torn off */
        "NO3-N: 14.4, NH4-N: 1.1, Ca: 19",
        "NO3-N=14.4;NH4-N=1.1;Ca=19;",
        " nitrate nitrogen 14.4 ;; ammoniacal nitrogen 1.1; calcium 19.0",
        "N-NO3 14.4,N-NH4 1.1,Ca 19",
        "NO₃-N 14.4; NH₄-N 1.1; Ca 19",
        "NO3-N % 14.4; NH4-N %: 1.1; Ca 19 %",
    };
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        is_same(ways[i], "NO3-N 14.4; NH4-N 1.1; Ca 19");
}
END_TEST

START_TEST(an_oxide_is_itself_and_never_its_element)
{
    sw_content oxides = read_label("P2O5 52; K2O 34");
    sw_content salt;
    ck_assert_int_eq(sw_formula_content("KH2PO4", 1, &salt, NULL, NULL), SW_OK);
    /* Pure KH2PO4 is 52.15 % P2O5 and 34.61 % K2O. */
    ck_assert_double_eq_tol(oxides.amount[SW_P], salt.amount[SW_P], 1);
    ck_assert_double_eq_tol(oxides.amount[SW_K], salt.amount[SW_K], 6);
    ck_assert_double_eq_tol(read_label("P 22").amount[SW_P], 220,
                            TOL_UNIT * 1e3);
}
END_TEST

/* 60 % K2O and 47 % Cl are one potassium chloride. */
START_TEST(oxides_may_sum_above_the_whole_but_elements_may_not)
{
    read_label("K2O 60; Cl 47");
    ck_assert_int_eq(refuse("K 60; Cl 47").status, SW_ERR_VALUE);
}
END_TEST

START_TEST(alkalinity_may_be_given_instead)
{
    sw_content per_g = read_label("P 23.7; alkalinity -7.65");
    ck_assert_double_eq(per_g.amount[SW_ALKALINITY], -7.65);
    ck_assert_int_eq(refuse("alkalinity 1; alkalinity 1").status,
                     SW_ERR_DUPLICATE);
    ck_assert_int_eq(refuse("alkalinity 101").status, SW_ERR_VALUE);
}
END_TEST

START_TEST(a_chelated_metal_is_held_and_counts_nothing)
{
    sw_content per_g = read_label("Fe-EDTA 13");
    ck_assert_double_eq(per_g.amount[SW_FE], 130);
    ck_assert_double_eq(per_g.amount[SW_CHELATED_FE], 130);
    ck_assert_double_eq(per_g.amount[SW_ALKALINITY], 0);
    is_same("iron (EDTA) 13", "Fe-EDTA 13");
    is_same("Fe EDTA 13", "Fe-EDTA 13");
    ck_assert_double_gt(read_label("Cu-EDTA 15").amount[SW_CHELATED_CU], 0);
}
END_TEST

/* The sodium a label declares is the chelates' first, up to their charge. */
START_TEST(declared_sodium_balances_the_chelate)
{
    sw_content label = read_label("Fe-DTPA 11.394; Na 9.3811");
    sw_content formula;
    ck_assert_int_eq(sw_formula_content("Na2FeDTPA", 1, &formula, NULL, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(label.amount[SW_CHELATE_CHARGE],
                            formula.amount[SW_CHELATE_CHARGE],
                            TOL_LABEL_DIGITS_MG_PER_G);
}
END_TEST

START_TEST(two_chelators_of_iron_add_up_and_the_free_part_is_named)
{
    sw_content per_g = read_label("Fe-EDTA 2; Fe-DTPA 3; free Fe 1");
    ck_assert_double_eq_tol(per_g.amount[SW_FE], 60, TOL_UNIT * 1e3);
    ck_assert_double_eq_tol(per_g.amount[SW_CHELATED_FE], 50, TOL_UNIT * 1e3);
    is_same("Free Fe 1; Fe-EDTA 2", "Fe-EDTA 2; free Fe 1");
}
END_TEST

static sw_chelator chelator_on(const char *text)
{
    sw_label label;
    ck_assert_int_eq(sw_label_read(text, NULL, 0, &label, NULL), SW_OK);
    return label.chelator;
}

START_TEST(the_chelator_of_iron_is_told)
{
    ck_assert_int_eq(chelator_on("Mn-EDTA 1; Fe-DTPA 3 %"), SW_DTPA);
    ck_assert_int_eq(chelator_on("Mn-EDTA 1; Ca 4"), SW_EDTA);
    ck_assert_int_eq(chelator_on("Fe-EDDHA 6"), SW_EDDHA);
    ck_assert_int_eq(chelator_on("Fe-HEDTA 6"), SW_HEDTA);
    ck_assert_int_eq(chelator_on("Fe 6"), SW_CHELATOR_NONE);
}
END_TEST

START_TEST(what_a_label_leaves_open_is_refused_at_its_place)
{
    static const struct {
        const char *label;
        sw_status status;
        unsigned long column;
    } cases[] = {
        {"", SW_ERR_SYNTAX, 1},
        {"Ca 19; N 15.5", SW_ERR_NAME, 8},
        {"Ca 19; nitrate 60", SW_ERR_NAME, 8},
        {"15-0-0", SW_ERR_SYNTAX, 1},
        {"15,5-0-0", SW_ERR_SYNTAX, 1},
        {"Ca", SW_ERR_SYNTAX, 1},
        {"Ca19", SW_ERR_SYNTAX, 1},
        {"19", SW_ERR_SYNTAX, 1},
        {"Ca 1.2.3", SW_ERR_SYNTAX, 1},
        {": 19", SW_ERR_SYNTAX, 1},
        {"Ca 19; Mg -2", SW_ERR_VALUE, 8},
        {"Ca 101", SW_ERR_VALUE, 1},
        {"Ca 19; CaO 26.5", SW_ERR_DUPLICATE, 8},
        {"NO3 10; NO3-N 2", SW_ERR_DUPLICATE, 9},
        {"Fe-EDTA 2; Fe-EDTA 2", SW_ERR_DUPLICATE, 12},
        {"Fe 3; Fe-EDTA 2", SW_ERR_DUPLICATE, 7},
        {"Fe-EDTA 2; Fe 3", SW_ERR_DUPLICATE, 12},
        {"CO3 2; CO3 2", SW_ERR_DUPLICATE, 8},
        {"Co 0.1", SW_ERR_NAME, 1},
        {"pH 4", SW_ERR_NAME, 1},
        {"Mg hardness 3", SW_ERR_NAME, 1},
        {"Mg as CaCO3 3", SW_ERR_NAME, 1},
        {"HCO3 as CaCO3 3", SW_ERR_NAME, 1},
        {"Fe-XYZ 3", SW_ERR_NAME, 1},
        {"Ca-EDTA 3", SW_ERR_NAME, 1},
        {"EDTA 3", SW_ERR_NAME, 1},
        {"Fe2O3-EDTA 3", SW_ERR_NAME, 1},
        {"NO₃-N 14; Zz 3", SW_ERR_NAME, 11},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_error error = refuse(cases[i].label);
        ck_assert_msg(error.status == cases[i].status &&
                          error.column == cases[i].column,
                      "%s: %d at %lu: %s", cases[i].label, (int)error.status,
                      error.column, error.message);
    }
}
END_TEST

START_TEST(the_refusal_says_how_to_declare)
{
    ck_assert_ptr_nonnull(strstr(refuse("N 15.5").message, "urea-N"));
    ck_assert_ptr_nonnull(strstr(refuse("15-0-0").message, "P2O5"));
    ck_assert_ptr_nonnull(strstr(refuse("Fe 1; Fe-EDTA 1").message, "free"));
}
END_TEST

START_TEST(labels_have_a_bound)
{
    char label[900];
    memset(label, 'x', sizeof label - 1);
    label[sizeof label - 1] = '\0';
    ck_assert_int_eq(refuse(label).status, SW_ERR_LIMIT);
    label[200] = '\0';
    ck_assert_int_eq(refuse(label).status, SW_ERR_LIMIT);
}
END_TEST

/* A unit of the last digit: N 0.714 meq/g in whole percents, K2O 0.212.  The
 * truth lies from half of it below (rounded) to all of it above (cut off). */
START_TEST(a_printed_digit_leaves_open_half_a_unit_below_and_one_above)
{
    sw_label label;
    ck_assert_int_eq(sw_label_read("NO3-N 13; K2O 46.5", NULL, 0, &label, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(label.gap_meq_per_g, 0.592, 0.001);
    ck_assert_double_eq_tol(label.gap_below_meq_per_g, 0.714 + 0.011, 0.001);
    ck_assert_double_eq_tol(label.gap_above_meq_per_g, 0.357 + 0.021, 0.001);
    ck_assert_double_eq_tol(label.below_mg_per_g[SW_NO3_N], 5, 1e-9);
    ck_assert_double_eq_tol(label.above_mg_per_g[SW_NO3_N], 10, 1e-9);
    ck_assert(label.printed[SW_K] && !label.printed[SW_CL]);
    ck_assert_double_eq(label.per_g.amount[SW_ALKALINITY], 0);
}
END_TEST

/* K 9.988 meq/g less HCO3 9.988: bases printed are counted apart. */
START_TEST(bases_on_a_label_are_counted_apart)
{
    sw_label label;
    ck_assert_int_eq(
        sw_label_read("K 39.053; HCO3 60.946", NULL, 0, &label, NULL), SW_OK);
    ck_assert_double_eq_tol(label.gap_meq_per_g, 9.988, 0.001);
    ck_assert_double_eq_tol(label.base_meq_per_g, 9.988, 0.001);
    ck_assert_int_eq(sw_label_read("OH 17", NULL, 0, &label, NULL), SW_OK);
    ck_assert_double_eq_tol(label.base_meq_per_g, 10, 0.01);
    /* K2CO3, 138.2 g/mol, and KHCO3 */
    sw_content per_g = read_label("K 56.58; CO3 43.42");
    ck_assert_double_eq_tol(per_g.amount[SW_CARBON], 7.236, 0.001);
    per_g = read_label("K 39.053; HCO3 60.946");
    ck_assert_double_eq_tol(per_g.amount[SW_CARBON], 9.988, 0.001);
}
END_TEST

/* "0.144" for 14.4 would be a dose a hundred times too large. */
START_TEST(a_label_in_fractions_is_asked_about)
{
    static const char *const fractions[] = {"NO3-N 0.144; NH4-N 0.011; Ca 0.19",
                                            "K2O 0.46; NO3-N 0.13",
                                            "Fe-DTPA 0.11", "NO3-N 0,144"};
    static const char *const percents[] = {
        "NO3-N 0.144 %; NH4-N 0.011; Ca 0.19", "K2O 1; B 0.02", "K 0.9; P 0.8",
        "Ca 0"};
    for (size_t i = 0; i < sizeof fractions / sizeof *fractions; i++)
        ck_assert_ptr_nonnull(strstr(refuse(fractions[i]).message, "0.144 %"));
    for (size_t i = 0; i < sizeof percents / sizeof *percents; i++)
        read_label(percents[i]);
}
END_TEST

/* Bags print "10 % urea nitrogen" and "10 % urea". */
START_TEST(urea_is_asked_about_with_both_readings)
{
    sw_error error = refuse("NO3-N 6; urea 10");
    ck_assert_int_eq(error.status, SW_ERR_NAME);
    ck_assert_ptr_nonnull(strstr(error.message, "urea-N 10 "));
    ck_assert_ptr_nonnull(strstr(error.message, "urea-N 4.665"));
    ck_assert_double_eq_tol(read_label("CO(NH2)2 10").amount[SW_UREA_N], 46.65,
                            0.01);
}
END_TEST

START_TEST(elements_count_forms_of_nitrogen_once)
{
    sw_content per_g = read_label("NO3-N 5; NH4-N 5; urea-N 5; K2O 10; Ca 2");
    ck_assert_int_eq(sw_content_elements(&per_g), 3);
    ck_assert_double_eq_tol(sw_content_charges(&per_g), 10.26, 0.005);
}
END_TEST

/* As AAPFCO's and the EU's rules word an analysis (from memory), and in a few
 * languages. */
START_TEST(regulations_word_it_otherwise)
{
    static const char *const pairs[][2] = {
        {"Guaranteed Analysis\nTotal Nitrogen (N) ....... 15.5%\n"
         "   14.4% Nitrate Nitrogen\n   1.1% Ammoniacal Nitrogen\n"
         "Calcium (Ca)......19%\n  19.0% Water Soluble Calcium (Ca)\n",
         "NO3-N 14.4; NH4-N 1.1; Ca 19.0"},
        {"Available Phosphate (P2O5): 52 %, Soluble Potash (K2O): 34 %",
         "P2O5 52; K2O 34"},
        {"Total Nitrogen (N) 20 %; 10% Urea Nitrogen, 6 % Nitrate Nitrogen; "
         "4 % Ammoniacal Nitrogen",
         "urea-N 10; NO3-N 6; NH4-N 4"},
        {"Magnesium (Mg) 2.0%\n1.5% Water Soluble Magnesium (Mg)", "Mg 1.5"},
        {"Magnesium (Mg) 10 % (16.6 % MgO)", "Mg 10"},
        {"Calcium (Ca) 19.0 % (26.6 % CaO)", "Ca 19"},
        {"Sulfur (S) 13%; 13% Combined Sulfur (S)", "S 13"},
        {"Iron (Fe) 1.0 %; 1.0 % Chelated Iron (Fe); Ca 1",
         "Fe-EDTA 1.0; Ca 1"},
        {"Iron (Fe) 1.0% 1.0% Chelated Iron (Fe)\nTotal Nitrogen (N) 15% "
         "13.0% Nitrate Nitrogen\n2 % Ammoniacal Nitrogen",
         "Fe-EDTA 1.0; NO3-N 13; NH4-N 2"},
        {"Iron (Fe) 1.0 %; iron chelated by DTPA 0.6 %",
         "Fe-DTPA 0.6 %; free Fe 0.4"},
        {"Iron (Fe) 0.30 %; 0.3 % EDTA chelated iron; Ca 1",
         "Fe-EDTA 0.3; Ca 1"},
        {"Chlorine (Cl), not more than 1 %; K2O 46 %", "K2O 46"},
        {"Boron (B) soluble in water 100 mg/kg; K2O 46 %", "B 0.01 %; K2O 46"},
        {"Phosphorus pentoxide (P2O5) soluble in neutral ammonium citrate and "
         "water 12 %; phosphorus pentoxide (P2O5) soluble in water 11.5 %; "
         "potassium oxide (K2O) soluble in water 5 %",
         "P2O5 11.5; K2O 5"},
        {"Magnesium oxide (MgO) soluble in water 3 %\n"
         "Sulphur trioxide (SO3) soluble in water 5 %\n"
         "Calcium oxide (CaO) soluble in water 4 %",
         "MgO 3; SO3 5; CaO 4"},
        {"12 % N Gesamtstickstoff\n8 % Nitratstickstoff\n4 % "
         "Ammoniumstickstoff\n5,0 % P2O5 neutral-ammoncitratlösliches und "
         "wasserlösliches Phosphat\n30 % K2O wasserlösliches Kaliumoxid\n"
         "0,03 % Fe Eisen als Chelat von EDTA",
         "NO3-N 8; NH4-N 4; P2O5 5.0; K2O 30; Fe-EDTA 0.03"},
        {"Azote (N) total 12 %\ndont azote nitrique 8 %\ndont azote ammoniacal "
         "4 %\nAnhydride phosphorique (P2O5) soluble dans le citrate "
         "d'ammonium neutre et dans l'eau 5 %\nOxyde de potassium (K2O) "
         "soluble "
         "dans l'eau 30 %\nFer (Fe) chélaté par EDTA 0,03 %",
         "NO3-N 8; NH4-N 4; P2O5 5; K2O 30; Fe-EDTA 0.03"},
        {"Nitrógeno (N) total 12 %\nNitrógeno nítrico 8 %\nNitrógeno amoniacal "
         "4 %\nPentóxido de fósforo (P2O5) soluble en agua 5 %\nÓxido de "
         "potasio (K2O) soluble en agua 30 %\nHierro (Fe) quelatado por EDTA "
         "0,03 %",
         "NO3-N 8; NH4-N 4; P2O5 5; K2O 30; Fe-EDTA 0.03"},
        {"12 % stikstof (N) totaal\n8 % nitraatstikstof\n4 % "
         "ammoniumstikstof\n5 % fosforpentoxide (P2O5) oplosbaar in water\n"
         "30 % kaliumoxide (K2O) oplosbaar in water\n0,03 % ijzer (Fe) "
         "gechelateerd door EDTA",
         "NO3-N 8; NH4-N 4; P2O5 5; K2O 30; Fe-EDTA 0.03"},
        {"Azoto (N) totale 12 %\ndi cui azoto nitrico 8 %\ndi cui azoto "
         "ammoniacale 4 %\nAnidride fosforica (P2O5) solubile in acqua 5 %\n"
         "Ossido di potassio (K2O) solubile in acqua 30 %\nFerro (Fe) chelato "
         "con EDTA 0,03 %",
         "NO3-N 8; NH4-N 4; P2O5 5; K2O 30; Fe-EDTA 0.03"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        is_same(pairs[i][0], pairs[i][1]);
}
END_TEST

START_TEST(parts_and_wholes_are_held_against_each_other)
{
    static const struct {
        const char *label;
        sw_status status;
        const char *says;
    } cases[] = {
        {"Total N 15; NO3-N 12", SW_ERR_NAME, "12 % of it has a form"},
        {"Total N 14.0; NO3-N 10.0; NH4-N 5.0", SW_ERR_VALUE,
         "more than the total"},
        {"Mg 1.0; water soluble magnesium 2.0", SW_ERR_VALUE, "a part of"},
        {"Iron 0.10 %; chelated iron 0.20 %", SW_ERR_VALUE, "a part of"},
        {"Mg 1; Mg 1", SW_ERR_DUPLICATE, "twice"},
        {"Ca 5 % w/v", SW_ERR_UNIT, "by volume"},
        {"20-20-20\nTotal N 20\nNO3-N 20\nP2O5 2\nK2O 20", SW_ERR_VALUE,
         "says P2O5 20 %, the analysis 2 %"},
        {"Leaf 20-20-20 + TE\nNO3-N 20\nP2O5 20", SW_ERR_VALUE,
         "says K2O 20 %, the analysis 0 %"},
        {"Leaf 15-0-0", SW_ERR_SYNTAX, "a grade such as 15-0-0"},
        {"Nitrate nitrogen 40 g/L", SW_ERR_UNIT, "density"},
        {"Boron....02 %", SW_ERR_SYNTAX, "0.02"},
        {"Ca 19 % (20 % CaO)", SW_ERR_VALUE, "20 % CaO"},
        {"Ca 19.0 % (26.9 % CaO)", SW_ERR_VALUE, "26.9 % CaO"},
        {"chelated calcium 3 %", SW_ERR_NAME, "chelate"},
        {"Net weight 25 kg\nSold by nobody", SW_ERR_SYNTAX, "no figure"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_error error = refuse(cases[i].label);
        ck_assert_msg(error.status == cases[i].status &&
                          strstr(error.message, cases[i].says),
                      "%s: %d %s", cases[i].label, (int)error.status,
                      error.message);
    }
}
END_TEST

START_TEST(a_liquid_gives_its_density)
{
    static const struct {
        const char *label;
        double g_per_ml;
    } cases[] = {
        {"K2O 6; density 1.24", 1.24},
        {"K2O 6 %\nDensity at 20 C: 1.24 kg/L", 1.24},
        {"K2O 6 %\nSpecific gravity 1,18", 1.18},
        {"K2O 6 %\nWeight per gallon 10.3 lb", 1.2342},
        {"K2O 6 %\nDensity: 10.3 lbs/gal", 1.2342},
        {"K2O 6 %\nDensity: 10.3 lb per gallon", 1.2342},
        {"K2O 6; density 0.6", 0.6},
        {"K2O 6; density 2.5", 2.5},
        {"K2O 6 %", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_label label;
        sw_error error = {0};
        ck_assert_msg(sw_label_read(cases[i].label, NULL, 0, &label, &error) ==
                          SW_OK,
                      "%s: %s", cases[i].label, error.message);
        ck_assert_msg(fabs(label.density_g_per_ml - cases[i].g_per_ml) < 1e-4,
                      "%s: %g", cases[i].label, label.density_g_per_ml);
    }
    static const char *const refused[] = {"1240", "high", "0.59", "2.51"};
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        char text[40];
        (void)snprintf(text, sizeof text, "K2O 6; density %s", refused[i]);
        ck_assert_int_eq(refuse(text).status, SW_ERR_VALUE);
    }
}
END_TEST

START_TEST(what_is_not_read_is_kept_in_words)
{
    sw_label label;
    ck_assert_int_eq(
        sw_label_read("Invented 20-0-0\nMade by nobody\nTotal Nitrogen (N) 20 "
                      "%\n12 % Nitrate "
                      "Nitrogen\n5 % Ammoniacal Nitrogen\n2 % Other Water "
                      "Soluble Nitrogen\n1 % Water Insoluble Nitrogen\nFree "
                      "Sulfur (S) 3 %\nChelated Iron (Fe) 0.1 %\nDerived from: "
                      "potassium nitrate,\nammonium nitrate.\nPotential "
                      "acidity: 400 lb",
                      NULL, 0, &label, NULL),
        SW_OK);
    ck_assert_str_eq(label.unread, "'Made by nobody'");
    ck_assert_str_eq(label.lost, "S, N");
    ck_assert_str_eq(label.derived, "potassium nitrate,\nammonium nitrate.");
    ck_assert_double_eq(label.n_unformed_mg_per_g, 20);
    ck_assert_double_eq(label.per_g.amount[SW_UREA_N], 20);
    ck_assert_double_eq(label.per_g.amount[SW_S], 0);
    ck_assert(label.chelator_open && label.chelator == SW_EDTA);
    ck_assert(!label.n_open);
}
END_TEST

/* A list goes on to a new line only after a comma, a semicolon or "and". */
START_TEST(a_list_ends_with_its_line)
{
    static const struct {
        const char *text, *derived;
    } rows[] = {
        {"nitric acid\nF1234", "nitric acid"},
        {"nitric acid, urea,\nF-1234", "nitric acid, urea"},
        {"nitric acid\nMade in Spain", "nitric acid"},
        {"nitric acid\nKeep dry", "nitric acid"},
        {"nitric acid\nCaution", "nitric acid"},
        {"\nnitric acid,\nurea and\nmagnesium nitrate\nCaution",
         "\nnitric acid,\nurea and\nmagnesium nitrate"},
        {"nitric acid and\nUrea\nCaution", "nitric acid and\nUrea"},
        {"nitric acid demand\nUrea", "nitric acid demand"},
        {"nitric acid;\nurea\nund Harnstoff",
         "nitric acid;\nurea\nund Harnstoff"},
    };
    static const char *const densities[] = {
        "nitric acid\nDensity 1.37 kg/L", "nitric acid; density 1.37",
        "nitric acid,\nspecific gravity 1.37"};
    sw_label label;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[200];
        snprintf(text, sizeof text, "NO3-N 15%%\nDerived from: %s",
                 rows[i].text);
        ck_assert_int_eq(sw_label_read(text, NULL, 0, &label, NULL), SW_OK);
        const char *first = label.derived + strspn(label.derived, " ");
        const char *want = rows[i].derived + strspn(rows[i].derived, "\n");
        ck_assert_str_eq(first + strspn(first, "\n"), want);
    }
    for (size_t i = 0; i < sizeof densities / sizeof *densities; i++) {
        char text[200];
        snprintf(text, sizeof text, "NO3-N 15%%\nDerived from: %s",
                 densities[i]);
        ck_assert_int_eq(sw_label_read(text, NULL, 0, &label, NULL), SW_OK);
        ck_assert_str_eq(label.derived, "nitric acid");
        ck_assert_double_eq(label.density_g_per_ml, 1.37);
    }
}
END_TEST

/* The chelator of the list holds what is chelated, whether its salts give the
 * figures or not; of several the most fragile, and that stays open. */
START_TEST(the_chelator_is_read_from_the_list)
{
    static const struct {
        const char *text;
        sw_chelator chelator;
        bool open, several;
        double held; /* of iron, mg/g */
    } rows[] = {
        {"chelated Fe 1 %; derived from: iron DTPA", SW_DTPA, 0, 0, 10},
        {"chelated Fe 1 %; derived from: iron EDDHA, dust", SW_EDDHA, 0, 0, 10},
        {"chelated Fe 1 %; derived from: sodium ferric EDDHA", SW_EDDHA, 0, 0,
         10},
        {"Fe 1 %; derived from: urea, NaFeEDDHA", SW_EDDHA, 0, 0, 10},
        {"Fe 1 %; derived from: dust, Fe-DTPA (iron DTPA)", SW_DTPA, 0, 0, 10},
        {"chelated Fe 1 %; derived from: iron DTPA and iron EDDHA", SW_DTPA, 1,
         1, 10},
        {"chelated Fe 1 %; derived from: iron EDDHA, iron EDTA", SW_EDTA, 1, 1,
         10},
        {"chelated Fe 1 %; derived from: manganese EDTA, iron DTPA", SW_DTPA, 0,
         0, 10},
        {"chelated Fe 1 %; derived from: iron sulfate", SW_EDTA, 1, 0, 10},
        {"Fe 1 %; derived from: iron sulfate, iron DTPA", SW_CHELATOR_NONE, 0,
         0, 0},
        {"Fe-EDDHA 1 %; derived from: iron DTPA", SW_EDDHA, 0, 0, 10},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        ck_assert_int_eq(sw_label_read(rows[i].text, NULL, 0, &label, NULL),
                         SW_OK);
        ck_assert_msg(label.chelator == rows[i].chelator, "%s: %d",
                      rows[i].text, label.chelator);
        ck_assert_msg(label.chelator_open == rows[i].open, "%s", rows[i].text);
        ck_assert(label.chelators_listed == rows[i].several);
        ck_assert_double_eq(label.per_g.amount[SW_CHELATED_FE], rows[i].held);
    }
}
END_TEST

/* 12.3 lb/gal is 1.474, 9.8 lb 1.174 g/mL: 453.592 g, 3785.41 mL. */
START_TEST(ordinary_wording_of_bags_is_read)
{
    static const struct {
        const char *text;
        sw_component component;
        double mg_per_g, density;
    } rows[] = {
        {"K2O 6\nWeight per gallon: 9.8 lbs @ 68°F", SW_K, 49.8, 1.174},
        {"K2O 6\nDensity: 12.3 lb/gal at 68F", SW_K, 49.8, 1.474},
        {"K2O 6\nDensity: 1.24 kg/L (20 °C)", SW_K, 49.8, 1.24},
        {"K2O 6\nDensity: 12.3 lb/gal(68F)", SW_K, 49.8, 1.474},
        {"K2O 6\nDensity at 20 °C: 1.24 kg/L", SW_K, 49.8, 1.24},
        {"Azote total 12%\ndont 5% nitrique\n7% ammoniacal", SW_NO3_N, 50, 0},
        {"Azote total 12%\ndont 5% nitrique\n7% ammoniacal", SW_NH4_N, 70, 0},
        {"Total Nitrogen (N) 7% (nitrate)", SW_NO3_N, 70, 0},
        {"Total Nitrogen (N) 7% (urea)", SW_UREA_N, 70, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        sw_error error = {0};
        ck_assert_msg(sw_label_read(rows[i].text, NULL, 0, &label, &error) ==
                          SW_OK,
                      "%s: %s", rows[i].text, error.message);
        ck_assert_double_eq_tol(label.per_g.amount[rows[i].component],
                                rows[i].mg_per_g, 0.1);
        ck_assert_double_eq_tol(label.density_g_per_ml, rows[i].density, 1e-3);
    }
    ck_assert_int_eq(refuse("K2O 6; density 68 F").status, SW_ERR_VALUE);
    ck_assert_int_eq(refuse("K2O 6; density @ 68 F").status, SW_ERR_VALUE);
}
END_TEST
