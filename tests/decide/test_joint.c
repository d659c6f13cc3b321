/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What gives way in the waters that one recipe serves. */
#include "../formulate/kit.h"

static sw_many *joint(sw_kit *kit)
{
    sw_many *many = NULL;
    ck_assert_msg(
        sw_one_recipe(kit->solver, &kit->problem, &many, &kit->error) == SW_OK,
        "%s", kit->error.message);
    return many;
}

/* Of the first water with what goes into it. */
static double ph_of(const sw_kit *kit, const sw_in_water *water)
{
    sw_content finished = kit->water[0];
    sw_chemistry chemistry;
    sw_content_add_recipe(&finished, 1, &kit->shelf, &water->amounts);
    ck_assert_int_eq(sw_equilibrate(&finished, &kit->problem.conditions,
                                    SW_CARBONATE_KEPT, &chemistry, NULL),
                     SW_OK);
    return chemistry.ph;
}

/* One water has more sodium than the target allows, the other none. */
START_KIT_TEST(what_one_water_is_over_is_told_there_and_nothing_adds_to_it,
               kit_open(kit))
{
    kit->water[0].amount[SW_NA] = 298;
    kit->problem.water_count = 2;
    kit->problem.nearest = true;
    kit_target(kit, SW_K, 200);
    kit_row(kit, SW_NA, NAN, NAN, 60);
    kit_product(kit, "with sodium", SW_K, 400)->per_g.amount[SW_NA] = 50;
    kit_product(kit, "without", SW_K, 300)->max_g_per_l = 0.5;
    kit_target(kit, SW_MO, 0.05);
    kit_product(kit, "molybdate", SW_MO, 396)->per_g.amount[SW_NA] = 190;
    sw_many *many = joint(kit);
    ck_assert_int_eq(many->recipes[0].outcome, SW_OPTIMAL);
    for (size_t k = 0; k < 2; k++) {
        const sw_in_water *water = &many->waters[k];
        ck_assert_double_eq(water->amounts.g_per_l[0], 0);
        ck_assert_double_eq_tol(water->amounts.g_per_l[1], 0.5, 1e-12);
        ck_assert_double_eq_tol(water->amounts.g_per_l[2], 0.05 / 396, 1e-9);
        ck_assert_uint_eq(water->notes.count, k == 0);
    }
    const char *text = many->waters[0].notes.items[0].text;
    ck_assert_ptr_nonnull(strstr(text, "the water alone brings 298 mg/L"));
    sw_many_free(many);
}
END_TEST

/* Alkalinity of 5 meq/L, which only sulfuric acid takes away: the range of
 * sulfur gives way to the pH, as far as it takes. */
START_KIT_TEST(a_range_gives_way_to_a_ph, kit_open(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = 5;
    kit->water[0].amount[SW_CARBON] = 5.75;
    kit->problem.nearest = true;
    kit->problem.keep_bands = true;
    kit->problem.objective = SW_CHEAPEST;
    kit_salt(kit, "H2SO4");
    kit_salt(kit, "KNO3");
    for (size_t j = 0; j < 2; j++)
        kit->product[j].price_per_kg = 1;
    kit_target(kit, SW_S, 20);
    kit_target(kit, SW_K, 100);
    kit_ph_row(kit, NAN, 5.5, 6.5);
    sw_many *many = joint(kit);
    const sw_in_water *water = &many->waters[0];
    ck_assert_int_eq(many->recipes[0].outcome, SW_OPTIMAL);
    ck_assert_double_eq_tol(ph_of(kit, water), 6.5, TOL_MODEL_PH);
    double s_mg_per_l =
        water->amounts.g_per_l[0] * kit->product[0].per_g.amount[SW_S];
    ck_assert_double_gt(s_mg_per_l, 22);
    ck_assert_uint_eq(water->notes.count, 1);
    ck_assert_ptr_nonnull(strstr(water->notes.items[0].text, "S max 22"));
    sw_many_free(many);
}
END_TEST
