/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences of the library, which is metric, as a page in US units reads. */
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
} rule;

static cli_figure liquid_per_1000_gal(double ml_per_1000_l)
{
    return figure_liquid_us(ml_per_1000_l * figure_l_per_gal);
}

static cli_figure mass_per_1000_gal(double g_per_1000_l)
{
    return figure_mass_us(g_per_1000_l * figure_l_per_gal);
}

static const rule rules[] = {
    {" °C", figure_fahrenheit, " °F"},
    {" mL per 1000 L", liquid_per_1000_gal, " per 1000 gal"},
    {" g per 1000 L", mass_per_1000_gal, " per 1000 gal"}};

/* The rule for what follows a number, and how long that is; NULL: none.  Of
 * "30 to 40 °C" the first is of the unit of the second. */
static const rule *rule_of(const char *after, bool *ranges)
{
    char *end = (char *)after;
    *ranges = strncmp(after, " to ", 4) == 0;
    if (*ranges)
        strtod(after + 4, &end);
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
        if (strncmp(end, rules[i].unit, strlen(rules[i].unit)) == 0)
            return &rules[i];
    return NULL;
}

/* Whether a number starts there, and not in the middle of a word. */
static bool is_number(const char *at, const char *text)
{
    bool inside = at > text && (isalnum((unsigned char)at[-1]) ||
                                strchr("-.", at[-1]) != NULL);
    return !inside && isdigit((unsigned char)at[*at == '-']);
}

/* Free it. */
static char *us_sentence(const char *sentence)
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
        if (!r)
            used += (size_t)snprintf(out + used, size - used, "%.*s",
                                     (int)(end - text), text);
        else
            used +=
                (size_t)snprintf(out + used, size - used, "%s%s",
                                 r->figure(value).text, ranges ? "" : r->after);
        text = r && !ranges ? end + strlen(r->unit) : end;
    }
    out[used] = '\0';
    return out;
}

void report_reads_us(doc_record *row, const char *key, const cli_report *report)
{
    const char *text = doc_text_of(row, key);
    if (report->settings->amounts != AMOUNTS_US)
        return;
    char *said = us_sentence(text);
    if (strcmp(said, text) != 0)
        doc_reads(row, key, "%s", said);
    free(said);
}
