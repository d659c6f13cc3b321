/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files of amounts of products.  Recipes, `product,amount,unit`: an amount of
 * each per volume of finished solution, by mass, by volume, by a nutrient it is
 * to bring, or of a concentrate as a dilution.  Tanks as mixed,
 * `tank,product,amount,unit`: what is in each full tank, by mass, or a liquid
 * by volume.  A result of ours in CSV is a recipe too: its rows of grams per
 * litre.  What is not on the shelf comes from the catalogue and is appended
 * to the shelf, but only when the whole file can be read.
 */
#include "records/recipe.h"

#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/unit_parse.h"
#include "quantity/units.h"
#include "records/feed_limits.h"
#include "records/product.h"
#include "records/table.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Columns of all kinds of file; of a result the last two. */
enum { PRODUCT, AMOUNT, UNIT, TANK, SECTION = TANK, QUANTITY };

static const sw_table_kind result_kind = {
    .what = "result with a recipe",
    .row = "product",
    .columns = {"name", "value", "unit", "section", "quantity"},
    .required = 5,
    .count = 5,
    .example = "section,name,quantity,value,unit / recipe,potassium "
               "nitrate,g_per_l,0.325,g/L",
};

static const sw_table_kind recipe_kind = {
    .what = "recipe file",
    .row = "product",
    .columns = {"product", "amount", "unit"},
    .required = 2,
    .count = 3,
    .example = "product,amount,unit / potassium nitrate,325,mg/L",
    .other = &result_kind,
};

static const sw_table_kind tanks_kind = {
    .what = "tank file",
    .row = "product",
    .columns = {"product", "amount", "unit", "tank"},
    .required = 4,
    .count = 4,
    .example = "tank,product,amount,unit / A,potassium nitrate,6.5,kg",
};

/* What the file gives of a product. */
typedef struct given {
    double amount;
    unsigned long line; /* 0: not in the file */
} given;

/* A file being read. */
typedef struct amounts {
    size_t slots;    /* amounts a product may have: tanks; or 1 */
    sw_shelf *shelf; /* the caller's, as it was */
    /* The row's `value` in grams, and its slot. */
    double (*convert)(sw_table *table, const sw_product *product, double value,
                      size_t *slot);
    sw_table table;
    sw_shelf added; /* what is to be appended to the shelf */
    given *given;   /* [product * slots + slot] */
    char bare[200]; /* products whose amount has no unit */
    double bare_g_per_l, salts_g_per_l; /* of those; not for traces */
    bool has_unit;                      /* an amount has one */
} amounts;

static sw_product *product_at(const amounts *r, size_t index)
{
    return index < r->shelf->count
               ? &r->shelf->products[index]
               : &r->added.products[index - r->shelf->count];
}

static size_t product_count(const amounts *r)
{
    return r->shelf->count + r->added.count;
}

/* ---- Finding the product ----------------------------------------------- */

/* Products that are the same entry of the catalogue: the first. */
static size_t find_entry(amounts *r, const sw_product *entry)
{
    size_t index = product_count(r);
    for (size_t i = 0; i < product_count(r); i++) {
        const char *name = product_at(r, i)->catalogue_name;
        if (!name || strcmp(name, entry->catalogue_name) != 0)
            continue;
        if (index < product_count(r))
            sw_table_refuse(&r->table, PRODUCT, SW_BAD_PRODUCT_UNCLEAR,
                            sw_table_shown(&r->table, PRODUCT).text,
                            product_at(r, index)->name, product_at(r, i)->name);
        else
            index = i;
    }
    return index;
}

static void append_entry(amounts *r, sw_product *entry)
{
    sw_error cause;
    entry->name = sw_table_name(&r->table, PRODUCT);
    if (product_count(r) == SW_MAX_PRODUCTS)
        sw_table_refuse(&r->table, PRODUCT, SW_BAD_PRODUCTS_MANY,
                        SW_MAX_PRODUCTS);
    else if (entry->name && sw_shelf_append(&r->added, entry, &cause))
        sw_table_lack(&r->table);
}

/* The catalogue's product, which the shelf may have under another name. */
static size_t find_in_catalogue(amounts *r, const char *name)
{
    sw_product entry = sw_product_blank();
    sw_error cause;
    sw_status status = sw_product_find(name, &entry, &cause);
    if (status) {
        sw_table_refuse(&r->table, PRODUCT, status,
                        "%s; expected a product of the catalogue, such as "
                        "potassium nitrate, or one that the shelf describes",
                        cause.message);
        return 0;
    }
    size_t index = find_entry(r, &entry);
    if (index == product_count(r))
        append_entry(r, &entry);
    sw_product_clear(&entry);
    return index;
}

/* On the shelf, among what was appended, or in the catalogue. */
static size_t find_product(amounts *r)
{
    char *name = sw_table_name(&r->table, PRODUCT);
    if (!name) {
        sw_table_refuse(&r->table, PRODUCT, SW_BAD_PRODUCT_MISSING);
        return 0;
    }
    size_t index = sw_shelf_index(r->shelf, name);
    if (index == r->shelf->count)
        index += sw_shelf_index(&r->added, name);
    if (index == product_count(r))
        index = find_in_catalogue(r, name);
    free(name);
    return index;
}

/* ---- Its amount -------------------------------------------------------- */

/* Whether a row of a result tells what of a product is in a litre. */
static bool tells_amount(sw_table *t)
{
    return t->kind != &result_kind ||
           (!strcmp(sw_table_text(t, SECTION), "recipe") &&
            !strcmp(sw_table_text(t, QUANTITY), "g_per_l"));
}

/* An amount without a unit is in mg/L, which is told. */
static void note_unit(amounts *r, const sw_product *product, double g_per_l)
{
    sw_table *t = &r->table;
    bool bare = t->kind == &recipe_kind && !*sw_table_text(t, UNIT);
    r->has_unit |= !bare;
    if (!bare || sw_table_is_refused(t))
        return;
    sw_text_list(r->bare, sizeof r->bare, sw_table_shown(t, PRODUCT).text);
    r->bare_g_per_l += g_per_l;
    r->salts_g_per_l += sw_is_for_traces(&product->per_g) ? 0 : g_per_l;
}

static bool read_row(void *context)
{
    amounts *r = context;
    sw_table *t = &r->table;
    if (!tells_amount(t))
        return false;
    size_t slot = 0, index = find_product(r);
    if (sw_table_is_refused(t))
        return true;
    double value = sw_table_amount(t, AMOUNT);
    if (isnan(value))
        sw_table_refuse(t, AMOUNT, SW_BAD_AMOUNT_MISSING);
    const sw_product *product = product_at(r, index);
    double g = r->convert(t, product, value, &slot);
    note_unit(r, product, g);
    given *at = &r->given[index * r->slots + slot];
    if (at->line)
        sw_table_refuse(t, PRODUCT, SW_BAD_PRODUCT_AGAIN,
                        sw_table_shown(t, PRODUCT).text, at->line,
                        r->slots > 1 ? " for this tank" : "");
    *at = (given){g, sw_table_place(t, AMOUNT).line};
    return true;
}

/* ---- The whole --------------------------------------------------------- */

static sw_status read_file(amounts *r, const sw_table_kind *kind, FILE *stream,
                           const char *name, sw_error *error)
{
    size_t room = (r->shelf->count + SW_MAX_PRODUCTS) * r->slots;
    r->given = calloc(room, sizeof *r->given);
    if (!r->given)
        return sw_fail_memory(error);
    sw_table_open(&r->table, kind, stream, name);
    sw_table_read(&r->table, read_row, r);
    return sw_table_close(&r->table, error);
}

/* Appends what was added to the shelf; last of all, since the shelf stays as it
 * was when anything fails. */
static sw_status keep_added(amounts *r, sw_error *error)
{
    size_t count = product_count(r);
    sw_product *products =
        realloc(r->shelf->products, count * sizeof *products);
    if (!products)
        return sw_fail_memory(error);
    for (size_t i = 0; i < r->added.count; i++)
        products[r->shelf->count++] = r->added.products[i];
    r->shelf->products = products;
    r->added.count = 0;
    return SW_OK;
}

static sw_status close_file(amounts *r, sw_status status, sw_error *error)
{
    if (!status)
        status = keep_added(r, error);
    for (size_t i = 0; i < r->added.count; i++)
        sw_product_clear(&r->added.products[i]);
    SW_FREE(r->added.products, r->given);
    return status;
}

/* ---- Recipes ------------------------------------------------------------ */

/* "ppm N", "mg/L of K2O": so much of the product as brings that. */
static bool names_nutrient(const char *unit, char amount[64], sw_parameter *p)
{
    const char *name = strrchr(unit, ' ');
    size_t length = name ? (size_t)(name - unit) : 0;
    if (!length || length >= 64)
        return false;
    (void)snprintf(amount, 64, "%.*s", (int)length, unit);
    char *of = strstr(amount, " of");
    if (of && !of[3])
        *of = '\0';
    if (sw_same_name(name + 1, "N")) {
        sw_parameter_nitrogen(p);
        return true;
    }
    return sw_parameter_find(name + 1, p, NULL) == SW_OK &&
           p->kind == SW_READS_COMPONENT && !isnan(p->component_per_mg);
}

static sw_status by_nutrient(const sw_product *product, const char *amount,
                             const sw_parameter *p, double *g_per_l_per_unit,
                             sw_error *error)
{
    double mg_per_g = product->per_g.amount[p->component];
    sw_status status = sw_rate_convert(amount, NAN, g_per_l_per_unit, error);
    if (status == SW_OK && !(mg_per_g > 0))
        return sw_fail(error, SW_BAD_PRODUCT_BRINGS_NONE, product->name,
                       sw_component_name(p->component));
    *g_per_l_per_unit *= 1000 * p->component_per_mg / mg_per_g;
    return status;
}

/* What follows "1" in "1:128", of concentrate in finished solution. */
static sw_status by_dilution(const sw_product *product, const char *ratio,
                             double *g_per_l_per_unit, sw_error *error)
{
    double parts = NAN;
    if (sw_number_parse(ratio + 1, true, &parts, NULL) != SW_OK ||
        !(parts >= 1))
        return sw_fail(error, SW_BAD_DILUTION_FORM, ratio);
    if (!(product->density_g_per_ml > 0))
        return sw_fail(error, SW_BAD_DILUTION_DENSITY, ratio);
    *g_per_l_per_unit = 1000 * product->density_g_per_ml / parts;
    return SW_OK;
}

static sw_status rate_of(const char *unit, const sw_product *product,
                         double *g_per_l_per_unit, sw_error *error)
{
    char amount[64];
    sw_parameter p;
    if (unit[0] == ':')
        return by_dilution(product, unit, g_per_l_per_unit, error);
    if (names_nutrient(unit, amount, &p))
        return by_nutrient(product, amount, &p, g_per_l_per_unit, error);
    return sw_rate_convert(unit, product->density_g_per_ml, g_per_l_per_unit,
                           error);
}

/* Bare "ppm": the trade means that much of nitrogen, or of whatever nutrient
 * the product is bought for, and others that much of the product. */
static void check_ppm(sw_table *table, const sw_product *product)
{
    const double *per_g = product->per_g.amount;
    const char *value = sw_table_text(table, AMOUNT);
    const char *unit = sw_table_text(table, UNIT);
    char key[SW_KEY_SIZE];
    int most = SW_N;
    sw_text_key(unit, key);
    if (strcmp(key, "ppm") != 0)
        return;
    for (int i = 0; i < SW_N && !(per_g[SW_N] > 0); i++)
        if (per_g[i] > per_g[most])
            most = i;
    const char *of = most == SW_N ? "N" : sw_component_name((sw_component)most);
    sw_table_refuse(table, UNIT, SW_BAD_PPM_UNCLEAR, value, unit, value, value,
                    of);
}

static double per_litre(sw_table *table, const sw_product *product,
                        double value, size_t *slot)
{
    double g_per_l_per_unit = NAN;
    sw_error cause;
    *slot = 0;
    check_ppm(table, product);
    if (rate_of(sw_table_text(table, UNIT), product, &g_per_l_per_unit, &cause))
        sw_table_blame(table, UNIT, &cause);
    double g_per_l = value * g_per_l_per_unit;
    if (!(g_per_l <= sw_most_g_per_l(product)))
        sw_table_refuse(table, AMOUNT, SW_BAD_RECIPE_OVER_LITRE,
                        sw_table_shown(table, AMOUNT).text,
                        product->density_g_per_ml > 0.0
                            ? "a litre of it in a litre"
                            : "a kilogram in a litre");
    return g_per_l;
}

static sw_status take_recipe(const amounts *file, sw_recipe *recipe,
                             sw_error *error)
{
    recipe->count = product_count(file);
    recipe->g_per_l = malloc((recipe->count + 1) * sizeof *recipe->g_per_l);
    if (!recipe->g_per_l)
        return sw_fail_memory(error);
    for (size_t i = 0; i < recipe->count; i++)
        recipe->g_per_l[i] = file->given[i].amount;
    return SW_OK;
}

/* Feeds hold about as much, g/L (common practice, no source). */
static const double least_feed = 0.1, most_feed = 10;

/* Who writes g/L pours a thousandth where mg/L is read; of trace elements alone
 * a few mg/L are right. */
static void note_bare(const amounts *file, const char *name, sw_notes *notes)
{
    char all[SW_FIGURE_BYTES], thousandth[240] = "";
    double salts = 1000 * file->salts_g_per_l;
    if (!*file->bare)
        return;
    if (!file->has_unit && salts >= least_feed && salts <= most_feed)
        snprintf(thousandth, sizeof thousandth, " " SW_SAY_AMOUNT_THOUSANDTH,
                 sw_figure(1000 * file->bare_g_per_l, all));
    sw_notes_add(notes, SW_SAY_AMOUNT_NO_UNIT, name, file->bare, thousandth);
}

sw_status sw_recipe_read(FILE *stream, const char *name, sw_shelf *shelf,
                         sw_recipe **recipe, sw_error *error)
{
    SW_REQUIRE_FOR(recipe, error, stream, name, shelf);
    amounts file = {.slots = 1, .shelf = shelf, .convert = per_litre};
    sw_recipe *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    sw_status status = read_file(&file, &recipe_kind, stream, name, error);
    if (!status)
        status = take_recipe(&file, made, error);
    if (!status)
        note_bare(&file, name, &shelf->notes);
    status = close_file(&file, status, error);
    SW_GIVE(status, recipe, made, sw_recipe_free);
}

sw_status sw_recipe_keep_most(const sw_recipe *from, sw_recipe *to,
                              sw_error *error)
{
    size_t size = from->count * sizeof(double);
    if (!from->most_g_per_l)
        return SW_OK;
    to->most_g_per_l = malloc(size + 1);
    if (!to->most_g_per_l)
        return sw_fail_memory(error);
    memcpy(to->most_g_per_l, from->most_g_per_l, size);
    return SW_OK;
}

void sw_recipe_free(sw_recipe *recipe)
{
    if (recipe)
        SW_FREE(recipe->g_per_l, recipe->most_g_per_l, recipe);
}

void sw_content_add_recipe(sw_content *to, double factor, const sw_shelf *shelf,
                           const sw_recipe *recipe)
{
    for (size_t j = 0; j < recipe->count; j++)
        sw_content_add(to, factor * recipe->g_per_l[j],
                       &shelf->products[j].per_g);
}

void sw_shelf_keep_used(sw_shelf *shelf, sw_recipe *recipe)
{
    size_t kept = 0;
    if (!shelf || !recipe)
        return;
    for (size_t j = 0; j < shelf->count; j++) {
        double g_per_l = j < recipe->count ? recipe->g_per_l[j] : 0.0;
        if (!(g_per_l > 0.0)) {
            sw_product_clear(&shelf->products[j]);
            continue;
        }
        shelf->products[kept] = shelf->products[j];
        recipe->g_per_l[kept++] = g_per_l;
    }
    shelf->count = recipe->count = kept;
}

/* ---- Tanks as mixed ----------------------------------------------------- */

/* A hundred tonnes: no tank holds more. */
static const double most_g = 1e8;

static size_t find_tank(sw_table *table)
{
    static const char *const names[] = {"A", "B", "C", "acid"};
    const char *tank = sw_table_text(table, TANK);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (sw_same_name(tank, names[i]))
            return i < SW_TANKS ? i : SW_TANK_C;
    sw_table_refuse(table, TANK, *tank ? SW_ERR_NAME : SW_ERR_MISSING,
                    "'%s' is not a tank, expected A, B or C",
                    sw_table_shown(table, TANK).text);
    return 0;
}

static double in_tank(sw_table *table, const sw_product *product, double value,
                      size_t *slot)
{
    double g_per_unit = NAN;
    char one[SW_SHOWN_BYTES + 2];
    sw_unit parsed;
    sw_error cause;
    const sw_shown unit = sw_table_shown(table, UNIT);
    bool liquid = product->density_g_per_ml > 0;
    snprintf(one, sizeof one, "1%s", unit.text);
    *slot = find_tank(table);
    if (sw_unit_parse(unit.text, &parsed, NULL) ||
        (parsed.quantity != SW_Q_MASS && parsed.quantity != SW_Q_VOLUME))
        sw_table_refuse(table, UNIT, SW_BAD_TANK_UNIT, unit.text);
    else if (!liquid && parsed.quantity == SW_Q_VOLUME)
        sw_table_refuse(table, UNIT, SW_BAD_TANK_UNIT_DENSITY, unit.text);
    else if (sw_pack_convert(one, product->density_g_per_ml, &g_per_unit,
                             &cause))
        sw_table_blame(table, UNIT, &cause); /* the ounce of a liquid */
    double g = value * g_per_unit;
    if (!(g <= most_g))
        sw_table_refuse(table, AMOUNT, SW_BAD_TANK_AMOUNT);
    return g;
}

static sw_status take_tanks(const amounts *file, const char *name,
                            sw_placement **placements, sw_error *error)
{
    bool any = false;
    size_t count = product_count(file);
    sw_placement *made = calloc(count + 1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    for (size_t i = 0; i < count * SW_TANKS; i++) {
        any |= file->given[i].amount > 0;
        made[i / SW_TANKS].g[i % SW_TANKS] = file->given[i].amount;
        made[i / SW_TANKS].line[i % SW_TANKS] = file->given[i].line;
    }
    *placements = made;
    return any ? SW_OK
               : sw_fail_at(error, &(sw_place){.file = name},
                            SW_BAD_TANKS_EMPTY);
}

sw_status sw_placements_read(FILE *stream, const char *name, sw_shelf *shelf,
                             sw_placement **placements, sw_error *error)
{
    SW_REQUIRE_FOR(placements, error, stream, name, shelf);
    amounts file = {.slots = SW_TANKS, .shelf = shelf, .convert = in_tank};
    sw_placement *made = NULL;
    sw_status status = read_file(&file, &tanks_kind, stream, name, error);
    if (!status)
        status = take_tanks(&file, name, &made, error);
    status = close_file(&file, status, error);
    SW_GIVE(status, placements, made, free);
}

void sw_placements_free(sw_placement *placements)
{
    free(placements);
}

void sw_recipe_list_apart(const sw_shelf *shelf, const sw_recipe *has,
                          const sw_recipe *lacks, char *text, size_t size)
{
    text[0] = 0;
    for (size_t j = 0; j < has->count; j++)
        if (has->g_per_l[j] > 0 && !(lacks->g_per_l[j] > 0))
            sw_text_join(text, size, ", ", "%.60s (%.3g g per 1000 L)",
                         shelf->products[j].name, 1000 * has->g_per_l[j]);
}
