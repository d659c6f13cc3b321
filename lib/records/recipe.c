/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Recipe files: `product,amount,unit`, an amount of each product per volume of
 * finished solution: by mass, by volume, by a nutrient it is to bring, or of a
 * concentrate as a dilution.
 */
#include "quantity/units.h"
#include "quantity/components.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/amounts.h"
#include "records/harm.h"
#include "records/product.h"
#include "records/recipe.h"
#include "table_refusals.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const sw_table_kind recipe_kind = {
    .what = "recipe file",
    .row = "product",
    .columns = {"product", "amount", "unit"},
    .required = 2,
    .count = 3,
    .example = "product,amount,unit / potassium nitrate,325,mg/L",
};

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
    const char *value = sw_table_text(table, SW_AMOUNTS_AMOUNT);
    const char *unit = sw_table_text(table, SW_AMOUNTS_UNIT);
    char key[SW_KEY_SIZE];
    int most = SW_N;
    sw_text_key(unit, key);
    if (strcmp(key, "ppm") != 0)
        return;
    for (int i = 0; i < SW_N && !(per_g[SW_N] > 0); i++)
        if (per_g[i] > per_g[most])
            most = i;
    const char *of = most == SW_N ? "N" : sw_component_name((sw_component)most);
    sw_table_refuse(table, SW_AMOUNTS_UNIT, SW_BAD_PPM_UNCLEAR, value, unit,
                    value, value, of);
}

static double convert(sw_table *table, const sw_product *product, double value,
                      size_t *slot)
{
    double g_per_l_per_unit = NAN;
    sw_error cause;
    *slot = 0;
    check_ppm(table, product);
    if (rate_of(sw_table_text(table, SW_AMOUNTS_UNIT), product,
                &g_per_l_per_unit, &cause))
        sw_table_blame(table, SW_AMOUNTS_UNIT, &cause);
    double g_per_l = value * g_per_l_per_unit;
    if (!(g_per_l <= sw_most_g_per_l(product)))
        sw_table_refuse(table, SW_AMOUNTS_AMOUNT, SW_BAD_RECIPE_OVER_LITRE,
                        sw_table_shown(table, SW_AMOUNTS_AMOUNT).text,
                        product->density_g_per_ml > 0.0
                            ? "a litre of it in a litre"
                            : "a kilogram in a litre");
    return g_per_l;
}

static sw_status take(const sw_amounts *file, sw_recipe *recipe,
                      sw_error *error)
{
    recipe->count = sw_amounts_products(file);
    recipe->g_per_l = malloc((recipe->count + 1) * sizeof *recipe->g_per_l);
    if (!recipe->g_per_l)
        return sw_fail_memory(error);
    for (size_t i = 0; i < recipe->count; i++)
        recipe->g_per_l[i] = file->given[i].amount;
    return SW_OK;
}

sw_status sw_recipe_read(FILE *stream, const char *name, sw_shelf *shelf,
                         sw_recipe **recipe, sw_error *error)
{
    SW_REQUIRE_FOR(recipe, error, stream, name, shelf);
    sw_amounts file = {.kind = &recipe_kind,
                       .name = name,
                       .shelf = shelf,
                       .slots = 1,
                       .convert = convert};
    sw_recipe *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    sw_status status = sw_amounts_read(&file, stream, error);
    if (!status)
        status = take(&file, made, error);
    if (!status)
        status = sw_amounts_keep(&file, error);
    sw_amounts_clear(&file);
    if (status)
        sw_recipe_free(made);
    else
        *recipe = made;
    return status;
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
    if (!recipe)
        return;
    free(recipe->g_per_l);
    free(recipe->most_g_per_l);
    free(recipe);
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
