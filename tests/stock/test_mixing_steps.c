/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the steps of mixing say. */
#include "suite.h"

#include "recipes.h"

static bool is_said(const sw_steps *steps, const char *text)
{
    for (size_t i = 0; i < steps->count; i++)
        if (strstr(steps->items[i].text, text))
            return true;
    return false;
}

/* As much calcium nitrate as potassium sulfate, g/L: a little gypsum stays
 * clear in twice the water, much of it in no water that anyone would pour. */
START_TEST(what_clouds_a_reservoir_is_diluted_where_that_helps)
{
    static const struct {
        double g_per_l;
        bool clouds, dilute;
    } cases[] = {{3, false, false}, {5, true, true}, {10, true, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        stocked s;
        double mg = 1000 * cases[i].g_per_l;
        const published_recipe recipe = {
            "gypsum", "invented", {{"Ca(NO3)2.4H2O", mg, 0}, {"K2SO4", mg, 0}}};
        stock_up(&s, &recipe);
        s.mix.conditions = sw_conditions_default();
        sw_mixing mixing = {.mix = &s.mix, .volume_l = 1000};
        sw_steps *o;
        ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_OK);
        bool dilute = is_said(o, "plenty of water");
        bool other = is_said(o, "another source");
        ck_assert_int_eq(is_said(o, "as in the full reservoir"),
                         cases[i].clouds);
        ck_assert_int_eq(dilute, cases[i].clouds && cases[i].dilute);
        ck_assert_int_eq(other, cases[i].clouds && !cases[i].dilute);
        sw_steps_free(o);
    }
}
END_TEST

START_TEST(what_heats_goes_into_cold_water_and_nothing_says_warm)
{
    enum { HOT = 11 };
    static const char *const salts[] = {
        "K2CO3",        "CaCl2",
        "CaCl2.2H2O",   "MgSO4",
        "K3PO4",        "HNO3",
        "MgSO4.H2O",    "MgSO4.2H2O",
        "Ca(NO3)2",     "5Ca(NO3)2.2H2O",
        "MgCl2",        "CaCl2.4H2O",
        "CaCl2.6H2O",   "MgSO4.7H2O",
        "MgCl2.6H2O",   "KH2PO4",
        "MgSO4.3H2O",   "5Ca(NO3)2.3H2O",
        "Ca(NO3)2.H2O", "5Ca(NO3)2.NH4NO3.10H2O",
        "KNO3"};
    for (size_t i = 0; i < sizeof salts / sizeof *salts; i++) {
        const published_recipe recipe = {
            "heat", "invented", {{salts[i], 100, 0}}};
        stocked s;
        sw_stock *stock;
        stock_up(&s, &recipe);
        sw_stock_setup setup = sw_stock_setup_default(100);
        ck_assert_int_eq(
            sw_stock_plan(one_solver(), &s.mix, &setup, &stock, NULL), SW_OK);
        ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
        sw_mixing mixing = {.mix = &s.mix, .stock = stock, .setup = &setup};
        sw_steps *o;
        ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_OK);
        bool cold = is_said(o, "cold water");
        bool warm = is_said(o, "30 to 40") || is_said(o, "warm water");
        ck_assert_msg(cold == (i < HOT) && warm == (i >= HOT), "%s",
                      s.product[0].name);
        sw_steps_free(o);
        sw_stock_free(stock);
    }
}
END_TEST
