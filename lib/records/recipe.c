/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Recipe files: `product,amount,unit`, an amount of each product per volume of
 * finished solution.  What is not on the shelf comes from the catalogue and is
 * appended to the shelf, but only when the whole file can be read.
 */
#include "quantity/units.h"
#include "records/product.h"
#include "records/table.h"
#include "records/utf8.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PRODUCT, AMOUNT, UNIT };

static const sw_table_kind recipe_kind = {
    .what = "recipe file",
    .columns = {"product", "amount", "unit"},
    .required = 2,
    .count = 3,
    .example = "product,amount,unit / potassium nitrate,325,mg/L",
};

/* A kilogram in a litre: no solution holds more. */
static const double most_g_per_l = 1000.0;

/* What the file gives of a product. */
typedef struct amount {
    double g_per_l;
    unsigned long line; /* 0: not in the file */
} amount;

/* A recipe being read. */
typedef struct reading {
    sw_table table;
    const char *name;
    sw_shelf *shelf; /* the caller's, as it was */
    sw_shelf added;  /* what is to be appended to it */
    amount *amounts; /* as many as shelf and additions may have */
    size_t rows;
    sw_error *error;
} reading;

static sw_product *product_at(const reading *r, size_t index)
{
    return index < r->shelf->count
               ? &r->shelf->products[index]
               : &r->added.products[index - r->shelf->count];
}

static size_t product_count(const reading *r)
{
    return r->shelf->count + r->added.count;
}

/* ---- Finding the product ----------------------------------------------- */

static sw_status fail_two(reading *r, const char *first, const char *second)
{
    const sw_place place = sw_table_place(&r->table, PRODUCT);
    char shown[SW_SHOWN_BYTES];
    sw_shorten(sw_table_text(&r->table, PRODUCT), shown);
    return sw_fail_at(
        r->error, SW_ERR_NAME, &place,
        "'%s' could be '%s' or '%s' of the shelf, expected one of "
        "these names as the shelf writes it",
        shown, first, second);
}

/* Products that are the same entry of the catalogue; the first in *index. */
static sw_status find_entry(reading *r, const sw_product *entry, size_t *index)
{
    *index = product_count(r);
    for (size_t i = 0; i < product_count(r); i++) {
        const char *name = product_at(r, i)->catalogue_name;
        if (!name || strcmp(name, entry->catalogue_name) != 0)
            continue;
        if (*index < product_count(r))
            return fail_two(r, product_at(r, *index)->name,
                            product_at(r, i)->name);
        *index = i;
    }
    return SW_OK;
}

static sw_status append_entry(reading *r, sw_product *entry)
{
    entry->name = sw_copy_text(sw_table_text(&r->table, PRODUCT));
    if (!entry->name)
        return sw_fail_memory(r->error);
    if (product_count(r) < SW_MAX_PRODUCTS)
        return sw_shelf_append(&r->added, entry, r->error);
    const sw_place place = sw_table_place(&r->table, PRODUCT);
    return sw_fail_at(r->error, SW_ERR_LIMIT, &place,
                      "recipe and shelf have more than %d products, expected "
                      "at most that many; leave out those not in use",
                      SW_MAX_PRODUCTS);
}

/* The catalogue's product, which the shelf may have under another name. */
static sw_status find_in_catalogue(reading *r, const char *name, size_t *index)
{
    sw_product entry = sw_product_blank();
    sw_error cause;
    sw_status status = sw_product_find(name, &entry, &cause);
    if (status) {
        const sw_place place = sw_table_place(&r->table, PRODUCT);
        return sw_fail_at(r->error, status, &place,
                          "%s; expected a product of the catalogue, such as "
                          "potassium nitrate, or one that the shelf describes",
                          cause.message);
    }
    status = find_entry(r, &entry, index);
    if (!status && *index == product_count(r))
        status = append_entry(r, &entry);
    sw_product_clear(&entry);
    return status;
}

static sw_status find_product(reading *r, size_t *index)
{
    const char *name = sw_table_text(&r->table, PRODUCT);
    const sw_place place = sw_table_place(&r->table, PRODUCT);
    if (!*name)
        return sw_fail_at(r->error, SW_ERR_MISSING, &place,
                          "this row names no product, expected one such as "
                          "potassium nitrate");
    sw_status status = sw_check_name(&place, name, r->error);
    if (status)
        return status;
    *index = sw_shelf_index(r->shelf, name);
    if (*index < r->shelf->count)
        return SW_OK;
    size_t added = sw_shelf_index(&r->added, name);
    *index = r->shelf->count + added;
    return added < r->added.count ? SW_OK : find_in_catalogue(r, name, index);
}

/* ---- Its amount -------------------------------------------------------- */

static sw_status read_amount(reading *r, size_t index)
{
    double value = NAN;
    double g_per_l_per_unit = 0.0;
    const sw_place place = sw_table_place(&r->table, AMOUNT);
    sw_status status = sw_table_amount(&r->table, AMOUNT, &value, r->error);
    if (status)
        return status;
    if (isnan(value))
        return sw_fail_at(r->error, SW_ERR_MISSING, &place,
                          "this row has no amount, expected a number such as "
                          "325, or 0");
    status = sw_rate_convert(sw_table_text(&r->table, UNIT),
                             product_at(r, index)->density_g_per_ml,
                             &g_per_l_per_unit, r->error);
    if (status)
        return sw_table_blame(&r->table, UNIT, status, r->error);
    char shown[SW_SHOWN_BYTES];
    sw_shorten(sw_table_text(&r->table, AMOUNT), shown);
    r->amounts[index] = (amount){value * g_per_l_per_unit, place.line};
    if (!(r->amounts[index].g_per_l <= most_g_per_l))
        return sw_fail_at(r->error, SW_ERR_VALUE, &place,
                          "'%s' is more than a kilogram in a litre, expected "
                          "an amount per volume of finished solution, such as "
                          "325 mg/L",
                          shown);
    return SW_OK;
}

static sw_status check_repeated(reading *r, size_t index)
{
    if (r->amounts[index].line == 0)
        return SW_OK;
    const sw_place place = sw_table_place(&r->table, PRODUCT);
    char shown[SW_SHOWN_BYTES];
    sw_shorten(sw_table_text(&r->table, PRODUCT), shown);
    return sw_fail_at(r->error, SW_ERR_DUPLICATE, &place,
                      "the product '%s' is already in line %lu, expected it "
                      "once; write the sum of the two amounts",
                      shown, r->amounts[index].line);
}

static sw_status read_row(reading *r)
{
    size_t index = 0;
    sw_status status = find_product(r, &index);
    if (!status)
        status = check_repeated(r, index);
    if (!status)
        status = read_amount(r, index);
    r->rows++;
    return status;
}

/* ---- The whole --------------------------------------------------------- */

static sw_status read_rows(reading *r)
{
    sw_status status = sw_table_next(&r->table, r->error);
    while (!status && r->table.row) {
        status = read_row(r);
        if (!status)
            status = sw_table_next(&r->table, r->error);
    }
    if (!status && r->rows == 0) {
        const sw_place place = {r->name, 0, 0};
        return sw_fail_at(r->error, SW_ERR_MISSING, &place,
                          "this recipe file has a header but no product, "
                          "expected rows such as potassium nitrate,325,mg/L");
    }
    return status;
}

/* Moves what was added to the shelf, which has room for it. */
static void move_added(reading *r, sw_product *products)
{
    for (size_t i = 0; i < r->added.count; i++)
        products[r->shelf->count++] = r->added.products[i];
    r->shelf->products = products;
    r->added.count = 0;
}

static sw_status conclude(reading *r, sw_recipe *recipe)
{
    size_t count = product_count(r);
    recipe->g_per_l = malloc(count * sizeof *recipe->g_per_l);
    sw_product *products =
        realloc(r->shelf->products, count * sizeof *products);
    if (products)
        r->shelf->products = products;
    if (!products || !recipe->g_per_l)
        return sw_fail_memory(r->error);
    for (size_t i = 0; i < count; i++)
        recipe->g_per_l[i] = r->amounts[i].g_per_l;
    recipe->count = count;
    move_added(r, products);
    return SW_OK;
}

static void release(reading *r)
{
    for (size_t i = 0; i < r->added.count; i++)
        sw_product_clear(&r->added.products[i]);
    free(r->added.products);
    free(r->amounts);
}

static sw_status read_recipe(reading *r, FILE *stream, sw_recipe *recipe)
{
    r->amounts = calloc(r->shelf->count + SW_MAX_PRODUCTS, sizeof *r->amounts);
    if (!r->amounts)
        return sw_fail_memory(r->error);
    sw_status status =
        sw_table_open(&r->table, &recipe_kind, stream, r->name, r->error);
    if (status)
        return status;
    status = read_rows(r);
    if (!status)
        status = conclude(r, recipe);
    sw_table_close(&r->table);
    return status;
}

sw_status sw_recipe_read(FILE *stream, const char *name, sw_shelf *shelf,
                         sw_recipe **recipe, sw_error *error)
{
    *recipe = NULL;
    reading r = {.name = name, .shelf = shelf, .error = error};
    sw_recipe *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    sw_status status = read_recipe(&r, stream, made);
    release(&r);
    if (status)
        sw_recipe_free(made);
    else
        *recipe = made;
    return status;
}

void sw_recipe_free(sw_recipe *recipe)
{
    if (!recipe)
        return;
    free(recipe->g_per_l);
    free(recipe);
}
