/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Products on a shelf, and shelves as such. */
#include "records/product.h"

#include "quantity/status.h"
#include "records/feed_limits.h"
#include "records/table.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

sw_product sw_product_blank(void)
{
    return (sw_product){
        .purity = NAN,
        .density_g_per_ml = NAN,
        .min_g_per_l = NAN,
        .max_g_per_l = NAN,
        .fixed_g_per_l = NAN,
        .price_per_kg = NAN,
        .pack_g = NAN,
    };
}

void sw_product_clear(sw_product *product)
{
    sw_notes_free(&product->remarks);
    SW_FREE(product->name, product->catalogue_name, product->formula,
            product->label, product->other_names, product->source,
            product->tank, product->usual_tank);
    *product = sw_product_blank();
}

sw_status sw_product_find(const char *name, sw_product *product,
                          sw_error *error)
{
    sw_product *entry = NULL;
    sw_status status = sw_catalogue_find(name, &entry, error);
    if (status)
        return status;
    *product = *entry;
    SW_FREE(entry, product->name);
    product->name = NULL;
    return SW_OK;
}

/* Above, hydrofluoric acid burns and kills through the skin; a phosphate holds
 * less.  Regulation (EC) 1272/2008 (CLP), Annex VI, index 009-003-00-1, whose
 * limit of 1 % is that of the acid; value from memory. */
static const double most_fluoride_mg_per_g = 10.0;

sw_status sw_shelf_append(sw_shelf *shelf, sw_product *product, sw_error *error)
{
    double fluoride = product->per_g.amount[SW_F];
    if (fluoride >= most_fluoride_mg_per_g)
        return sw_fail(error, SW_BAD_PRODUCT_FLUORIDE, fluoride / 10.0);
    if (shelf->count >= SW_MAX_PRODUCTS)
        return sw_fail(error, SW_BAD_SHELF_LONG, SW_MAX_PRODUCTS);
    sw_product *products =
        realloc(shelf->products, (shelf->count + 1) * sizeof *products);
    if (!products)
        return sw_fail_memory(error);
    shelf->products = products;
    products[shelf->count++] = *product;
    *product = sw_product_blank();
    return SW_OK;
}

size_t sw_shelf_index(const sw_shelf *shelf, const char *name)
{
    size_t i = 0;
    while (i < shelf->count && !sw_same_name(shelf->products[i].name, name))
        i++;
    return i;
}

static sw_status append_entry(sw_shelf *shelf, size_t index, sw_error *error)
{
    sw_product *entry = NULL;
    sw_status status = sw_catalogue_get(index, &entry, error);
    if (!status)
        status = sw_shelf_append(shelf, entry, error);
    sw_product_free(entry);
    return status;
}

sw_status sw_shelf_new(const char *name, sw_shelf **shelf, sw_error *error)
{
    *shelf = NULL;
    sw_shelf *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->name = strdup(name);
    if (!made->name) {
        sw_shelf_free(made);
        return sw_fail_memory(error);
    }
    *shelf = made;
    return SW_OK;
}

sw_status sw_shelf_catalogue(sw_shelf **shelf, sw_error *error)
{
    SW_REQUIRE(error, shelf);
    *shelf = NULL;
    sw_shelf *made = NULL;
    sw_status status = sw_shelf_new("catalogue", &made, error);
    if (!made)
        return status;
    for (size_t i = 0; !status && i < sw_catalogue_count(); i++)
        status = append_entry(made, i, error);
    SW_GIVE(status, shelf, made, sw_shelf_free);
}

void sw_shelf_free(sw_shelf *shelf)
{
    if (!shelf)
        return;
    for (size_t i = 0; i < shelf->count; i++)
        sw_product_clear(&shelf->products[i]);
    sw_notes_free(&shelf->notes);
    SW_FREE(shelf->products, shelf->name, shelf);
}

bool sw_is_sound(double value)
{
    return isnan(value) || (isfinite(value) && value >= 0);
}

sw_status sw_check_amounts(const sw_product *product, const sw_place *place,
                           sw_error *error)
{
    double min = product->min_g_per_l;
    double max = product->max_g_per_l;
    double fixed = product->fixed_g_per_l;
    if (!sw_is_sound(min) || !sw_is_sound(max) || !sw_is_sound(fixed))
        return sw_fail_at(error, place, SW_BAD_AMOUNTS_NOT_SOUND,
                          product->name);
    if (min > max)
        return sw_fail_at(error, place, SW_BAD_AMOUNT_LIMITS, product->name,
                          min, max);
    if (fixed < min || fixed > max)
        return sw_fail_at(error, place, SW_BAD_FIXED_AMOUNT, product->name,
                          fixed);
    double most = sw_most_g_per_l(product);
    if (min > most || fixed > most)
        return sw_fail_at(error, place, SW_BAD_AMOUNT_OVER_LITRE, product->name,
                          most);
    return SW_OK;
}
