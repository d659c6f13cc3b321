/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Notes on what is improbable in a water: values far outside what waters hold,
 * and pairs that do not go together.  Nothing is changed or refused here.
 * Ranges: reference/water_ranges.csv.
 */
#include "records/water.h"

#include "quantity/components.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "table_harm.h"
#include "table_water_ranges.h"
#include "table_words.h"

#include <math.h>
#include <string.h>

/* TDS in mg/L over EC in uS/cm is 0.55 to 0.9: Standard Methods 2510. */
static const double tds_per_ec_low = 0.4;
static const double tds_per_ec_high = 1.2;
/* Sum of cations, meq/L, is about ten times the EC: Richards 1954. */
static const double cations_per_ec = 10.0;
/* So far off that only a unit explains it. */
static const double gross = 5.0;
/* What a limit of detection hides counts from this share of the ions on
 * (common practice, no source), and from the least difference of charges that
 * counts. */
static const double hidden_share = 0.10;

static const sw_reading *reading_of(const sw_builder *b, int slot)
{
    return b->slots[slot].reading;
}

/* "Ca 4000 mg/L (well.csv line 6, column 1)". */
typedef struct shown {
    char text[200];
} shown;

static shown show(const sw_builder *b, const sw_reading *r)
{
    shown s;
    (void)snprintf(s.text, sizeof s.text,
                   "%.40s %s%g %.20s%s(%.80s line %lu, "
                   "column %lu)",
                   r->parameter, r->below_detection ? "<" : "", r->value,
                   r->unit, *r->unit ? " " : "", b->water->file, r->line,
                   r->column);
    return s;
}

static int slot_named(const char *name)
{
    static const struct {
        const char *name;
        int slot;
    } others[] = {{"alkalinity", SW_SLOT_ALKALINITY},
                  {"HCO3", SW_SLOT_HCO3},
                  {"CO3", SW_SLOT_CO3},
                  {"EC", SW_SLOT_EC}};
    sw_component component = sw_component_called(name);
    if (component < SW_N)
        return (int)component;
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (!strcmp(others[i].name, name))
            return others[i].slot;
    return SW_SLOT_TDS;
}

/* What the value may have been meant as; "" where nothing suggests itself. */
static shown suggest(const sw_builder *b, int slot)
{
    shown s = {""};
    const sw_slot *at = &b->slots[slot];
    if (slot == SW_NO3_N)
        (void)snprintf(s.text, sizeof s.text,
                       " As read it is %.3g mg/L of NO3; was NO3 reported "
                       "where NO3-N is written?",
                       at->amount * 4.4268);
    else if (slot == SW_SLOT_EC)
        (void)snprintf(s.text, sizeof s.text, " %g uS/cm would be %g mS/cm.",
                       at->reading->value, at->reading->value / 1000.0);
    else
        (void)snprintf(s.text, sizeof s.text, " Is the unit right?");
    return s;
}

double sw_most_alkalinity_meq_per_l(void)
{
    size_t i = 0;
    while (i + 1 < sw_water_ranges_count &&
           slot_named(sw_water_ranges_table[i].name) != SW_ALKALINITY)
        i++;
    return sw_water_ranges_table[i].factor *
           sw_water_ranges_table[i].usual_high;
}

static void doubt_ranges(sw_builder *b)
{
    for (size_t i = 0; i < sw_water_ranges_count; i++) {
        const sw_water_ranges_row *row = &sw_water_ranges_table[i];
        int slot = slot_named(row->name);
        const sw_slot *at = &b->slots[slot];
        if (at->reading && at->amount > row->factor * row->usual_high)
            sw_builder_note(b, SW_SAY_DOUBT_MUCH, show(b, at->reading).text,
                            row->usual_high, row->unit, suggest(b, slot).text);
    }
}

static void doubt_ph(sw_builder *b)
{
    const sw_reading *r = reading_of(b, SW_SLOT_PH);
    if (r && (r->value < 4.5 || r->value > 10.0))
        sw_builder_note(b, SW_SAY_DOUBT_PH, show(b, r).text);
}

static void doubt_potassium(sw_builder *b)
{
    const sw_slot *k = &b->slots[SW_K];
    const sw_slot *na = &b->slots[SW_NA];
    if (k->reading && na->reading && k->amount > 10.0 &&
        k->amount > 10.0 * na->amount)
        sw_builder_note(b, SW_SAY_DOUBT_POTASSIUM, show(b, k->reading).text);
}

static void doubt_tds(sw_builder *b)
{
    const sw_slot *ec = &b->slots[SW_SLOT_EC];
    const sw_slot *tds = &b->slots[SW_SLOT_TDS];
    if (!ec->reading || !tds->reading || !(ec->amount > 0.0))
        return;
    char figure[SW_FIGURE_BYTES];
    double ratio = tds->amount / (1000.0 * ec->amount);
    if (ratio < tds_per_ec_low || ratio > tds_per_ec_high)
        sw_builder_note(b, SW_SAY_DOUBT_TDS, show(b, tds->reading).text,
                        show(b, ec->reading).text, sw_figure(ratio, figure));
}

/* Of what the water carries; the alkalinity is an anion. */
static double ions_meq_per_l(const sw_builder *b, bool cations)
{
    const double *c = b->water->per_l.amount;
    double sum = cations ? 0.0 : c[SW_ALKALINITY];
    for (int i = 0; i < SW_N; i++)
        if ((sw_charge_in_water((sw_component)i) > 0) == cations)
            sum += c[i] * sw_meq_per_mg((sw_component)i);
    return sum;
}

static void doubt_ec(sw_builder *b)
{
    const sw_slot *ec = &b->slots[SW_SLOT_EC];
    double expected = ions_meq_per_l(b, true) / cations_per_ec;
    if (!ec->reading || !reading_of(b, SW_CA) || !reading_of(b, SW_MG) ||
        !reading_of(b, SW_NA) || expected < 0.02)
        return;
    char figure[SW_FIGURE_BYTES];
    if (ec->amount >= gross * expected || ec->amount <= expected / gross)
        sw_builder_note(b, SW_SAY_DOUBT_EC, show(b, ec->reading).text,
                        sw_figure(expected, figure));
}

static void note_nitrite(sw_builder *b)
{
    const sw_water *w = b->water;
    size_t i = 0;
    while (i < w->reading_count &&
           (strcmp(w->readings[i].name, "NO2-N") != 0 ||
            w->readings[i].below_detection || !(w->readings[i].amount > 0.0)))
        i++;
    if (i < w->reading_count)
        sw_builder_note(b, SW_SAY_NITRITE_APART, show(b, &w->readings[i]).text);
}

/* Of what is in no mass balance; nitrite has its note, and a reported SAR is
 * worked out anew. */
static bool is_judged(const sw_reading *r)
{
    static const char *const told[] = {"sum of cations", "sum of anions",
                                       "SAR"}; /* the audit's */
    if (!strcmp(r->name, "NO2-N"))
        return true;
    for (size_t i = 0; i < sizeof told / sizeof *told; i++)
        if (!isnan(sw_reading_told(r, told[i])))
            return true;
    for (size_t i = 0; i < sw_harm_count; i++) {
        const sw_harm_row *row = &sw_harm_table[i];
        if (*row->unit && !isnan(r->amount) && !strcmp(row->parameter, r->name))
            return true;
    }
    return false;
}

/* What tells the base that an acid water takes. */
static bool is_acidity(const sw_builder *b, const sw_reading *r)
{
    const sw_reading *ph = reading_of(b, SW_SLOT_PH);
    return ph && ph->value < SW_TITRATION_END_PH &&
           (!isnan(sw_reading_acidity(r)) || !strcmp(r->name, "Al"));
}

static void note_unused(sw_builder *b)
{
    char list[120] = "";
    for (size_t i = 0; i < b->water->reading_count; i++) {
        const sw_reading *r = &b->water->readings[i];
        if (r->kind != SW_READS_OTHER || is_judged(r) || is_acidity(b, r))
            continue;
        if (strlen(list) + strlen(r->parameter) + 8 > sizeof list) {
            sw_text_add(list, sizeof list, " ...");
            break;
        }
        sw_text_join(list, sizeof list, ", ", "%s", r->parameter);
    }
    if (*list)
        sw_builder_note(b, SW_SAY_KNOWN_UNUSED, b->water->sample, list,
                        b->water->file);
}

/* ---- Limits of detection ------------------------------------------------ */

/* Whether a limit on the parameter is one on the reading of that slot. */
static bool is_on(const sw_parameter *p, const sw_reading *r, int slot)
{
    if (r->kind == SW_READS_OTHER || p->kind == SW_READS_OTHER)
        return r->kind == p->kind && !strcmp(p->name, r->name);
    return p->kind == SW_READS_ALKALINITY ? slot >= SW_SLOT_ALKALINITY
                                          : sw_slot_of(p) == slot;
}

/* The lowest published limit on what is read, in its unit; *entry is where it
 * comes from, NULL without one. */
static double published_limit(const sw_reading *r, int slot,
                              const sw_harm_row **entry)
{
    double lowest = INFINITY;
    *entry = NULL;
    for (size_t i = 0; i < sw_harm_count; i++) {
        const sw_harm_row *row = &sw_harm_table[i];
        sw_parameter p;
        double limit;
        if (strcmp(row->side, "above") != 0 ||
            strncmp(row->judges, "water", 5) != 0 ||
            sw_parameter_find(row->parameter, &p, NULL) != SW_OK ||
            !is_on(&p, r, slot) ||
            sw_reading_convert(&p, row->caution, row->unit, &limit, NULL) ||
            limit >= lowest)
            continue;
        lowest = limit;
        *entry = row;
    }
    return lowest;
}

static double equivalents(int slot, double amount)
{
    return slot < SW_N ? amount * sw_meq_per_mg((sw_component)slot) : amount;
}

/* What may be there unseen: up to the limit of detection. */
static void doubt_unseen(sw_builder *b, int slot)
{
    const sw_slot *at = &b->slots[slot];
    const sw_harm_row *entry;
    double limit = published_limit(at->reading, slot, &entry);
    double ions = fmax(ions_meq_per_l(b, true), ions_meq_per_l(b, false));
    double meq = equivalents(slot, at->slack);
    if (at->slack > limit)
        sw_builder_note(b, SW_SAY_DETECTION_OVER_LIMIT,
                        show(b, at->reading).text, limit,
                        slot < SW_N ? "mg/L" : "meq/L", entry->use);
    else if (meq > fmax(hidden_share * ions, SW_CHARGE_LEAST_MEQ_PER_L))
        sw_builder_note(b, SW_SAY_DETECTION_OVER_IONS,
                        show(b, at->reading).text, meq, ions);
}

/* The same of what is in no mass balance, unless another reading tells it
 * better. */
static void doubt_unseen_other(sw_builder *b, const sw_reading *r)
{
    const sw_harm_row *entry;
    double limit = published_limit(r, SW_SLOT_COUNT, &entry);
    for (size_t i = 0; i < b->water->reading_count; i++) {
        const sw_reading *o = &b->water->readings[i];
        if (o != r && o->kind == r->kind && !strcmp(o->name, r->name) &&
            (!o->below_detection || o->amount < r->amount ||
             (o < r && o->amount == r->amount)))
            return;
    }
    if (r->amount > limit)
        sw_builder_note(b, SW_SAY_DETECTION_OVER_LIMIT, show(b, r).text, limit,
                        "mg/L", entry->use);
}

static void doubt_detection(sw_builder *b)
{
    for (int slot = 0; slot <= SW_SLOT_OH; slot++)
        if (b->slots[slot].reading && b->slots[slot].below)
            doubt_unseen(b, slot);
    for (size_t i = 0; i < b->water->reading_count; i++)
        if (b->water->readings[i].kind == SW_READS_OTHER &&
            b->water->readings[i].below_detection)
            doubt_unseen_other(b, &b->water->readings[i]);
}

/* Limits that are ours, since the report has none. */
static void note_assumed(sw_builder *b)
{
    char list[200] = "";
    for (size_t i = 0; i < b->water->reading_count; i++) {
        const sw_reading *r = &b->water->readings[i];
        if (r->limit_assumed)
            sw_text_join(list, sizeof list, ", ", "%s %.3g %s", r->parameter,
                         r->value, r->unit);
    }
    sw_text_mend(list);
    if (*list)
        sw_builder_note(b, SW_SAY_DETECTION_USUAL, b->water->sample, list,
                        b->water->file);
}

/* What crops got or left is no water that comes to be fertilised. */
static void doubt_kind(sw_builder *b)
{
    if (*b->water->fed)
        sw_builder_note(b, SW_SAY_WATER_IS_FED, b->water->sample, b->water->fed,
                        b->water->file);
}

/* Of a nutrient solution what waters do not hold is no doubt. */
void sw_builder_doubt(sw_builder *builder)
{
    if (!builder->water->is_solution) {
        doubt_kind(builder);
        doubt_ranges(builder);
        doubt_ph(builder);
        doubt_potassium(builder);
        doubt_tds(builder);
        doubt_ec(builder);
    }
    note_nitrite(builder);
    note_unused(builder);
    doubt_detection(builder);
    note_assumed(builder);
}
