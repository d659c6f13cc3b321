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
