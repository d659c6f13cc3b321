/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Shelf files: a product in each row, with its composition, its limits per
 * volume of finished solution, its price and the tank it is pinned to.
 *
 * What a product is made of its label says, its formula, or the catalogue.  A
 * label wins over a formula, since it states the very bag; both win over the
 * catalogue, of which then only tank and names are kept.  Hazards follow.
 */
#include "quantity/components.h"
#include "quantity/formula.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "records/hazards.h"
#include "records/label_charge.h"
#include "records/product.h"
#include "records/product_claims.h"
#include "records/product_strength.h"
#include "records/table.h"
#include "table_refusals.h"
#include "table_words.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    PRODUCT,
    FORMULA,
    PURITY,
    LABEL,
    DENSITY,
    MIN,
    MAX,
    FIXED,
    UNIT,
    PRICE,
    PRICE_UNIT,
    PACK,
    TANK,
    COLUMNS
};

static const sw_table_kind shelf_kind = {
    .what = "shelf file",
    .row = "product",
    .columns = {"product", "formula", "purity", "label", "density", "min",
                "max", "fixed", "unit", "price", "price_unit", "pack", "tank"},
    .required = 1,
    .count = COLUMNS,
    .example = "product,formula,purity / potassium nitrate,KNO3,0.99",
};

/* A shelf being read. */
typedef struct reading {
    sw_table table;
    sw_shelf *shelf;
    char bare[200];  /* products whose limits have no unit; */
    char rates[200]; /* whose fixed amount has none */
} reading;

/* Densities of liquids sold to growers lie well within, g/mL. */
static const double least_density = 0.6;
static const double most_density = 2.5;

/* ---- Purity and density ------------------------------------------------ */

/* The number before a percent sign, whether there is one. */
static double read_share(sw_table *table, bool *percent)
{
    double share = NAN;
    sw_error cause;
    const sw_csv_cell *cell = sw_table_cell(table, PURITY);
    char *text = strdup(cell->text);
    if (!text) {
        sw_table_lack(table);
        return NAN;
    }
    size_t length = strlen(text);
    *percent = text[length - 1] == '%';
    text[sw_text_cut(text, length - *percent, " ")] = '\0';
    if (sw_csv_number(table->reader, cell, *text ? text : cell->text, &share,
                      &cause))
        sw_table_refuse(table, PURITY, cause.status, "%s", cause.message);
    free(text);
    return share;
}

/* "98 %" or 0.98; NaN when the cell is empty. */
static double read_purity(sw_table *table)
{
    bool percent = false;
    if (!*sw_table_text(table, PURITY))
        return NAN;
    double purity = read_share(table, &percent);
    if (!percent && purity > 1.0 && purity <= 100.0)
        sw_table_refuse(table, PURITY, SW_BAD_PURITY_PERCENT);
    if (percent)
        purity /= 100.0;
    if (!(purity > 0.0) || purity > 1.0)
        sw_table_refuse(table, PURITY, SW_BAD_PURITY_SIZE);
    return purity;
}

static void read_density(sw_table *table, double *density_g_per_ml)
{
    double given = sw_table_number(table, DENSITY);
    if (isnan(given))
        return;
    *density_g_per_ml = given;
    if (given < least_density || given > most_density)
        sw_table_refuse(table, DENSITY, SW_BAD_DENSITY);
}

/* ---- Composition ------------------------------------------------------- */

/* Keeps of a catalogue entry only what holds for another composition. */
static void keep_identity(sw_product *product)
{
    sw_product kept = sw_product_blank();
    kept.catalogue_name = product->catalogue_name;
    kept.other_names = product->other_names;
    kept.usual_tank = product->usual_tank;
    product->catalogue_name = NULL;
    product->other_names = NULL;
    product->usual_tank = NULL;
    sw_product_clear(product);
    *product = kept;
}

static void compose_from_label(sw_table *table, sw_product *product)
{
    sw_error cause;
    const char *label = sw_table_text(table, LABEL);
    const char *formula = sw_table_text(table, FORMULA);
    if (*sw_table_text(table, PURITY))
        sw_table_refuse(table, PURITY, SW_BAD_PURITY_BESIDE_LABEL);
    keep_identity(product);
    product->formula = *formula ? sw_copy_text(formula) : NULL;
    product->label = sw_copy_text(label);
    product->source = strdup("label");
    if (!product->label || !product->source || (*formula && !product->formula))
        sw_table_lack(table);
    /* Figures by volume need it. */
    read_density(table, &product->density_g_per_ml);
    const sw_label_names names = {sw_table_text(table, PRODUCT),
                                  product->formula};
    if (!sw_table_is_refused(table) &&
        sw_label_compose(label, &names, product, &cause))
        sw_table_blame(table, LABEL, &cause);
}

/* The row of the catalogue whose crystal water it has not, or NULL. */
static const char *fits_name(sw_table *table, const sw_product *product)
{
    sw_error cause;
    const char *hydrate = NULL;
    if (sw_product_check_name(product, sw_table_text(table, PRODUCT), &hydrate,
                              &cause))
        sw_table_blame(table, PRODUCT, &cause);
    return hydrate;
}

/* The content of its formula at its purity. */
static void take_formula(sw_table *table, size_t column, sw_product *product)
{
    sw_error cause;
    if (sw_formula_content(product->formula, product->purity, &product->per_g,
                           NULL, &cause))
        sw_table_blame(table, column, &cause);
}

static void compose_from_formula(sw_table *table, sw_product *product,
                                 double purity)
{
    double such;
    bool given = !isnan(purity);
    keep_identity(product);
    product->purity = given ? purity : 1.0;
    product->formula = sw_copy_text(sw_table_text(table, FORMULA));
    product->source = strdup("formula");
    read_density(table, &product->density_g_per_ml);
    if (product->formula && product->source)
        take_formula(table, FORMULA, product);
    else
        sw_table_lack(table);
    if (sw_table_is_refused(table) ||
        !sw_product_lacks_strength(product, sw_table_text(table, PRODUCT),
                                   given, &such))
        return;
    if (given)
        (void)fits_name(table, product);
    sw_table_refuse(table, PURITY, SW_BAD_STRENGTH_MISSING,
                    sw_table_shown(table, FORMULA).text, such, 100.0 * such);
}

/* The catalogue's salt or acid at another purity; a density lacks only where
 * the name does not say the strength that it has in the catalogue. */
static void change_purity(sw_table *table, sw_product *product, double purity)
{
    if (isnan(purity) || purity == product->purity)
        return;
    product->purity = purity;
    if (!product->formula) {
        sw_table_refuse(table, PURITY, SW_BAD_PURITY_OF_LABEL);
        return;
    }
    take_formula(table, PURITY, product);
    if (isnan(product->density_g_per_ml) || *sw_table_text(table, DENSITY))
        return;
    (void)fits_name(table, product);
    sw_table_refuse(table, DENSITY, SW_BAD_DENSITY_OF_STRENGTH);
}

/*
 * The catalogue's entry: by the formula, which says more than a name, where
 * one is given without a label; else by name.  Names near an unknown one are
 * of use only where the row has nothing but its name.
 */
static sw_status find_entry(sw_table *table, sw_product *product,
                            sw_error *cause)
{
    const char *formula = sw_table_text(table, FORMULA);
    const char *label = sw_table_text(table, LABEL);
    sw_status status = SW_ERR_NAME;
    if (*formula && !*label)
        status = sw_product_find(formula, product, NULL);
    if (status == SW_ERR_NAME)
        status = sw_product_find(sw_table_text(table, PRODUCT), product,
                                 *formula || *label ? NULL : cause);
    return status;
}

static void compose(sw_table *table, sw_product *product, double purity)
{
    sw_error cause;
    sw_status found = find_entry(table, product, &cause);
    if (found == SW_ERR_MEMORY)
        sw_table_lack(table);
    else if (*sw_table_text(table, LABEL))
        compose_from_label(table, product);
    else if (*sw_table_text(table, FORMULA))
        compose_from_formula(table, product, purity);
    else if (found)
        sw_table_refuse(table, PRODUCT, found,
                        "%s; expected a product of the catalogue, or one with "
                        "a formula such as KNO3 or a label such as K2O 46; "
                        "NO3-N 13.5",
                        cause.message);
    else
        change_purity(table, product, purity);
}

/* Its name, formula, strength and density against each other. */
static void check_claims(reading *r, const sw_product *p)
{
    sw_error cause;
    sw_table *t = &r->table;
    const char *name = sw_table_text(t, PRODUCT);
    const char *hydrate = fits_name(t, p);
    if (sw_product_check_density(p, name, &cause))
        sw_table_blame(t, DENSITY, &cause);
    if (hydrate)
        sw_notes_add(&r->shelf->notes, SW_SAY_OTHER_WATER, name, r->shelf->name,
                     sw_table_place(t, PRODUCT).line, p->formula, hydrate);
}

/*
 * Composition, purity, density, chelator and hazards of the row into a blank
 * product, also after a refusal.
 */
static void compose_row(reading *r, sw_product *product)
{
    sw_table *table = &r->table;
    double purity = read_purity(table);
    if (sw_table_is_refused(table))
        return;
    compose(table, product, purity);
    read_density(table, &product->density_g_per_ml);
    if (!sw_table_is_refused(table))
        check_claims(r, product);
    sw_hazards_find(product, *sw_table_text(table, LABEL) != '\0');
}

/* ---- Limits ------------------------------------------------------------ */

static void read_limits(reading *r, sw_product *p)
{
    sw_table *t = &r->table;
    sw_error cause;
    double g_per_l_per_unit = 0.0;
    bool limited = *sw_table_text(t, MIN) || *sw_table_text(t, MAX) ||
                   *sw_table_text(t, FIXED);
    if (limited && !*sw_table_text(t, UNIT))
        sw_text_list(*sw_table_text(t, FIXED) ? r->rates : r->bare,
                     sizeof r->bare, sw_table_shown(t, PRODUCT).text);
    if (sw_rate_convert(sw_table_text(t, UNIT), p->density_g_per_ml,
                        &g_per_l_per_unit, &cause))
        sw_table_blame(t, UNIT, &cause);
    p->min_g_per_l = g_per_l_per_unit * sw_table_amount(t, MIN);
    p->max_g_per_l = g_per_l_per_unit * sw_table_amount(t, MAX);
    p->fixed_g_per_l = g_per_l_per_unit * sw_table_amount(t, FIXED);
    if (p->min_g_per_l > p->max_g_per_l)
        sw_table_refuse(t, MIN, SW_BAD_SHELF_MIN_ABOVE_MAX);
    if (p->fixed_g_per_l < p->min_g_per_l || p->fixed_g_per_l > p->max_g_per_l)
        sw_table_refuse(t, FIXED, SW_BAD_SHELF_FIXED);
}

/* ---- Price and tank ---------------------------------------------------- */

/* A milligram to a thousand tonnes; prices of any currency. */
static const double least_pack_g = 1e-3, most_pack_g = 1e9, most_price = 1e9;

/* A pack that only lacks a density is told so by the conversion itself. */
static void read_pack(sw_table *t, sw_product *p)
{
    sw_error cause;
    double g = 0.0;
    const char *pack = sw_table_text(t, PACK);
    if (!*pack)
        return;
    sw_status status =
        sw_pack_convert(pack, p->density_g_per_ml, &p->pack_g, &cause);
    if (status && sw_pack_convert(pack, 1.0, &g, NULL) == SW_OK)
        sw_table_blame(t, PACK, &cause);
    else if (status)
        sw_table_refuse(t, PACK, status,
                        "the pack '%s' is not a mass or volume above 0, "
                        "expected a number and its unit, such as 25kg or 10 L",
                        sw_table_shown(t, PACK).text);
    else if (p->pack_g < least_pack_g || p->pack_g > most_pack_g)
        sw_table_refuse(t, PACK, SW_BAD_PACK_SIZE);
}

static void read_price(reading *r, sw_product *p)
{
    sw_error cause;
    sw_table *t = &r->table;
    double price = sw_table_amount(t, PRICE);
    const char *unit = sw_table_text(t, PRICE_UNIT);
    if (isnan(price))
        return;
    if (price > most_price)
        sw_table_refuse(t, PRICE, SW_BAD_PRICE_SIZE);
    else if (!*unit)
        sw_notes_add(&r->shelf->notes, SW_SAY_PRICE_WITHOUT_UNIT, p->name,
                     r->shelf->name, p->line);
    else if (sw_price_convert(price, unit, p->pack_g, p->density_g_per_ml,
                              &p->price_per_kg, &cause))
        sw_table_blame(t, PRICE_UNIT, &cause);
}

/* One of the letters of sw_tank, kept as a capital; that for acid is C. */
static void read_tank(sw_table *t, sw_product *p)
{
    const char *tank = sw_table_text(t, TANK);
    if (!*tank)
        return;
    bool acid = sw_same_name(tank, "acid");
    int place = toupper((unsigned char)tank[0]) - 'A';
    if (!acid && (place < 0 || place >= SW_TANKS || tank[1]))
        sw_table_refuse(t, TANK, SW_BAD_SHELF_TANK);
    p->tank = strdup(acid ? "C" : tank);
    if (p->tank)
        p->tank[0] = (char)toupper((unsigned char)p->tank[0]);
    else
        sw_table_lack(t);
}

/* ---- The whole --------------------------------------------------------- */

static bool carries_nothing(const sw_content *per_g)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (per_g->amount[i] != 0.0)
            return false;
    return true;
}

static void doubt(const sw_product *product, sw_notes *notes, const char *file)
{
    if (carries_nothing(&product->per_g))
        sw_notes_add(notes, SW_SAY_PRODUCT_CARRIES_NONE, product->name, file,
                     product->line);
    if (product->purity < 0.05)
        sw_notes_add(notes, SW_SAY_PURITY_SMALL, product->name, file,
                     product->line, 100.0 * product->purity);
}

/* Owned; what was refused may be NULL. */
static char *read_name(reading *r)
{
    sw_table *t = &r->table;
    char *name = sw_table_name(t, PRODUCT);
    size_t same = name ? sw_shelf_index(r->shelf, name) : r->shelf->count;
    if (!name)
        sw_table_refuse(t, PRODUCT, SW_BAD_SHELF_NO_PRODUCT);
    else if (same < r->shelf->count)
        sw_table_refuse(t, PRODUCT, SW_BAD_SHELF_PRODUCT_AGAIN, name,
                        r->shelf->products[same].line, name);
    return name;
}

/* Of the catalogue as it stands, nothing of the shelf's own. */
static bool same_entry(const sw_product *a, const sw_product *b)
{
    return a->catalogue_name && b->catalogue_name &&
           !strcmp(a->catalogue_name, b->catalogue_name) &&
           !strcmp(a->source, b->source) &&
           sw_content_is_same(&a->per_g, &b->per_g);
}

/* One catalogue entry under two of its names is one product. */
static void check_entry(reading *r, const sw_product *p)
{
    sw_table *t = &r->table;
    bool own = *sw_table_text(t, FORMULA) || *sw_table_text(t, LABEL);
    for (size_t i = 0; i < r->shelf->count && !own; i++) {
        const sw_product *other = &r->shelf->products[i];
        if (same_entry(other, p))
            sw_table_refuse(t, PRODUCT, SW_BAD_SHELF_ENTRY_AGAIN, p->name,
                            other->name, other->line, p->catalogue_name);
    }
}

static void fill(reading *r, sw_product *p)
{
    check_entry(r, p);
    read_limits(r, p);
    read_pack(&r->table, p);
    read_price(r, p);
    read_tank(&r->table, p);
    doubt(p, &r->shelf->notes, r->shelf->name);
}

static bool read_row(void *context)
{
    reading *r = context;
    sw_error cause;
    sw_product product = sw_product_blank();
    char *name = read_name(r);
    if (!sw_table_is_refused(&r->table))
        compose_row(r, &product);
    product.name = name;
    product.line = sw_table_place(&r->table, PRODUCT).line;
    if (!sw_table_is_refused(&r->table)) {
        fill(r, &product);
        if (sw_shelf_append(r->shelf, &product, &cause))
            sw_table_blame(&r->table, PRODUCT, &cause);
    }
    sw_product_clear(&product);
    return true;
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
    if (*r.bare)
        sw_notes_add(&r.shelf->notes, SW_SAY_LIMIT_NO_UNIT, name, r.bare);
    if (*r.rates)
        sw_notes_add(&r.shelf->notes, SW_SAY_AMOUNT_NO_UNIT, name, r.rates, "");
    if (!status)
        status = sw_notes_status(&r.shelf->notes, error);
    SW_GIVE(status, shelf, r.shelf, sw_shelf_free);
}
