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
    sw_content per_g;
    sw_error error = {0};
    ck_assert_msg(sw_label_content(label, &per_g, &error) == SW_OK, "%s: %s",
                  label, error.message);
    return per_g;
}

static sw_error refuse(const char *label)
{
    sw_content per_g;
    sw_error error = {0};
    ck_assert_msg(sw_label_content(label, &per_g, &error) != SW_OK,
                  "'%s' was accepted", label);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_double_eq(per_g.amount[i], 0);
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
    ck_assert_double_eq_tol(read_label("P 52").amount[SW_P], 520,
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

START_TEST(alkalinity_comes_from_the_declared_ions)
{
    static const char *const pairs[][2] = {
        {"NO3-N 22.229", "HNO3"},
        {"K 38.672; NO3-N 13.854", "KNO3"},
        {"P 31.608", "H3PO4"},
        {"K 44.895; P 17.783", "K2HPO4"},
        {"S 32.690", "H2SO4"},
        {"Mo 66.656", "MoO3"},
        {"Fe 20.088; S 11.532", "FeSO4·7H2O"},
        {"K 39.053; HCO3 60.946", "KHCO3"},
        {"Na 43.382; CO3 56.618", "Na2CO3"},
        {"K 69.688; OH 30.312", "KOH"},
        {"urea-N 46.646", "CO(NH2)2"},
        {"B 17.483", "H3BO3"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        sw_content label = read_label(pairs[i][0]);
        sw_content formula;
        ck_assert_int_eq(
            sw_formula_content(pairs[i][1], 1, &formula, NULL, NULL), SW_OK);
        for (int k = 0; k < SW_CARRIED_COUNT; k++)
            ck_assert_msg(fabs(label.amount[k] - formula.amount[k]) <
                              TOL_LABEL_DIGITS_MG_PER_G,
                          "%s: %d", pairs[i][1], k);
    }
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
    ck_assert_double_eq_tol(label.amount[SW_ALKALINITY], 0,
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

START_TEST(the_chelator_of_iron_is_told)
{
    ck_assert_int_eq(sw_label_chelator("Mn-EDTA 1; Fe-DTPA 3 %"), SW_DTPA);
    ck_assert_int_eq(sw_label_chelator("Mn-EDTA 1; Ca 4"), SW_EDTA);
    ck_assert_int_eq(sw_label_chelator("Fe-EDDHA 6"), SW_EDDHA);
    ck_assert_int_eq(sw_label_chelator("Fe-HEDTA 6"), SW_HEDTA);
    ck_assert_int_eq(sw_label_chelator("Fe 6"), SW_CHELATOR_NONE);
    ck_assert_int_eq(sw_label_chelator(""), SW_CHELATOR_NONE);
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
    ck_assert_int_eq(sw_label_chelator(label), SW_CHELATOR_NONE);
    label[200] = '\0';
    ck_assert_int_eq(refuse(label).status, SW_ERR_LIMIT);
    ck_assert_int_eq(sw_label_chelator(label), SW_CHELATOR_NONE);
}
END_TEST

START_TEST(imbalance_shows_a_label_that_leaves_an_ion_out)
{
    sw_content whole = read_label("K2O 52; SO3 44.2");
    sw_content partial = read_label("K2O 52");
    sw_content acid = read_label("P 31.6");
    sw_content urea = read_label("urea-N 46");
    sw_content given = read_label("P 3; alkalinity 50");
    ck_assert_double_lt(fabs(sw_content_imbalance(&whole)), 0.01);
    ck_assert_double_eq_tol(sw_content_imbalance(&partial), 1, TOL_UNIT);
    ck_assert_double_eq_tol(sw_content_imbalance(&acid), -1, TOL_UNIT);
    ck_assert_double_eq(sw_content_imbalance(&urea), 0);
    ck_assert_double_eq(sw_content_imbalance(&given), 1);
}
END_TEST

/* A gram of each, and the alkalinity it counts with; NaN: what its ions say. */
START_TEST(what_rounding_can_close_is_no_acid_or_base)
{
    static const struct {
        const char *label;
        bool neutral;
    } rows[] = {
        {"NO3-N 5; P2O5 11; K2O 26; SO3 15; MgO 5; Fe-EDTA 0.3", true},
        {"NO3-N 5,0; P2O5 11,0; K2O 26,0; SO3 15,0; MgO 5,0", false},
        {"NO3-N 5.00; P2O5 11.00; K2O 26.00; SO3 15.00; MgO 5.00", false},
        {"NO3-N 5; P2O5 11; K2O 20; SO3 15; MgO 5", false}, /* K left out */
        {"NO3-N 14.4; NH4-N 1.1; Ca 19", false},            /* no mixture */
        {"NO3-N 5; P2O5 11; K2O 26; SO3 15; MgO 5; CO3 0.1", false},
        {"NO3-N 5; P2O5 40; K2O 12; MgO 2", false}, /* phosphoric acid */
        {"NO3-N 10; P2O5 5; K2O 5; MgO 2", false},  /* nitric acid */
        {"SiO2 20; K2O 10; B 1; Mo 0.1", false},    /* a silicate */
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_content per_g = read_label(rows[i].label);
        double gap = sw_content_charge_gap(&per_g);
        ck_assert_double_gt(fabs(gap), 0.005);
        ck_assert_double_eq(per_g.amount[SW_ALKALINITY],
                            rows[i].neutral ? 0 : gap);
    }
}
END_TEST

/* Half a unit of NO3-N in whole percents is 0.357 meq/g; of P2O5 0.070; of K2O
 * 0.106; of MgO 0.248; of Cl to a tenth 0.014: 0.796 is closed and no more.
 * Without Cl 2.238 meq/g of cations are left over; Cl 1 % takes 0.282. */
START_TEST(rounding_closes_half_a_unit_of_each_last_digit)
{
    sw_content within = read_label("NO3-N 5; P2O5 5; K2O 26; MgO 2; Cl 5.2");
    sw_content beyond = read_label("NO3-N 5; P2O5 5; K2O 26; MgO 2; Cl 5.0");
    ck_assert_double_eq_tol(sw_content_charge_gap(&within), 0.771, 0.002);
    ck_assert_double_eq(within.amount[SW_ALKALINITY], 0);
    ck_assert_double_eq_tol(beyond.amount[SW_ALKALINITY], 0.828, 0.002);
}
END_TEST

START_TEST(elements_count_forms_of_nitrogen_once)
{
    sw_content per_g = read_label("NO3-N 5; NH4-N 5; urea-N 5; K2O 10; Ca 2");
    ck_assert_int_eq(sw_content_elements(&per_g), 3);
    ck_assert_double_eq_tol(sw_content_charges(&per_g), 10.26, 0.005);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        a_label_declares_percent_by_mass,
        a_label_may_be_written_in_many_ways,
        an_oxide_is_itself_and_never_its_element,
        oxides_may_sum_above_the_whole_but_elements_may_not,
        alkalinity_comes_from_the_declared_ions,
        alkalinity_may_be_given_instead,
        a_chelated_metal_is_held_and_counts_nothing,
        declared_sodium_balances_the_chelate,
        two_chelators_of_iron_add_up_and_the_free_part_is_named,
        the_chelator_of_iron_is_told,
        what_a_label_leaves_open_is_refused_at_its_place,
        the_refusal_says_how_to_declare,
        labels_have_a_bound,
        imbalance_shows_a_label_that_leaves_an_ion_out,
        what_rounding_can_close_is_no_acid_or_base,
        rounding_closes_half_a_unit_of_each_last_digit,
        elements_count_forms_of_nitrogen_once,
        NULL};
    return run_suite(suite_of("label", tests));
}
