/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The rows of a file of amounts: each product found on the shelf or in the
 * catalogue, each amount once.
 */
#include "records/amounts.h"

#include "quantity/units.h"
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

/* Products that are the same entry of the catalogue: the first. */
static size_t find_entry(sw_amounts *r, const sw_product *entry)
{
    size_t index = product_count(r);
    for (size_t i = 0; i < product_count(r); i++) {
        const char *name = product_at(r, i)->catalogue_name;
        if (!name || strcmp(name, entry->catalogue_name) != 0)
            continue;
        if (index < product_count(r))
            sw_table_refuse(&r->table, SW_AMOUNTS_PRODUCT,
                            SW_BAD_PRODUCT_UNCLEAR,
                            sw_table_shown(&r->table, SW_AMOUNTS_PRODUCT).text,
                            product_at(r, index)->name, product_at(r, i)->name);
        else
            index = i;
    }
    return index;
}

static void append_entry(sw_amounts *r, sw_product *entry)
{
    sw_error cause;
    entry->name = sw_table_name(&r->table, SW_AMOUNTS_PRODUCT);
    if (product_count(r) == SW_MAX_PRODUCTS)
        sw_table_refuse(&r->table, SW_AMOUNTS_PRODUCT, SW_BAD_PRODUCTS_MANY,
                        SW_MAX_PRODUCTS);
    else if (entry->name && sw_shelf_append(&r->added, entry, &cause))
        sw_table_lack(&r->table);
}

/* The catalogue's product, which the shelf may have under another name. */
static size_t find_in_catalogue(sw_amounts *r, const char *name)
{
    sw_product entry = sw_product_blank();
    sw_error cause;
    sw_status status = sw_product_find(name, &entry, &cause);
    if (status) {
        sw_table_refuse(&r->table, SW_AMOUNTS_PRODUCT, status,
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
static size_t find_product(sw_amounts *r)
{
    char *name = sw_table_name(&r->table, SW_AMOUNTS_PRODUCT);
    if (!name) {
        sw_table_refuse(&r->table, SW_AMOUNTS_PRODUCT, SW_BAD_PRODUCT_MISSING);
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

static void read_row(void *context)
{
    sw_amounts *r = context;
    sw_table *t = &r->table;
    size_t slot = 0, index = find_product(r);
    if (sw_table_is_refused(t))
        return;
    double value = sw_table_amount(t, SW_AMOUNTS_AMOUNT);
    if (isnan(value))
        sw_table_refuse(t, SW_AMOUNTS_AMOUNT, SW_BAD_AMOUNT_MISSING);
    double g = r->convert(t, product_at(r, index), value, &slot);
    sw_given *given = &r->given[index * r->slots + slot];
    if (given->line)
        sw_table_refuse(t, SW_AMOUNTS_PRODUCT, SW_BAD_PRODUCT_AGAIN,
                        sw_table_shown(t, SW_AMOUNTS_PRODUCT).text, given->line,
                        r->slots > 1 ? " for this tank" : "");
    *given = (sw_given){g, sw_table_place(t, SW_AMOUNTS_AMOUNT).line};
}

/* ---- The whole --------------------------------------------------------- */

size_t sw_amounts_products(const sw_amounts *r)
{
    return product_count(r);
}

sw_status sw_amounts_keep(sw_amounts *r, sw_error *error)
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

sw_status sw_amounts_read(sw_amounts *r, FILE *stream, sw_error *error)
{
    size_t room = (r->shelf->count + SW_MAX_PRODUCTS) * r->slots;
    r->given = calloc(room, sizeof *r->given);
    if (!r->given)
        return sw_fail_memory(error);
    sw_table_open(&r->table, r->kind, stream, r->name);
    sw_table_read(&r->table, read_row, r);
    return sw_table_close(&r->table, error);
}

void sw_amounts_clear(sw_amounts *r)
{
    for (size_t i = 0; i < r->added.count; i++)
        sw_product_clear(&r->added.products[i]);
    free(r->added.products);
    free(r->given);
}
