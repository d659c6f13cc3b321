/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

static void open_sound(sw_kit *kit)
{
    kit_open(kit);
    kit_target(kit, SW_K, 200);
    kit_product(kit, "potash", SW_K, 400);
}

/* Refused with `status`, a place, and the word in the message. */
static void expect(sw_kit *kit, sw_status status, const char *word,
                   const char *file, unsigned long line)
{
    ck_assert_int_eq(kit_solve(kit), status);
    ck_assert_ptr_null(kit->solution);
    ck_assert_int_eq(kit->error.status, status);
    ck_assert_msg(strstr(kit->error.message, word) != NULL, "%s",
                  kit->error.message);
    ck_assert_str_eq(kit->error.file, file);
    ck_assert_uint_eq(kit->error.line, line);
    kit_close(kit);
}

START_TEST(nothing_to_work_with)
{
    sw_kit kit;
    open_sound(&kit);
    kit.problem.water_count = 0;
    expect(&kit, SW_ERR_MISSING, "no water", "", 0);
    open_sound(&kit);
    kit.target.count = 0;
    expect(&kit, SW_ERR_MISSING, "target is empty", "", 0);
    open_sound(&kit);
    kit.shelf.count = 0;
    expect(&kit, SW_ERR_MISSING, "shelf is empty", "", 0);
    open_sound(&kit);
    kit.row[0].weight = 0;
    expect(&kit, SW_ERR_MISSING, "nothing to come close to", "target.csv", 0);
}
END_TEST

START_TEST(an_objective_there_is_not)
{
    sw_kit kit;
    open_sound(&kit);
    kit.problem.objective = (sw_objective)7;
    expect(&kit, SW_ERR_VALUE, "objective", "", 0);
}
END_TEST

START_TEST(fractions_that_are_none)
{
    sw_kit kit;
    const double short_of_one[] = {0.5, 0.4};
    const double negative[] = {1.5, -0.5};
    const double no_number[] = {NAN, 1};
    const double *const bad[] = {short_of_one, negative, no_number};
    for (int i = 0; i < 3; i++) {
        open_sound(&kit);
        kit.problem.water_count = 2;
        kit.problem.fractions = bad[i];
        expect(&kit, SW_ERR_VALUE, "fraction", "", 0);
    }
}
END_TEST

START_TEST(a_water_or_product_that_is_not_finite)
{
    sw_kit kit;
    open_sound(&kit);
    kit.water[0].amount[SW_NA] = NAN;
    expect(&kit, SW_ERR_VALUE, "water 1", "", 0);
    open_sound(&kit);
    kit.product[0].per_g.amount[SW_CA] = INFINITY;
    expect(&kit, SW_ERR_VALUE, "potash", "shelf.csv", 2);
}
END_TEST

START_TEST(a_target_of_zero_without_a_scale)
{
    sw_kit kit;
    open_sound(&kit);
    kit_target(&kit, SW_CL, 0);
    expect(&kit, SW_ERR_MISSING, "Cl", "target.csv", 3);
    open_sound(&kit);
    kit_row(&kit, SW_CL, 0, NAN, 0);
    expect(&kit, SW_ERR_VALUE, "Cl", "target.csv", 3);
}
END_TEST

START_TEST(target_cells_out_of_their_domain)
{
    sw_kit kit;
    open_sound(&kit);
    kit_row(&kit, SW_CA, 100, 120, 80);
    expect(&kit, SW_ERR_VALUE, "min 120 is above max 80", "target.csv", 3);
    open_sound(&kit);
    kit_target(&kit, SW_CA, -1);
    expect(&kit, SW_ERR_VALUE, "Ca", "target.csv", 3);
    open_sound(&kit);
    kit_row(&kit, SW_CA, 100, NAN, INFINITY);
    expect(&kit, SW_ERR_VALUE, "Ca", "target.csv", 3);
    open_sound(&kit);
    kit_target(&kit, SW_CA, 100)->weight = -1;
    expect(&kit, SW_ERR_VALUE, "weight", "target.csv", 3);
    open_sound(&kit);
    kit_target(&kit, SW_CA, 100)->weight = NAN;
    expect(&kit, SW_ERR_VALUE, "weight", "target.csv", 3);
}
END_TEST

START_TEST(a_ph_the_chemistry_does_not_reach)
{
    sw_kit kit;
    open_sound(&kit);
    sw_target_row *row = kit_row(&kit, SW_K, NAN, 1, 3);
    row->kind = SW_TARGET_PH;
    expect(&kit, SW_ERR_VALUE, "pH", "target.csv", 3);
    open_sound(&kit);
    row = kit_row(&kit, SW_K, NAN, NAN, 13);
    row->kind = SW_TARGET_PH;
    expect(&kit, SW_ERR_VALUE, "pH", "target.csv", 3);
}
END_TEST

START_TEST(amounts_of_products_out_of_their_domain)
{
    sw_kit kit;
    open_sound(&kit);
    kit.product[0].min_g_per_l = 2;
    kit.product[0].max_g_per_l = 1;
    expect(&kit, SW_ERR_VALUE, "min 2 g/L is above", "shelf.csv", 2);
    open_sound(&kit);
    kit.product[0].max_g_per_l = 1;
    kit.product[0].fixed_g_per_l = 2;
    expect(&kit, SW_ERR_VALUE, "outside", "shelf.csv", 2);
    open_sound(&kit);
    kit.product[0].min_g_per_l = 1;
    kit.product[0].fixed_g_per_l = 0.5;
    expect(&kit, SW_ERR_VALUE, "outside", "shelf.csv", 2);
    open_sound(&kit);
    kit.product[0].fixed_g_per_l = 1500;
    expect(&kit, SW_ERR_VALUE, "litre", "shelf.csv", 2);
    open_sound(&kit);
    kit.product[0].min_g_per_l = 1500;
    expect(&kit, SW_ERR_VALUE, "litre", "shelf.csv", 2);
    open_sound(&kit);
    kit.product[0].max_g_per_l = -1;
    expect(&kit, SW_ERR_VALUE, "potash", "shelf.csv", 2);
    open_sound(&kit);
    kit.product[0].price_per_kg = -1;
    expect(&kit, SW_ERR_VALUE, "price", "shelf.csv", 2);
}
END_TEST

/* A number of a sound problem with a window of pH, taken up to its bounds and
 * refused a hair beyond; NAN: no such end. */
#define AT(field) #field, offsetof(sw_kit, field)
static const struct {
    const char *name;
    size_t at;
    double least, under, most, over;
} BOUNDS[] = {
    {AT(problem.conditions.temperature_c), 5, 4.999, 40, 40.001},
    {AT(problem.conditions.co2_atm), 1e-9, 0, 1, 1.001},
    {AT(problem.most_cost_per_m3), 0, -1e-9, NAN, INFINITY},
    {AT(water[0].amount[SW_NA]), NAN, NAN, 1, INFINITY},
    {AT(row[0].target), 0.001, -1e-9, NAN, INFINITY},
    {AT(row[0].min), 0, -1e-9, 300, 300.001},
    {AT(row[0].max), 100, 99.999, NAN, INFINITY},
    {AT(row[0].weight), 0, -1e-9, NAN, INFINITY},
    {AT(row[1].min), 2.1, 2.099, 8, 8.001},
    {AT(row[1].max), 5, 4.999, 11.9, 11.901},
    {AT(row[2].target), 1e-9, NAN, NAN, INFINITY},
    {AT(product[0].price_per_kg), 0, -1e-9, 1e6, INFINITY},
    {AT(product[0].min_g_per_l), 0, -1e-9, 1000, 1000.001},
    {AT(product[0].max_g_per_l), 0, -1e-9, 2000, INFINITY},
    {AT(product[0].fixed_g_per_l), 0, -1e-9, 1000, 1000.001},
    {AT(product[1].min_g_per_l), 0, -1e-9, 2, 2.001},
    {AT(product[1].max_g_per_l), 1, 0.999, NAN, INFINITY},
    {AT(product[1].fixed_g_per_l), 1, 0.999, 2, 2.001},
};

static void expect_at(size_t row, double number, sw_status status)
{
    sw_kit kit;
    if (isnan(number))
        return;
    kit_open(&kit);
    kit_row(&kit, SW_K, 200, 100, 300);
    kit_row(&kit, SW_K, NAN, 5, 8)->kind = SW_TARGET_PH;
    kit_row(&kit, SW_CL, 1, NAN, NAN);
    kit_product(&kit, "weak potash", SW_K, 0.01);
    kit_product(&kit, "limited", SW_CA, 0.01);
    kit.product[1].min_g_per_l = 1;
    kit.product[1].max_g_per_l = 2;
    memcpy((char *)&kit + BOUNDS[row].at, &number, sizeof number);
    ck_assert_msg(kit_solve(&kit) == status, "%s = %.9g: %s %s",
                  BOUNDS[row].name, number, sw_status_text(kit.error.status),
                  kit.error.message);
    kit_close(&kit);
}

START_TEST(a_number_is_taken_up_to_its_bounds)
{
    for (size_t i = 0; i < sizeof BOUNDS / sizeof *BOUNDS; i++) {
        expect_at(i, BOUNDS[i].least, SW_OK);
        expect_at(i, BOUNDS[i].under, SW_ERR_VALUE);
        expect_at(i, BOUNDS[i].most, SW_OK);
        expect_at(i, BOUNDS[i].over, SW_ERR_VALUE);
    }
}
END_TEST

START_TEST(waters_are_taken_in_shares_that_are_one_together)
{
    static const struct {
        double fraction[2], price[2];
        sw_status status;
    } rows[] = {{{0, 1}, {0, 1}, SW_OK},
                {{0.5, 0.5 + 9e-10}, {1, 1}, SW_OK},
                {{0.5, 0.5 - 9e-10}, {1, 1}, SW_OK},
                {{0.5, 0.5 + 2e-9}, {1, 1}, SW_ERR_VALUE},
                {{0.5, 0.5 - 2e-9}, {1, 1}, SW_ERR_VALUE},
                {{-1e-10, 1}, {1, 1}, SW_ERR_VALUE},
                {{0.5, 0.5}, {-1e-9, 1}, SW_ERR_VALUE},
                {{0.5, 0.5}, {1, NAN}, SW_ERR_VALUE}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_kit kit;
        open_sound(&kit);
        kit.problem.water_count = 2;
        kit.problem.fractions = rows[i].fraction;
        kit.problem.water_price_per_m3 = rows[i].price;
        ck_assert_msg(kit_solve(&kit) == rows[i].status, "row %zu: %s", i,
                      kit.error.message);
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(a_caller_without_an_error_gets_the_status, open_sound(kit))
{
    kit->row[0].weight = -1;
    ck_assert_int_eq(
        sw_formulate(kit->solver, &kit->problem, &kit->solution, NULL),
        SW_ERR_VALUE);
    ck_assert_ptr_null(kit->solution);
}
END_TEST

START_TEST(words_go_there_and_back)
{
    sw_error error;
    sw_objective objective = SW_EVEN;
    int count = 0;
    for (const char *text; (text = sw_objective_text((sw_objective)count));
         count++) {
        ck_assert_int_eq(sw_objective_parse(text, &objective, &error), SW_OK);
        ck_assert_int_eq((int)objective, count);
    }
    ck_assert_int_gt(count, SW_CHEAPEST);
    ck_assert_int_eq(sw_objective_parse("Closest", &objective, &error),
                     SW_ERR_NAME);
    ck_assert_ptr_nonnull(strstr(error.message, "cheapest"));
    ck_assert_str_eq(sw_outcome_text(SW_OPTIMAL), "optimal");
    ck_assert_str_eq(sw_outcome_text(SW_LIMIT), "limit");
    ck_assert_str_eq(sw_outcome_text(SW_CONFLICT), "conflict");
    ck_assert_ptr_null(sw_outcome_text((sw_outcome)9));
}
END_TEST
