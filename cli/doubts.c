/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each source of error has a word and its kind of number: a percentage, a step
 * of the scale, or pH.
 */
#include "doubts.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "suggest.h"

typedef enum doubt_kind { PERCENT, STEP, PH } doubt_kind;

typedef struct doubt_word {
    const char *word;
    doubt_kind kind;
    size_t offset; /* of its number in cli_doubts */
} doubt_word;

static const doubt_word doubt_words[] = {
    {"lab", PERCENT, offsetof(cli_doubts, lab)},
    {"lab-ph", PH, offsetof(cli_doubts, lab_ph)},
    {"label", PERCENT, offsetof(cli_doubts, label)},
    {"scale", STEP, offsetof(cli_doubts, scale_g)},
    {"fine-scale", STEP, offsetof(cli_doubts, micro_g)},
    {"fill", PERCENT, offsetof(cli_doubts, fill)},
    {"injector", PERCENT, offsetof(cli_doubts, injector)},
    {"meter-ec", PERCENT, offsetof(cli_doubts, meter_ec)},
    {"meter-ph", PH, offsetof(cli_doubts, meter_ph)}};

enum { DOUBT_WORDS = sizeof doubt_words / sizeof doubt_words[0] };

static exit_code refuse_word(const cli_options *options, const char *given,
                             size_t length)
{
    const char *names[DOUBT_WORDS];
    char word[32];
    snprintf(word, sizeof word, "%.*s", (int)length, given);
    for (size_t i = 0; i < DOUBT_WORDS; i++)
        names[i] = doubt_words[i].word;
    const char *near = suggest(word, names, DOUBT_WORDS);
    return complain_usage(options->command->name,
                          "--doubt %.80s: expected lab, lab-ph, label, scale, "
                          "fine-scale, fill, injector, meter-ec or meter-ph, "
                          "and how far it may be off, such as label=3%%%s%s%s",
                          given, near ? "; did you mean " : "",
                          near ? near : "", near ? "?" : "");
}

/* "3%" -> 0.03 and "0.1" -> 0.1; false where it is neither. */
static bool read_number(const char *text, doubt_kind kind, double *value)
{
    char *end;
    *value = strtod(text, &end);
    if (end == text || !isfinite(*value) || *value < 0.0)
        return false;
    if (kind == PH)
        return *end == '\0' && *value <= 2.0;
    *value /= 100.0;
    return strcmp(end, "%") == 0 && *value <= 0.5;
}

static exit_code refuse_number(const cli_options *options, const char *given,
                               doubt_kind kind)
{
    return complain_usage(
        options->command->name, "--doubt %.80s: expected %s", given,
        kind == PH     ? "a standard deviation of the pH up to 2, such as 0.1"
        : kind == STEP ? "the step of the scale, such as 0.5g"
                       : "a standard deviation of up to 50 %, such as 3%");
}

static exit_code read_one(const cli_options *options, const char *given,
                          cli_doubts *out)
{
    const char *equals = strchr(given, '=');
    size_t length = equals ? (size_t)(equals - given) : strlen(given);
    const doubt_word *found = NULL;
    for (size_t i = 0; i < DOUBT_WORDS; i++)
        if (strlen(doubt_words[i].word) == length &&
            strncmp(doubt_words[i].word, given, length) == 0)
            found = &doubt_words[i];
    if (!found || !equals)
        return refuse_word(options, given, length);
    double *value = (double *)((char *)out + found->offset);
    bool understood = found->kind == STEP
                          ? sw_mass_parse(equals + 1, value, NULL) == SW_OK
                          : read_number(equals + 1, found->kind, value);
    return understood ? EXIT_DONE : refuse_number(options, given, found->kind);
}

exit_code doubts_read(const cli_options *options, cli_doubts *out)
{
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < DOUBT_WORDS; i++)
        *(double *)((char *)out + doubt_words[i].offset) = (double)NAN;
    for (size_t i = 0;
         code == EXIT_DONE && i < options_count(options, OPT_DOUBT); i++)
        code = read_one(options, options_value(options, OPT_DOUBT, i), out);
    return code;
}

static void take(double given, double *tolerance)
{
    if (!isnan(given))
        *tolerance = given;
}

/* Of an injector's head; reference/methods.md, Decide. */
static const double default_injector = 0.05;

sw_tolerances doubts_tolerances(const cli_doubts *doubts, double batch_l,
                                const int *head)
{
    sw_tolerances out = sw_tolerances_default(batch_l);
    if (head)
        out.injector = default_injector;
    out.head = head;
    take(doubts->lab, &out.lab);
    take(doubts->lab_ph, &out.lab_ph);
    take(doubts->label, &out.label);
    take(doubts->scale_g, &out.scale_step_g);
    take(doubts->micro_g, &out.micro_step_g);
    take(doubts->fill, &out.fill);
    take(doubts->injector, &out.injector);
    return out;
}
