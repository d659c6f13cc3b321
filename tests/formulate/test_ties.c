/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

/* Three sources of one nutrient. */
static void open_sources(sw_kit *kit)
{
    kit_open(kit);
    kit_target(kit, SW_K, 200);
    kit_product(kit, "carbonate", SW_K, 400)->price_per_kg = 3;
    kit_product(kit, "bicarbonate", SW_K, 200)->price_per_kg = 1;
    kit_product(kit, "acetate", SW_K, 400)->price_per_kg = 3;
}

static void expect(const sw_kit *kit, double first, double second, double third)
{
    ck_assert_double_eq_tol(kit_amount(kit, 0), first, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), second, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 2), third, TOL_HAND_SOLVED);
}

START_KIT_TEST(of_equal_fits_the_cheapest_is_taken, open_sources(kit))
{
    kit_optimum(kit);
    expect(kit, 0, 1, 0);
}
END_TEST

START_KIT_TEST(without_every_price_the_lightest_is_taken, open_sources(kit))
{
    kit->product[0].price_per_kg = NAN;
    kit->product[2].per_g.amount[SW_K] = 300;
    kit_optimum(kit);
    expect(kit, 0.5, 0, 0);
}
END_TEST

START_KIT_TEST(of_equal_cost_the_lightest_is_taken, open_sources(kit))
{
    kit->product[0].price_per_kg = 2;
    kit_optimum(kit);
    expect(kit, 0.5, 0, 0);
}
END_TEST

START_KIT_TEST(of_equal_cost_and_mass_the_first_name_is_taken,
               open_sources(kit))
{
    kit->product[1].price_per_kg = 10;
    kit_optimum(kit);
    expect(kit, 0, 0, 0.5);
}
END_TEST

/* Whether there is more in a of the first in which they differ. */
static bool is_first(const double *a, const double *b)
{
    size_t i = 0;
    while (i < 3 && fabs(a[i] - b[i]) < 1e-9)
        i++;
    return a[i] > b[i];
}

/* Of pairs that are half potassium, the one that comes first. */
static void pair_first(const double *potassium, double *first)
{
    memset(first, 0, 4 * sizeof *first);
    for (size_t i = 0; i < 4; i++)
        for (size_t k = 0; k < 4; k++) {
            double pair[4] = {0};
            if (!(potassium[i] > 0.5 && potassium[k] < 0.5))
                continue;
            pair[i] = (0.5 - potassium[k]) / (potassium[i] - potassium[k]);
            pair[k] = 1 - pair[i];
            if (is_first(pair, first))
                memcpy(first, pair, sizeof pair);
        }
}

/* K and Mg alike from mixtures of both, two of which do. */
START_TEST(as_much_as_can_be_of_the_first_name_is_taken)
{
    static const char *const names[] = {"amber", "beryl", "coral", "drift"};
    static const double part[] = {1, 0.6, 0.3, 0};
    for (size_t order = 0; order < 256; order++) {
        size_t of[] = {order % 4, order / 4 % 4, order / 16 % 4, order / 64};
        double potassium[4], wanted[4];
        sw_kit kit;
        if ((1 << of[0] | 1 << of[1] | 1 << of[2] | 1 << of[3]) != 15)
            continue; /* a name stands there twice */
        kit_open(&kit);
        kit_target(&kit, SW_K, 200);
        kit_target(&kit, SW_MG, 200);
        for (size_t j = 0; j < 4; j++) {
            kit_product(&kit, names[of[j]], SW_K, 400 * part[j])
                ->per_g.amount[SW_MG] = 400 * (1 - part[j]);
            potassium[of[j]] = part[j];
        }
        pair_first(potassium, wanted);
        kit_optimum(&kit);
        for (size_t j = 0; j < 4; j++)
            ck_assert_double_eq_tol(kit_amount(&kit, j), wanted[of[j]],
                                    TOL_HAND_SOLVED);
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(a_tie_stops_at_a_limit_and_goes_on_with_the_next,
               open_sources(kit))
{
    kit->product[1].max_g_per_l = 0.4;
    kit_optimum(kit);
    expect(kit, 0, 0.4, 0.3);
    /* what bounds a tie costs the fit nothing */
    ck_assert_uint_eq(kit->solution->limit_count, 0);
}
END_TEST

START_KIT_TEST(a_tie_keeps_a_fit_that_is_not_exact, open_sources(kit))
{
    kit_target(kit, SW_CL, 100);
    for (int j = 0; j < 3; j++)
        kit->product[j].per_g.amount[SW_CL] =
            kit->product[j].per_g.amount[SW_K] / 4;
    kit_optimum(kit);
    /* (z - 1)^2 + (z / 2 - 1)^2 with z = K / 200 */
    expect(kit, 0, 1.2, 0);
}
END_TEST

START_KIT_TEST(of_equal_waters_the_first_is_taken, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    kit_product(kit, "potash", SW_K, 400);
    kit->problem.water_count = 2;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit->solution->fractions[0], 1, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->fractions[1], 0, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(even_and_cheapest_break_ties_alike, open_sources(kit))
{
    kit->problem.objective = SW_EVEN;
    kit_optimum(kit);
    expect(kit, 0, 1, 0);
    kit->problem.objective = SW_CHEAPEST;
    kit->row[0].min = kit->row[0].max = 200;
    kit->product[1].price_per_kg = 1.5;
    kit_optimum(kit);
    expect(kit, 0, 0, 0.5);
}
END_TEST

/* Two recipes as good, each the lighter at the activities of the other: gypsum,
 * of which the target asks for nothing, is no way out. */
START_KIT_TEST(what_takes_turns_pours_nothing_without_need, kit_open(kit))
{
    static const sw_content water = {{[SW_CA] = 97.878412283966654,
                                      [SW_MG] = 10.05256812996231,
                                      [SW_S] = 9.4484376814216375,
                                      [SW_CL] = 75.446815411793068,
                                      [SW_NA] = 29.788649950874969,
                                      [SW_B] = 0.29163230226840825,
                                      [SW_SI] = 5.7901020464487374,
                                      [SW_ALKALINITY] = 4.9547980718780309,
                                      [SW_CARBON] = 5.2986246283803515}};
    static const char *const shelf[] = {
        "KNO3",       "KH2PO4",    "K2SO4",      "NH4NO3",    "KCl",
        "CaCl2·2H2O", "(NH4)2SO4", "CaSO4·2H2O", "MnSO4·H2O", "H3BO3",
        "HNO3",       "KOH",       "K2CO3"};
    double grams = 0;
    kit->water[0] = water;
    kit_target(kit, SW_N, 107.50640849769117);
    kit_target(kit, SW_K, 350.67071975953877);
    kit_target(kit, SW_MG, 53.095220373943448)->weight = 2.4034047410823405;
    kit_target(kit, SW_B, 0.52333081096410761);
    kit_target(kit, SW_NH4_N, 12.726688066124918);
    kit_ph_row(kit, 7.9668728285469115, NAN, NAN)->aired = true;
    for (size_t j = 0; j < sizeof shelf / sizeof *shelf; j++)
        kit_salt(kit, shelf[j]);
    kit_optimum(kit);
    for (size_t j = 0; j < kit->solution->recipe.count; j++)
        grams += kit_amount(kit, j);
    ck_assert_double_le(grams, 1.2);
    ck_assert_double_eq(kit_amount(kit, 7), 0);
}
END_TEST
