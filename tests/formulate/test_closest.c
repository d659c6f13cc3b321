/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

START_TEST(one_product_meets_one_target)
{
    sw_kit kit;
    kit_open(&kit);
    kit_target(&kit, SW_K, 200);
    kit_product(&kit, "potash", SW_K, 400);
    kit_optimum(&kit);
    ck_assert_double_eq_tol(kit_amount(&kit, 0), 0.5, TOL_HAND_SOLVED);
    kit_close(&kit);
}
END_TEST

START_TEST(a_product_of_two_components_balances_their_squares)
{
    /* min (x - 1)^2 + (x/2 - 1)^2 in relative units: x = 1.5 / 1.25 */
    sw_kit kit;
    kit_open(&kit);
    kit_target(&kit, SW_K, 100);
    kit_target(&kit, SW_NO3_N, 100);
    sw_product *both = kit_product(&kit, "both", SW_K, 100);
    both->per_g.amount[SW_NO3_N] = 50;
    kit_optimum(&kit);
    ck_assert_double_eq_tol(kit_amount(&kit, 0), 1.2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit.solution->certificate.objective, 0.2,
                            TOL_HAND_SOLVED);
    kit_close(&kit);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        one_product_meets_one_target,
        a_product_of_two_components_balances_their_squares, NULL};
    return run_suite(suite_of("closest", tests));
}
