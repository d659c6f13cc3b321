/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences of the library, which is metric, as a page in its units reads. */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "io/figure.h"
#include "io/memory.h"
#include "report/blocks.h"

/* What one metric quantity in a sentence becomes. */
typedef struct rule {
    const char *unit;
    cli_figure (*figure)(double value);
    const char *after;
    /* Of an amount to pour, in as large a unit as a jug or a scale shows; NULL:
     * for a page in US units alone. */
    cli_figure (*metric)(double value);
} rule;

static cli_figure liquid_per_1000_gal(double ml_per_1000_l)
{
    return figure_liquid_us(ml_per_1000_l * figure_l_per_gal);
}

static cli_figure mass_per_1000_gal(double g_per_1000_l)
{
    return figure_mass_us(g_per_1000_l * figure_l_per_gal);
}

static cli_figure litres(double volume_l)
{
    return figure_volume(volume_l, SW_METRIC);
}

static cli_figure gallons(double volume_l)
{
    return figure_volume(volume_l, SW_US);
}

static const rule rules[] = {
    {" °C", figure_fahrenheit, " °F", NULL},
    {" mL per 1000 L", liquid_per_1000_gal, " per 1000 gal", NULL},
    {" g per 1000 L", mass_per_1000_gal, " per 1000 gal", NULL},
    {" L", gallons, "", litres},
    {" mL", figure_liquid_us, "", figure_liquid_metric},
    {" g", figure_mass_us, "", figure_mass_metric}};

/* The units that a sentence is put into. */
typedef struct reader {
    cli_amounts amounts;
    bool poured; /* what it tells is poured by pH: its mL, g and L too */
} reader;

/* "12.7 L", "3.35 gal", or both. */
static cli_figure amount(const rule *r, double value, const reader *to)
{
    if (to->amounts == AMOUNTS_US || !r->metric)
        return r->figure(value);
    if (to->amounts == AMOUNTS_METRIC)
        return r->metric(value);
    cli_figure us = r->figure(value), metric = r->metric(value);
    return strcmp(us.text, metric.text) == 0 ? us : figure_beside(us, metric);
}

/* Whether a unit ends there: not in "g/L". */
static bool is_end(char c)
{
    return !isalnum((unsigned char)c) && c != '/' && c != '_';
}

/* The rule for what follows a number, and how long that is; NULL: none.  Of
 * "30 to 40 °C" the first is of the unit of the second. */
static const rule *rule_of(const char *after, bool *ranges)
{
    char *end = (char *)after;
    *ranges = strncmp(after, " to ", 4) == 0;
    if (*ranges)
        strtod(after + 4, &end);
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        size_t length = strlen(rules[i].unit);
        if (strncmp(end, rules[i].unit, length) == 0 && is_end(end[length]))
            return &rules[i];
    }
    return NULL;
}

static bool applies(const rule *r, const reader *to)
{
    return r->metric ? to->poured : to->amounts == AMOUNTS_US;
}

/* Whether a number starts there, and not in the middle of a word. */
static bool is_number(const char *at, const char *text)
{
    bool inside = at > text && (isalnum((unsigned char)at[-1]) ||
                                strchr("-.", at[-1]) != NULL);
    return !inside && isdigit((unsigned char)at[*at == '-']);
}

/* Free it. */
static char *sentence_of(const char *sentence, const reader *to)
{
    const char *text = sentence;
    size_t size = 4 * strlen(text) + sizeof(cli_figure), used = 0;
    char *out = memory_array(size, 1);
    while (*text) {
        char *end;
        bool ranges;
        if (!is_number(text, sentence)) {
            out[used++] = *text++;
            continue;
        }
        double value = strtod(text, &end);
        const rule *r = rule_of(end, &ranges);
        if (r && !ranges)
            end += strlen(r->unit);
        if (r && applies(r, to))
            used += (size_t)snprintf(out + used, size - used, "%s%s",
                                     amount(r, value, to).text,
                                     ranges ? "" : r->after);
        else
            used += (size_t)snprintf(out + used, size - used, "%.*s",
                                     (int)(end - text), text);
        text = end;
    }
    out[used] = '\0';
    return out;
}

static void read_as(doc_record *row, const char *key, const reader *to)
{
    const char *text = doc_text_of(row, key);
    char *said = sentence_of(text, to);
    if (strcmp(said, text) != 0)
        doc_reads(row, key, "%s", said);
    free(said);
}

void report_reads_us(doc_record *row, const char *key, const cli_report *report)
{
    read_as(row, key, &(reader){.amounts = report->settings->amounts});
}

void report_mend_poured(doc_record *row, const char *key)
{
    const reader metric = {AMOUNTS_METRIC, true};
    char *said = sentence_of(doc_text_of(row, key), &metric);
    doc_mend_text(row, key, said);
    free(said);
}

void report_reads_poured(doc_record *row, const char *key,
                         const cli_report *report)
{
    const cli_settings *settings = report->settings;
    reader to = {settings->amounts, true};
    if (to.amounts == AMOUNTS_BOTH && settings->volume_system != SW_US)
        to.amounts = AMOUNTS_METRIC;
    read_as(row, key, &to);
    report_mend_poured(row, key);
}
