/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Holds a solution against reference/water_guidelines.csv.  A limit is taken
 * through the same unit conversion as a lab report, so that the me/L of FAO 29
 * can never be mistaken for mg/L.  Methods: reference/methods.md, Assess.
 */
#include "assess/guidelines.h"

#include "quantity/ions.h"
#include "quantity/status.h"
#include "quantity/units.h"
#include "table_water_guidelines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const char *sw_fitness_text(sw_fitness fitness)
{
    static const char *const texts[] = {"fit", "care", "unfit"};
    return fitness <= SW_UNFIT ? texts[fitness] : "unknown";
}

double sw_sodium_adsorption_ratio(const sw_content *per_l)
{
    const double *c = per_l->amount;
    double hard =
        c[SW_CA] * sw_meq_per_mg(SW_CA) + c[SW_MG] * sw_meq_per_mg(SW_MG);
    if (hard <= 0.0)
        return NAN;
    return c[SW_NA] * sw_meq_per_mg(SW_NA) / sqrt(hard / 2.0);
}

static bool known(const sw_facts *facts, sw_component component)
{
    return !facts->water || facts->water->reported[component];
}

static double sar_of(const sw_facts *facts)
{
    if (!known(facts, SW_NA) || !known(facts, SW_CA) || !known(facts, SW_MG))
        return NAN;
    return sw_sodium_adsorption_ratio(facts->per_l);
}

static bool is_reading_of(const sw_reading *r, const sw_parameter *p)
{
    if (r->kind != p->kind || isnan(r->amount))
        return false;
    if (p->kind == SW_READS_COMPONENT)
        return r->component == p->component;
    return p->kind != SW_READS_OTHER || strcmp(r->name, p->name) == 0;
}

/* The most of the readings, of which one below detection is 0. */
static double kept_reading(const sw_facts *facts, const sw_parameter *p)
{
    double most = NAN;
    for (size_t i = 0; facts->water && i < facts->water->reading_count; i++) {
        const sw_reading *r = &facts->water->readings[i];
        if (is_reading_of(r, p))
            most = fmax(most, r->below_detection ? 0.0 : r->amount);
    }
    return most;
}

/* What may be there unseen of a parameter: its limit of detection, else 0. */
static double unseen(const sw_facts *facts, const sw_parameter *p)
{
    double most = 0.0;
    for (size_t i = 0; facts->water && i < facts->water->reading_count; i++) {
        const sw_reading *r = &facts->water->readings[i];
        if (r->below_detection && is_reading_of(r, p))
            most = fmax(most, r->amount);
    }
    return most;
}

/* The ratio with as much sodium as may be there unseen. */
static double highest_sar(const sw_facts *facts)
{
    sw_parameter sodium;
    sw_content most = *facts->per_l;
    if (sw_parameter_find("Na", &sodium, NULL) == SW_OK)
        most.amount[SW_NA] = fmax(most.amount[SW_NA], unseen(facts, &sodium));
    return sw_sodium_adsorption_ratio(&most);
}

/* In the unit sw_reading_convert gives for the parameter; NaN: not known. */
static double value_of(const sw_facts *facts, const sw_parameter *p)
{
    switch (p->kind) {
    case SW_READS_COMPONENT:
        return known(facts, p->component) ? facts->per_l->amount[p->component]
                                          : NAN;
    case SW_READS_ALKALINITY:
        if (facts->water && !facts->water->alkalinity_reported)
            return NAN;
        return facts->per_l->amount[SW_ALKALINITY];
    case SW_READS_PH:
        return facts->ph;
    case SW_READS_EC:
        return facts->ec_ms_per_cm;
    case SW_READS_TDS:
        return facts->tds_mg_per_l;
    case SW_READS_OTHER:
        return kept_reading(facts, p);
    case SW_READS_HARDNESS:
    case SW_READS_CA_HARDNESS:
    case SW_READS_TEMPERATURE:
        break;
    }
    return NAN;
}

static const char *unit_of(sw_reading_kind kind)
{
    switch (kind) {
    case SW_READS_ALKALINITY:
        return "mg/L CaCO3";
    case SW_READS_EC:
        return "mS/cm";
    case SW_READS_PH:
        return "";
    default:
        return "mg/L";
    }
}

/* What a value of sw_reading_convert is multiplied with for the screen. */
static double scale_of(const sw_parameter *p)
{
    double one_mg = 1.0;
    if (p->kind != SW_READS_ALKALINITY)
        return 1.0;
    sw_parameter total;
    if (sw_parameter_find("alkalinity", &total, NULL) != SW_OK ||
        sw_reading_convert(&total, 1.0, "mg/L CaCO3", &one_mg, NULL) != SW_OK)
        return NAN;
    return 1.0 / one_mg;
}

static double limit_in(const sw_parameter *p, double limit, const char *unit)
{
    double out;
    if (isnan(limit) || sw_reading_convert(p, limit, unit, &out, NULL) != SW_OK)
        return NAN;
    return out;
}

static sw_fitness fitness_of(const sw_guideline_row *row)
{
    double sign = row->below ? -1.0 : 1.0;
    if (!isnan(row->severe) && sign * (row->value - row->severe) > 0.0)
        return SW_UNFIT;
    return sign * (row->value - row->caution) > 0.0 ? SW_CARE : SW_FIT;
}

/* Whether `highest`, with all that may be there unseen, says what the value
 * says: a limit above which a water may be unseen is not one it keeps. */
static bool is_sure(const sw_guideline_row *row, double highest)
{
    return !isnan(row->value) && (row->below || row->value > row->caution ||
                                  !(highest > row->caution));
}

static bool fill_values(const sw_water_guidelines_row *entry,
                        const sw_facts *facts, sw_guideline_row *row)
{
    sw_parameter p;
    if (!strcmp(entry->parameter, "SAR")) {
        row->value = sar_of(facts);
        row->caution = entry->caution;
        row->severe = entry->severe;
        return is_sure(row, highest_sar(facts));
    }
    if (sw_parameter_find(entry->parameter, &p, NULL) != SW_OK)
        return false;
    double scale = scale_of(&p);
    row->value = scale * value_of(facts, &p);
    row->caution = scale * limit_in(&p, entry->caution, entry->unit);
    row->severe = scale * limit_in(&p, entry->severe, entry->unit);
    snprintf(row->unit, sizeof row->unit, "%s", unit_of(p.kind));
    return is_sure(row, fmax(row->value, scale * unseen(facts, &p)));
}

/* Rows that hold within a range of SAR only apply there. */
static bool applies(const sw_water_guidelines_row *entry, const sw_facts *facts,
                    bool finished)
{
    if (finished && strcmp(entry->finished, "yes") != 0)
        return false;
    if (isnan(entry->sar_low))
        return true;
    double sar = sar_of(facts);
    return sar >= entry->sar_low && sar < entry->sar_high;
}

static bool fill_row(const sw_water_guidelines_row *entry,
                     const sw_facts *facts, sw_guideline_row *row)
{
    *row = (sw_guideline_row){.below = !strcmp(entry->side, "below"),
                              .purified_share = NAN};
    if (!fill_values(entry, facts, row))
        return false;
    snprintf(row->name, sizeof row->name, "%s", entry->name);
    snprintf(row->use, sizeof row->use, "%s", entry->use);
    snprintf(row->source, sizeof row->source, "%s", entry->source);
    row->fitness = fitness_of(row);
    return true;
}

sw_status sw_guidelines_hold(const sw_facts *facts, bool finished,
                             sw_guideline_rows *rows, sw_error *error)
{
    rows->count = 0;
    rows->items = calloc(sw_water_guidelines_count, sizeof *rows->items);
    if (!rows->items)
        return sw_fail_memory(error);
    for (size_t i = 0; i < sw_water_guidelines_count; i++) {
        const sw_water_guidelines_row *entry = &sw_water_guidelines_table[i];
        if (applies(entry, facts, finished) &&
            fill_row(entry, facts, &rows->items[rows->count]))
            rows->count++;
    }
    return SW_OK;
}
