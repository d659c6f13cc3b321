/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the meters say: the mistakes that would explain the readings, and what
 * to check next.  Behind injectors a product is left out of one tank, and an
 * injector that delivers too little cannot be told from a tank filled too far.
 */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "report/words.h"
#include "sentences_text.h"

enum { MOST_ROWS = 5, MOST_ENTRIES = 4, MOST_OF_ENTRY = 3, MOST_LOOKS = 4 };
enum { LOG_ROWS = 6 };

/* Entries less likely than this are not worth a row; nor, where nothing
 * explains the readings, are those this much further off than the nearest. */
static const double worth_a_row = 0.02, times_as_far = 1.5;
/* A likelihood that rounds to a hundred per cent. */
static const double most_likely = 0.99;

typedef report_sentence sentence;

/* " of tank A" after `link` where there are tanks. */
static sentence in_tank(const cli_report *report, const char *link, int tank)
{
    return report->stock
               ? report_words("%stank %s", link, sw_tank_text((sw_tank)tank))
               : (sentence){""};
}

static sentence injector_words(const sw_mistake *mistake)
{
    const char *tank = sw_tank_text((sw_tank)mistake->head);
    return mistake->factor < 1.0
               ? report_words(SAY_INJECTOR_LOW, tank, mistake->factor)
               : report_words(SAY_INJECTOR_HIGH, tank, mistake->factor);
}

/* Few tanks take more above their mark (common practice, no source). */
static const double most_to_brim = 1.1;

/* "about 1950 L", three figures of a volume that was fitted. */
static sentence fill_words(const cli_report *report, const sw_mistake *mistake)
{
    bool us = report->settings->volume_system == SW_US;
    double l = report->settings->volume_l * mistake->factor;
    bool small = !us && l < 1.0;
    double shown = us ? l / figure_l_per_gal : small ? 1000.0 * l : l;
    return report_words(SAY_WATER_FILLED,
                        mistake->factor > 1.0 ? "too much" : "too little",
                        mistake->factor, figure_short(shown).text,
                        us      ? "gal"
                        : small ? "mL"
                                : "L",
                        mistake->factor > most_to_brim ? SAY_IF_IT_HOLDS : "");
}

/* "potassium nitrate left out of tank A" */
static sentence words_of(const cli_report *report, const sw_mistake *mistake)
{
    const char *name = report->inputs->shelf->products[mistake->product].name;
    switch (mistake->kind) {
    case SW_LEFT_OUT:
        return report_words("%s%s left out%s",
                            mistake->factor > 0.0 ? "half of " : "", name,
                            in_tank(report, " of ", mistake->head).text);
    case SW_DOUBLED:
        return report_words("%s twice%s", name,
                            in_tank(report, " in ", mistake->head).text);
    case SW_OTHER_FORM:
        return report_words("%s taken for %s", mistake->form, name);
    case SW_HEAD_OFF:
        return injector_words(mistake);
    case SW_FILL_OFF:
        return fill_words(report, mistake);
    case SW_NOTHING_IN:
        return (sentence){SAY_NOTHING_IN};
    case SW_CO2_LEFT:
        return report_words("nothing is wrong, some CO2 %s",
                            report->diagnosis->aired ? "is still in it"
                                                     : "has left");
    default:
        return (sentence){"nothing is wrong"};
    }
}

static double likelihood_of(const sw_diagnosis *diagnosis, size_t entry)
{
    double sum = 0.0;
    for (size_t i = 0; i < diagnosis->mistake_count; i++)
        if (diagnosis->mistakes[i].entry == entry)
            sum += diagnosis->mistakes[i].belief;
    return sum;
}

/* "97 %"; what is nearly certain among the candidates is not certain. */
static cli_figure likelihood_words(double likelihood)
{
    return likelihood > most_likely ? (cli_figure){">99 %"}
                                    : figure_percent(likelihood);
}

/* No mistake, with all its CO2 or not: the likelier of the two. */
static const sw_mistake *no_mistake(const sw_diagnosis *diagnosis)
{
    const sw_mistake *m = diagnosis->mistakes;
    while (m->kind != SW_NOTHING_WRONG && m->kind != SW_CO2_LEFT)
        m++;
    return m;
}

/* Whether the entry is that of no mistake. */
static bool is_nothing(const sw_diagnosis *diagnosis, size_t entry)
{
    return no_mistake(diagnosis)->entry == entry;
}

/* "3.4" or "12": how far off the readings are, in standard errors. */
static cli_figure distance_words(const sw_mistake *mistake)
{
    return figure_fixed(mistake->distance, mistake->distance < 10.0);
}

/* The mistakes that get a row and a letter, by their place. */
typedef struct lettered {
    size_t place[MOST_ROWS];
    size_t count;
} lettered;

static size_t rows_of(const lettered *rows, const sw_diagnosis *d, size_t entry)
{
    size_t count = 0;
    for (size_t i = 0; i < rows->count; i++)
        count += d->mistakes[rows->place[i]].entry == entry;
    return count;
}

static size_t members_of(const sw_diagnosis *d, size_t entry)
{
    size_t count = 0;
    for (size_t i = 0; i < d->mistake_count; i++)
        count += d->mistakes[i].entry == entry;
    return count;
}

static bool is_worth_a_row(const sw_diagnosis *d, const sw_mistake *m)
{
    return m->entry < MOST_ENTRIES &&
           (d->explained ? likelihood_of(d, m->entry) >= worth_a_row
                         : m->distance <= times_as_far * d->distance);
}

static lettered choose_rows(const sw_diagnosis *d)
{
    lettered rows = {{0}, 0};
    for (size_t i = 0; i < d->mistake_count && rows.count < MOST_ROWS; i++) {
        size_t entry = d->mistakes[i].entry;
        if (!is_worth_a_row(d, &d->mistakes[i]))
            break;
        if (is_nothing(d, entry) ? &d->mistakes[i] == no_mistake(d)
                                 : rows_of(&rows, d, entry) < MOST_OF_ENTRY)
            rows.place[rows.count++] = i;
    }
    return rows;
}

/* The letter's place of mistake `index`; the count of rows where it has none.
 */
static size_t letter_of(const lettered *rows, size_t index)
{
    size_t at = 0;
    while (at < rows->count && rows->place[at] != index)
        at++;
    return at;
}

static bool has_product(const sw_mistake *mistake)
{
    return mistake->kind >= SW_LEFT_OUT && mistake->kind <= SW_OTHER_FORM;
}

/* "or one of 12 mistakes too small for these meters, with iron chelate, ..." */
static void say_small(doc_record *row, const cli_report *report, size_t entry)
{
    const sw_diagnosis *d = report->diagnosis;
    char list[480] = "";
    size_t members = 0;
    for (size_t i = 0; i < d->mistake_count; i++)
        members +=
            d->mistakes[i].entry == entry && d->mistakes[i].kind > SW_CO2_LEFT;
    if (!members)
        return;
    for (size_t i = 0; i < d->mistake_count; i++) {
        const sw_mistake *m = &d->mistakes[i];
        const char *name = report->inputs->shelf->products[m->product].name;
        if (m->entry == entry && has_product(m) && !strstr(list, name) &&
            strlen(list) + strlen(name) + 3 < sizeof list)
            text_join(list, sizeof list, ", ", "%s", name);
    }
    doc_print(row, "remark", SAY_MISTAKES_SMALL, members, list);
}

/* What else shares an entry, below its last row. */
static void say_others(doc_record *row, const cli_report *report,
                       const lettered *rows, size_t entry)
{
    const sw_diagnosis *d = report->diagnosis;
    size_t more = members_of(d, entry) - rows_of(rows, d, entry);
    if (is_nothing(d, entry))
        say_small(row, report, entry);
    else if (more)
        doc_print(row, "remark", SAY_MISTAKES_ALIKE, more);
}

/* What the row shows beside the values, as row `at` of those with letters. */
static void put_letter(doc_record *row, const cli_report *report,
                       const lettered *rows, size_t at)
{
    const sw_diagnosis *d = report->diagnosis;
    const sw_mistake *m = &d->mistakes[rows->place[at]];
    const char letter[] = {(char)('a' + at), '\0'};
    bool leads = at == 0 || d->mistakes[rows->place[at - 1]].entry != m->entry;
    bool last = at + 1 == rows->count ||
                d->mistakes[rows->place[at + 1]].entry != m->entry;
    doc_text(row, "letter", letter);
    doc_words(row, "entry_likelihood",
              leads ? likelihood_words(likelihood_of(d, m->entry)).text : "or");
    if (!d->explained)
        doc_shown(row, "off_by", m->distance, distance_words(m).text);
    if (last)
        say_others(row, report, rows, m->entry);
}

static void put_mistake(doc_block *block, const cli_report *report,
                        const lettered *rows, size_t index)
{
    const sw_diagnosis *d = report->diagnosis;
    const sw_mistake *m = &d->mistakes[index];
    size_t at = letter_of(rows, index);
    doc_record *row = doc_row(block);
    doc_text(row, "kind", sw_mistake_text(m->kind));
    doc_text(row, "text", words_of(report, m).text);
    if (has_product(m))
        doc_text(row, "product",
                 report->inputs->shelf->products[m->product].name);
    doc_text(row, "form", m->form);
    if (report->stock && (has_product(m) || m->kind == SW_HEAD_OFF))
        doc_text(row, "tank", sw_tank_text((sw_tank)m->head));
    DOC_NUMBERS(row, {"factor", m->factor}, {"entry", (double)m->entry + 1.0},
                {"entry_likelihood", likelihood_of(d, m->entry)},
                {"likelihood", m->belief}, {"distance", m->distance},
                {"ec_ms_per_cm", m->ec_ms_per_cm}, {"ph", m->ph},
                {"ec_off_ms_per_cm", m->ec_off_ms_per_cm},
                {"ph_off", m->ph_off}, {"misfit", m->misfit});
    if (at < rows->count)
        put_letter(row, report, rows, at);
    else
        doc_show_row(row, DOC_DATA);
}

static sentence look_at_product(const sw_product *product)
{
    return report_words(product->density_g_per_ml > 0.0
                            ? SAY_BAG_DRAWN
                            : SAY_BAG_WEIGHT_MISSING,
                        product->name);
}

/* "K in the solution", "what is drawn from tank A" */
static sentence look_words(const cli_report *report, const sw_look *look)
{
    switch (look->kind) {
    case SW_LOOK_COMPONENT:
        return report_words("%s in the solution, analysed",
                            sw_component_name(look->component));
    case SW_LOOK_EC:
        return (sentence){"EC"};
    case SW_LOOK_PH:
        return (sentence){"pH"};
    case SW_LOOK_PRODUCT:
        return look_at_product(&report->inputs->shelf->products[look->product]);
    case SW_LOOK_FILL:
        return (sentence){"the level in the tank"};
    case SW_LOOK_HEAD:
        return report_words("what is drawn from tank %s",
                            sw_tank_text((sw_tank)look->head));
    }
    return (sentence){""};
}

static const char *look_unit(const sw_look *look)
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

static cli_figure expected_words(const sw_look *look, double value)
{
    return look->kind == SW_LOOK_COMPONENT
               ? figure_short(value)
               : figure_fixed(value, look->kind == SW_LOOK_PH ? 1 : 2);
}

/* What it would show if the first mistake of each entry were the one. */
static void put_expected(doc_record *row, const cli_report *report,
                         const sw_look *look)
{
    const sw_diagnosis *d = report->diagnosis;
    doc_block *map = doc_add(row, "expected");
    for (size_t i = 0; i < d->mistake_count; i++)
        if (i == 0 || d->mistakes[i].entry != d->mistakes[i - 1].entry)
            doc_entry(map, words_of(report, &d->mistakes[i]).text,
                      look->expected[i]);
}

/* Whether it may show which of the rows it was: what it is expected to show is
 * further apart than it is itself off. */
static bool tells_rows_apart(const lettered *rows, const sw_look *look)
{
    double least = INFINITY, most = -INFINITY;
    for (size_t i = 0; i < rows->count; i++) {
        least = fmin(least, look->expected[rows->place[i]]);
        most = fmax(most, look->expected[rows->place[i]]);
    }
    bool relative = look->kind == SW_LOOK_COMPONENT || look->kind == SW_LOOK_EC;
    return most - least > look->error * (relative ? most : 1.0);
}

static void put_look(doc_block *block, const cli_report *report,
                     const lettered *rows, const sw_look *look, bool shown)
{
    static const char *const keys[MOST_ROWS] = {"if_a", "if_b", "if_c", "if_d",
                                                "if_e"};
    doc_record *row = doc_row(block);
    doc_text(row, "look", look_words(report, look).text);
    doc_text(row, "unit", look_unit(look));
    doc_number(row, "bits", look->bits);
    for (size_t i = 0; i < rows->count; i++) {
        double value = look->expected[rows->place[i]];
        doc_shown(row, keys[i], value, expected_words(look, value).text);
    }
    put_expected(row, report, look);
    if (!shown)
        doc_show_row(row, DOC_DATA);
}

static sentence unexplained(const cli_report *report)
{
    const sw_mistake *nearest = &report->diagnosis->mistakes[0];
    double read = report_readings(report).ec_ms_per_cm;
    double as_us = fabs(log(1000.0 * read / report->diagnosis->ec_ms_per_cm));
    if (as_us < log(2.0))
        return report_words(SAY_EC_OF_OTHER_UNIT, figure_short(read).text,
                            figure_short(1000.0 * read).text);
    return report_words(SAY_NO_ONE_MISTAKE, words_of(report, nearest).text,
                        distance_words(nearest).text);
}

/* "an EC 0.07 mS/cm higher" */
static sentence off_words(const char *what, double off, const char *unit,
                          int decimals)
{
    return fabs(off) >= 0.5 * pow(10.0, -decimals)
               ? report_words("%s %.*f%s %s", what, decimals, fabs(off), unit,
                              off < 0.0 ? "higher" : "lower")
               : (sentence){""};
}

static bool any_fits(const sw_diagnosis *d)
{
    for (size_t i = 0; i < d->mistake_count; i++)
        if (d->mistakes[i].misfit <= SW_MISFIT_MARGIN)
            return true;
    return false;
}

/* What a likelihood is among, and that the best of them may be none. */
static const char *list_words(const sw_diagnosis *d)
{
    return !d->explained ? "The nearest, and no explanation:"
           : any_fits(d) ? SAY_OF_THOSE_TRIED
                         : SAY_NONE_FITS_WELL;
}

/* No mistake is the likeliest, but the readings are beyond what it gives. */
static bool are_a_little_off(const cli_report *report)
{
    return report_readings_are_off(report) && report->diagnosis->explained &&
           is_nothing(report->diagnosis, 0);
}

/* The likeliest, where it leaves much unexplained. */
static sentence loose_fit(const cli_report *report)
{
    const sw_mistake *m = &report->diagnosis->mistakes[0];
    sentence ec = off_words("an EC", m->ec_off_ms_per_cm, " mS/cm", 2);
    sentence ph = off_words("a pH", m->ph_off, "", 1);
    if (are_a_little_off(report))
        return report_words(SAY_READINGS_A_LITTLE_OFF, ec.text,
                            ec.text[0] && ph.text[0] ? " and " : "", ph.text);
    return report_words(SAY_LIKELIEST,
                        any_fits(report->diagnosis) ? "Something is off."
                                                    : "No candidate fits well.",
                        words_of(report, m).text, ec.text,
                        ec.text[0] && ph.text[0] ? " and " : "", ph.text,
                        m->misfit);
}

/* What tells a mistake from CO2 gone, beside a fresh sample. */
static sentence tells_apart(const cli_report *report, const sw_mistake *m)
{
    sw_look look = {.kind = m->kind == SW_HEAD_OFF   ? SW_LOOK_HEAD
                            : m->kind == SW_FILL_OFF ? SW_LOOK_FILL
                                                     : SW_LOOK_PRODUCT,
                    .product = m->product,
                    .head = m->head};
    return m->kind == SW_NOTHING_IN ? (sentence){"what was put in"}
                                    : look_words(report, &look);
}

/* CO2 has left, or it is a mistake: the readings cannot tell. */
static sentence open_words(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    return report_words(d->aired ? SAY_READINGS_OPEN_AIRED : SAY_READINGS_OPEN,
                        words_of(report, d->or_else).text, d->ph,
                        tells_apart(report, d->or_else).text);
}

/* Readings that do not contradict the recipe. */
static sentence fit_words(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    if (report_readings_harm(report))
        return (sentence){SAY_READINGS_OF_DANGER};
    if (d->or_else)
        return open_words(report);
    if (d->in_order < report_least_belief)
        return (sentence){"The readings may fit the recipe, but other "
                          "explanations together are likelier."};
    if (!d->as_meant)
        return (sentence){SAY_READINGS_WITHIN};
    if (no_mistake(d)->kind == SW_NOTHING_WRONG || words_are_read_aired(report))
        return (sentence){SAY_READINGS_FIT};
    return d->aired ? (sentence){SAY_READINGS_FIT_FRESH}
                    : (sentence){SAY_READINGS_FIT_AIRED};
}

/* The likeliest and, where the meters cannot tell it from another, or less than
 * half of the belief is in it, the next. */
static sentence likeliest(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    const sw_mistake *m = d->mistakes;
    sentence first = words_of(report, m);
    bool alone = d->mistake_count < 2 ||
                 (m[1].entry != m->entry &&
                  likelihood_of(d, m->entry) >= report_least_belief);
    return alone ? first
                 : report_words("%.200s, or %.200s", first.text,
                                words_of(report, &m[1]).text);
}

/* What to think of it, in a sentence or two. */
static sentence verdict_of(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    if (!d->mistake_count)
        return (sentence){SAY_READINGS_UNJUDGED};
    if (!report_readings_are_off(report))
        return fit_words(report);
    if (!d->explained)
        return unexplained(report);
    return are_a_little_off(report) || d->mistakes[0].misfit > SW_MISFIT_MARGIN
               ? loose_fit(report)
               : report_words(SAY_SOMETHING_OFF, likeliest(report).text);
}

/* ": it may be 2.9 to 5.7", by the mistakes worth a row. */
static sentence ph_of_likely(const sw_diagnosis *d)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; d->explained && i < d->mistake_count; i++)
        if (is_worth_a_row(d, &d->mistakes[i])) {
            low = fmin(low, d->mistakes[i].ph);
            high = fmax(high, d->mistakes[i].ph);
        }
    return low <= high ? report_words(": it may be %.1f to %.1f", low, high)
                       : (sentence){""};
}

void report_say_readings(doc_block *verdict, const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    bool off = report_readings_are_off(report);
    double limit;
    if (!d)
        return;
    doc_say(verdict, off || d->or_else ? DOC_BAD : DOC_PLAIN, "%s",
            verdict_of(report).text);
    bool bare = isnan(report->settings->readings.ph);
    if (!off && report_read_ph_is_off(report, &limit))
        doc_say(verdict, DOC_BAD, SAY_READ_PH_OFF, report_readings(report).ph,
                report_readings(report).ph > limit ? "most" : "least", limit);
    if (off && !are_a_little_off(report))
        doc_say(verdict, DOC_BAD, SAY_READINGS_OFF,
                bare ? "its pH is measured and " : "",
                bare ? ph_of_likely(d).text : "");
}

static void put_facts(doc_record *out, const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    const cli_settings *settings = report->settings;
    sw_readings readings = report_readings(report);
    double limit;
    DOC_NUMBERS(out, {"measured_ec_ms_per_cm", readings.ec_ms_per_cm},
                {"ec_ms_per_cm", d->ec_ms_per_cm}, {"measured_ph", readings.ph},
                {"ph", d->ph}, {"ec_error", readings.ec_error},
                {"ph_error", settings->readings.ph_error},
                {"distance", d->distance});
    if (report_ph_is_open(report->assessment))
        doc_words(out, "ph", report_ph(report->assessment, FIGURE_PH).text);
    if (!isnan(readings.ec_ms_per_cm) && !isnan(settings->meter_c))
        doc_print(out, "as_read", "%.2f mS/cm at %s",
                  settings->readings.ec_ms_per_cm,
                  report_degrees(report, settings->meter_c).text);
    doc_flag(out, "explained", d->explained);
    if (d->mistake_count)
        doc_flag(out, "as_meant", !report_readings_are_off(report));
    if (d->or_else)
        doc_text(out, "or_else", words_of(report, d->or_else).text);
    if (!isnan(readings.ph))
        doc_flag(out, "ph_accepted", !report_read_ph_is_off(report, &limit));
}

void report_diagnosis(doc_record *record, const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    if (!d)
        return;
    lettered rows = choose_rows(d);
    sentence verdict = verdict_of(report);
    doc_block *block = doc_add(record, "meter");
    doc_record *out = doc_row(block);
    doc_before(block, "%s", verdict.text);
    if (d->mistake_count && !report_ph_is_open(report->assessment))
        doc_before(block, d->aired ? SAY_READINGS_AIRED : SAY_READINGS_FRESH,
                   d->aired ? report->assessment->mixed.ph
                            : report->assessment->aired.ph);
    doc_text(out, "verdict", verdict.text);
    put_facts(out, report);
    doc_block *mistakes = doc_add(out, "mistakes");
    if (d->mistake_count)
        doc_before(mistakes, "%s", list_words(d));
    for (size_t i = 0; i < d->mistake_count; i++)
        put_mistake(mistakes, report, &rows, i);
    doc_block *looks = doc_add(out, "looks");
    size_t shown = 0;
    for (size_t i = 0; i < d->look_count; i++) {
        bool tells =
            shown < MOST_LOOKS && tells_rows_apart(&rows, &d->looks[i]);
        put_look(looks, report, &rows, &d->looks[i], tells);
        shown += tells;
    }
    if (rows.count < 2 || !shown)
        doc_show_block(looks, DOC_DATA);
}

void report_meter_log(doc_record *record, const cli_report *report)
{
    const sw_chemistry *mixed = &report->assessment->mixed;
    doc_block *block = doc_add(record, "meter_log");
    doc_before(block, SAY_RANGE_ON_PAGE_1,
               figure_fixed(mixed->ec_low_ms_per_cm, FIGURE_EC).text,
               figure_fixed(mixed->ec_high_ms_per_cm, FIGURE_EC).text);
    for (int i = 0; i < LOG_ROWS; i++)
        doc_row(block);
}
