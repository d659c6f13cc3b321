/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A premix as its label tells: the rate that suits best, its proportions
 * against those wanted, and what the label leaves open.
 */
#include "quantity/label.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/harm.h"
#include "saltwright.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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
        return sw_fail(error, SW_ERR_VALUE,
                       "there is no product %zu in a recipe of %zu", product,
                       mix->recipe->count);
    for (size_t i = 0; i < mix->target->count; i++)
        if (mix->target->rows[i].stage)
            return sw_fail(error, SW_ERR_VALUE,
                           "the target has stages: choose one with "
                           "sw_target_stage first");
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

/* ---- The rate ----------------------------------------------------------- */

/* Of sum w ((rest + a x - t) / t)^2 the x where the slope is 0; NaN: the
 * product brings nothing that has a target. */
static double free_rate(const sw_mix *mix, const double *per_g,
                        const sw_content *rest)
{
    double above = 0.0;
    double below = 0.0;
    for (size_t i = 0; i < mix->target->count; i++) {
        const sw_target_row *row = &mix->target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || !(row->target > 0.0))
            continue;
        double slope = per_g[row->component] / row->target;
        double open = 1.0 - rest->amount[row->component] / row->target;
        above += row->weight * slope * open;
        below += row->weight * slope * slope;
    }
    return below > 0.0 ? fmax(0.0, above / below) : (double)NAN;
}

static void hold(sw_premix_rate *rate, double most, const char *name,
                 double bound, const char *unit)
{
    if (!(rate->g_per_l > 0.0) || !(most < rate->g_per_l))
        return;
    rate->g_per_l = fmax(0.0, most);
    snprintf(rate->held_by, sizeof rate->held_by, "%.48s max %.6g %s", name,
             bound, unit);
}

static void add_place(const char *file, unsigned long line, char held_by[160])
{
    size_t used = strlen(held_by);
    if (file && line)
        snprintf(held_by + used, 160 - used, " (%.60s line %lu)", file, line);
    sw_text_mend(held_by);
}

/* A ceiling is on what products add, a max on what is there. */
static void hold_row(const sw_mix *mix, const sw_target_row *row,
                     const double *per_g, const sw_content *rest,
                     sw_premix_rate *rate)
{
    double before = rate->g_per_l;
    double taken = rest->amount[row->component];
    if (row->kind != SW_TARGET_COMPONENT || !(per_g[row->component] > 0.0))
        return;
    if (row->assumed)
        taken -= mix->water->amount[row->component];
    hold(rate, (row->max - taken) / per_g[row->component], row->name, row->max,
         row->assumed ? "mg/L added, which the target does not name" : "mg/L");
    if (rate->g_per_l < before)
        add_place(mix->target->name, row->line, rate->held_by);
}

static void hold_ceiling(const sw_mix *mix, sw_component component,
                         const double *per_g, const sw_content *rest,
                         sw_premix_rate *rate)
{
    sw_target_row row = {.kind = SW_TARGET_COMPONENT,
                         .component = component,
                         .name = (char *)sw_component_name(component),
                         .max = sw_feed_ceiling_mg_per_l(component),
                         .assumed = true};
    if (!isnan(row.max) && !sw_target_names(mix->target, component))
        hold_row(mix, &row, per_g, rest, rate);
}

static void hold_all(const sw_mix *mix, size_t product, const sw_content *rest,
                     sw_premix_rate *rate)
{
    const sw_product *p = &mix->shelf->products[product];
    hold(rate, p->max_g_per_l, p->name, p->max_g_per_l, "g/L");
    if (rate->held_by[0])
        add_place(mix->shelf->name, p->line, rate->held_by);
    for (size_t i = 0; i < mix->target->count; i++)
        hold_row(mix, &mix->target->rows[i], p->per_g.amount, rest, rate);
    for (int c = 0; c < SW_COMPONENT_COUNT && !mix->unguarded; c++)
        hold_ceiling(mix, (sw_component)c, p->per_g.amount, rest, rate);
}

static sw_status note_held(const sw_product *product,
                           const sw_premix_rate *rate, sw_notes *notes,
                           sw_error *error)
{
    if (!rate->held_by[0])
        return SW_OK;
    sw_status status = sw_notes_add(
        notes, SW_WARNING, "best-held",
        "The best rate of %.80s is held at %.3g g/L by %s. "
        "Without that limit %.3g g/L would bring the components "
        "closest to their targets.",
        product->name, rate->g_per_l, rate->held_by, rate->free_g_per_l);
    return status == SW_OK ? status : sw_fail_memory(error);
}

/* "K, S and Mg" of what the rest brings enough of, and the product more. */
static void list_enough(const sw_mix *mix, const double *per_g,
                        const sw_content *rest, char *list, size_t size)
{
    size_t used = 0;
    list[0] = 0;
    for (size_t i = 0; i < mix->target->count && used + 16 < size; i++) {
        const sw_target_row *row = &mix->target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0.0 &&
            row->weight > 0.0 && per_g[row->component] > 0.0 &&
            rest->amount[row->component] >= row->target)
            used += (size_t)snprintf(list + used, size - used, "%s%s",
                                     used ? ", " : "", row->name);
    }
}

static sw_status note_zero(const sw_mix *mix, const sw_product *product,
                           const sw_content *rest, sw_notes *notes,
                           sw_error *error)
{
    char enough[200];
    list_enough(mix, product->per_g.amount, rest, enough, sizeof enough);
    sw_status status = sw_notes_add(
        notes, SW_WARNING, "best-zero",
        "The best rate of %.80s is 0, since without it the water and the other "
        "amounts reach the target of %s: any of it takes these further off "
        "than it brings others closer.",
        product->name, enough);
    return status == SW_OK ? status : sw_fail_memory(error);
}

sw_status sw_premix_fit(const sw_mix *mix, size_t product, sw_premix_rate *rate,
                        sw_notes *notes, sw_error *error)
{
    *rate = (sw_premix_rate){.g_per_l = NAN, .free_g_per_l = NAN};
    sw_status status = check(mix, product, error);
    if (status != SW_OK)
        return status;
    const sw_product *p = &mix->shelf->products[product];
    const sw_content rest = rest_of(mix, product);
    rate->free_g_per_l = free_rate(mix, p->per_g.amount, &rest);
    if (isnan(rate->free_g_per_l))
        return sw_fail(error, SW_ERR_MISSING,
                       "%s brings nothing that has a target", p->name);
    rate->g_per_l = rate->free_g_per_l;
    if (!(rate->free_g_per_l > 0.0))
        return note_zero(mix, p, &rest, notes, error);
    hold_all(mix, product, &rest, rate);
    return note_held(p, rate, notes, error);
}

/* ---- The review --------------------------------------------------------- */

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

static sw_status note_undeclared(sw_premix *p)
{
    char list[160] = "";
    size_t used = 0;
    for (size_t i = 0; i < p->row_count; i++)
        if (!p->rows[i].declared && used + 16 < sizeof list)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%s",
                                     used ? ", " : "",
                                     sw_component_name(p->rows[i].component));
    if (!used)
        return SW_OK;
    return sw_notes_add(&p->notes, SW_INFO, "label-undeclared",
                        "Not on the label, so reckoned as 0: %s. Some of it "
                        "may be in the premix all the same; its maker knows.",
                        list);
}

static sw_status note_nitrogen(sw_premix *p)
{
    if (!(p->urea_share >= urea_least))
        return SW_OK;
    return sw_notes_add(&p->notes, SW_WARNING, "label-urea",
                        "%.0f %% of its nitrogen is urea: roots in water take "
                        "it up slowly, and no EC meter shows it.",
                        100.0 * p->urea_share);
}

static sw_status note_chelator(const sw_product *product, sw_premix *p)
{
    double iron = product->per_g.amount[SW_FE];
    double bare = iron - product->per_g.amount[SW_CHELATED_FE];
    if (!(bare > 0.01 * iron))
        return SW_OK;
    return sw_notes_add(&p->notes, SW_WARNING, "label-chelator",
                        "The label names no chelator for iron: bare, it drops "
                        "out of the solution; which chelator it is decides up "
                        "to which pH it stays.");
}

static sw_status note_all(const sw_mix *mix, sw_premix *p, sw_error *error)
{
    sw_status status = note_undeclared(p);
    if (status == SW_OK)
        status = note_nitrogen(p);
    if (status == SW_OK)
        status = note_chelator(&mix->shelf->products[p->product], p);
    return status == SW_OK ? SW_OK : sw_fail_memory(error);
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
    *premix = NULL;
    sw_status status = check(mix, product, error);
    if (status != SW_OK)
        return status;
    sw_premix *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->product = product;
    made->g_per_l = mix->recipe->g_per_l[product];
    fill(mix, made);
    status = note_all(mix, made, error);
    if (status == SW_OK)
        *premix = made;
    else
        sw_premix_free(made);
    return status;
}

void sw_premix_free(sw_premix *premix)
{
    if (!premix)
        return;
    sw_notes_free(&premix->notes);
    free(premix);
}
