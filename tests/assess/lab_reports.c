/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lab reports for the audit's tests: real, invented, and misread. */
#include "lab_reports.h"

#include "assess/charge.h"
#include "quantity/components.h"
#include "quantity/units.h"
#include "table_rereadings.h"

#include <check.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

sw_waters *read_real_waters(void)
{
    FILE *file = fopen(SW_SOURCE_DIR "/tests/assess/real_waters.csv", "r");
    sw_waters *waters;
    sw_error error;
    ck_assert_ptr_nonnull(file);
    ck_assert_msg(sw_waters_read(file, "real_waters.csv", &waters, &error) ==
                      SW_OK,
                  "%s", error.message);
    fclose(file);
    return waters;
}

/* `amount`, as sw_reading_convert gives it, in `unit`. */
static double in_unit(const char *name, const char *unit, double amount)
{
    sw_parameter p;
    double one;
    sw_error error;
    ck_assert_int_eq(sw_parameter_find(name, &p, &error), SW_OK);
    ck_assert_msg(sw_reading_convert(&p, 1.0, unit, &one, &error) == SW_OK,
                  "%s", error.message);
    return amount / one;
}

static void add_line(lab_report *report, const char *name, const char *unit,
                     double value)
{
    report_line *line = &report->lines[report->count++];
    ck_assert_int_le(report->count, MAX_LINES);
    snprintf(line->parameter, sizeof line->parameter, "%s", name);
    snprintf(line->unit, sizeof line->unit, "%s", unit);
    line->value = value;
}

static const char *pick(gsl_rng *rng, const char *const *names, int count)
{
    return names[gsl_rng_uniform_int(rng, (unsigned long)count)];
}

static void add_ions(lab_report *report, const sw_water *w, gsl_rng *rng,
                     const char *unit)
{
    static const struct {
        sw_component component;
        const char *names[2]; /* the second carries no charge of its own */
    } ions[] = {{SW_CA, {"Ca", "Ca"}},        {SW_MG, {"Mg", "Mg"}},
                {SW_NA, {"Na", "Na"}},        {SW_K, {"K", "K"}},
                {SW_CL, {"Cl", "Cl"}},        {SW_S, {"SO4", "S"}},
                {SW_NO3_N, {"NO3", "NO3-N"}}, {SW_NH4_N, {"NH4", "NH4-N"}},
                {SW_P, {"PO4", "P"}},         {SW_F, {"F", "F"}}};
    for (size_t i = 0; i < sizeof ions / sizeof *ions; i++) {
        const char *name = ions[i].names[gsl_rng_uniform_int(rng, 2)];
        double amount = w->per_l.amount[ions[i].component];
        bool no_charge = ions[i].component == SW_P && !strcmp(unit, "meq/L");
        const char *own = no_charge ? "mg/L" : unit;
        if (w->reported[ions[i].component])
            add_line(report, name, own, in_unit(name, own, amount));
    }
}

static void add_alkalinity(lab_report *report, const sw_water *w, gsl_rng *rng,
                           const char *unit)
{
    double meq = w->per_l.amount[SW_ALKALINITY];
    double dice = gsl_rng_uniform(rng);
    if (strcmp(unit, "mg/L") != 0)
        add_line(report, "HCO3", unit, in_unit("HCO3", unit, meq));
    else if (dice < 0.5)
        add_line(report, "HCO3", unit, in_unit("HCO3", unit, meq));
    else if (dice < 0.8)
        add_line(report, "alkalinity", "mg/L CaCO3",
                 in_unit("alkalinity", "mg/L CaCO3", meq));
    else
        add_line(report, "alkalinity", "meq/L", meq);
}

static void add_sums(lab_report *report, const sw_water *w, gsl_rng *rng)
{
    static const char *const units[] = {"mg/L CaCO3", "dH", "fH", "mmol/L",
                                        "meq/L"};
    static const char *const ec_units[] = {"uS/cm", "mS/cm"};
    const char *ec_unit = pick(rng, ec_units, 2);
    if (!isnan(w->ec_ms_per_cm))
        add_line(report, "EC", ec_unit,
                 in_unit("EC", ec_unit, w->ec_ms_per_cm));
    if (!isnan(w->hardness_meq_per_l)) {
        const char *unit = pick(rng, units, 5);
        add_line(report, "hardness", unit,
                 in_unit("hardness", unit, w->hardness_meq_per_l));
    }
    if (!isnan(w->tds_mg_per_l))
        add_line(report, "TDS", "mg/L", w->tds_mg_per_l);
    if (!isnan(w->ph))
        add_line(report, "pH", "", w->ph);
}

/* Dissolved solids as 1030 E sums them, nitrate as NO3. */
static double solids_of(const sw_water *w)
{
    const double *c = w->per_l.amount;
    return 0.6 * 50.04 * c[SW_ALKALINITY] + c[SW_NA] + c[SW_K] + c[SW_CA] +
           c[SW_MG] + c[SW_CL] + 2.996 * c[SW_S] + 4.427 * c[SW_NO3_N] +
           c[SW_F];
}

/* Sums a laboratory would report beside the ions, in some reports. */
static void measure_sums(sw_water *w, gsl_rng *rng)
{
    double hard = w->per_l.amount[SW_CA] * sw_meq_per_mg(SW_CA) +
                  w->per_l.amount[SW_MG] * sw_meq_per_mg(SW_MG);
    w->hardness_meq_per_l = w->tds_mg_per_l = NAN;
    if (gsl_rng_uniform(rng) < 0.6)
        w->hardness_meq_per_l = hard * (1 + gsl_ran_gaussian(rng, 0.02));
    if (gsl_rng_uniform(rng) < 0.4)
        w->tds_mg_per_l = 1.1 * solids_of(w) * (1 + gsl_ran_gaussian(rng, .05));
}

lab_report write_report(const sw_water *water, gsl_rng *rng)
{
    static const char *const units[] = {"mg/L", "mg/L",  "mg/L",  "mg/L",
                                        "mg/L", "meq/L", "mmol/L"};
    lab_report report = {.count = 0};
    sw_water w = *water;
    const char *unit = pick(rng, units, 7);
    measure_sums(&w, rng);
    add_ions(&report, &w, rng, unit);
    add_alkalinity(&report, &w, rng, unit);
    add_sums(&report, &w, rng);
    return report;
}

/* ---- Invented waters ---------------------------------------------------- */

static void invent_ions(sw_water *w, gsl_rng *rng)
{
    double *c = w->per_l.amount;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        c[i] *= gsl_ran_lognormal(rng, 0.0, 0.5);
    c[SW_ALKALINITY] *= gsl_ran_lognormal(rng, 0.0, 0.3);
    c[SW_NO3_N] = gsl_ran_lognormal(rng, 1.0, 1.2);
    w->reported[SW_NO3_N] = true;
    w->reported[SW_NH4_N] = w->reported[SW_P] = false;
    c[SW_NH4_N] = c[SW_P] = 0.0;
    if (gsl_rng_uniform(rng) < 0.25) { /* reclaimed water */
        c[SW_NH4_N] = gsl_ran_lognormal(rng, 3.0, 0.5);
        c[SW_P] = gsl_ran_lognormal(rng, 2.0, 0.5);
        w->reported[SW_NH4_N] = w->reported[SW_P] = true;
    }
}

/* Sodium or chloride takes up what the ions leave open. */
static void close_charge(sw_water *w)
{
    sw_charge charge;
    sw_charge_add_up(w, &charge);
    double lack = charge.anions_meq_per_l - charge.cations_meq_per_l;
    if (lack > 0.0)
        w->per_l.amount[SW_NA] += lack / sw_meq_per_mg(SW_NA);
    else
        w->per_l.amount[SW_CL] -= lack / sw_meq_per_mg(SW_CL);
}

static double ec_of(const sw_water *w)
{
    sw_conditions conditions = sw_conditions_default();
    sw_notes notes = {NULL, 0};
    sw_chemistry chemistry;
    sw_content per_l;
    double ec = NAN;
    if (sw_water_complete(w, &conditions, &per_l, &notes, NULL) == SW_OK &&
        sw_equilibrate(&per_l, &conditions, SW_CARBONATE_KEPT, &chemistry,
                       NULL) == SW_OK)
        ec = chemistry.ec_ms_per_cm;
    sw_notes_free(&notes);
    return ec;
}

sw_water invent_water(const sw_waters *real, gsl_rng *rng)
{
    sw_water w = real->items[gsl_rng_uniform_int(rng, real->count)];
    invent_ions(&w, rng);
    close_charge(&w);
    w.ec_ms_per_cm = ec_of(&w) * (1 + gsl_ran_gaussian(rng, 0.05));
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        w.per_l.amount[i] *= 1 + gsl_ran_gaussian(rng, 0.02);
    return w;
}

lab_report invent_report(const sw_waters *real, gsl_rng *rng)
{
    sw_water w = invent_water(real, rng);
    return write_report(&w, rng);
}

/* ---- Through the reader ------------------------------------------------- */

sw_waters *read_report(const lab_report *report)
{
    char text[4096] = "parameter,value,unit\n";
    sw_waters *waters;
    for (int i = 0; i < report->count; i++) {
        const report_line *l = &report->lines[i];
        size_t used = strlen(text);
        /* a quantity in %.4g may need more digits than a thousand shows */
        snprintf(text + used, sizeof text - used, "%s,%.*f,%s\n", l->parameter,
                 l->value >= 100 ? 1
                 : l->value >= 1 ? 2
                                 : 4,
                 l->value, l->unit);
    }
    FILE *stream = fmemopen(text, strlen(text), "r");
    ck_assert_ptr_nonnull(stream);
    sw_status status = sw_waters_read(stream, "report.csv", &waters, NULL);
    fclose(stream);
    return status == SW_OK ? waters : NULL;
}

/* ---- Misreading --------------------------------------------------------- */

static bool means(const report_line *line, const char *name, const char *unit)
{
    sw_parameter own, other;
    double a, b;
    return sw_parameter_find(line->parameter, &own, NULL) == SW_OK &&
           sw_parameter_find(name, &other, NULL) == SW_OK &&
           own.kind == other.kind && own.component == other.component &&
           own.partial == other.partial &&
           sw_reading_convert(&own, 1, line->unit, &a, NULL) == SW_OK &&
           sw_reading_convert(&other, 1, unit, &b, NULL) == SW_OK &&
           fabs(a - b) < 1e-9 * fabs(a);
}

/* In `unit`, and able to be in `other`. */
static bool is_ion_in(const report_line *line, const char *unit,
                      const char *other)
{
    sw_parameter p;
    double out;
    return sw_parameter_find(line->parameter, &p, NULL) == SW_OK &&
           (p.kind == SW_READS_COMPONENT || p.kind == SW_READS_ALKALINITY) &&
           sw_reading_convert(&p, 1, other, &out, NULL) == SW_OK &&
           means(line, line->parameter, unit);
}

static int fitting_lines(const lab_report *report, const sw_rereadings_row *row,
                         int fitting[MAX_LINES])
{
    const char *unit = *row->as_unit ? row->as_unit : row->unit;
    bool any = !strcmp(row->parameter, "any ion") ||
               !strcmp(row->parameter, "every ion");
    int count = 0;
    for (int i = 0; i < report->count; i++)
        if (any ? is_ion_in(&report->lines[i], unit, row->unit)
                : means(&report->lines[i], row->as_parameter, unit))
            fitting[count++] = i;
    return count;
}

static void misread_line(report_line *line, const sw_rereadings_row *row)
{
    bool any = !strcmp(row->parameter, "any ion") ||
               !strcmp(row->parameter, "every ion");
    if (!any)
        snprintf(line->parameter, sizeof line->parameter, "%s", row->parameter);
    snprintf(line->unit, sizeof line->unit, "%s", row->unit);
}

bool pick_misreading(const lab_report *report, gsl_rng *rng, misreading *out)
{
    int fitting[MAX_LINES];
    const sw_rereadings_row *row =
        &sw_rereadings_table[gsl_rng_uniform_int(rng, sw_rereadings_count)];
    int count = fitting_lines(report, row, fitting);
    if (count == 0)
        return false;
    bool every = !strcmp(row->parameter, "every ion");
    unsigned long at =
        every ? 0 : gsl_rng_uniform_int(rng, (unsigned long)count);
    out->row = row;
    out->line = report->lines[fitting[at]];
    snprintf(out->kind, sizeof out->kind, "%s %s for %s %s", row->as_parameter,
             row->as_unit, row->parameter, row->unit);
    return true;
}

void misread(lab_report *report, const misreading *m)
{
    int fitting[MAX_LINES];
    int count = fitting_lines(report, m->row, fitting);
    bool every = !strcmp(m->row->parameter, "every ion");
    for (int i = 0; i < count; i++) {
        report_line *line = &report->lines[fitting[i]];
        if (every || (!strcmp(line->parameter, m->line.parameter) &&
                      !strcmp(line->unit, m->line.unit)))
            misread_line(line, m->row);
    }
}

bool misread_report(lab_report *report, gsl_rng *rng, char kind[64])
{
    misreading m;
    if (!pick_misreading(report, rng, &m))
        return false;
    snprintf(kind, 64, "%s", m.kind);
    misread(report, &m);
    return true;
}

static bool same(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 1e-9 * fabs(a);
}

bool is_same_water(const sw_water *a, const sw_water *b)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (!same(a->per_l.amount[i], b->per_l.amount[i]))
            return false;
    return same(a->ec_ms_per_cm, b->ec_ms_per_cm) &&
           same(a->hardness_meq_per_l, b->hardness_meq_per_l);
}
