/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * libFuzzer's way into labels, names, units, numbers and packs: every input is
 * read as each.  Of any text: an answer within its bounds, or an error with a
 * message.
 */
#include <math.h>

#include "fuzz/require.h"
#include "quantity/label.h"
#include "quantity/units.h"

static void fuzz_label(const char *text)
{
    sw_label label;
    sw_error error = {0};
    double sum = 0;
    double rounding = 0;
    bool ok = sw_label_read(text, NULL, 1.2, &label, &error) == SW_OK;
    REQUIRE(ok || (error.status != SW_OK && error.message[0]));
    REQUIRE(error.column <= strlen(text) + 1);
    for (int i = 0; i < SW_N; i++) {
        REQUIRE(label.per_g.amount[i] >= 0);
        sum += label.per_g.amount[i];
        rounding += label.below_mg_per_g[i];
    }
    REQUIRE(ok ? sum <= 1001 + rounding + 1e-6 : sum == 0);
    REQUIRE(fabs(sw_content_imbalance(&label.per_g)) <= 1);
}

/* As a name, and as a unit of everything that name may be. */
static void fuzz_reading(const char *text)
{
    static const char *const names[] = {"Ca", "alkalinity", "EC", "pH"};
    sw_parameter p;
    sw_error error = {0};
    double out;
    if (sw_parameter_find(text, &p, &error) == SW_OK)
        REQUIRE(p.name && *p.name);
    else
        REQUIRE(error.status == SW_ERR_NAME && error.message[0]);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        REQUIRE(sw_parameter_find(names[i], &p, NULL) == SW_OK);
        if (sw_reading_convert(&p, 1, text, &out, &error) == SW_OK)
            REQUIRE(isfinite(out));
        else
            REQUIRE(isnan(out) && error.status == SW_ERR_UNIT);
    }
}

static void fuzz_amounts(const char *text)
{
    sw_unit_system system;
    double out;
    if (sw_number_parse(text, true, &out, NULL) == SW_OK)
        REQUIRE(isfinite(out));
    if (sw_volume_parse(text, &out, &system, NULL) == SW_OK)
        REQUIRE(out >= 0 && isfinite(out));
    if (sw_mass_parse(text, &out, NULL) == SW_OK)
        REQUIRE(out >= 0 && isfinite(out));
    if (sw_pack_convert(text, 1.3, &out, NULL) == SW_OK)
        REQUIRE(out >= 0 && isfinite(out));
    if (sw_rate_convert(text, 1.3, &out, NULL) == SW_OK)
        REQUIRE(out > 0 && isfinite(out));
    if (sw_price_convert(1, text, 25000, 1.3, &out, NULL) == SW_OK)
        REQUIRE(out > 0 && isfinite(out));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = text_of(data, size);
    fuzz_label(text);
    fuzz_reading(text);
    fuzz_amounts(text);
    free(text);
    return 0;
}
