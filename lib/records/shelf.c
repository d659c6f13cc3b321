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
} reading;

/* ---- Limits ------------------------------------------------------------ */

static void read_limits(sw_table *t, sw_product *p)
{
    sw_error cause;
    double g_per_l_per_unit = 0.0;
    if (sw_rate_convert(sw_table_text(t, SW_SHELF_UNIT), p->density_g_per_ml,
                        &g_per_l_per_unit, &cause))
        sw_table_blame(t, SW_SHELF_UNIT, &cause);
    p->min_g_per_l = g_per_l_per_unit * sw_table_amount(t, SW_SHELF_MIN);
    p->max_g_per_l = g_per_l_per_unit * sw_table_amount(t, SW_SHELF_MAX);
    p->fixed_g_per_l = g_per_l_per_unit * sw_table_amount(t, SW_SHELF_FIXED);
    if (p->min_g_per_l > p->max_g_per_l)
        sw_table_refuse(t, SW_SHELF_MIN, SW_BAD_SHELF_MIN_ABOVE_MAX);
    if (p->fixed_g_per_l < p->min_g_per_l || p->fixed_g_per_l > p->max_g_per_l)
        sw_table_refuse(t, SW_SHELF_FIXED, SW_BAD_SHELF_FIXED);
}

/* ---- Price and tank ---------------------------------------------------- */

/* A milligram to a thousand tonnes; prices of any currency. */
static const double least_pack_g = 1e-3, most_pack_g = 1e9, most_price = 1e9;

/* A pack that only lacks a density is told so by the conversion itself. */
static void read_pack(sw_table *t, sw_product *p)
{
    sw_error cause;
    double g = 0.0;
    const char *pack = sw_table_text(t, SW_SHELF_PACK);
    if (!*pack)
        return;
    sw_status status =
        sw_pack_convert(pack, p->density_g_per_ml, &p->pack_g, &cause);
    if (status && sw_pack_convert(pack, 1.0, &g, NULL) == SW_OK)
        sw_table_blame(t, SW_SHELF_PACK, &cause);
    else if (status)
        sw_table_refuse(t, SW_SHELF_PACK, status,
                        "the pack '%s' is not a mass or volume above 0, "
                        "expected a number and its unit, such as 25kg or 10 L",
                        sw_table_shown(t, SW_SHELF_PACK).text);
    else if (p->pack_g < least_pack_g || p->pack_g > most_pack_g)
        sw_table_refuse(t, SW_SHELF_PACK, SW_BAD_PACK_SIZE);
}

static void read_price(reading *r, sw_product *p)
{
    sw_error cause;
    sw_table *t = &r->table;
    double price = sw_table_amount(t, SW_SHELF_PRICE);
    const char *unit = sw_table_text(t, SW_SHELF_PRICE_UNIT);
    if (isnan(price))
        return;
    if (price > most_price)
        sw_table_refuse(t, SW_SHELF_PRICE, SW_BAD_PRICE_SIZE);
    else if (!*unit)
        sw_notes_add(&r->shelf->notes, SW_SAY_PRICE_WITHOUT_UNIT, p->name,
                     r->shelf->name, p->line);
    else if (sw_price_convert(price, unit, p->pack_g, p->density_g_per_ml,
                              &p->price_per_kg, &cause))
        sw_table_blame(t, SW_SHELF_PRICE_UNIT, &cause);
}

/* A letter, kept as a capital; the tank for acid is C. */
static void read_tank(sw_table *t, sw_product *p)
{
    const char *tank = sw_table_text(t, SW_SHELF_TANK);
    if (!*tank)
        return;
    bool acid = sw_same_name(tank, "acid");
    if (!acid && (!isalpha((unsigned char)tank[0]) || tank[1]))
        sw_table_refuse(t, SW_SHELF_TANK, SW_BAD_SHELF_TANK);
    p->tank = strdup(acid ? "C" : tank);
    if (p->tank)
        p->tank[0] = (char)toupper((unsigned char)p->tank[0]);
    else
        sw_table_lack(t);
}

/* ---- The whole --------------------------------------------------------- */

/* Owned; what was refused may be NULL. */
static char *read_name(reading *r)
{
    sw_table *t = &r->table;
    char *name = sw_table_name(t, SW_SHELF_PRODUCT);
    size_t same = name ? sw_shelf_index(r->shelf, name) : r->shelf->count;
    if (!name)
        sw_table_refuse(t, SW_SHELF_PRODUCT, SW_BAD_SHELF_NO_PRODUCT);
    else if (same < r->shelf->count)
        sw_table_refuse(t, SW_SHELF_PRODUCT, SW_BAD_SHELF_PRODUCT_AGAIN, name,
                        r->shelf->products[same].line, name);
    return name;
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
static void check_entry(reading *r, const sw_product *p)
{
    sw_table *t = &r->table;
    bool own = *sw_table_text(t, SW_SHELF_FORMULA) ||
               *sw_table_text(t, SW_SHELF_LABEL);
    for (size_t i = 0; i < r->shelf->count && !own; i++) {
        const sw_product *other = &r->shelf->products[i];
        if (same_entry(other, p))
            sw_table_refuse(t, SW_SHELF_PRODUCT, SW_BAD_SHELF_ENTRY_AGAIN,
                            p->name, other->name, other->line,
                            p->catalogue_name);
    }
}

static void fill(reading *r, sw_product *p)
{
    check_entry(r, p);
    read_limits(&r->table, p);
    read_pack(&r->table, p);
    read_price(r, p);
    read_tank(&r->table, p);
    sw_shelf_doubt(p, &r->shelf->notes, r->shelf->name);
}

static void read_row(void *context)
{
    reading *r = context;
    sw_error cause;
    sw_product product = sw_product_blank();
    char *name = read_name(r);
    if (!sw_table_is_refused(&r->table))
        sw_shelf_compose(&r->table, &product);
    product.name = name;
    product.line = sw_table_place(&r->table, SW_SHELF_PRODUCT).line;
    if (!sw_table_is_refused(&r->table)) {
        fill(r, &product);
        if (sw_shelf_append(r->shelf, &product, &cause))
            sw_table_blame(&r->table, SW_SHELF_PRODUCT, &cause);
    }
    sw_product_clear(&product);
}

sw_status sw_shelf_read(FILE *stream, const char *name, sw_shelf **shelf,
                        sw_error *error)
{
    SW_REQUIRE_FOR(shelf, error, stream, name);
    reading r = {.shelf = NULL};
    sw_status status = sw_shelf_new(name, &r.shelf, error);
    if (status)
        return status;
    sw_table_open(&r.table, &shelf_kind, stream, name);
    sw_table_read(&r.table, read_row, &r);
    status = sw_table_close(&r.table, error);
    if (!status)
        status = sw_notes_status(&r.shelf->notes, error);
    if (status)
        sw_shelf_free(r.shelf);
    else
        *shelf = r.shelf;
    return status;
}
