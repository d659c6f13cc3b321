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
        ck_assert_int_eq(dilute, cases[i].clouds && cases[i].dilute);
        ck_assert_int_eq(other, cases[i].clouds && !cases[i].dilute);
        sw_steps_free(o);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        what_clouds_a_reservoir_is_diluted_where_that_helps, NULL};
    return run_suite(suite_of("mixing_steps", tests));
}
