/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Behind injectors each tank is filled, and each head drifts, on its own: a
 * product that is in two tanks counts there as two.
 */
#include "sure.h"

#include <stdlib.h>

#include "complain.h"
#include "memory.h"

/* The part of its product, per litre of feed, that is in the tank. */
static double part_in(const sw_stock *stock, size_t product, int tank)
{
    double parts[SW_TANKS];
    double sum = 0.0;
    for (int t = 0; t < SW_TANKS; t++) {
        const sw_tank_report *row = &stock->tanks[t];
        double g = stock->placements[product].g[t];
        parts[t] = g > 0.0 ? g / (row->ratio * row->volume_l) : 0.0;
        sum += parts[t];
    }
    return sum > 0.0 ? parts[tank] / sum : 0.0;
}

static void split(const cli_report *report, cli_parts *out)
{
    const sw_shelf *shelf = report->inputs->shelf;
    size_t room = report->recipe->count * SW_TANKS;
    out->shelf.products = memory_array(room, sizeof(sw_product));
    out->recipe.g_per_l = memory_array(room, sizeof(double));
    out->head = memory_array(room, sizeof *out->head);
    out->product = memory_array(room, sizeof *out->product);
    size_t n = 0;
    for (size_t j = 0; j < report->recipe->count; j++)
        for (int t = 0; t < SW_TANKS; t++) {
            double part = part_in(report->stock, j, t);
            if (part <= 0.0)
                continue;
            out->shelf.products[n] = shelf->products[j];
            out->recipe.g_per_l[n] = report->recipe->g_per_l[j] * part;
            out->head[n] = t;
            out->product[n++] = j;
        }
    out->shelf.count = out->recipe.count = n;
    out->mix.shelf = &out->shelf;
    out->mix.recipe = &out->recipe;
}

void sure_take_apart(const cli_report *report, cli_parts *out)
{
    const cli_settings *settings = report->settings;
    *out = (cli_parts){.mix = {.water = &report->assessment->water,
                               .target = report->inputs->target,
                               .shelf = report->inputs->shelf,
                               .recipe = report->recipe,
                               .conditions = settings->conditions}};
    if (report->stock && !report_lacks_tanks(report))
        split(report, out);
    out->off =
        doubts_tolerances(&settings->doubts, settings->volume_l, out->head);
}

void sure_release(cli_parts *parts)
{
    free(parts->shelf.products);
    free(parts->recipe.g_per_l);
    free(parts->head);
    free(parts->product);
}

exit_code sure_find(const cli_report *report, sw_tolerances *off,
                    sw_uncertainty *sure)
{
    sw_error error;
    cli_parts parts;
    sure_take_apart(report, &parts);
    sw_status status =
        sw_uncertainty_find(&parts.mix, &parts.off, sure, &error);
    *off = parts.off;
    off->head = NULL;
    sure_release(&parts);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

exit_code meter_find(const cli_report *report, sw_diagnosis **diagnosis)
{
    sw_error error;
    cli_parts parts;
    sw_readings readings = report_readings(report);
    sure_take_apart(report, &parts);
    sw_status status =
        sw_diagnose(&parts.mix, &parts.off, &readings, diagnosis, &error);
    for (size_t i = 0;
         status == SW_OK && parts.head && i < (*diagnosis)->mistake_count;
         i++) {
        sw_mistake *mistake = &(*diagnosis)->mistakes[i];
        if (mistake->kind == SW_HEAD_OFF)
            continue;
        mistake->head = parts.head[mistake->product];
        mistake->product = parts.product[mistake->product];
    }
    for (size_t i = 0;
         status == SW_OK && parts.head && i < (*diagnosis)->look_count; i++) {
        sw_look *look = &(*diagnosis)->looks[i];
        if (look->kind == SW_LOOK_PRODUCT) {
            look->head = parts.head[look->product];
            look->product = parts.product[look->product];
        }
    }
    sure_release(&parts);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}
