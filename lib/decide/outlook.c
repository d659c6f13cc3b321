/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The same drawn waters, weights and fills are mixed once without a mistake
 * and once with each, so that candidates differ by their mistake alone.
 */
#include "decide/outlook.h"

#include "chemistry/equilibrate.h"
#include "decide/check.h"
#include "decide/draw.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>

/* The golden ratio's fraction: its multiples spread evenly (Weyl 1916). */
static const double golden = 0.6180339887498949;

double sw_outlook_factor(const sw_outlook *outlook, size_t mistake, int draw)
{
    double u = ((double)draw + 0.5) * golden;
    return sw_mistake_factor(&outlook->mistakes.items[mistake], u - floor(u));
}

void sw_outlook_finished(const sw_outlook *outlook, size_t mistake, int draw,
                         sw_content *finished)
{
    const sw_mix *mix = outlook->mix;
    const sw_mistake *what = &outlook->mistakes.items[mistake];
    double factor = sw_outlook_factor(outlook, mistake, draw);
    size_t count = mix->recipe->count;
    const double *g_per_l = outlook->g_per_l + (size_t)draw * count;
    *finished = outlook->water[draw];
    for (size_t j = 0; j < count; j++) {
        int head = outlook->head ? outlook->head[j] : 0;
        sw_content_add(finished,
                       g_per_l[j] * sw_mistake_times(what, factor, j, head),
                       &mix->shelf->products[j].per_g);
    }
}

static sw_status measure(const sw_mix *mix, const sw_content *finished,
                         double *ec, double *ph, sw_error *error)
{
    sw_chemistry chemistry;
    sw_status status = sw_equilibrate_briefly(
        finished, &mix->conditions, SW_CARBONATE_KEPT, &chemistry, error);
    if (status != SW_OK)
        return status;
    *ec = chemistry.ec_ms_per_cm;
    *ph = chemistry.ph;
    return SW_OK;
}

static sw_status measure_all(sw_outlook *o, sw_error *error)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < o->mistakes.count; i++)
        for (int k = 0; k < SW_OUTLOOK_DRAWS && status == SW_OK; k++) {
            size_t at = i * SW_OUTLOOK_DRAWS + (size_t)k;
            sw_content finished;
            sw_outlook_finished(o, i, k, &finished);
            status =
                measure(o->mix, &finished, &o->ln_ec[at], &o->ph[at], error);
            o->ln_ec[at] = log(o->ln_ec[at]);
        }
    return status;
}

static sw_status measure_paper(sw_outlook *o, sw_error *error)
{
    sw_content finished = *o->mix->water;
    sw_content_add_recipe(&finished, 1, o->mix->shelf, o->mix->recipe);
    return measure(o->mix, &finished, &o->paper_ec, &o->paper_ph, error);
}

static sw_status draw_all(sw_outlook *o, const sw_tolerances *tolerances,
                          sw_error *error)
{
    sw_draw *draw;
    sw_status status =
        sw_draw_new(o->mix, tolerances, SW_DOUBT_ALL, &draw, error);
    for (size_t k = 0; k < SW_OUTLOOK_DRAWS && status == SW_OK; k++)
        sw_draw_parts(draw, &o->water[k],
                      o->g_per_l + k * o->mix->recipe->count);
    sw_draw_free(draw);
    return status;
}

static sw_status fill(sw_outlook *o, const sw_tolerances *tolerances,
                      sw_error *error)
{
    sw_status status = sw_mistakes_list(o->mix, o->head, &o->mistakes, error);
    if (status != SW_OK)
        return status;
    size_t points = o->mistakes.count * SW_OUTLOOK_DRAWS;
    size_t parts = o->mix->recipe->count * SW_OUTLOOK_DRAWS;
    o->g_per_l = calloc(parts + 1, sizeof *o->g_per_l);
    o->ln_ec = calloc(points, sizeof *o->ln_ec);
    o->ph = calloc(points, sizeof *o->ph);
    if (!o->g_per_l || !o->ln_ec || !o->ph)
        return sw_fail_memory(error);
    status = draw_all(o, tolerances, error);
    if (status == SW_OK)
        status = measure_paper(o, error);
    return status == SW_OK ? measure_all(o, error) : status;
}

sw_status sw_outlook_find(const sw_mix *mix, const sw_tolerances *tolerances,
                          sw_outlook **outlook, sw_error *error)
{
    *outlook = NULL;
    sw_status status = sw_tolerances_check(mix, tolerances, error);
    if (status != SW_OK)
        return status;
    *outlook = calloc(1, sizeof **outlook);
    if (!*outlook)
        return sw_fail_memory(error);
    (*outlook)->mix = mix;
    (*outlook)->head = tolerances->head;
    return fill(*outlook, tolerances, error);
}

void sw_outlook_free(sw_outlook *outlook)
{
    if (!outlook)
        return;
    free(outlook->mistakes.items);
    free(outlook->g_per_l);
    free(outlook->ln_ec);
    free(outlook->ph);
    free(outlook);
}
