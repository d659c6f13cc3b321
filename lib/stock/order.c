/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The order of mixing, made from the recipe at hand: straight into a reservoir
 * or as stocks.  Common practice of the trade, no source; reference/methods.md,
 * Stock.
 */
#include "stock/classes.h"
#include "stock/safety.h"

#include "assess/agent.h"
#include "quantity/notes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const kind_names[] = {"prepare", "fill", "add",  "measure",
                                         "top up",  "stir", "store"};

const char *sw_step_text(sw_step_kind kind)
{
    return kind_names[kind];
}

/* The list being written; the first failure stops it. */
typedef struct writer {
    const sw_mix *mix;
    const sw_stock *stock;
    double volume_l;
    sw_steps *steps;
    sw_status status;
} writer;

static sw_step *new_step(writer *w, sw_step_kind kind, sw_tank tank)
{
    sw_steps *s = w->steps;
    sw_step *grown =
        w->status ? NULL : realloc(s->items, (s->count + 1) * sizeof *grown);
    if (!grown) {
        w->status = SW_ERR_MEMORY;
        return NULL;
    }
    s->items = grown;
    sw_step *step = &s->items[s->count++];
    *step = (sw_step){.kind = kind, .tank = tank, .product = (size_t)-1};
    return step;
}

static void say(writer *w, sw_step_kind kind, sw_tank tank, const char *text)
{
    sw_step *step = new_step(w, kind, tank);
    if (step)
        snprintf(step->text, sizeof step->text, "%s", text);
}

static void warn(writer *w, const char *caution)
{
    if (!w->status)
        snprintf(w->steps->items[w->steps->count - 1].safety,
                 sizeof w->steps->items->safety, "%s", caution);
}

static const sw_product *product_at(const writer *w, size_t j)
{
    return &w->mix->shelf->products[j];
}

static double grams_of(const writer *w, size_t j, sw_tank tank)
{
    return tank == SW_TANKS ? w->mix->recipe->g_per_l[j] * w->volume_l
                            : w->stock->placements[j].g[tank];
}

/* ---- Which product when ---- */

typedef enum turn {
    TURN_ACID, /* stocks: into the water first */
    TURN_PREMIX,
    TURN_PHOSPHATE,
    TURN_OTHER, /* nitrates, chlorides, trace elements */
    TURN_SULFATE,
    TURN_CALCIUM,
    TURN_CHELATE, /* once the tank is mild */
    TURN_BASE,
    TURN_COUNT
} turn;

/* Everything in one: more than two of the main nutrients. */
static bool is_premix(const sw_product *p)
{
    static const sw_component main_ones[] = {SW_N, SW_P, SW_K, SW_CA, SW_MG};
    int carried = 0;
    for (int i = 0; i < 5; i++)
        carried += p->per_g.amount[main_ones[i]] > 5;
    return carried > 2;
}

static turn turn_of(const sw_product *p)
{
    unsigned classes = sw_classes_of(p);
    if (classes & SW_CLASS_ACID)
        return TURN_ACID;
    if (classes & SW_CLASS_BASE)
        return TURN_BASE;
    if (is_premix(p))
        return TURN_PREMIX;
    if (classes & SW_CLASS_CALCIUM)
        return TURN_CALCIUM;
    if (classes & SW_CLASS_PHOSPHATE)
        return TURN_PHOSPHATE;
    if (classes & SW_CLASS_CHELATE)
        return TURN_CHELATE;
    if (classes & SW_CLASS_SULFATE && !sw_is_micro(p))
        return TURN_SULFATE;
    return TURN_OTHER;
}

static bool is_liquid(const sw_product *p)
{
    return !isnan(p->density_g_per_ml);
}

static bool has_turn(const writer *w, turn now, sw_tank tank)
{
    for (size_t j = 0; j < w->mix->shelf->count; j++)
        if (grams_of(w, j, tank) > 0 && turn_of(product_at(w, j)) == now)
            return true;
    return false;
}

/* What it does to a worker, with what was added before it. */
static void warn_of(writer *w, size_t j, sw_tank tank)
{
    const sw_product *held[SW_MAX_PRODUCTS];
    size_t count = 0;
    sw_step *step = &w->steps->items[w->steps->count - 1];
    for (const sw_step *s = w->steps->items; s < step; s++)
        if (s->kind == SW_STEP_ADD && s->tank == tank &&
            count < SW_MAX_PRODUCTS)
            held[count++] = product_at(w, s->product);
    sw_safety_of_adding(product_at(w, j), held, count, step->safety,
                        sizeof step->safety);
}

static void add(writer *w, size_t j, sw_tank tank)
{
    const sw_product *p = product_at(w, j);
    sw_step *step = new_step(w, SW_STEP_ADD, tank);
    bool nitrate = p->per_g.amount[SW_NO3_N] > 50 && !is_liquid(p);
    bool cold = tank != SW_TANKS && has_turn(w, TURN_ACID, tank);
    const char *how = is_liquid(p) ? "Measure it out and pour it in slowly "
                                     "while stirring."
                      : tank != SW_TANKS
                          ? "Stir until clear before the next one."
                          : "Dissolve it by itself in a bucket of water, then "
                            "pour it in.";
    if (!step)
        return;
    step->product = j;
    step->g = grams_of(w, j, tank);
    snprintf(step->text, sizeof step->text, "%s%s%s", how,
             !nitrate ? ""
             : cold   ? " Nitrates cool the water: give them time."
                      : " Nitrates cool the water: warm water helps.",
             turn_of(p) == TURN_CALCIUM && tank == SW_TANKS
                 ? " Slowly, with the pump running."
                 : "");
    warn_of(w, j, tank);
}

static void add_turn(writer *w, turn now, sw_tank tank)
{
    for (size_t j = 0; j < w->mix->shelf->count && !w->status; j++)
        if (grams_of(w, j, tank) > 0 && turn_of(product_at(w, j)) == now)
            add(w, j, tank);
}

/* ---- The two ways ---- */

/* How far from the pH asked for, and from the one limit given, will do (common
 * practice, no source). */
static const double near_aim = 0.3, beside_limit = 0.5;

/* The crop's range where the target gives one, else the usual. */
static void ph_range(const writer *w, double *low, double *high)
{
    const sw_target_row *row = sw_target_ph(w->mix->target);
    *low = SW_USUAL_PH_LOW;
    *high = SW_USUAL_PH_HIGH;
    if (!row)
        return;
    *low = fmin(*low, row->max - beside_limit);
    *high = fmax(*high, row->min + beside_limit);
    if (!isnan(row->target)) {
        *low = row->target - near_aim;
        *high = row->target + near_aim;
    }
    *low = isnan(row->min) ? *low : row->min;
    *high = isnan(row->max) ? *high : row->max;
}

static void measure_ph(writer *w, const char *format)
{
    double low, high;
    sw_step *step = new_step(w, SW_STEP_MEASURE, SW_TANKS);
    ph_range(w, &low, &high);
    if (!step)
        return;
    /* both formats are of this file and take the two numbers */
    int used = snprintf(step->text, sizeof step->text, "%s", format);
    snprintf(step->text + used, sizeof step->text - (size_t)used,
             " The range is %.1f to %.1f.", low, high);
}

static void write_direct(writer *w)
{
    say(w, SW_STEP_PREPARE, SW_TANKS,
        "Calibrate the scale, the pH meter and the EC meter. Read the labels.");
    warn(w, "Follow the product labels, the local codes and licensed practice. "
            "Joined to drinking water, the fill line needs a backflow "
            "preventer.");
    say(w, SW_STEP_FILL, SW_TANKS,
        "Fill the reservoir to about a third and start the pump.");
    add_turn(w, TURN_PREMIX, SW_TANKS);
    add_turn(w, TURN_PHOSPHATE, SW_TANKS);
    add_turn(w, TURN_OTHER, SW_TANKS);
    say(w, SW_STEP_FILL, SW_TANKS, "Fill to about three quarters.");
    add_turn(w, TURN_SULFATE, SW_TANKS);
    add_turn(w, TURN_CALCIUM, SW_TANKS);
    add_turn(w, TURN_ACID, SW_TANKS);
    add_turn(w, TURN_BASE, SW_TANKS);
    add_turn(w, TURN_CHELATE, SW_TANKS);
    say(w, SW_STEP_TOP_UP, SW_TANKS, "Top up to the mark.");
    measure_ph(w, "Measure pH and EC; adjust the pH with a little diluted acid "
                  "or base at a time.");
    say(w, SW_STEP_STIR, SW_TANKS, "Circulate for about 10 minutes.");
    measure_ph(w, "Measure the pH again and adjust: it drifts after mixing.");
}

/* Above it EDTA and DTPA slowly lose iron in a stock: common practice, no
 * source. */
static const double chelate_ph = 6.5;

/* A tank reckoned above the range is not told to stay in it. */
static const char *chelate_words(const writer *w, sw_tank tank)
{
    if (w->stock->tanks[tank].ph > chelate_ph)
        return "Measure the pH of the tank with the chelate: EDTA and DTPA "
               "keep best between about pH 3.5 and 6.5, and it is reckoned "
               "above. Purified or acidified make-up water brings it down.";
    return "The tank with the chelate must stay between about pH 3.5 and 6.5.";
}

static void write_tank(writer *w, sw_tank tank)
{
    char text[sizeof((sw_step *)0)->text];
    snprintf(text, sizeof text,
             "Tank %s: fill to about three quarters with %s, and start the "
             "stirrer.",
             sw_tank_text(tank),
             has_turn(w, TURN_ACID, tank)
                 ? "cold water, since acid heats it"
                 : "water of 30 to 40 °C where that can be had");
    say(w, SW_STEP_FILL, tank, text);
    for (int now = 0; now < TURN_COUNT; now++)
        add_turn(w, (turn)now, tank);
    say(w, SW_STEP_TOP_UP, tank, "Top up to the mark when all is clear.");
    if (has_turn(w, TURN_PHOSPHATE, tank))
        say(w, SW_STEP_MEASURE, tank,
            "The tank with the phosphate keeps best near pH 5.5 or below.");
    if (has_turn(w, TURN_CHELATE, tank))
        say(w, SW_STEP_MEASURE, tank, chelate_words(w, tank));
    say(w, SW_STEP_STORE, tank,
        "Mark the tank with its name, contents, factor and date; cover it, "
        "keep it dark and agitated.");
}

static void write_stocks(writer *w)
{
    say(w, SW_STEP_PREPARE, SW_TANKS,
        "Calibrate the scale. Rinse tanks, stirrers and filters.");
    warn(w, "Follow the product labels, the local codes and licensed practice. "
            "Joined to drinking water, injectors need a backflow preventer.");
    for (int t = 0; t < SW_TANKS; t++)
        if (w->stock->tanks[t].volume_l > 0)
            write_tank(w, (sw_tank)t);
    say(w, SW_STEP_STORE, SW_TANKS,
        "Use separate buckets and suction lines for each tank.");
    warn(w,
         "A and B never meet undiluted. Keep stocks away from children and "
         "animals; leftovers go on a crop diluted to feed strength, or where "
         "the local code says, never into drains or ditches.");
    measure_ph(w, "At the first feed measure pH and EC behind the injectors.");
}

void sw_steps_free(sw_steps *steps)
{
    if (!steps)
        return;
    free(steps->items);
    free(steps);
}

static sw_status check(const sw_mix *mix, const sw_stock *stock,
                       double volume_l, sw_error *error)
{
    if (stock ? stock->count != mix->shelf->count
              : mix->recipe->count != mix->shelf->count)
        return sw_fail(error, SW_ERR_VALUE,
                       "the recipe or the stock is of another shelf");
    if (!stock && !(volume_l > 0 && isfinite(volume_l)))
        return sw_fail(error, SW_ERR_VALUE,
                       "the reservoir's volume must be above 0 L");
    return SW_OK;
}

sw_status sw_mixing_order(const sw_mix *mix, const sw_stock *stock,
                          double volume_l, sw_steps **steps, sw_error *error)
{
    *steps = NULL;
    sw_status status = check(mix, stock, volume_l, error);
    if (status)
        return status;
    writer w = {.mix = mix,
                .stock = stock,
                .volume_l = volume_l,
                .steps = calloc(1, sizeof *w.steps)};
    if (!w.steps)
        return sw_fail_memory(error);
    if (stock)
        write_stocks(&w);
    else
        write_direct(&w);
    if (w.status) {
        sw_steps_free(w.steps);
        return sw_fail_memory(error);
    }
    *steps = w.steps;
    return SW_OK;
}
