/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tanks as mixed: `tank,product,amount,unit`, what is in each full tank, by
 * mass, or a liquid by volume.
 */
#include "quantity/units.h"
#include "quantity/status.h"
#include "records/amounts.h"
#include "table_refusals.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const sw_table_kind tanks_kind = {
    .what = "tank file",
    .row = "product",
    .columns = {"product", "amount", "unit", "tank"},
    .required = 4,
    .count = 4,
    .example = "tank,product,amount,unit / A,potassium nitrate,6.5,kg",
};

/* A hundred tonnes: no tank holds more. */
static const double most_g = 1e8;

static size_t find_tank(sw_table *table)
{
    static const char *const names[] = {"A", "B", "C", "acid"};
    const char *tank = sw_table_text(table, SW_AMOUNTS_TANK);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (sw_same_name(tank, names[i]))
            return i < SW_TANKS ? i : SW_TANK_C;
    sw_table_refuse(table, SW_AMOUNTS_TANK,
                    *tank ? SW_ERR_NAME : SW_ERR_MISSING,
                    "'%s' is not a tank, expected A, B or C",
                    sw_table_shown(table, SW_AMOUNTS_TANK).text);
    return 0;
}

static double convert(sw_table *table, const sw_product *product, double value,
                      size_t *slot)
{
    double g_per_unit = NAN, trial = NAN;
    char one[SW_SHOWN_BYTES + 2];
    const sw_shown unit = sw_table_shown(table, SW_AMOUNTS_UNIT);
    snprintf(one, sizeof one, "1%s", unit.text);
    *slot = find_tank(table);
    if (sw_pack_convert(one, 1, &trial, NULL))
        sw_table_refuse(table, SW_AMOUNTS_UNIT, SW_BAD_TANK_UNIT, unit.text);
    if (sw_pack_convert(one, product->density_g_per_ml, &g_per_unit, NULL))
        sw_table_refuse(table, SW_AMOUNTS_UNIT, SW_BAD_TANK_UNIT_DENSITY,
                        unit.text);
    double g = value * g_per_unit;
    if (!(g <= most_g))
        sw_table_refuse(table, SW_AMOUNTS_AMOUNT, SW_BAD_TANK_AMOUNT);
    return g;
}

static sw_status expect_something(const sw_amounts *file, size_t products,
                                  sw_error *error)
{
    const sw_place place = {.file = file->name};
    for (size_t i = 0; i < products * SW_TANKS; i++)
        if (file->given[i].amount > 0)
            return SW_OK;
    return sw_fail_at(error, &place, SW_BAD_TANKS_EMPTY);
}

sw_status sw_placements_read(FILE *stream, const char *name, sw_shelf *shelf,
                             sw_placement **placements, sw_error *error)
{
    SW_REQUIRE_FOR(placements, error, stream, name, shelf);
    sw_amounts file = {.kind = &tanks_kind,
                       .name = name,
                       .shelf = shelf,
                       .slots = SW_TANKS,
                       .convert = convert};
    sw_placement *made = NULL;
    sw_status status = sw_amounts_read(&file, stream, error);
    size_t count = sw_amounts_products(&file);
    if (!status)
        status = expect_something(&file, count, error);
    if (!status) {
        made = calloc(count + 1, sizeof *made);
        status = made ? SW_OK : sw_fail_memory(error);
    }
    for (size_t i = 0; made && i < count * SW_TANKS; i++) {
        made[i / SW_TANKS].g[i % SW_TANKS] = file.given[i].amount;
        made[i / SW_TANKS].line[i % SW_TANKS] = file.given[i].line;
    }
    if (!status)
        status = sw_amounts_keep(&file, error);
    sw_amounts_clear(&file);
    if (status)
        free(made);
    else
        *placements = made;
    return status;
}

void sw_placements_free(sw_placement *placements)
{
    free(placements);
}
