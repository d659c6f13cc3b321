/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * libFuzzer's way into formulas.  Of any text: a content whose elements weigh
 * no more than the whole and whose charges explain its alkalinity, or an error
 * with a message, a column within the text, and nothing carried.
 */
#include <math.h>

#include "fuzz/require.h"
#include "quantity/formula.h"

static void check_error(const char *text, const sw_content *per_g,
                        const sw_error *error)
{
    REQUIRE(error->status != SW_OK && error->message[0]);
    REQUIRE(error->column <= strlen(text) + 1);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        REQUIRE(per_g->amount[i] == 0);
}

static void check_content(const sw_content *per_g, double molar_mass)
{
    double sum = 0;
    REQUIRE(molar_mass > 0 && isfinite(molar_mass));
    for (int i = 0; i < SW_N; i++) {
        REQUIRE(per_g->amount[i] >= 0);
        sum += per_g->amount[i];
    }
    REQUIRE(sum <= 1000 * (1 + 1e-9));
    REQUIRE(per_g->amount[SW_CHELATED_FE] <= per_g->amount[SW_FE]);
    REQUIRE(per_g->amount[SW_CARBON] >= 0 && per_g->amount[SW_CITRATE] >= 0);
    REQUIRE(fabs(per_g->amount[SW_ALKALINITY]) <= 1e3);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = text_of(data, size);
    sw_content per_g;
    sw_error error = {0};
    double molar_mass = 0;
    if (sw_formula_content(text, 1, &per_g, &molar_mass, &error) == SW_OK)
        check_content(&per_g, molar_mass);
    else
        check_error(text, &per_g, &error);
    free(text);
    return 0;
}
