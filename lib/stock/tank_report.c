/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One report a tank: what is nearest to its solubility, in use and in the cold,
 * how cold and how strong it may be, its pH; and notes where that bites.
 */
#include "stock/tank_plan.h"

#include "assess/agent.h"
#include "quantity/notes.h"
#include "quantity/text.h"
#include "stock/product_classes.h"
#include "stock/dosing.h"
#include "table_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* From this part on a stock is treated as the acid: common practice, no
 * source. */
static const double nearly_neat = 0.5;

/* A tank being reported. */
typedef struct view {
    const sw_shelf *shelf;
    const sw_stock_setup *setup;
    const sw_stock *stock;
    int t;
    const char *name;
    sw_tank_content content;
    sw_mixture mixture;
    sw_tank_report *tank;
    sw_notes *notes;
} view;

static double grams_of(const view *v, size_t product)
{
    return v->stock->placements[product].g[v->t];
}

static bool holds(const view *v, size_t product, unsigned classes)
{
    return grams_of(v, product) > 0 &&
           sw_classes_of(&v->shelf->products[product]) & classes;
}

/* ---- Figures ------------------------------------------------------------- */

static void write_solid(size_t solid, char *text, size_t size)
{
    snprintf(text, size, "%s",
             solid < sw_stock_solid_count() ? sw_stock_solid_name(solid) : "");
}

static void fill_saturation(const sw_solubility *at, view *v)
{
    const sw_pitzer *pitzer = at->medium.pitzer;
    sw_tank_report *tank = v->tank;
    sw_content all = v->content.make_up;
    sw_solubility cold;
    size_t solid;
    tank->saturation = v->mixture.worst;
    write_solid(v->mixture.solid, tank->solid, sizeof tank->solid);
    sw_content_add(&all, 1, &v->content.salts);
    sw_solubility_of(pitzer, v->setup->cold_c, &all, &cold);
    tank->saturation_cold = sw_tank_saturation(&cold, &v->content, 1, &solid);
    write_solid(solid, tank->solid_cold, sizeof tank->solid_cold);
    double strength = fmin(sw_tank_strength(at, &v->content, &solid),
                           sw_tank_strength(&cold, &v->content, &solid));
    tank->highest_factor = fmin(SW_MOST_STRENGTH, strength * tank->ratio);
    tank->coldest_c = sw_tank_coldest(pitzer, &v->content);
}

static void fill_ph(const sw_solubility *at, view *v)
{
    const sw_brine *brine = &v->mixture.brine;
    sw_tank_report *tank = v->tank;
    tank->ph = brine->no_estimate ? NAN : brine->ph;
    snprintf(tank->no_ph, sizeof tank->no_ph, "%s",
             brine->no_estimate ? brine->no_estimate : "");
    tank->ammonia_ppm = v->mixture.ammonia_ppm;
    sw_brine_missing(&at->medium, brine, tank->missing, sizeof tank->missing);
}

/* What nobody says the solubility of, by name. */
static void fill_no_data(view *v)
{
    sw_tank_report *tank = v->tank;
    for (size_t j = 0; j < v->stock->count; j++)
        if (grams_of(v, j) > 0 && !sw_stock_has_data(&v->shelf->products[j]))
            sw_text_join(tank->no_data, sizeof tank->no_data, ", ",
                         "%s (%.3g g/L)", v->shelf->products[j].name,
                         grams_of(v, j) / tank->volume_l);
    if (*tank->no_data && !*tank->solid) /* nothing else to go by */
        tank->saturation = tank->saturation_cold = NAN;
}

/* ---- Notes --------------------------------------------------------------- */

/* The part of the tank that its liquids and solids take, or its acids alone. */
static double part_taken(const view *v, bool acids)
{
    double l = 0;
    for (size_t j = 0; j < v->stock->count; j++)
        if (!acids || holds(v, j, SW_CLASS_ACID))
            l += grams_of(v, j) * sw_dose_l_per_g(&v->shelf->products[j]);
    return l / v->tank->volume_l;
}

/* What does not fit, and what is a stock by name only; the highest factor
 * leaves room for water. */
static void note_room(view *v)
{
    sw_tank_report *tank = v->tank;
    double taken = part_taken(v, false), acid = part_taken(v, true);
    tank->highest_factor = fmin(
        tank->highest_factor, tank->ratio * (1 - SW_LEAST_FIRST_FILL) / taken);
    if (taken > 1)
        sw_notes_add(v->notes, SW_SAY_STOCK_OVERFLOW, v->name, 100 * taken);
    else if (acid > nearly_neat)
        sw_notes_add(v->notes, SW_SAY_STOCK_NEAT_ACID, v->name, 100 * acid);
}

static void note_gases(const view *v)
{
    const sw_mixture *m = &v->mixture;
    if (sw_mixture_gases(m))
        sw_notes_add(v->notes, SW_SAY_STOCK_AMMONIA, v->name,
                     100 * m->ammonia_share, m->ammonia_ppm, SW_AMMONIA_PPM);
    else if (m->ammonia_ppm > SW_AMMONIA_SMELL_PPM)
        sw_notes_add(v->notes, SW_SAY_STOCK_AMMONIA_SMELL, v->name,
                     m->ammonia_ppm, SW_AMMONIA_SMELL_PPM);
    if (m->co2_atm > 1)
        sw_notes_add(v->notes, SW_SAY_STOCK_FOAM, v->name);
}

/* Mass with a unit that suits it. */
static const char *mass_text(double g, char *text, size_t size)
{
    if (g >= 1)
        snprintf(text, size, "%.*f g", g < 10 ? 1 : 0, g);
    else
        snprintf(text, size, "%.0f mg", fmax(1, 1000 * g));
    return text;
}

static void note_deposit(const view *v, const sw_deposit *d)
{
    char mass[32];
    const char *solid = sw_stock_solid_name(d->solid);
    const char *formula = sw_stock_solid_formula(d->solid);
    bool of_water = sw_stock_solid_role(d->solid) == SW_SOLID_WARNS;
    mass_text(d->g_per_l, mass, sizeof mass);
    if (of_water && d->counts) {
        v->tank->makes_lime = true;
        sw_notes_add(v->notes, SW_SAY_STOCK_CALCITE, v->name);
    } else if (d->counts && !d->forms) {
        sw_notes_add(v->notes, SW_SAY_STOCK_WATCH, v->name, solid, formula,
                     mass);
    } else if (d->counts) {
        sw_notes_add(v->notes, SW_SAY_STOCK_PRECIPITATE, v->name, solid,
                     formula, mass);
    } else if (!of_water) {
        sw_notes_add(v->notes, SW_SAY_STOCK_TRACE, v->name, mass, solid,
                     formula);
    }
}

static const sw_deposit *deposit_of(const sw_mixture *m, size_t solid)
{
    for (size_t i = 0; i < m->deposit_count; i++)
        if (m->deposits[i].solid == solid)
            return &m->deposits[i];
    return NULL;
}

/* What whoever finds the tank cloudy looks at: of what forms at once the most,
 * though another is further past its limit. */
static size_t said_first(const sw_mixture *m)
{
    const sw_deposit *most = deposit_of(m, m->solid);
    for (size_t i = 0; most && i < m->deposit_count; i++) {
        const sw_deposit *d = &m->deposits[i];
        if (d->counts && d->forms && d->g_per_l > most->g_per_l &&
            sw_stock_solid_role(d->solid) != SW_SOLID_WARNS)
            most = d;
    }
    return most ? most->solid : m->solid;
}

/* All but the solid that is said for itself. */
static void note_mixture(const view *v)
{
    const sw_mixture *m = &v->mixture;
    size_t first = said_first(m);
    if (m->brine.water_kg_per_l > 0)
        note_gases(v);
    for (size_t i = 0; i < m->deposit_count; i++)
        if (!(m->worst > 1) || m->deposits[i].solid != first)
            note_deposit(v, &m->deposits[i]);
}

/* ", up to 12 g/L" of the solid that is said first. */
static void write_first(const sw_mixture *m, char *text, size_t size)
{
    char mass[32];
    const sw_deposit *d = deposit_of(m, said_first(m));
    text[0] = '\0';
    if (d)
        snprintf(text, size, ", up to %s/L",
                 mass_text(d->g_per_l, mass, sizeof mass));
}

/* Whether it was said that a little of the solid in the cold is no harm. */
static bool is_trace(const view *v)
{
    const sw_mixture *m = &v->mixture;
    for (size_t i = 0; i < m->deposit_count; i++)
        if (!m->deposits[i].counts &&
            strcmp(sw_stock_solid_name(m->deposits[i].solid),
                   v->tank->solid_cold) == 0)
            return true;
    return false;
}

static void note_saturation(const view *v)
{
    const sw_tank_report *tank = v->tank;
    char mass[48], until[64] = "no lower factor keeps it dissolved";
    write_first(&v->mixture, mass, sizeof mass);
    if (tank->highest_factor >= SW_LEAST_FACTOR)
        snprintf(until, sizeof until, "it stays dissolved up to factor %.0f",
                 floor(tank->highest_factor));
    if (tank->saturation > 1)
        sw_notes_add(v->notes, SW_SAY_STOCK_SATURATED, v->name,
                     *tank->solid ? sw_stock_solid_name(said_first(&v->mixture))
                                  : "salt",
                     v->setup->temperature_c, mass, until);
    else if (tank->saturation_cold > 1)
        sw_notes_add(v->notes, SW_SAY_STOCK_COLD, v->name,
                     ceil(tank->coldest_c), is_trace(v) ? "too much " : "",
                     tank->solid_cold);
}

/* pH with the water it is to be filled with: purified, where its own makes
 * lime. */
static double filled_ph(const sw_solubility *at, const view *v)
{
    sw_tank_content content = {.salts = v->content.salts};
    sw_mixture filled;
    if (!v->tank->makes_lime)
        return v->mixture.brine.ph;
    sw_mixture_make(at, &content, 1, &filled);
    return filled.brine.ph;
}

/* The frailest at the pH with its own water, which it may stand in already; it
 * counts here even where it is not shown. */
static void fill_chelate(const sw_solubility *at, view *v)
{
    sw_tank_report *tank = v->tank;
    double ph = v->mixture.brine.ph, worst = -INFINITY;
    tank->chelate_ph = filled_ph(at, v);
    tank->chelate_ph_low = tank->chelate_ph_high = NAN;
    for (size_t j = 0; j < v->stock->count; j++) {
        const sw_product *p = &v->shelf->products[j];
        sw_chelate_range range = sw_chelate_range_of(p);
        double beyond = fmax(range.low - ph, ph - range.doubtful);
        if (!holds(v, j, SW_CLASS_CHELATE) || !(beyond > worst))
            continue;
        worst = beyond;
        tank->chelate = j;
        tank->chelate_ph_low = range.low;
        tank->chelate_ph_high = range.doubtful;
        if (ph < range.low || ph > range.high)
            snprintf(tank->chelate_lost, sizeof tank->chelate_lost,
                     SW_SAY_CHELATE_LOST, v->name, ph, p->name,
                     ph < range.low ? "below" : "above",
                     ph < range.low ? range.low : range.high);
    }
}

/* Its silica stays dissolved as long as the tank is strongly alkaline: Iler
 * 1979, The Chemistry of Silica, ch. 2; what to do is common practice, no
 * source. */
static void note_silicate(const view *v)
{
    bool silicate = false;
    for (size_t j = 0; j < v->stock->count; j++)
        silicate = silicate || holds(v, j, SW_CLASS_SILICATE);
    if (silicate)
        sw_notes_add(v->notes, SW_SAY_STOCK_SILICATE, v->name);
}

/* Urea nitrate is not among the solids judged. */
static void note_urea(const view *v)
{
    bool acid = false, nitrate = false, urea = false;
    for (size_t j = 0; j < v->stock->count; j++) {
        const sw_content *per_g = &v->shelf->products[j].per_g;
        acid = acid || holds(v, j, SW_CLASS_ACID);
        nitrate = nitrate || holds(v, j, SW_CLASS_NITRIC | SW_CLASS_NITRATE);
        urea = urea ||
               (holds(v, j, SW_CLASS_ORGANIC) && per_g->amount[SW_UREA_N] > 0);
    }
    if (acid && nitrate && urea)
        sw_notes_add(v->notes, SW_SAY_STOCK_UREA_NITRATE, v->name);
}

static void note_data(const view *v)
{
    const sw_tank_report *tank = v->tank;
    if (*tank->no_data)
        sw_notes_add(v->notes, SW_SAY_STOCK_NO_DATA, v->name, tank->no_data);
    if (*tank->missing)
        sw_notes_add(v->notes, SW_SAY_STOCK_DATA, v->name,
                     (int)strcspn(tank->missing, ","), tank->missing);
}

/* ---- All tanks ----------------------------------------------------------- */

static void report_tank(const sw_solubility *at, view *v)
{
    sw_dose_tank(v->shelf, v->stock, (sw_tank)v->t, &v->content.salts,
                 &v->tank->salts_g_per_l);
    sw_mixture_make(at, &v->content, 1, &v->mixture);
    fill_ph(at, v);
    fill_saturation(at, v);
    fill_no_data(v);
    note_room(v);
    note_mixture(v);
    if (!sw_mixture_gases(&v->mixture))
        note_saturation(v);
    fill_chelate(at, v);
    note_silicate(v);
    note_urea(v);
    note_data(v);
}

void sw_report_tanks(const sw_pitzer *pitzer, const sw_shelf *shelf,
                     const sw_content *make_up, const sw_stock_setup *setup,
                     sw_stock *stock)
{
    sw_solubility at;
    sw_solubility_at(pitzer, setup->temperature_c, &at);
    for (int t = 0; t < SW_TANKS; t++) {
        view v = {.shelf = shelf,
                  .setup = setup,
                  .stock = stock,
                  .t = t,
                  .name = sw_tank_text((sw_tank)t),
                  .content = {.make_up = *make_up},
                  .tank = &stock->tanks[t],
                  .notes = &stock->notes};
        if (v.tank->volume_l > 0)
            report_tank(&at, &v);
    }
}

/* With itself and those before it. */
static void note_feuds_of(const sw_shelf *shelf, sw_stock *stock, size_t one,
                          int t)
{
    const sw_product *product = &shelf->products[one];
    const char *tank = sw_tank_text((sw_tank)t);
    unsigned classes = sw_classes_of(product);
    for (size_t k = 0; k <= one; k++) {
        const sw_product *other = &shelf->products[k];
        const char *why = sw_feud_between(classes, sw_classes_of(other));
        if (!why || !(stock->placements[k].g[t] > 0))
            continue;
        if (k == one)
            sw_notes_add(&stock->notes, SW_SAY_STOCK_INCOMPATIBLE_ALONE, tank,
                         product->name, why);
        else
            sw_notes_add(&stock->notes, SW_SAY_STOCK_INCOMPATIBLE, tank,
                         other->name, product->name, why);
    }
}

void sw_report_feuds(const sw_shelf *shelf, sw_stock *stock)
{
    for (int t = 0; t < SW_TANKS; t++)
        for (size_t j = 0; j < stock->count; j++)
            if (stock->placements[j].g[t] > 0)
                note_feuds_of(shelf, stock, j, t);
}
