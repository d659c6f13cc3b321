/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The rows of a file of amounts: each product found on the shelf or in the
 * catalogue, each amount once.
 */
#include "records/amounts.h"

#include "quantity/units.h"
#include "records/utf8.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static sw_product *product_at(const sw_amounts *r, size_t index)
{
    return index < r->shelf->count
               ? &r->shelf->products[index]
               : &r->added.products[index - r->shelf->count];
}

static size_t product_count(const sw_amounts *r)
{
    return r->shelf->count + r->added.count;
}

/* ---- Finding the product ----------------------------------------------- */

static sw_status fail_two(sw_amounts *r, const char *first, const char *second)
{
    const sw_place place = sw_table_place(&r->table, SW_AMOUNTS_PRODUCT);
    char shown[SW_SHOWN_BYTES];
    sw_shorten(sw_table_text(&r->table, SW_AMOUNTS_PRODUCT), shown);
    return sw_fail_at(r->error, &place, SW_BAD_PRODUCT_UNCLEAR, shown, first,
                      second);
}

/* Products that are the same entry of the catalogue; the first in *index. */
static sw_status find_entry(sw_amounts *r, const sw_product *entry,
                            size_t *index)
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

static sw_status append_entry(sw_amounts *r, sw_product *entry)
{
    entry->name = sw_copy_text(sw_table_text(&r->table, SW_AMOUNTS_PRODUCT));
    if (!entry->name)
        return sw_fail_memory(r->error);
    if (product_count(r) < SW_MAX_PRODUCTS)
        return sw_shelf_append(&r->added, entry, r->error);
    const sw_place place = sw_table_place(&r->table, SW_AMOUNTS_PRODUCT);
    return sw_fail_at(r->error, &place, SW_BAD_PRODUCTS_MANY, SW_MAX_PRODUCTS);
}

/* The catalogue's product, which the shelf may have under another name. */
static sw_status find_in_catalogue(sw_amounts *r, const char *name,
                                   size_t *index)
{
    sw_product entry = sw_product_blank();
    sw_error cause;
    sw_status status = sw_product_find(name, &entry, &cause);
    if (status) {
        const sw_place place = sw_table_place(&r->table, SW_AMOUNTS_PRODUCT);
        return sw_fail_at(r->error, &place, status,
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

static sw_status find_product(sw_amounts *r, size_t *index)
{
    const char *name = sw_table_text(&r->table, SW_AMOUNTS_PRODUCT);
    const sw_place place = sw_table_place(&r->table, SW_AMOUNTS_PRODUCT);
    if (!*name)
        return sw_fail_at(r->error, &place, SW_BAD_PRODUCT_MISSING);
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

static sw_status read_value(sw_amounts *r, double *value)
{
    const sw_place place = sw_table_place(&r->table, SW_AMOUNTS_AMOUNT);
    sw_status status =
        sw_table_amount(&r->table, SW_AMOUNTS_AMOUNT, value, r->error);
    if (!status && isnan(*value))
        return sw_fail_at(r->error, &place, SW_BAD_AMOUNT_MISSING);
    return status;
}

static sw_status check_repeated(sw_amounts *r, const sw_given *given)
{
    if (given->line == 0)
        return SW_OK;
    const sw_place place = sw_table_place(&r->table, SW_AMOUNTS_PRODUCT);
    char shown[SW_SHOWN_BYTES];
    sw_shorten(sw_table_text(&r->table, SW_AMOUNTS_PRODUCT), shown);
    return sw_fail_at(r->error, &place, SW_BAD_PRODUCT_AGAIN, shown,
                      given->line, r->slots > 1 ? " for this tank" : "");
}

static sw_status read_row(void *context)
{
    sw_amounts *r = context;
    size_t index = 0, slot = 0;
    double value = NAN;
    sw_given given = {0};
    sw_status status = find_product(r, &index);
    if (!status)
        status = read_value(r, &value);
    if (!status)
        status = r->convert(r, product_at(r, index), value, &given, &slot);
    if (!status)
        status = check_repeated(r, &r->given[index * r->slots + slot]);
    r->given[index * r->slots + slot] = given;
    return status;
}

/* ---- The whole --------------------------------------------------------- */

size_t sw_amounts_products(const sw_amounts *r)
{
    return product_count(r);
}

sw_status sw_amounts_keep(sw_amounts *r)
{
    size_t count = product_count(r);
    sw_product *products =
        realloc(r->shelf->products, count * sizeof *products);
    if (!products)
        return sw_fail_memory(r->error);
    for (size_t i = 0; i < r->added.count; i++)
        products[r->shelf->count++] = r->added.products[i];
    r->shelf->products = products;
    r->added.count = 0;
    return SW_OK;
}

sw_status sw_amounts_read(sw_amounts *r, FILE *stream)
{
    size_t room = (r->shelf->count + SW_MAX_PRODUCTS) * r->slots;
    r->given = calloc(room, sizeof *r->given);
    if (!r->given)
        return sw_fail_memory(r->error);
    sw_status status =
        sw_table_open(&r->table, r->kind, stream, r->name, r->error);
    if (status)
        return status;
    status = sw_table_read(&r->table, read_row, r, r->error);
    sw_table_close(&r->table);
    return status;
}

void sw_amounts_clear(sw_amounts *r)
{
    for (size_t i = 0; i < r->added.count; i++)
        sw_product_clear(&r->added.products[i]);
    free(r->added.products);
    free(r->given);
}
