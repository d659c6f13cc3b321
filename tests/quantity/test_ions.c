/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Components as the ions they are in water. */
#include "suite.h"
#include "tolerances.h"

#include "quantity/components.h"

START_TEST(an_ion_has_its_charge_and_what_is_none_has_no_equivalents)
{
    ck_assert_int_eq(sw_charge_in_water(SW_CA), 2);
    ck_assert_int_eq(sw_charge_in_water(SW_S), -2);
    ck_assert_int_eq(sw_charge_in_water(SW_P), -1);
    static const sw_component none[] = {SW_UREA_N, SW_B, SW_SI, SW_N,
                                        SW_ALKALINITY};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        ck_assert_int_eq(sw_charge_in_water(none[i]), 0);
        ck_assert_double_eq(sw_meq_per_mg(none[i]), 0.0);
    }
}
END_TEST

/* Atomic weights over charges, rounded to four figures. */
START_TEST(an_equivalent_weighs_what_tables_say)
{
    static const struct {
        sw_component component;
        double mg_per_meq;
    } cases[] = {
        {SW_CA, 20.04}, {SW_MG, 12.15}, {SW_NA, 22.99}, {SW_CL, 35.45}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_assert_double_eq_tol(sw_meq_per_mg(cases[i].component) *
                                    cases[i].mg_per_meq,
                                1.0, TOL_ROUNDED_WEIGHT);
}
END_TEST
