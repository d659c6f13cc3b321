/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Holds a solution against reference/harm.csv.  A limit is taken
 * through the same unit conversion as a lab report, so that the me/L of FAO 29
 * can never be mistaken for mg/L.  Methods: reference/methods.md, Assess.
 */
#include "assess/guidelines.h"
#include "assess/verdict.h"

#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/units.h"
#include "records/water.h"
#include "table_harm.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

SW_TEXTS(sw_fitness_text, sw_fitness, "unknown", "suitable", "restricted",
         "unsuitable", "not reported", "below detection")

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
    const bool *reported =
        facts->water ? facts->water->reported : facts->reported;
    return !reported || reported[component];
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
    if (facts->unseen_mg_per_l && p->kind == SW_READS_COMPONENT)
        most = facts->unseen_mg_per_l[p->component];
    for (size_t i = 0; facts->water && i < facts->water->reading_count; i++) {
        const sw_reading *r = &facts->water->readings[i];
        if (r->below_detection && is_reading_of(r, p))
            most = fmax(most, r->amount);
    }
    return most;
}

/* With what may be unseen: of a water in place of what was found, of a
 * solution beside what products bring. */
static double highest(const sw_facts *facts, double value, double hidden)
{
    return facts->water ? fmax(value, hidden) : value + hidden;
}

/* The ratio with as much sodium as may be there unseen. */
static double highest_sar(const sw_facts *facts)
{
    static const sw_parameter sodium = {.kind = SW_READS_COMPONENT,
                                        .component = SW_NA};
    sw_content most = *facts->per_l;
    most.amount[SW_NA] =
        highest(facts, most.amount[SW_NA], unseen(facts, &sodium));
    return sw_sodium_adsorption_ratio(&most);
}

/* In the unit sw_reading_convert gives for the parameter; NaN: not known. */
static double value_of(const sw_facts *facts, const sw_parameter *p)
{
    switch (p->kind) {
    case SW_READS_COMPONENT:
        return known(facts, p->component)
                   ? sw_against_max(p->component, facts->per_l)
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
    default: /* no limit is on these */
        return NAN;
    }
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
    double one_mg = NAN;
    sw_parameter total = *p;
    if (p->kind != SW_READS_ALKALINITY)
        return 1.0;
    (void)sw_parameter_find("alkalinity", &total, NULL);
    (void)sw_reading_convert(&total, 1.0, "mg/L CaCO3", &one_mg, NULL);
    return 1.0 / one_mg;
}

static double limit_in(const sw_parameter *p, double limit, const char *unit)
{
    double out = NAN;
    if (!isnan(limit))
        (void)sw_reading_convert(p, limit, unit, &out, NULL);
    return out;
}

static sw_fitness fitness_of(const sw_guideline_row *row)
{
    double sign = row->below ? -1.0 : 1.0;
    if (sign * (row->value - row->severe) > 0.0 ||
        sign * (row->value - row->danger) > 0.0) /* false for NaN */
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

static void fill_limits(const sw_harm_row *entry, const sw_parameter *p,
                        sw_guideline_row *row)
{
    double scale = scale_of(p);
    row->caution = scale * limit_in(p, entry->caution, entry->unit);
    row->severe = scale * limit_in(p, entry->severe, entry->unit);
    row->danger = scale * limit_in(p, entry->danger, entry->unit);
    snprintf(row->unit, sizeof row->unit, "%s", unit_of(p->kind));
}

static bool fill_values(const sw_harm_row *entry, const sw_facts *facts,
                        sw_guideline_row *row)
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
    fill_limits(entry, &p, row);
    return is_sure(row, highest(facts, row->value, scale * unseen(facts, &p)));
}

static bool is_of_soil(const sw_harm_row *entry)
{
    return !strcmp(entry->judges, "soil");
}

/* Rows that hold within a range of SAR only apply there. */
static bool applies(const sw_harm_row *entry, const sw_facts *facts,
                    bool finished)
{
    if (!strstr(entry->judges, finished ? "solution" : "water") &&
        (finished || !is_of_soil(entry)))
        return false;
    if (isnan(entry->sar_low))
        return true;
    double sar = sar_of(facts);
    return sar >= entry->sar_low && sar < entry->sar_high;
}

static void name_row(const sw_harm_row *entry, sw_guideline_row *row)
{
    snprintf(row->name, sizeof row->name, "%s", entry->name);
    snprintf(row->use, sizeof row->use, "%s", entry->use);
    snprintf(row->source, sizeof row->source, "%s", entry->source);
    row->remedy = entry->remedy;
    row->fitness = fitness_of(row);
}

static sw_guideline_row row_of(const sw_harm_row *entry)
{
    return (sw_guideline_row){.below = !strcmp(entry->side, "below"),
                              .soil = is_of_soil(entry),
                              .gas = strstr(entry->judges, "acid") != NULL,
                              .danger = NAN,
                              .purified_share = NAN};
}

static bool fill_row(const sw_harm_row *entry, const sw_facts *facts,
                     sw_guideline_row *row)
{
    *row = row_of(entry);
    if (!fill_values(entry, facts, row))
        return false;
    name_row(entry, row);
    return true;
}

/* What a water brings that no crop should get; its pH is not yet the feed's. */
static bool endangers(const sw_harm_row *entry, const sw_facts *facts,
                      sw_guideline_row *row)
{
    return !strncmp(entry->judges, "feed", 4) &&
           strcmp(entry->name, "pH") != 0 && fill_row(entry, facts, row) &&
           row->value > row->danger;
}

static bool is_past_danger(const sw_guideline_rows *rows, const char *name)
{
    for (size_t i = 0; i < rows->count; i++)
        if (!strcmp(rows->items[i].name, name) &&
            rows->items[i].value > rows->items[i].danger)
            return true;
    return false;
}

/* A component by what feeds may hold of it, where no row of the table told. */
static bool endangers_as_feed(sw_component component, const sw_facts *facts,
                              const sw_guideline_rows *rows,
                              sw_guideline_row *row)
{
    const char *name = sw_component_name(component);
    sw_feed_limit limit;
    if (!sw_component_limit(component, &limit) || is_past_danger(rows, name))
        return false;
    const sw_harm_row entry = {.name = name,
                               .parameter = name,
                               .unit = "mg/L",
                               .side = "above",
                               .caution = limit.usual,
                               .severe = NAN,
                               .danger = limit.danger,
                               .use = "feed",
                               .judges = "feed",
                               .remedy = "",
                               .source = limit.source};
    return endangers(&entry, facts, row);
}

static bool is_reported(const sw_harm_row *entry, const sw_facts *facts)
{
    sw_component component = sw_component_called(entry->parameter);
    return component == SW_COMPONENT_COUNT || known(facts, component);
}

/* Of a finished solution: its row where there is one, known or not; nothing may
 * be less than what is known of it. */
static bool fill_finished(const sw_harm_row *entry, const sw_facts *facts,
                          sw_guideline_row *row)
{
    sw_facts bare = *facts;
    bool reported = is_reported(entry, facts);
    bare.reported = NULL;
    *row = row_of(entry);
    bool sure = fill_values(entry, &bare, row);
    name_row(entry, row);
    if (isnan(row->value) && reported)
        return false;
    if (!reported && !(row->value > row->caution))
        row->fitness = SW_NOT_REPORTED;
    else if (!sure)
        row->fitness = SW_NOT_SEEN;
    if (row->fitness >= SW_NOT_REPORTED)
        row->value = NAN;
    return true;
}

static sw_status make_room(sw_guideline_rows *rows, sw_error *error)
{
    rows->count = 0;
    rows->items =
        malloc((sw_harm_count + SW_COMPONENT_COUNT) * sizeof *rows->items);
    return rows->items ? SW_OK : sw_fail_memory(error);
}

sw_status sw_guidelines_hold(const sw_facts *facts, bool finished,
                             sw_guideline_rows *rows, sw_error *error)
{
    sw_status status = make_room(rows, error);
    for (size_t i = 0; status == SW_OK && i < sw_harm_count; i++) {
        const sw_harm_row *entry = &sw_harm_table[i];
        sw_guideline_row *row = &rows->items[rows->count];
        bool held = applies(entry, facts, finished) &&
                    (finished ? fill_finished(entry, facts, row)
                              : fill_row(entry, facts, row));
        if (held || (!finished && endangers(entry, facts, row)))
            rows->count++;
    }
    for (int c = 0; status == SW_OK && !finished && c < SW_COMPONENT_COUNT; c++)
        if (endangers_as_feed((sw_component)c, facts, rows,
                              &rows->items[rows->count]))
            rows->count++;
    return status;
}

/* Of the reports together; NaN where none of them gives it. */
static double blended(const sw_parameter *p, const sw_mix *mix)
{
    double sum = NAN;
    for (size_t k = 0; k < mix->report_count; k++) {
        const sw_facts facts = {.water = mix->reports[k]};
        double value = mix->shares[k] * kept_reading(&facts, p);
        if (!isnan(value))
            sum = isnan(sum) ? value : sum + value;
    }
    return sum;
}

/* Such entries name what no component is, as reference/parameters.csv does. */
static bool is_read(const sw_harm_row *entry, const sw_mix *mix)
{
    for (size_t k = 0; k < mix->report_count; k++)
        for (size_t i = 0; i < mix->reports[k]->reading_count; i++) {
            const sw_reading *r = &mix->reports[k]->readings[i];
            if (r->kind == SW_READS_OTHER && !strcmp(r->name, entry->parameter))
                return true;
        }
    return false;
}

sw_status sw_guidelines_hold_reports(const sw_mix *mix, sw_guideline_rows *rows,
                                     sw_error *error)
{
    sw_status status = make_room(rows, error);
    for (size_t i = 0; status == SW_OK && i < sw_harm_count; i++) {
        const sw_harm_row *entry = &sw_harm_table[i];
        sw_guideline_row *row = &rows->items[rows->count];
        sw_parameter p;
        if (!strstr(entry->judges, "reading") || !is_read(entry, mix) ||
            sw_parameter_find(entry->parameter, &p, NULL) != SW_OK)
            continue;
        *row = row_of(entry);
        row->value = blended(&p, mix);
        fill_limits(entry, &p, row);
        name_row(entry, row);
        if (!isnan(row->value))
            rows->count++;
    }
    return status;
}

/* ---- Warnings ------------------------------------------------------------ */

int sw_guideline_gravity(const sw_guideline_row *row)
{
    if (row->value > row->danger)
        return 2;
    return row->fitness != SW_FIT && row->remedy[0];
}

/* -1 where it is not reported. */
static int gravity_by_name(const sw_guideline_rows *rows, const char *name)
{
    int gravity = -1;
    for (size_t i = 0; i < rows->count; i++)
        if (!strcmp(rows->items[i].name, name) &&
            sw_guideline_gravity(&rows->items[i]) > gravity)
            gravity = sw_guideline_gravity(&rows->items[i]);
    return gravity;
}

/* Total chlorine holds the free and the combined, and is said once: of a part,
 * or of the total where that alone is as grave. */
static bool is_said_elsewhere(const sw_guideline_rows *rows, const char *name)
{
    static const char total[] = "total chlorine", free[] = "free chlorine",
                      combined[] = "chloramine";
    int whole = gravity_by_name(rows, total);
    int part = gravity_by_name(rows, free);
    if (gravity_by_name(rows, combined) > part)
        part = gravity_by_name(rows, combined);
    if (!strcmp(name, total))
        return part >= whole;
    return (!strcmp(name, free) || !strcmp(name, combined)) && whole > part;
}

const char *sw_basis(const char *source, bool danger, char text[192])
{
    static const char mark[] = "; danger: ";
    const char *found = strstr(source, mark);
    int before = found ? (int)(found - source) : (int)strlen(source);
    if (found && danger)
        snprintf(text, 192, "%s", found + strlen(mark));
    else
        snprintf(text, 192, "%.*s", before, source);
    return text;
}

/* "The water", or of several their mix, and which of them has most of it. */
typedef struct sw_holder {
    const char *name;
    char most[SW_FIGURE_BYTES + 128];
} sw_holder;

static void name_most(const sw_mix *mix, const sw_parameter *p,
                      const sw_guideline_row *row, sw_holder *holder)
{
    double most = 0.0;
    char figure[SW_FIGURE_BYTES];
    for (size_t k = 0; k < mix->report_count; k++) {
        const sw_facts facts = {.water = mix->reports[k]};
        double value = kept_reading(&facts, p);
        if (!(mix->shares[k] > 0.0) || !(value > most))
            continue;
        most = value;
        snprintf(holder->most, sizeof holder->most, " (%.60s: %s %s)",
                 sw_water_name(mix->reports[k]), sw_figure(value, figure),
                 row->unit);
    }
}

static sw_holder holder_of(const sw_guideline_row *row, const sw_mix *mix)
{
    sw_holder holder = {.name = SW_SAY_HOLDER_WATER};
    sw_parameter p;
    size_t poured = 0;
    for (size_t k = 0; mix && k < mix->report_count; k++)
        poured += mix->shares[k] > 0.0;
    if (poured < 2 || sw_parameter_find(row->name, &p, NULL) != SW_OK)
        return holder;
    holder.name = SW_SAY_HOLDER_MIX;
    name_most(mix, &p, row, &holder);
    return holder;
}

static void warn_of(const sw_guideline_row *row, const sw_holder *holder,
                    sw_notes *notes)
{
    bool danger = sw_guideline_gravity(row) == 2;
    unsigned about = SW_ABOUT_WATER | (row->gas ? SW_ABOUT_GAS : 0);
    const char *gas = danger ? SW_SAY_GAS_KILLS : SW_SAY_GAS_HARMS;
    char value[SW_FIGURE_BYTES], limit[SW_FIGURE_BYTES];
    char basis[sizeof row->source];
    sw_notes_add(notes, (danger ? SW_DANGER : SW_WARNING) | about,
                 "water-harmful", SW_SAY_WATER_HARMFUL, holder->name,
                 sw_figure(row->value, value), row->unit, row->name,
                 holder->most, strcmp(row->use, "feed") ? row->use : "a crop",
                 sw_figure(danger ? row->danger : row->caution, limit),
                 sw_basis(row->source, danger, basis),
                 row->remedy[0] ? " " : "", row->remedy,
                 row->remedy[0] ? "." : "", row->gas ? " " : "",
                 row->gas ? gas : "");
}

void sw_guidelines_warn(const sw_guideline_rows *rows, const sw_mix *mix,
                        sw_notes *notes)
{
    for (size_t i = 0; i < rows->count; i++) {
        const sw_guideline_row *row = &rows->items[i];
        sw_holder holder = holder_of(row, mix);
        if (sw_guideline_gravity(row) && !is_said_elsewhere(rows, row->name))
            warn_of(row, &holder, notes);
    }
}

sw_status sw_guidelines_warn_of_gas(const sw_water *make_up, sw_notes *notes)
{
    static const double whole = 1.0;
    static const sw_holder holder = {.name = SW_SAY_HOLDER_MAKE_UP};
    sw_mix mix = {.reports = &make_up, .shares = &whole, .report_count = 1};
    sw_guideline_rows rows;
    sw_status status = sw_guidelines_hold_reports(&mix, &rows, NULL);
    for (size_t i = 0; status == SW_OK && i < rows.count; i++)
        if (rows.items[i].gas && sw_guideline_gravity(&rows.items[i]))
            warn_of(&rows.items[i], &holder, notes);
    free(rows.items);
    return status;
}
