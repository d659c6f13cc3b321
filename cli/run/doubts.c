/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each source of error has a word and its kind of number: a percentage, a step
 * of the scale, or pH.
 */
#include "run/doubts.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/quantities.h"
#include "run/report.h"
#include "sentences_text.h"

typedef enum doubt_kind { PERCENT, STEP, PH } doubt_kind;

typedef struct doubt_word {
    const char *word;
    doubt_kind kind;
    size_t offset;       /* of its number in cli_doubts */
    double most;         /* as a fraction, grams or pH */
    const char *example; /* of its spread */
} doubt_word;

static const doubt_word doubt_words[] = {
    {"lab", PERCENT, offsetof(cli_doubts, lab), 0.5, "5%"},
    {"lab-ph", PH, offsetof(cli_doubts, lab_ph), 2.0, "0.1"},
    {"label", PERCENT, offsetof(cli_doubts, label), 0.5, "3%"},
    {"scale", STEP, offsetof(cli_doubts, scale_g), 1e4, "0.5g"},
    {"fine-scale", STEP, offsetof(cli_doubts, micro_g), 100.0, "0.01g"},
    {"fill", PERCENT, offsetof(cli_doubts, fill), 0.5, "2%"},
    {"injector", PERCENT, offsetof(cli_doubts, injector), 0.5, "5%"},
    {"meter-ec", PERCENT, offsetof(cli_doubts, meter_ec), 0.5, "2%"},
    {"meter-ph", PH, offsetof(cli_doubts, meter_ph), 2.0, "0.05"}};

/* A scale whose step is more than a feed takes of a salt weighs nothing. */
static const double most_step_g_per_l = 1.0;

enum { DOUBT_WORDS = sizeof doubt_words / sizeof doubt_words[0] };

static _Noreturn void refuse_word(const cli_options *options, const char *given,
                                  size_t length)
{
    const char *names[DOUBT_WORDS];
    char word[32];
    snprintf(word, sizeof word, "%.*s", (int)length, given);
    for (size_t i = 0; i < DOUBT_WORDS; i++)
        names[i] = doubt_words[i].word;
    leave(complain_usage(options->command->name, SAY_DOUBT_OF, given,
                         complain_near(word, names, DOUBT_WORDS).text));
}

static double most_of(const doubt_word *word, double batch_l)
{
    return word->kind == STEP ? fmin(word->most, most_step_g_per_l * batch_l)
                              : word->most;
}

/* "3%" -> 0.03, "0.1" -> 0.1 and "0.5g" -> 0.5; false where it is none. */
static bool read_number(const char *text, const doubt_word *word, double most,
                        double *value)
{
    if (word->kind == STEP)
        return sw_mass_parse(text, value, NULL) == SW_OK && *value <= most;
    const char *end = number_read(text, value);
    bool complete = end && strcmp(end, word->kind == PERCENT ? "%" : "") == 0;
    if (word->kind == PERCENT)
        *value /= 100.0;
    return complete && *value >= 0.0 && *value <= most;
}

static _Noreturn void refuse_number(const cli_options *options,
                                    const char *given, const doubt_word *word,
                                    double most)
{
    const char *command = options->command->name;
    if (word->kind == STEP)
        leave(complain_usage(command, SAY_DOUBT_STEP, given, most, word->word,
                             word->example));
    leave(complain_usage(command, SAY_DOUBT_DEVIATION, given,
                         word->kind == PH ? " of the pH" : "",
                         word->kind == PH ? most : 100.0 * most,
                         word->kind == PH ? "" : "%", word->word,
                         word->example));
}

static void read_one(const cli_options *options, const char *given,
                     double batch_l, cli_doubts *out)
{
    const char *equals = strchr(given, '=');
    size_t length = equals ? (size_t)(equals - given) : strlen(given);
    const doubt_word *found = NULL;
    for (size_t i = 0; i < DOUBT_WORDS; i++)
        if (strlen(doubt_words[i].word) == length &&
            strncmp(doubt_words[i].word, given, length) == 0)
            found = &doubt_words[i];
    if (!found || !equals)
        refuse_word(options, given, length);
    double most = most_of(found, batch_l);
    double *value = (double *)((char *)out + found->offset);
    if (!read_number(equals + 1, found, most, value))
        refuse_number(options, given, found, most);
}

void doubts_read(const cli_options *options, double batch_l, cli_doubts *out)
{
    for (size_t i = 0; i < DOUBT_WORDS; i++)
        *(double *)((char *)out + doubt_words[i].offset) = (double)NAN;
    for (size_t i = 0; i < options_count(options, OPT_DOUBT); i++)
        read_one(options, options_value(options, OPT_DOUBT, i), batch_l, out);
}

static void take(double given, double *tolerance)
{
    if (!isnan(given))
        *tolerance = given;
}

/* Of an injector's head; reference/methods.md, Decide. */
static const double default_injector = 0.05;

/* For the volume, those given laid over the defaults; with heads (the injector
 * of each product) injectors drift, too. */
static sw_tolerances doubts_tolerances(const cli_settings *settings,
                                       const int *head)
{
    const cli_doubts *doubts = &settings->doubts;
    sw_tolerances out = sw_tolerances_default(settings->volume_l);
    out.trace_solution_l = settings->scale.concentrate_l;
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

/* ---- What they make of a recipe -------------------------------------------
 *
 * Behind injectors each tank is filled, and each injector drifts, on its own: a
 * product that is in two tanks counts there as two.
 */

/* What the library decides on: the recipe as it is or, with stocks, `apart`. */
typedef struct parts {
    sw_mix mix;
    sw_tolerances off;
    sw_apart *apart; /* NULL: without stocks */
} parts;

static sw_status take_apart(const cli_report *report, parts *out,
                            sw_error *error)
{
    const cli_settings *settings = report->settings;
    bool stocks = report->stock && !report_lacks_tanks(report);
    sw_status status = SW_OK;
    *out = (parts){.mix = report_mix(report)};
    if (stocks)
        status = sw_stock_apart(&out->mix, report->stock, &out->apart, error);
    if (out->apart)
        out->mix = out->apart->mix;
    out->off =
        doubts_tolerances(settings, out->apart ? out->apart->head : NULL);
    return status;
}

void sure_find(const cli_report *report, sw_tolerances *off,
               sw_uncertainty *sure)
{
    sw_error error = {0};
    parts of;
    sw_status status = take_apart(report, &of, &error);
    if (status == SW_OK)
        status = sw_uncertainty_find(&of.mix, &of.off, sure, &error);
    *off = of.off;
    off->head = NULL;
    sw_apart_free(of.apart);
    expect_ok(status, &error);
}

/* From rows of parts back to products of the shelf in their tanks. */
static void tell_tanks(const sw_apart *apart, sw_diagnosis *diagnosis)
{
    for (size_t i = 0; i < diagnosis->mistake_count; i++) {
        sw_mistake *mistake = &diagnosis->mistakes[i];
        if (mistake->kind == SW_HEAD_OFF)
            continue;
        mistake->head = apart->head[mistake->product];
        mistake->product = apart->product[mistake->product];
    }
    for (size_t i = 0; i < diagnosis->look_count; i++) {
        sw_look *look = &diagnosis->looks[i];
        if (look->kind != SW_LOOK_PRODUCT)
            continue;
        look->head = apart->head[look->product];
        look->product = apart->product[look->product];
    }
}

void meter_find(const cli_report *report, sw_diagnosis **diagnosis)
{
    sw_error error = {0};
    parts of;
    sw_readings readings = report_readings(report);
    sw_status status = take_apart(report, &of, &error);
    if (status == SW_OK)
        status = sw_diagnose(&of.mix, &of.off, &readings, diagnosis, &error);
    if (status == SW_OK && of.apart)
        tell_tanks(of.apart, *diagnosis);
    sw_apart_free(of.apart);
    expect_ok(status, &error);
}
