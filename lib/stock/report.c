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

/* Mass with a unit that suits it. */
static const char *mass_text(double g, char *text, size_t size)
{
    if (g >= 1)
        snprintf(text, size, "%.*f g", g < 10 ? 1 : 0, g);
    else
        snprintf(text, size, "%.0f mg", fmax(1, 1000 * g));
    return text;
}

static sw_status note_deposit(const sw_deposit *d, const char *name,
                              sw_notes *notes)
{
    char mass[32];
    const char *solid = sw_stock_solid_name(d->solid);
    const char *formula = sw_stock_solid_formula(d->solid);
    mass_text(d->g_per_l, mass, sizeof mass);
    if (sw_stock_solid_role(d->solid) == SW_SOLID_WARNS)
        return d->counts ? note_lime(name, notes) : SW_OK;
    if (d->counts && !d->forms)
        return sw_notes_add(notes, SW_WARNING, "stock-watch",
                            "Tank %s is saturated with %s (%s) on paper, up to "
                            "%s/L. It forms slowly: keep the tank acid, use it "
                            "up, and look for a sediment.",
                            name, solid, formula, mass);
    if (d->counts)
        return sw_notes_add(notes, SW_WARNING, "stock-precipitate",
                            "Tank %s: up to %s of %s (%s) comes out of each "
                            "litre.",
                            name, mass, solid, formula);
    return sw_notes_add(notes, SW_INFO, "stock-trace",
                        "Tank %s: at most %s/L of %s (%s) can come out, too "
                        "little to harm filters or feed.",
                        name, mass, solid, formula);
}

static sw_status note_gases(const sw_mixture *m, const char *name,
                            sw_notes *notes)
{
    sw_status status = SW_OK;
    if (sw_mixture_gases(m))
        status = sw_notes_add(
            notes, SW_DANGER, "stock-ammonia",
            "Tank %s: a base sets ammonia gas (NH3) free from its ammonium, "
            "%.0f %% of it; the air over it can reach %.0f ppm, and %.0f ppm "
            "endanger life. Keep ammonium and base apart.",
            name, 100 * m->ammonia_share, m->ammonia_ppm, SW_AMMONIA_PPM);
    else if (m->ammonia_ppm > SW_AMMONIA_SMELL_PPM)
        status = sw_notes_add(
            notes, SW_WARNING, "stock-ammonia-smell",
            "Tank %s gives off some ammonia gas (NH3): the air in a closed "
            "tank can reach %.0f ppm, above the short-term limit of %.0f ppm. "
            "Air the room, keep your face away from the opening.",
            name, m->ammonia_ppm, SW_AMMONIA_SMELL_PPM);
    if (!status && m->co2_atm > 1)
        status = sw_notes_add(notes, SW_WARNING, "stock-foam",
                              "Tank %s: acid sets carbon dioxide (CO2) free "
                              "from carbonate. It foams, and the gas can fill "
                              "a pit or a closed room.",
                              name);
    return status;
}

static sw_status note_mixture(const sw_mixture *m, const char *name,
                              sw_notes *notes)
{
    sw_status status = note_gases(m, name, notes);
    for (size_t i = 0; i < m->deposit_count && !status; i++)
        status = note_deposit(&m->deposits[i], name, notes);
    return status;
}

static sw_status report_tank(const sw_pitzer *pitzer,
                             const sw_tank_content *content,
                             const sw_stock_setup *setup, int t,
                             sw_stock *stock)
{
    sw_tank_report *tank = &stock->tanks[t];
    sw_mixture m;
    sw_solubility at;
    sw_solubility_at(pitzer, setup->temperature_c, &at);
    sw_mixture_make(&at, content, 1, &m);
    tank->ph = m.brine.no_estimate ? NAN : m.brine.ph;
    if (m.brine.no_estimate)
        snprintf(tank->no_ph, sizeof tank->no_ph, "%s", m.brine.no_estimate);
    tank->ammonia_ppm = m.ammonia_ppm;
    sw_brine_missing(&at.medium, &m.brine, tank->missing, sizeof tank->missing);
    report_saturation(pitzer, content, setup, tank);
    return m.brine.water_kg_per_l > 0
               ? note_mixture(&m, sw_tank_text((sw_tank)t), &stock->notes)
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
