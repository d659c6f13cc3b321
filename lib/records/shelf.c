/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Shelf files: a product in each row, with its composition, its limits per
 * volume of finished solution, its price and the tank it is pinned to.
 */
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/units.h"
#include "records/composition.h"
#include "records/product.h"
#include "records/utf8.h"
#include "table_refusals.h"
#include "table_words.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const sw_table_kind shelf_kind = {
    .what = "shelf file",
    .row = "product",
    .columns = {"product", "formula", "purity", "label", "density", "min",
                "max", "fixed", "unit", "price", "price_unit", "pack", "tank"},
    .required = 1,
    .count = SW_SHELF_COLUMNS,
    .example = "product,formula,purity / potassium nitrate,KNO3,0.99",
};

/* A shelf being read. */
typedef struct reading {
    sw_table table;
    sw_shelf *shelf;
    sw_error *error;
} reading;

static sw_status fail(reading *r, size_t column, sw_status status,
                      const char *text)
{
    return sw_shelf_fail(&r->table, column, r->error, status, text);
}

/* ---- Limits ------------------------------------------------------------ */

static sw_status read_rate(reading *r, size_t column, double g_per_l_per_unit,
                           double *g_per_l)
{
    sw_status status = sw_table_amount(&r->table, column, g_per_l, r->error);
    *g_per_l *= g_per_l_per_unit;
    return status;
}

static sw_status check_limits(reading *r, const sw_product *p)
{
    if (p->min_g_per_l > p->max_g_per_l)
        return fail(r, SW_SHELF_MIN, SW_BAD_SHELF_MIN_ABOVE_MAX);
    if (p->fixed_g_per_l < p->min_g_per_l || p->fixed_g_per_l > p->max_g_per_l)
        return fail(r, SW_SHELF_FIXED, SW_BAD_SHELF_FIXED);
    return SW_OK;
}

static sw_status read_limits(reading *r, sw_product *p)
{
    double g_per_l_per_unit = 0.0;
    sw_status status =
        sw_rate_convert(sw_table_text(&r->table, SW_SHELF_UNIT),
                        p->density_g_per_ml, &g_per_l_per_unit, r->error);
    if (status)
        return sw_table_blame(&r->table, SW_SHELF_UNIT, status, r->error);
    status = read_rate(r, SW_SHELF_MIN, g_per_l_per_unit, &p->min_g_per_l);
    if (!status)
        status = read_rate(r, SW_SHELF_MAX, g_per_l_per_unit, &p->max_g_per_l);
    if (!status)
        status =
            read_rate(r, SW_SHELF_FIXED, g_per_l_per_unit, &p->fixed_g_per_l);
    return status ? status : check_limits(r, p);
}

/* ---- Price and tank ---------------------------------------------------- */

/* A milligram to a thousand tonnes; prices of any currency. */
static const double least_pack_g = 1e-3, most_pack_g = 1e9, most_price = 1e9;

/* A pack that only lacks a density is told so by the conversion itself. */
static sw_status fail_pack(reading *r, const char *pack, sw_status status)
{
    double g = 0.0;
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_table_place(&r->table, SW_SHELF_PACK);
    if (sw_pack_convert(pack, 1.0, &g, NULL) == SW_OK)
        return sw_table_blame(&r->table, SW_SHELF_PACK, status, r->error);
    sw_shorten(pack, shown);
    return sw_fail_at(
        r->error, &place, status,
        "the pack '%s' is not a mass or volume above 0, expected a "
        "number and its unit, such as 25kg or 10 L",
        shown);
}

static sw_status read_pack(reading *r, sw_product *p)
{
    const char *pack = sw_table_text(&r->table, SW_SHELF_PACK);
    if (!*pack)
        return SW_OK;
    sw_status status =
        sw_pack_convert(pack, p->density_g_per_ml, &p->pack_g, r->error);
    if (status)
        return fail_pack(r, pack, status);
    if (p->pack_g >= least_pack_g && p->pack_g <= most_pack_g)
        return SW_OK;
    return fail(r, SW_SHELF_PACK, SW_BAD_PACK_SIZE);
}

static sw_status read_price(reading *r, sw_product *p)
{
    double price = NAN;
    const char *unit = sw_table_text(&r->table, SW_SHELF_PRICE_UNIT);
    sw_status status =
        sw_table_amount(&r->table, SW_SHELF_PRICE, &price, r->error);
    if (status || isnan(price))
        return status;
    if (price > most_price)
        return fail(r, SW_SHELF_PRICE, SW_BAD_PRICE_SIZE);
    if (!*unit)
        return sw_notes_add(&r->shelf->notes, SW_SAY_PRICE_WITHOUT_UNIT,
                            p->name, r->shelf->name, p->line)
                   ? sw_fail_memory(r->error)
                   : SW_OK;
    status = sw_price_convert(price, unit, p->pack_g, p->density_g_per_ml,
                              &p->price_per_kg, r->error);
    return status ? sw_table_blame(&r->table, SW_SHELF_PRICE_UNIT, status,
                                   r->error)
                  : SW_OK;
}

/* A letter, kept as a capital; the tank for acid is C. */
static sw_status read_tank(reading *r, sw_product *p)
{
    const char *tank = sw_table_text(&r->table, SW_SHELF_TANK);
    if (!*tank)
        return SW_OK;
    bool acid = sw_same_name(tank, "acid");
    if (!acid && (!isalpha((unsigned char)tank[0]) || tank[1]))
        return fail(r, SW_SHELF_TANK, SW_BAD_SHELF_TANK);
    p->tank = strdup(acid ? "C" : tank);
    if (!p->tank)
        return sw_fail_memory(r->error);
    p->tank[0] = (char)toupper((unsigned char)p->tank[0]);
    return SW_OK;
}

/* ---- The whole --------------------------------------------------------- */

static sw_status read_name(reading *r)
{
    const char *name = sw_table_text(&r->table, SW_SHELF_PRODUCT);
    const sw_place place = sw_table_place(&r->table, SW_SHELF_PRODUCT);
    if (!*name)
        return fail(r, SW_SHELF_PRODUCT, SW_BAD_SHELF_NO_PRODUCT);
    sw_status status = sw_check_name(&place, name, r->error);
    size_t same = sw_shelf_index(r->shelf, name);
    if (status || same == r->shelf->count)
        return status;
    return sw_fail_at(r->error, &place, SW_BAD_SHELF_PRODUCT_AGAIN, name,
                      r->shelf->products[same].line, name);
}

static bool same_content(const sw_content *a, const sw_content *b)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (a->amount[i] != b->amount[i])
            return false;
    return true;
}

/* Of the catalogue as it stands, nothing of the shelf's own. */
static bool same_entry(const sw_product *a, const sw_product *b)
{
    return a->catalogue_name && b->catalogue_name &&
           !strcmp(a->catalogue_name, b->catalogue_name) &&
           !strcmp(a->source, b->source) && same_content(&a->per_g, &b->per_g);
}

/* One catalogue entry under two of its names is one product. */
static sw_status check_entry(reading *r, const sw_product *p)
{
    const sw_place place = sw_table_place(&r->table, SW_SHELF_PRODUCT);
    bool own = *sw_table_text(&r->table, SW_SHELF_FORMULA) ||
               *sw_table_text(&r->table, SW_SHELF_LABEL);
    size_t i = 0;
    while (i < r->shelf->count && !same_entry(&r->shelf->products[i], p))
        i++;
    if (own || i == r->shelf->count)
        return SW_OK;
    const sw_product *other = &r->shelf->products[i];
    return sw_fail_at(r->error, &place, SW_BAD_SHELF_ENTRY_AGAIN, p->name,
                      other->name, other->line, p->catalogue_name);
}

static sw_status fill(reading *r, sw_product *p)
{
    sw_status status = sw_shelf_compose(&r->table, p, r->error);
    if (status)
        return status;
    p->line = sw_table_place(&r->table, SW_SHELF_PRODUCT).line;
    p->name = sw_copy_text(sw_table_text(&r->table, SW_SHELF_PRODUCT));
    if (!p->name)
        return sw_fail_memory(r->error);
    status = check_entry(r, p);
    if (!status)
        status = read_limits(r, p);
    if (!status)
        status = read_pack(r, p);
    if (!status)
        status = read_price(r, p);
    if (!status)
        status = read_tank(r, p);
    if (!status && sw_shelf_doubt(p, &r->shelf->notes, r->shelf->name))
        status = sw_fail_memory(r->error);
    return status;
}

static sw_status read_row(void *context)
{
    reading *r = context;
    sw_product product = sw_product_blank();
    sw_status status = read_name(r);
    if (!status)
        status = fill(r, &product);
    if (!status) {
        status = sw_shelf_append(r->shelf, &product, r->error);
        if (status)
            status =
                sw_table_blame(&r->table, SW_SHELF_PRODUCT, status, r->error);
    }
    sw_product_clear(&product);
    return status;
}

sw_status sw_shelf_read(FILE *stream, const char *name, sw_shelf **shelf,
                        sw_error *error)
{
    SW_REQUIRE_FOR(shelf, error, stream, name);
    reading r = {.error = error};
    sw_status status = sw_shelf_new(name, shelf, error);
    if (status)
        return status;
    r.shelf = *shelf;
    status = sw_table_open(&r.table, &shelf_kind, stream, name, error);
    if (!status) {
        status = sw_table_read(&r.table, read_row, &r, error);
        sw_table_close(&r.table);
    }
    if (status) {
        sw_shelf_free(*shelf);
        *shelf = NULL;
    }
    return status;
}
