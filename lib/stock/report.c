/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One report a tank: what is nearest to coming out, in use and in the cold,
 * how cold and how strong it may be, its pH; and notes where that bites.
 */
#include "stock/report.h"

#include "quantity/notes.h"
#include "stock/classes.h"
#include "stock/dose.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Below this pH EDTA and DTPA let go of iron in days: common practice, no
 * source. */
static const double chelate_ph = 3.5;

static void write_solid(size_t solid, char *text, size_t size)
{
    snprintf(text, size, "%s",
             solid < sw_stock_solid_count() ? sw_stock_solid_name(solid) : "");
}

static void report_saturation(const sw_pitzer *pitzer,
                              const sw_tank_content *content,
                              const sw_stock_setup *setup, sw_tank_report *tank)
{
    sw_solubility s;
    size_t solid;
    sw_solubility_at(pitzer, setup->cold_c, &s);
    tank->saturation_cold = sw_tank_saturation(&s, content, 1, &solid);
    write_solid(solid, tank->solid_cold, sizeof tank->solid_cold);
    sw_solubility_at(pitzer, setup->temperature_c, &s);
    tank->saturation = sw_tank_saturation(&s, content, 1, &solid);
    write_solid(solid, tank->solid, sizeof tank->solid);
    double strength = sw_tank_strength(&s, content, &solid);
    tank->highest_factor = fmin(SW_MOST_STRENGTH, strength * tank->ratio);
    tank->coldest_c = sw_tank_coldest(pitzer, content);
}

/* Carbonate of hard make-up water beside a stock's calcium. */
static sw_status note_lime(const char *name, sw_notes *notes)
{
    return sw_notes_add(notes, SW_WARNING, "stock-calcite",
                        "Tank %s: the carbonate of its make-up water and the "
                        "calcium in it make calcite (lime), which clouds the "
                        "tank and clogs filters. Make it up with purified "
                        "water, or with water whose alkalinity acid has taken.",
                        name);
}

static sw_status note_slow(const sw_brine *brine, size_t solid,
                           const char *name, sw_notes *notes)
{
    return sw_notes_add(notes, SW_INFO, "stock-watch",
                        "Tank %s, about pH %.1f, is saturated with %s (%s) on "
                        "paper. It forms slowly; keep the tank acid and use it "
                        "up.",
                        name, brine->ph, sw_stock_solid_name(solid),
                        sw_stock_solid_formula(solid));
}

/* What sets no limit, and is saturated all the same. */
static sw_status note_unlimited(const sw_solubility *s, const sw_brine *brine,
                                const char *name, sw_notes *notes)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < sw_stock_solid_count() && !status; i++) {
        sw_solid_role role = sw_stock_solid_role(i);
        if (role == SW_SOLID_LIMITS || sw_solubility_degree(s, brine, i) <= 1)
            continue;
        status = role == SW_SOLID_WARNS ? note_lime(name, notes)
                                        : note_slow(brine, i, name, notes);
    }
    return status;
}

static sw_status report_tank(const sw_pitzer *pitzer,
                             const sw_tank_content *content,
                             const sw_stock_setup *setup, int t,
                             sw_stock *stock)
{
    sw_tank_report *tank = &stock->tanks[t];
    sw_content per_l = content->make_up;
    sw_brine brine;
    sw_solubility s;
    sw_content_add(&per_l, 1, &content->salts);
    sw_brine_make(pitzer, &per_l, setup->temperature_c, &brine);
    tank->ph = brine.water_kg_per_l > 0 ? brine.ph : NAN;
    sw_brine_missing(pitzer, &brine, tank->missing, sizeof tank->missing);
    report_saturation(pitzer, content, setup, tank);
    sw_solubility_at(pitzer, setup->temperature_c, &s);
    const char *name = sw_tank_text((sw_tank)t);
    return brine.water_kg_per_l > 0
               ? note_unlimited(&s, &brine, name, &stock->notes)
               : SW_OK;
}

static unsigned classes_in(const sw_shelf *shelf, const sw_stock *stock,
                           int tank)
{
    unsigned classes = 0;
    for (size_t j = 0; j < stock->count; j++)
        if (stock->placements[j].g[tank] > 0)
            classes |= sw_classes_of(&shelf->products[j]);
    return classes;
}

static sw_status note_tank(const sw_stock_setup *setup, int t, unsigned classes,
                           sw_stock *stock)
{
    const sw_tank_report *tank = &stock->tanks[t];
    const char *name = sw_tank_text((sw_tank)t);
    sw_status status = SW_OK;
    if (tank->saturation > 1)
        status = sw_notes_add(&stock->notes, SW_DANGER, "stock-saturated",
                              "Tank %s: %s comes out at %g °C; it stays "
                              "dissolved up to factor %.0f.",
                              name, *tank->solid ? tank->solid : "salt",
                              setup->temperature_c, tank->highest_factor);
    else if (tank->saturation_cold > 1)
        status = sw_notes_add(&stock->notes, SW_WARNING, "stock-cold",
                              "Tank %s: keep it above %.0f °C, or %s comes "
                              "out.",
                              name, ceil(tank->coldest_c), tank->solid_cold);
    if (!status && classes & SW_CLASS_CHELATE && tank->ph < chelate_ph)
        status = sw_notes_add(&stock->notes, SW_WARNING, "stock-chelate-acid",
                              "Tank %s is about pH %.1f; below 3.5 chelates "
                              "let go of their iron.",
                              name, tank->ph);
    if (!status && *tank->missing)
        status =
            sw_notes_add(&stock->notes, SW_INFO, "stock-data",
                         "Tank %s: for some of its ions together (%.*s) "
                         "no data are published; the solubility of each "
                         "salt alone was taken as the bound.",
                         name, (int)strcspn(tank->missing, ","), tank->missing);
    return status;
}

sw_status sw_report_tanks(const sw_pitzer *pitzer, const sw_shelf *shelf,
                          const sw_content *make_up,
                          const sw_stock_setup *setup, sw_stock *stock)
{
    sw_status status = SW_OK;
    for (int t = 0; t < SW_TANKS && !status; t++) {
        sw_tank_report *tank = &stock->tanks[t];
        sw_tank_content content = {.make_up = *make_up};
        if (!(tank->volume_l > 0))
            continue;
        sw_dose_tank(shelf, stock, (sw_tank)t, &content.salts,
                     &tank->salts_g_per_l);
        status = report_tank(pitzer, &content, setup, t, stock);
        if (!status)
            status = note_tank(setup, t, classes_in(shelf, stock, t), stock);
    }
    return status;
}

static sw_status note_feuds_of(const sw_shelf *shelf, sw_stock *stock,
                               size_t one, int tank)
{
    sw_status status = SW_OK;
    unsigned classes = sw_classes_of(&shelf->products[one]);
    for (size_t k = 0; k <= one && !status; k++) {
        const char *why =
            sw_feud_between(classes, sw_classes_of(&shelf->products[k]));
        if (why && stock->placements[k].g[tank] > 0)
            status = sw_notes_add(
                &stock->notes, SW_DANGER, "stock-feud",
                "Tank %s: %s with %s: %s.", sw_tank_text((sw_tank)tank),
                shelf->products[k].name, shelf->products[one].name, why);
    }
    return status;
}

sw_status sw_report_feuds(const sw_shelf *shelf, sw_stock *stock)
{
    sw_status status = SW_OK;
    for (int t = 0; t < SW_TANKS; t++)
        for (size_t j = 0; j < stock->count && !status; j++)
            if (stock->placements[j].g[t] > 0)
                status = note_feuds_of(shelf, stock, j, t);
    return status;
}
