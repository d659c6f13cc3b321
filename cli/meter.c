/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Mistakes in words.  Behind injectors a product is left out of one tank, and
 * a head that delivers too little cannot be told from a tank filled too far.
 */
#include "meter.h"

#include <math.h>

#include "complain.h"
#include "sure.h"
#include "text/figure.h"

/* Something is said to be wrong when "nothing" is believed less than this. */
static const double doubted = 0.5;
/* Standard errors within which a mistake fits; and a belief that rounds to a
 * hundred per cent. */
static const double fits_well = 2.0, most_believed = 0.99;

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

static cli_words tank_name(int head)
{
    cli_words out;
    snprintf(out.text, sizeof out.text, "tank %s", sw_tank_text((sw_tank)head));
    return out;
}

/* " of tank A" after `link` where there are tanks. */
static cli_words in_tank(const cli_report *report, const char *link, int head)
{
    cli_words out = {""};
    if (report->stock)
        snprintf(out.text, sizeof out.text, "%s%s", link, tank_name(head).text);
    return out;
}

static cli_words head_words(const sw_mistake *mistake)
{
    cli_words out;
    cli_words tank = tank_name(mistake->head);
    snprintf(out.text, sizeof out.text,
             mistake->factor < 1.0
                 ? "the head of %.20s delivers %.2f of its rate, or that tank "
                   "was filled too far"
                 : "the head of %.20s delivers %.2f times its rate, or that "
                   "tank was not filled up",
             tank.text, mistake->factor);
    return out;
}

/* "1950 L", three figures of a volume that was fitted. */
static cli_words about_volume(const cli_report *report, double l)
{
    cli_words out;
    bool us = report->settings->volume_system == SW_US;
    double gal = l / figure_l_per_gal;
    bool small = !us && l < 1.0;
    snprintf(out.text, sizeof out.text, "about %s %s",
             figure_short(us      ? gal
                          : small ? 1000.0 * l
                                  : l)
                 .text,
             us      ? "gal"
             : small ? "mL"
                     : "L");
    return out;
}

static cli_words fill_words(const cli_report *report, const sw_mistake *mistake)
{
    cli_words out;
    cli_words volume =
        about_volume(report, report->settings->volume_l * mistake->factor);
    snprintf(out.text, sizeof out.text,
             "%s water: filled to %.2f of the volume, %.60s",
             mistake->factor > 1.0 ? "too much" : "too little", mistake->factor,
             volume.text);
    return out;
}

cli_words meter_mistake(const cli_report *report, const sw_mistake *mistake)
{
    cli_words out = {"nothing is wrong"};
    const char *name = report->inputs->shelf->products[mistake->product].name;
    switch (mistake->kind) {
    case SW_LEFT_OUT:
        snprintf(out.text, sizeof out.text, "%.120s left out%.40s", name,
                 in_tank(report, " of ", mistake->head).text);
        break;
    case SW_DOUBLED:
        snprintf(out.text, sizeof out.text, "%.120s twice%.40s", name,
                 in_tank(report, " in ", mistake->head).text);
        break;
    case SW_OTHER_FORM:
        snprintf(out.text, sizeof out.text, "%s taken for %.120s",
                 mistake->form, name);
        break;
    case SW_HEAD_OFF:
        return head_words(mistake);
    case SW_FILL_OFF:
        return fill_words(report, mistake);
    default:
        break;
    }
    return out;
}

cli_words meter_look(const cli_report *report, const sw_look *look)
{
    cli_words out = {""};
    switch (look->kind) {
    case SW_LOOK_COMPONENT:
        snprintf(out.text, sizeof out.text, "%s in the solution, analysed",
                 sw_component_name(look->component));
        break;
    case SW_LOOK_EC:
        snprintf(out.text, sizeof out.text, "EC");
        break;
    case SW_LOOK_PH:
        snprintf(out.text, sizeof out.text, "pH");
        break;
    case SW_LOOK_PRODUCT:
        snprintf(out.text, sizeof out.text,
                 "weight missing from the bag: %.120s",
                 report->inputs->shelf->products[look->product].name);
        break;
    case SW_LOOK_FILL:
        snprintf(out.text, sizeof out.text, "the level in the tank");
        break;
    case SW_LOOK_HEAD:
        snprintf(out.text, sizeof out.text, "what is drawn from %.20s",
                 tank_name(look->head).text);
        break;
    }
    return out;
}

const char *meter_unit(const sw_look *look)
{
    switch (look->kind) {
    case SW_LOOK_COMPONENT:
        return "mg/L";
    case SW_LOOK_EC:
        return "mS/cm";
    case SW_LOOK_PH:
        return "";
    default:
        return "x meant";
    }
}

double meter_belief(const sw_diagnosis *diagnosis, size_t entry)
{
    double sum = 0.0;
    for (size_t i = 0; i < diagnosis->mistake_count; i++)
        if (diagnosis->mistakes[i].entry == entry)
            sum += diagnosis->mistakes[i].belief;
    return sum;
}

bool meter_is_nothing(const sw_diagnosis *diagnosis, size_t entry)
{
    for (size_t i = 0; i < diagnosis->mistake_count; i++)
        if (diagnosis->mistakes[i].kind == SW_NOTHING_WRONG)
            return diagnosis->mistakes[i].entry == entry;
    return false;
}

cli_figure meter_distance(const sw_mistake *mistake)
{
    return figure_fixed(mistake->distance, mistake->distance < 10.0);
}

static cli_words unexplained(const cli_report *report)
{
    const sw_mistake *nearest = &report->diagnosis->mistakes[0];
    cli_words out;
    snprintf(out.text, sizeof out.text,
             "No single mistake explains these readings: two at once, another "
             "water than the laboratory saw, or a meter that needs "
             "calibrating. The nearest (%.220s) is %s standard errors of meter "
             "and calculation off; within 3 it would explain them.",
             meter_mistake(report, nearest).text, meter_distance(nearest).text);
    return out;
}

/* "an EC 0.07 mS/cm higher" */
static cli_words off_words(const char *what, double off, const char *unit,
                           int decimals)
{
    cli_words out = {""};
    if (fabs(off) >= 0.5 * pow(10.0, -decimals))
        snprintf(out.text, sizeof out.text, "%.20s %.*f%.20s %s", what,
                 decimals, fabs(off), unit, off < 0.0 ? "higher" : "lower");
    return out;
}

static bool any_fits(const sw_diagnosis *d)
{
    for (size_t i = 0; i < d->mistake_count; i++)
        if (d->mistakes[i].misfit <= fits_well)
            return true;
    return false;
}

/* The most believed, where it leaves much unexplained. */
static cli_words loose_fit(const cli_report *report)
{
    cli_words out;
    const sw_mistake *m = &report->diagnosis->mistakes[0];
    cli_words ec = off_words("an EC", m->ec_off_ms_per_cm, " mS/cm", 2);
    cli_words ph = off_words("a pH", m->ph_off, "", 1);
    snprintf(
        out.text, sizeof out.text,
        "%s The likeliest (%.200s) gives %.60s%s%.60s than was read, %.1f "
        "standard errors of meter and calculation off: it may be something "
        "else, two mistakes at once, or a meter that needs calibrating.",
        any_fits(report->diagnosis) ? "Something is off."
                                    : "No candidate fits well.",
        meter_mistake(report, m).text, ec.text,
        ec.text[0] && ph.text[0] ? " and " : "", ph.text, m->misfit);
    return out;
}

/* "97 %"; what is nearly certain among the candidates is not certain. */
cli_figure meter_belief_words(const sw_diagnosis *diagnosis, size_t entry)
{
    cli_figure out = {">99 %"};
    double belief = meter_belief(diagnosis, entry);
    if (!(belief > most_believed))
        snprintf(out.text, sizeof out.text, "%.0f %%", 100.0 * belief);
    return out;
}

cli_words meter_verdict(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    cli_words out;
    if (!d->explained)
        return unexplained(report);
    if (d->mistakes[0].misfit > fits_well)
        return loose_fit(report);
    if (!meter_is_nothing(d, 0))
        snprintf(out.text, sizeof out.text,
                 "Something is off. Most likely: %.220s.",
                 meter_mistake(report, &d->mistakes[0]).text);
    else
        snprintf(out.text, sizeof out.text,
                 meter_belief(d, 0) >= doubted
                     ? "The readings fit the recipe."
                     : "The readings may fit the recipe, but other "
                       "explanations together are likelier.");
    return out;
}
