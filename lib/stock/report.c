/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One report a tank: what is nearest to coming out, in use and in the cold,
 * how cold and how strong it may be, its pH; and notes where that bites.
 */
#include "stock/report.h"

#include "assess/chelates.h"
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

static void report_saturation(const sw_solubility *at,
                              const sw_tank_content *content,
                              const sw_stock_setup *setup, sw_tank_report *tank)
{
    const sw_pitzer *pitzer = at->medium.pitzer;
    sw_content all = content->make_up;
    sw_solubility cold;
    size_t solid;
    sw_content_add(&all, 1, &content->salts);
    sw_solubility_of(pitzer, setup->cold_c, &all, &cold);
    tank->saturation_cold = sw_tank_saturation(&cold, content, 1, &solid);
    write_solid(solid, tank->solid_cold, sizeof tank->solid_cold);
    double strength = sw_tank_strength(at, content, &solid);
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
                            "Tank %s: %s (%s) comes out, up to %s/L.", name,
                            solid, formula, mass);
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
    sw_status status =
        m->brine.water_kg_per_l > 0 ? note_gases(m, name, notes) : SW_OK;
    for (size_t i = 0; i < m->deposit_count && !status; i++)
        if (!(m->worst > 1) || m->deposits[i].solid != m->solid)
            /* that one is said for itself */
            status = note_deposit(&m->deposits[i], name, notes);
    return status;
}

static void report_tank(const sw_solubility *at, const sw_tank_content *content,
                        const sw_stock_setup *setup, const sw_mixture *m,
                        sw_tank_report *tank)
{
    tank->ph = m->brine.no_estimate ? NAN : m->brine.ph;
    snprintf(tank->no_ph, sizeof tank->no_ph, "%s",
             m->brine.no_estimate ? m->brine.no_estimate : "");
    tank->ammonia_ppm = m->ammonia_ppm;
    tank->saturation = m->worst;
    write_solid(m->solid, tank->solid, sizeof tank->solid);
    sw_brine_missing(&at->medium, &m->brine, tank->missing,
                     sizeof tank->missing);
    report_saturation(at, content, setup, tank);
}

/* What nobody says the solubility of, by name; whether there is any. */
static bool report_no_data(const sw_shelf *shelf, const sw_stock *stock, int t,
                           sw_tank_report *tank)
{
    size_t used = 0;
    for (size_t j = 0; j < stock->count && used < sizeof tank->no_data; j++)
        if (stock->placements[j].g[t] > 0 &&
            !sw_stock_has_data(&shelf->products[j]))
            used += (size_t)snprintf(
                tank->no_data + used, sizeof tank->no_data - used,
                "%s%s (%.3g g/L)", used ? ", " : "", shelf->products[j].name,
                stock->placements[j].g[t] / tank->volume_l);
    if (used && !*tank->solid) /* nothing else to go by */
        tank->saturation = tank->saturation_cold = NAN;
    return used > 0;
}

/* The part of the tank that its liquids and solids take, or its acids alone. */
static double part_taken(const sw_shelf *shelf, const sw_stock *stock, int t,
                         bool acids)
{
    double l = 0;
    for (size_t j = 0; j < stock->count; j++) {
        const sw_product *p = &shelf->products[j];
        if (!acids || sw_classes_of(p) & SW_CLASS_ACID)
            l += stock->placements[j].g[t] * sw_dose_l_per_g(p);
    }
    return l / stock->tanks[t].volume_l;
}

/* From this part on a stock is treated as the acid: common practice, no
 * source. */
static const double nearly_neat = 0.5;

/* What does not fit, and what is a stock by name only; the highest factor
 * leaves room for water. */
static sw_status note_room(const sw_shelf *shelf, sw_stock *stock, int t)
{
    sw_tank_report *tank = &stock->tanks[t];
    const char *name = sw_tank_text((sw_tank)t);
    double taken = part_taken(shelf, stock, t, false);
    double acid = part_taken(shelf, stock, t, true);
    tank->highest_factor = fmin(
        tank->highest_factor, tank->ratio * (1 - SW_LEAST_FIRST_FILL) / taken);
    if (taken > 1)
        return sw_notes_add(
            &stock->notes, SW_DANGER, "stock-overflow",
            "Tank %s overflows: what goes into it takes %.0f %% "
            "of its volume, without any water.",
            name, 100 * taken);
    if (acid > nearly_neat)
        return sw_notes_add(
            &stock->notes, SW_WARNING, "stock-neat-acid",
            "Tank %s is %.0f %% acid by volume, nearly the acid as bought: "
            "treat it as that, and see that tank and injector are made for it. "
            "A lower factor makes it safer and doses it more exactly.",
            name, 100 * acid);
    return SW_OK;
}

/* ", up to 12 g/L" of the solid that counts most. */
static void write_worst(const sw_mixture *m, char *text, size_t size)
{
    char mass[32];
    text[0] = '\0';
    for (size_t i = 0; i < m->deposit_count; i++)
        if (m->deposits[i].solid == m->solid)
            snprintf(text, size, ", up to %s/L",
                     mass_text(m->deposits[i].g_per_l, mass, sizeof mass));
}

static sw_status note_saturation(const sw_stock_setup *setup,
                                 const sw_tank_report *tank,
                                 const sw_mixture *m, const char *name,
                                 sw_notes *notes)
{
    char mass[48], until[64] = "no lower factor keeps it dissolved";
    write_worst(m, mass, sizeof mass);
    if (tank->highest_factor >= SW_LEAST_FACTOR)
        snprintf(until, sizeof until, "it stays dissolved up to factor %.0f",
                 floor(tank->highest_factor));
    if (tank->saturation > 1)
        return sw_notes_add(notes, SW_DANGER, "stock-saturated",
                            "Tank %s: %s comes out at %g °C%s; %s.", name,
                            *tank->solid ? tank->solid : "salt",
                            setup->temperature_c, mass, until);
    if (tank->saturation_cold > 1)
        return sw_notes_add(notes, SW_WARNING, "stock-cold",
                            "Tank %s: keep it above %.0f °C, or %s comes "
                            "out.",
                            name, ceil(tank->coldest_c), tank->solid_cold);
    return SW_OK;
}

/* The pH counts here even where it is not shown. */
static sw_status note_chelates(const sw_shelf *shelf, const sw_stock *stock,
                               int t, double ph, sw_notes *notes)
{
    const char *name = sw_tank_text((sw_tank)t);
    for (size_t j = 0; j < stock->count; j++) {
        const sw_product *p = &shelf->products[j];
        double highest = sw_chelate_ph_high(p);
        if (!(stock->placements[j].g[t] > 0) ||
            !(sw_classes_of(p) & SW_CLASS_CHELATE))
            continue;
        if (ph < chelate_ph)
            return sw_notes_add(notes, SW_WARNING, "stock-chelate-acid",
                                "Tank %s is about pH %.1f; below 3.5 chelates "
                                "let go of their iron.",
                                name, ph);
        if (ph > highest)
            return sw_notes_add(notes, SW_WARNING, "stock-chelate-alkaline",
                                "Tank %s is about pH %.1f; %s lets go of its "
                                "metal above pH %.1f.",
                                name, ph, p->name, highest);
    }
    return SW_OK;
}

/* Its silica stays dissolved as long as the tank is strongly alkaline: Iler
 * 1979, The Chemistry of Silica, ch. 2; what to do is common practice, no
 * source. */
static sw_status note_silicate(const sw_shelf *shelf, const sw_stock *stock,
                               int t, sw_notes *notes)
{
    for (size_t j = 0; j < stock->count; j++)
        if (stock->placements[j].g[t] > 0 &&
            sw_classes_of(&shelf->products[j]) & SW_CLASS_SILICATE)
            return sw_notes_add(
                notes, SW_WARNING, "stock-silicate",
                "Tank %s holds more silica than water dissolves: it stays in "
                "solution only while the tank is strongly alkaline, about pH "
                "11, and sets to a gel where acid or another stock meets it. "
                "Nothing else goes into it, not even to correct its pH. Make "
                "it up with purified or soft water, keep it closed to the "
                "air, rinse its injector and line with water before anything "
                "else runs through them, and look for gel before each use.",
                sw_tank_text((sw_tank)t));
    return SW_OK;
}

static sw_status note_data(const sw_tank_report *tank, const char *name,
                           sw_notes *notes)
{
    sw_status status = SW_OK;
    if (*tank->no_data)
        status = sw_notes_add(notes, SW_INFO, "stock-no-data",
                              "Tank %s: no data on how much dissolves of %s; "
                              "their labels may say.",
                              name, tank->no_data);
    if (!status && *tank->missing)
        status =
            sw_notes_add(notes, SW_INFO, "stock-data",
                         "Tank %s: for some of its ions together (%.*s) "
                         "no data are published; the solubility of each "
                         "salt alone was taken as the bound.",
                         name, (int)strcspn(tank->missing, ","), tank->missing);
    return status;
}

static sw_status note_tank(const sw_shelf *shelf, const sw_stock_setup *setup,
                           int t, const sw_mixture *m, sw_stock *stock)
{
    const sw_tank_report *tank = &stock->tanks[t];
    const char *name = sw_tank_text((sw_tank)t);
    sw_status status = note_mixture(m, name, &stock->notes);
    if (!status && !sw_mixture_gases(m))
        status = note_saturation(setup, tank, m, name, &stock->notes);
    if (!status)
        status = note_chelates(shelf, stock, t, m->brine.ph, &stock->notes);
    if (!status)
        status = note_silicate(shelf, stock, t, &stock->notes);
    return status ? status : note_data(tank, name, &stock->notes);
}

sw_status sw_report_tanks(const sw_pitzer *pitzer, const sw_shelf *shelf,
                          const sw_content *make_up,
                          const sw_stock_setup *setup, sw_stock *stock)
{
    sw_status status = SW_OK;
    sw_solubility at;
    sw_solubility_at(pitzer, setup->temperature_c, &at);
    for (int t = 0; t < SW_TANKS && !status; t++) {
        sw_tank_report *tank = &stock->tanks[t];
        sw_tank_content content = {.make_up = *make_up};
        sw_mixture m;
        if (!(tank->volume_l > 0))
            continue;
        sw_dose_tank(shelf, stock, (sw_tank)t, &content.salts,
                     &tank->salts_g_per_l);
        sw_mixture_make(&at, &content, 1, &m);
        report_tank(&at, &content, setup, &m, tank);
        report_no_data(shelf, stock, t, tank);
        status = note_room(shelf, stock, t);
        if (!status)
            status = note_tank(shelf, setup, t, &m, stock);
    }
    return status;
}

static sw_status note_feud(const char *tank, const char *one, const char *other,
                           const char *why, sw_notes *notes)
{
    if (one == other)
        return sw_notes_add(notes, SW_DANGER, "stock-incompatible",
                            "Tank %s: %s cannot be concentrated: %s.", tank,
                            one, why);
    return sw_notes_add(notes, SW_DANGER, "stock-incompatible",
                        "Tank %s: %s with %s: %s.", tank, one, other, why);
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
            status =
                note_feud(sw_tank_text((sw_tank)tank), shelf->products[k].name,
                          shelf->products[one].name, why, &stock->notes);
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
