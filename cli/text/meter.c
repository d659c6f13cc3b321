/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the meters say.  Rows carry letters, so that the table of what to look
 * at can refer to them.
 */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "meter.h"
#include "text/figure.h"
#include "text/table.h"

enum { MOST_ROWS = 5, MOST_ENTRIES = 4, MOST_OF_ENTRY = 3, MOST_LOOKS = 4 };

/* Entries believed less than this are not worth a row; nor, where nothing
 * explains the readings, are those this much further off than the nearest. */
static const double worth_a_row = 0.02, times_as_far = 1.5;

/* The mistakes that get a row and a letter, by their place. */
typedef struct lettered {
    size_t place[MOST_ROWS];
    size_t count;
} lettered;

/* How many of the entry have a row already. */
static size_t rows_of(const lettered *rows, const sw_diagnosis *d, size_t entry)
{
    size_t count = 0;
    for (size_t i = 0; i < rows->count; i++)
        count += d->mistakes[rows->place[i]].entry == entry;
    return count;
}

static bool is_worth_a_row(const sw_diagnosis *d, const sw_mistake *m)
{
    return m->entry < MOST_ENTRIES &&
           (d->explained ? meter_belief(d, m->entry) >= worth_a_row
                         : m->distance <= times_as_far * d->distance);
}

static lettered choose_rows(const sw_diagnosis *d)
{
    lettered rows = {{0}, 0};
    for (size_t i = 0; i < d->mistake_count && rows.count < MOST_ROWS; i++) {
        size_t entry = d->mistakes[i].entry;
        bool nothing = meter_is_nothing(d, entry);
        if (!is_worth_a_row(d, &d->mistakes[i]))
            break;
        if (nothing ? d->mistakes[i].kind == SW_NOTHING_WRONG
                    : rows_of(&rows, d, entry) < MOST_OF_ENTRY)
            rows.place[rows.count++] = i;
    }
    return rows;
}

static size_t members_of(const sw_diagnosis *d, size_t entry)
{
    size_t count = 0;
    for (size_t i = 0; i < d->mistake_count; i++)
        count += d->mistakes[i].entry == entry;
    return count;
}

/* "or one of 12 slips too small for these meters: iron chelate, ..." */
static void remark_small(cli_table *table, const cli_report *report,
                         size_t entry)
{
    const sw_diagnosis *d = report->diagnosis;
    char text[600];
    const char *comma = "";
    size_t members = members_of(d, entry);
    if (members < 2)
        return;
    int used = snprintf(text, sizeof text,
                        "or one of %zu mistakes too small for these meters, "
                        "with",
                        members - 1);
    for (size_t i = 0; i < d->mistake_count; i++) {
        const sw_mistake *m = &d->mistakes[i];
        const char *name = report->inputs->shelf->products[m->product].name;
        bool product = m->kind >= SW_LEFT_OUT && m->kind <= SW_OTHER_FORM;
        if (m->entry != entry || !product || strstr(text, name) ||
            used + 70 > (int)sizeof text)
            continue;
        used += snprintf(text + used, sizeof text - (size_t)used, "%s %.50s",
                         comma, name);
        comma = ",";
    }
    table_remark(table, text);
}

/* What else shares an entry, after its last row. */
static void remark(cli_table *table, const cli_report *report,
                   const lettered *rows, size_t entry)
{
    const sw_diagnosis *d = report->diagnosis;
    size_t more = members_of(d, entry) - rows_of(rows, d, entry);
    char text[96];
    if (meter_is_nothing(d, entry)) {
        remark_small(table, report, entry);
    } else if (more) {
        snprintf(text, sizeof text,
                 "and %zu more that these meters cannot "
                 "tell apart",
                 more);
        table_remark(table, text);
    }
}

static void add_row(cli_table *table, const cli_report *report,
                    const lettered *rows, size_t row)
{
    const sw_diagnosis *d = report->diagnosis;
    const sw_mistake *m = &d->mistakes[rows->place[row]];
    bool leads =
        row == 0 || d->mistakes[rows->place[row - 1]].entry != m->entry;
    bool last = row + 1 == rows->count ||
                d->mistakes[rows->place[row + 1]].entry != m->entry;
    char letter[] = {(char)('a' + row), '\0'};
    char worth[16] = "or";
    cli_words words = meter_mistake(report, m);
    cli_figure ec = figure_fixed(m->ec_ms_per_cm, 2);
    cli_figure ph = figure_fixed(m->ph, 1);
    if (!d->explained)
        snprintf(worth, sizeof worth, "%.8s", meter_distance(m).text);
    else if (leads)
        snprintf(worth, sizeof worth, "%.8s",
                 meter_belief_words(d, m->entry).text);
    const char *cells[] = {words.text, letter, worth, ec.text, ph.text};
    table_add(table, cells);
    if (last)
        remark(table, report, rows, m->entry);
}

static void put_mistakes(const cli_page *page, const cli_report *report,
                         const lettered *rows)
{
    bool explained = report->diagnosis->explained;
    const cli_table_column columns[] = {
        {explained ? "what would explain it" : "nearest, and no explanation",
         "", false},
        {"", "", false},
        {explained ? "likelihood" : "off by", explained ? "" : "errors", true},
        {"EC", "mS/cm", true},
        {"pH", "", true}};
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    table.remark_indent = 4;
    for (size_t i = 0; i < rows->count; i++)
        add_row(&table, report, rows, i);
    table_print(page, &table);
    table_free(&table);
}

/* What reads the same whatever it was is not worth looking at. */
static bool all_alike(const cli_figure *figures, size_t count)
{
    for (size_t i = 1; i < count; i++)
        if (strcmp(figures[i].text, figures[0].text) != 0)
            return false;
    return true;
}

static void add_look(cli_table *table, const cli_report *report,
                     const lettered *rows, const sw_look *look)
{
    cli_words words = meter_look(report, look);
    cli_figure figures[MOST_ROWS];
    const char *cells[TABLE_MAX_COLUMNS] = {words.text, meter_unit(look)};
    for (size_t i = 0; i < rows->count; i++) {
        double value = look->expected[rows->place[i]];
        figures[i] =
            look->kind == SW_LOOK_COMPONENT
                ? figure_short(value)
                : figure_fixed(value, look->kind == SW_LOOK_PH ? 1 : 2);
        cells[2 + i] = figures[i].text;
    }
    if (!all_alike(figures, rows->count))
        table_add(table, cells);
}

static void put_looks(const cli_page *page, const cli_report *report,
                      const lettered *rows)
{
    static const char *const heads[MOST_ROWS] = {"if a", "if b", "if c", "if d",
                                                 "if e"};
    const sw_diagnosis *d = report->diagnosis;
    cli_table_column columns[2 + MOST_ROWS] = {
        {"look at next, the most telling first", "", false}, {"", "", false}};
    if (!d->look_count || rows->count < 2)
        return;
    for (size_t i = 0; i < rows->count; i++)
        columns[2 + i] = (cli_table_column){heads[i], "", true};
    cli_table table = table_new(columns, 2 + rows->count);
    for (size_t i = 0; i < d->look_count && i < MOST_LOOKS; i++)
        add_look(&table, report, rows, &d->looks[i]);
    if (table.row_count) {
        fputc('\n', page->out);
        table_print(page, &table);
    }
    table_free(&table);
}

void part_meter(const cli_page *page, const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    sw_readings readings = report_readings(report);
    const sw_readings *r = &readings;
    lettered rows = choose_rows(d);
    page_title(page, "What the meters say");
    page_paragraph(page, 2, 2, "%s", meter_verdict(report).text);
    cli_figure ec = figure_fixed(r->ec_ms_per_cm, 2);
    cli_figure ph = figure_fixed(r->ph, 2);
    page_paragraph(
        page, 2, 2,
        "EC in mS/cm: %s measured, %.2f calculated from the recipe. pH: %s "
        "measured, %.1f calculated.",
        isnan(r->ec_ms_per_cm) ? "not" : ec.text, d->ec_ms_per_cm,
        isnan(r->ph) ? "not" : ph.text, d->ph);
    if (!isnan(r->ec_ms_per_cm) && !isnan(report->settings->meter_c))
        page_paragraph(
            page, 2, 2, "That EC is %.2f read at %.4g °C without compensation.",
            report->settings->readings.ec_ms_per_cm, report->settings->meter_c);
    put_mistakes(page, report, &rows);
    put_looks(page, report, &rows);
    page_paragraph(page, 2, 2,
                   "Assumed accuracy: EC meter %.3g %%, pH meter %.2g. The "
                   "readings are those of the fresh mix; after standing in "
                   "the air its pH is %.1f.",
                   100.0 * r->ec_error, r->ph_error,
                   report->assessment->aired.ph);
}
