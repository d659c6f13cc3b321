/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The catalogue as the library gives it, and which of its entries are the same
 * salt in another hydrate: their formulas agree up to the crystal water.
 */
#include "run/catalogue.h"

#include <stdlib.h>
#include <string.h>

#include "io/memory.h"

sw_status catalogue_read(cli_catalogue *out, sw_error *error)
{
    *out = (cli_catalogue){0};
    size_t count = sw_catalogue_count();
    out->products = memory_array(count, sizeof(sw_product *));
    for (; out->count < count; out->count++) {
        sw_status status =
            sw_catalogue_get(out->count, &out->products[out->count], error);
        if (status != SW_OK)
            return status;
    }
    return SW_OK;
}

/* Bytes of `formula` before its crystal water, "·7H2O" or "·H2O". */
static size_t anhydrous_length(const char *formula)
{
    const char *dot = NULL;
    for (const char *next = strstr(formula, "·"); next;
         next = strstr(next + 1, "·"))
        dot = next;
    if (!dot)
        return strlen(formula);
    const char *water = dot + strlen("·");
    water += strspn(water, "0123456789.");
    return strcmp(water, "H2O") == 0 ? (size_t)(dot - formula)
                                     : strlen(formula);
}

static bool same_salt(const sw_product *a, const sw_product *b)
{
    if (!a->formula || !b->formula)
        return false;
    size_t length = anhydrous_length(a->formula);
    return length == anhydrous_length(b->formula) &&
           strncmp(a->formula, b->formula, length) == 0 &&
           strcmp(a->formula, b->formula) != 0;
}

/* The component a product carries most of. */
static sw_component main_component(const sw_product *product)
{
    size_t best = 0;
    for (size_t i = 1; i < SW_N; i++)
        if (product->per_g.amount[i] > product->per_g.amount[best])
            best = i;
    return (sw_component)best;
}

static void find_hydrates(cli_catalogue *catalogue)
{
    const sw_product *one = catalogue->one;
    sw_component component = main_component(one);
    catalogue->hydrates =
        memory_array(catalogue->count, sizeof *catalogue->hydrates);
    for (size_t i = 0; i < catalogue->count; i++) {
        const sw_product *other = catalogue->products[i];
        if (other != one && same_salt(one, other))
            catalogue->hydrates[catalogue->hydrate_count++] =
                (cli_hydrate){other, one->per_g.amount[component] /
                                         other->per_g.amount[component]};
    }
}

sw_status catalogue_choose(cli_catalogue *catalogue, const char *name,
                           sw_error *error)
{
    sw_product *found;
    sw_status status = sw_catalogue_find(name, &found, error);
    if (status != SW_OK)
        return status;
    for (size_t i = 0; i < catalogue->count; i++)
        if (strcmp(catalogue->products[i]->name, found->name) == 0)
            catalogue->one = catalogue->products[i];
    sw_product_free(found);
    find_hydrates(catalogue);
    return SW_OK;
}

void catalogue_free(cli_catalogue *catalogue)
{
    for (size_t i = 0; i < catalogue->count; i++)
        sw_product_free(catalogue->products[i]);
    free(catalogue->products);
    free(catalogue->hydrates);
    *catalogue = (struct cli_catalogue){0};
}
