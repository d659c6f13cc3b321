/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is built in.  Products: which are the same salt in another hydrate;
 * their formulas agree up to the crystal water.  Targets: stage by stage, with
 * their charges and the EC they come to; trace elements and the pH take no part
 * in these: they weigh nothing there, and a set of nothing else has neither.
 */
#include "run/catalogue.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/memory.h"

static void expect_known(sw_status status, const sw_error *error)
{
    if (status == SW_ERR_NAME)
        leave(complain_usage("catalogue", "%s", error->message));
    expect_ok(status, error);
}

static void free_catalogue(void *thing)
{
    cli_catalogue *catalogue = thing;
    sw_shelf_free(catalogue->shelf);
    free(catalogue->hydrates);
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
        memory_array(catalogue->shelf->count, sizeof *catalogue->hydrates);
    for (size_t i = 0; i < catalogue->shelf->count; i++) {
        const sw_product *other = &catalogue->shelf->products[i];
        if (other != one && same_salt(one, other))
            catalogue->hydrates[catalogue->hydrate_count++] =
                (cli_hydrate){other, one->per_g.amount[component] /
                                         other->per_g.amount[component]};
    }
}

static void choose(cli_catalogue *catalogue, const char *name)
{
    sw_error error = {0};
    sw_product *found;
    expect_known(sw_catalogue_find(name, &found, &error), &error);
    for (size_t i = 0; i < catalogue->shelf->count; i++)
        if (strcmp(catalogue->shelf->products[i].name, found->name) == 0)
            catalogue->one = &catalogue->shelf->products[i];
    sw_product_free(found);
    find_hydrates(catalogue);
}

cli_catalogue *catalogue_read(const char *name)
{
    sw_error error = {0};
    cli_catalogue *out = memory_kept(sizeof *out, free_catalogue);
    expect_ok(sw_shelf_catalogue(&out->shelf, &error), &error);
    if (name)
        choose(out, name);
    return out;
}

/* ---- Targets of crops ---------------------------------------------------- */

static bool has_charge(sw_component c)
{
    return c <= SW_S || c == SW_N;
}

static sw_status judge(cli_crop *crop, sw_error *error)
{
    sw_content per_l = {{0}};
    sw_chemistry chemistry;
    sw_conditions conditions = sw_conditions_default();
    for (size_t i = 0; i < crop->target->count; i++) {
        const sw_target_row *row = &crop->target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && has_charge(row->component))
            per_l.amount[row->component == SW_N ? SW_NO3_N : row->component] +=
                row->target;
    }
    if (per_l.amount[SW_K] <= 0.0)
        return SW_OK;
    sw_status status = sw_equilibrate(&per_l, &conditions, SW_CARBONATE_KEPT,
                                      &chemistry, error);
    if (status != SW_OK)
        return status;
    crop->cations_meq_per_l = chemistry.cations_meq_per_l;
    crop->anions_meq_per_l = chemistry.anions_meq_per_l;
    crop->ec_ms_per_cm = chemistry.ec_ms_per_cm;
    return SW_OK;
}

/* Takes `target`, of one stage. */
static sw_status add(cli_crops *crops, const sw_target_set *set,
                     sw_target *target, const char *stage, sw_error *error)
{
    crops->items =
        memory_grow(crops->items, crops->count, sizeof *crops->items);
    cli_crop *crop = &crops->items[crops->count++];
    *crop = (cli_crop){.set = *set,
                       .target = target,
                       .stage = stage ? memory_text(stage) : NULL,
                       .cations_meq_per_l = NAN,
                       .anions_meq_per_l = NAN,
                       .ec_ms_per_cm = NAN,
                       .printed = sw_target_set_printed(set->name, stage)};
    return judge(crop, error);
}

static sw_status add_set(cli_crops *crops, const sw_target_set *set,
                         sw_error *error)
{
    sw_target *all;
    const char *stage;
    sw_status status = sw_target_named(set->name, &all, error);
    if (status != SW_OK)
        return status;
    if (!sw_target_stage_name(all, 0))
        return add(crops, set, all, NULL, error);
    for (size_t i = 0;
         status == SW_OK && (stage = sw_target_stage_name(all, i)) != NULL;
         i++) {
        sw_target *one;
        status = sw_target_stage(all, stage, &one, error);
        if (status == SW_OK)
            status = add(crops, set, one, stage, error);
    }
    sw_target_free(all);
    return status;
}

static void free_crops(void *thing)
{
    cli_crops *crops = thing;
    for (size_t i = 0; i < crops->count; i++) {
        sw_target_free(crops->items[i].target);
        free(crops->items[i].stage);
    }
    free(crops->items);
}

cli_crops *crops_read(const char *name)
{
    sw_error error = {0};
    sw_target *none;
    sw_status status = SW_OK;
    size_t sets = 0;
    cli_crops *out = memory_kept(sizeof *out, free_crops);
    for (size_t i = 0; status == SW_OK && i < sw_target_set_count(); i++) {
        sw_target_set set = sw_target_set_at(i);
        if (name && !sw_target_set_is(&set, name))
            continue;
        status = add_set(out, &set, &error);
        sets++;
    }
    out->one = sets == 1;
    expect_known(sets ? status : sw_target_named(name, &none, &error), &error);
    return out;
}
