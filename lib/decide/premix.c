/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A premix as its label tells: its proportions against those wanted, and what
 * the label leaves open.
 */
#include "quantity/label.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "saltwright.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

/* A share of urea from which it is worth a note. */
static const double urea_least = 0.01;

bool sw_is_premix(const sw_product *product)
{
    return product->label &&
           sw_content_elements(&product->per_g) >= SW_MIX_ELEMENTS;
}

static sw_status check(const sw_mix *mix, size_t product, sw_error *error)
{
    if (product >= mix->recipe->count || product >= mix->shelf->count)
        return sw_fail(error, SW_BAD_PREMIX_PRODUCT, product,
                       mix->recipe->count);
    for (size_t i = 0; i < mix->target->count; i++)
        if (mix->target->rows[i].stage)
            return sw_fail(error, SW_BAD_TARGET_STAGED);
    return SW_OK;
}

/* Water and everything but the product, per litre. */
static sw_content rest_of(const sw_mix *mix, size_t product)
{
    sw_content rest = *mix->water;
    for (size_t j = 0; j < mix->recipe->count; j++)
        if (j != product)
            sw_content_add(&rest, mix->recipe->g_per_l[j],
                           &mix->shelf->products[j].per_g);
    return rest;
}

static void add_row(const sw_mix *mix, const sw_target_row *target,
                    const sw_content *rest, sw_premix *p)
{
    sw_component c = target->component;
    double per_g = mix->shelf->products[p->product].per_g.amount[c];
    p->rows[p->row_count++] = (sw_premix_row){
        .component = c,
        .declared = per_g > 0.0,
        .brought_mg_per_l = p->g_per_l * per_g,
        .wanted_mg_per_l = fmax(0.0, target->target - rest->amount[c]),
        .ratio = per_g,
        .wanted_ratio = NAN};
}

static bool can_be_base(const sw_premix_row *row)
{
    return row->declared && row->wanted_mg_per_l > 0.0;
}

/* Ratios to N or, where the premix or the target has none, the first other. */
static void set_ratios(sw_premix *p)
{
    const sw_premix_row *base = NULL;
    for (size_t i = 0; i < p->row_count; i++)
        if (can_be_base(&p->rows[i]) && (!base || p->rows[i].component == SW_N))
            base = &p->rows[i];
    p->base = base ? base->component : SW_COMPONENT_COUNT;
    double ratio = base ? base->ratio : (double)NAN;
    double wanted = base ? base->wanted_mg_per_l : (double)NAN;
    for (size_t i = 0; i < p->row_count; i++) {
        p->rows[i].ratio /= ratio;
        p->rows[i].wanted_ratio = p->rows[i].wanted_mg_per_l / wanted;
    }
}

static void note_undeclared(sw_premix *p)
{
    char list[160] = "";
    for (size_t i = 0; i < p->row_count; i++)
        if (!p->rows[i].declared)
            sw_text_join(list, sizeof list, ", ", "%s",
                         sw_component_name(p->rows[i].component));
    if (*list)
        sw_notes_add(&p->notes, SW_SAY_LABEL_UNDECLARED, list);
}

/* What the label leaves open. */
static void note_all(const sw_product *product, sw_premix *p)
{
    double iron = product->per_g.amount[SW_FE];
    double bare = iron - product->per_g.amount[SW_CHELATED_FE];
    note_undeclared(p);
    if (p->urea_share >= urea_least)
        sw_notes_add(&p->notes, SW_SAY_LABEL_UREA, 100.0 * p->urea_share);
    if (bare > 0.01 * iron)
        sw_notes_add(&p->notes, SW_SAY_LABEL_CHELATOR);
}

static void fill(const sw_mix *mix, sw_premix *p)
{
    const double *per_g = mix->shelf->products[p->product].per_g.amount;
    const sw_content rest = rest_of(mix, p->product);
    for (size_t i = 0; i < mix->target->count; i++)
        if (mix->target->rows[i].kind == SW_TARGET_COMPONENT &&
            mix->target->rows[i].target > 0.0 &&
            p->row_count < SW_COMPONENT_COUNT)
            add_row(mix, &mix->target->rows[i], &rest, p);
    set_ratios(p);
    p->ammonium_share = per_g[SW_NH4_N] / per_g[SW_N];
    p->urea_share = per_g[SW_UREA_N] / per_g[SW_N];
}

sw_status sw_premix_review(const sw_mix *mix, size_t product,
                           sw_premix **premix, sw_error *error)
{
    SW_REQUIRE_FOR(premix, error, sw_aimed_mix(mix));
    sw_status status = check(mix, product, error);
    if (status != SW_OK)
        return status;
    sw_premix *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->product = product;
    made->g_per_l = mix->recipe->g_per_l[product];
    fill(mix, made);
    note_all(&mix->shelf->products[product], made);
    status = sw_notes_status(&made->notes, error);
    SW_GIVE(status, premix, made, sw_premix_free);
}

void sw_premix_free(sw_premix *premix)
{
    if (!premix)
        return;
    sw_notes_free(&premix->notes);
    free(premix);
}
