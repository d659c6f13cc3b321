/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How much of each water a free mix may take, for what poisons it.
 * Methods: reference/methods.md, Decide.
 */
#include "assess/audit.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/water.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Kept from each bound: no laboratory, and nobody who pours, tells the limit
 * better (common practice, no source). */
static const double inexact = 0.1;

typedef struct free_water {
    sw_guideline_rows rows;
    const sw_guideline_row *worst; /* NULL: none binds */
    int gravity;                   /* of its gravest row */
    double most;
} free_water;

static sw_status look_at(const sw_water *water, const sw_content *per_l,
                         free_water *of, sw_error *error)
{
    const sw_facts facts = sw_facts_of(water, per_l, (double)NAN);
    sw_status status = sw_guidelines_hold(&facts, false, &of->rows, error);
    of->most = 1.0;
    for (size_t i = 0; status == SW_OK && i < of->rows.count; i++) {
        int gravity = sw_guideline_gravity(&of->rows.items[i]);
        if (gravity > of->gravity) {
            of->gravity = gravity;
            of->worst = &of->rows.items[i];
        }
    }
    return status;
}

static double limit_of(const sw_guideline_row *row)
{
    return sw_guideline_gravity(row) == 2 ? row->danger : row->caution;
}

static double held(const free_water *water, const sw_guideline_row *like)
{
    for (size_t i = 0; i < water->rows.count; i++) {
        const sw_guideline_row *row = &water->rows.items[i];
        if (!strcmp(row->name, like->name) && !strcmp(row->use, like->use))
            return fmax(0.0, row->value);
    }
    return 0.0;
}

/* The most of the water that holds the row with which the mix is within its
 * limit, whatever the shares of the rest: those past it, each bounded so, bring
 * no more than what the others leave free. */
static double most_within(const free_water *waters, size_t count,
                          const sw_guideline_row *row)
{
    double limit = limit_of(row), beside = 0.0;
    size_t past = 0;
    if (row->gas && sw_guideline_gravity(row) == 2)
        return 0.0;
    for (size_t k = 0; k < count; k++) {
        double value = waters[k].most > 0.0 ? held(&waters[k], row) : 0.0;
        if (value > limit)
            past++;
        else
            beside = fmax(beside, value);
    }
    return (1.0 - inexact) * (limit - beside) / (row->value - beside) /
           (double)past;
}

/* By each row of that gravity, of which a mix without danger has none. */
static double bound(const free_water *waters, size_t count, int gravity,
                    free_water *water)
{
    double most = 1.0;
    for (size_t i = 0; i < water->rows.count; i++) {
        const sw_guideline_row *row = &water->rows.items[i];
        if (sw_guideline_gravity(row) != gravity)
            continue;
        double within = most_within(waters, count, row);
        if (within < most) {
            most = within;
            water->worst = row;
        }
    }
    return most;
}

/* Those past a danger are left out where one is not; of the others so much is
 * taken as stays within the limits, if that can come to a whole. */
static void share_out(free_water *waters, size_t count, double *most)
{
    double sum = 0.0;
    int least = 2;
    for (size_t k = 0; k < count; k++)
        least = waters[k].gravity < least ? waters[k].gravity : least;
    for (size_t k = 0; k < count; k++)
        waters[k].most = waters[k].gravity == 2 && least < 2 ? 0.0 : 1.0;
    for (size_t k = 0; k < count; k++) {
        most[k] = waters[k].most;
        if (most[k] > 0.0)
            most[k] = bound(waters, count, least < 2 ? 1 : 2, &waters[k]);
        sum += most[k];
    }
    for (size_t k = 0; k < count && sum < 1.0; k++)
        most[k] = waters[k].most;
}

static void note_bound(const sw_water *water, const sw_guideline_row *row,
                       double most, sw_notes *notes)
{
    char value[SW_FIGURE_BYTES], limit[SW_FIGURE_BYTES], share[48] = "no share";
    if (most > 0.0)
        snprintf(share, sizeof share, "at most %.2g %%", 100.0 * most);
    sw_notes_add(notes, SW_SAY_WATER_LEFT_OUT, sw_water_name(water), share,
                 sw_figure(row->value, value), *row->unit ? " " : "", row->unit,
                 row->name, row->use, sw_figure(limit_of(row), limit));
}

sw_status sw_most_shares(const sw_water *const *waters, const sw_content *per_l,
                         size_t count, double *most, sw_notes *notes,
                         sw_error *error)
{
    SW_REQUIRE(error, waters, per_l, most, notes);
    sw_status status = SW_OK;
    free_water *mixed = calloc(count + 1, sizeof *mixed);
    if (!mixed)
        return sw_fail_memory(error);
    for (size_t k = 0; status == SW_OK && k < count; k++)
        status = look_at(waters[k], &per_l[k], &mixed[k], error);
    if (status == SW_OK)
        share_out(mixed, count, most);
    for (size_t k = 0; k < count; k++) {
        if (status == SW_OK && most[k] < 1.0)
            note_bound(waters[k], mixed[k].worst, most[k], notes);
        free(mixed[k].rows.items);
    }
    free(mixed);
    return status == SW_OK ? sw_notes_status(notes, error) : status;
}
