/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What products of the catalogue are to the pH. */
#include "suite.h"

#include "assess/agent.h"

enum { ACID = 1, AGENT = 2, CARBONATE = 4, TRACE = 8 };

static const struct {
    const char *name;
    int is;
} cases[] = {
    {"potassium nitrate", 0},
    {"monopotassium phosphate", 0},
    {"dipotassium phosphate", AGENT},
    {"nitric acid 60 %", ACID | AGENT},
    {"citric acid monohydrate", ACID | AGENT},
    {"tripotassium citrate monohydrate", AGENT},
    {"potassium hydroxide solution 45 %", AGENT},
    {"potassium bicarbonate", AGENT | CARBONATE},
    {"calcium carbonate", AGENT | CARBONATE},
    {"borax decahydrate", AGENT | TRACE},
    {"boric acid", TRACE},
};

static int kind_of(const char *name)
{
    sw_product *p;
    sw_error error = {0};
    ck_assert_msg(sw_catalogue_find(name, &p, &error) == SW_OK, "%s",
                  error.message);
    int is = (sw_is_acid(p) ? ACID : 0) | (sw_is_agent(p) ? AGENT : 0) |
             (sw_is_carbonate(p) ? CARBONATE : 0) |
             (sw_is_trace_source(p) ? TRACE : 0);
    sw_product_free(p);
    return is;
}

START_TEST_EACH(a_product_is_acid_base_carbonate_or_trace_source_or_none,
                sizeof cases / sizeof *cases)
{
    ck_assert_msg(kind_of(cases[_i].name) == cases[_i].is, "%s: %d, not %d",
                  cases[_i].name, kind_of(cases[_i].name), cases[_i].is);
}
END_TEST

/* ---- What stays dissolved ------------------------------------------------ */

static const char *sulfate = "iron(II) sulfate heptahydrate",
                  *edta = "iron EDTA 13 %", *eddha = "iron EDDHA 6 %";

/* Whether the first of these gives way to the rest at a pH (NaN: none asked).
 */
static bool gives_way_with(double potassium, double ph, double most,
                           const char *const *names, size_t count)
{
    sw_product *found[3], products[3];
    for (size_t j = 0; j < count; j++) {
        sw_error error = {0};
        ck_assert_msg(sw_catalogue_find(names[j], &found[j], &error) == SW_OK,
                      "%s", error.message);
        products[j] = *found[j];
        products[j].max_g_per_l = j ? most : NAN;
    }
    products[0].per_g.amount[SW_K] += potassium;
    sw_target_row rows[] = {
        {.component = SW_FE, .target = 2, .min = NAN, .max = NAN, .weight = 1},
        {.kind = SW_TARGET_PH, .target = ph, .min = NAN, .max = NAN}};
    sw_shelf shelf = {.products = products, .count = count};
    sw_target target = {.rows = rows, .count = isnan(ph) ? 1 : 2};
    bool is = sw_is_outlasted(&shelf, &target, &products[0]);
    for (size_t j = 0; j < count; j++)
        sw_product_free(found[j]);
    return is;
}

static bool gives_way(double ph, double most, const char *const *names,
                      size_t count)
{
    return gives_way_with(0, ph, most, names, count);
}

/* Up to pH 5.5 bare iron may stay, up to 6.5 EDTA's (reference/chelates.csv);
 * a feed of which no pH is asked for has 6. */
START_TEST(iron_gives_way_to_a_chelate_that_bears_the_pH)
{
    const char *of_sulfate[] = {sulfate, edta}, *of_edta[] = {edta, eddha},
               *both[] = {sulfate, edta, eddha};
    ck_assert(!gives_way(5.49, NAN, of_sulfate, 2));
    ck_assert(gives_way(5.51, NAN, of_sulfate, 2));
    ck_assert(gives_way(NAN, NAN, of_sulfate, 2));
    ck_assert(gives_way(6.49, NAN, of_sulfate, 2));
    ck_assert(gives_way(6.51, NAN, of_sulfate, 2)); /* EDTA bears more of it */
    ck_assert(!gives_way(6.49, NAN, of_edta, 2));
    ck_assert(gives_way(6.51, NAN, of_edta, 2));
    ck_assert(gives_way(6.51, NAN, both, 3));
    ck_assert(!gives_way(5.51, NAN, of_sulfate, 1)); /* nothing else has iron */
    ck_assert(!gives_way(5.51, 0.015, of_sulfate, 2)); /* 1.95 mg/L */
    ck_assert(gives_way(5.51, 0.016, of_sulfate, 2));
}
END_TEST

/* A premix is there for more than its iron. */
START_TEST(only_trace_sources_give_way)
{
    const char *names[] = {sulfate, edta};
    ck_assert(!gives_way_with(300, 6, NAN, names, 2));
}
END_TEST
