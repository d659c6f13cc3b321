/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Turns the texts of options into values.  Every word that is not understood
 * is refused with the words that are.
 */
#include "run/settings.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/output.h"
#include "io/quantities.h"
#include "io/safe.h"
#include "sentences_text.h"

#define EC_EXPECTED(most)                                                      \
    "an EC above 0 and up to " most " mS/cm, such as 1.8, 1.8mS/cm, 1.8dS/m "  \
    "or 1800uS/cm"
#define DEGREES_EXPECTED                                                       \
    "5 to 40 degrees Celsius, such as 18 or 18C, or Fahrenheit, such as 65F"
#define MASS_EXPECTED "a mass from 0.1mg to 100kg, such as 10g or 0.5oz"
#define AT(member) offsetof(cli_settings, member)

/* What may be asked for is what some crop might be fed; what may be read is
 * whatever a tank can hold. */
static const quantity_option quantities[] = {
    {OPT_VOLUME, parse_volume, 0, INFINITY, VOLUME_EXPECTED, AT(volume_l)},
    {OPT_EQUAL, parse_percent, 0, 0.1,
     "a share of each target from 0 to 10%, such as 2%", AT(equal_share)},
    {OPT_DRAINED, parse_percent, 0, 0.95,
     "a share of the feed from 0 to 95%, such as 30%", AT(drained)},
    {OPT_TO_EC, parse_ec, 0, 20, EC_EXPECTED("20"), AT(to_ec_ms_per_cm)},
    {OPT_TEMPERATURE, parse_degrees, 5, 40, DEGREES_EXPECTED,
     AT(conditions.temperature_c)},
    {OPT_METER_AT, parse_degrees, 5, 40, DEGREES_EXPECTED, AT(meter_c)},
    {OPT_MEASURED_EC, parse_ec, 0, 500, EC_EXPECTED("500"),
     AT(readings.ec_ms_per_cm)},
    {OPT_MEASURED_PH, parse_number, 0, 14, "a pH, such as 5.9",
     AT(readings.ph)},
    {OPT_PER_DAY, parse_volume, 0, INFINITY, VOLUME_EXPECTED, AT(per_day_l)},
    {OPT_FILLS, parse_count, 1, 1000,
     "a whole number from 1 to 1000, such as 4", AT(fills)},
    {OPT_JOBS, parse_count, 1, 256, "a whole number from 1 to 256, such as 2",
     AT(jobs)},
    {OPT_SCALE_STEP, parse_mass, 1e-4, 1e5, MASS_EXPECTED, AT(scale.step_g)},
    {OPT_FINE_STEP, parse_mass, 1e-4, 1e5, MASS_EXPECTED,
     AT(scale.micro_step_g)},
    {OPT_TRACE_SOLUTION, parse_volume_or_none, 0, 1000,
     "water for one solution, up to 1000L, such as 1L, or none",
     AT(scale.concentrate_l)},
    {OPT_SEARCH_TIME, parse_seconds, 0.1, 3600,
     "seconds, from 0.1 to 3600, such as 5s", AT(scale.seconds)}};

/* Options that are kept as they are written. */
static const struct {
    option_id id;
    size_t offset; /* of a text */
} texts[] = {{OPT_OUTPUT, AT(output)},
             {OPT_ONLY, AT(only)},
             {OPT_SHEET, AT(sheet)},
             {OPT_FOR, AT(audience)},
             {OPT_CURVE, AT(curve)}};

/* Options that say yes by being there. */
static const struct {
    option_id id;
    size_t offset; /* of a bool */
} flags[] = {{OPT_BRIEF, AT(brief)},
             {OPT_WHY, AT(why)},
             {OPT_KEEP_RANGES, AT(keep_ranges)},
             {OPT_HOW_SURE, AT(how_sure)},
             {OPT_TRADE_OFF, AT(trade_off)},
             {OPT_STRICT, AT(strict)},
             {OPT_SCALE_STEP, AT(in_steps)},
             {OPT_WHOLE_PACKS, AT(scale.whole_packs)}};

/* A laboratory is off by about 5 % (common practice, no source), so 2 % of a
 * target is nothing; whole steps are searched for 10 s when nobody says. */
static cli_settings defaults(void)
{
    return (cli_settings){.volume_l = 1000.0,
                          .equal_share = 0.02,
                          .to_ec_ms_per_cm = (double)NAN,
                          .conditions = sw_conditions_default(),
                          .drained = (double)NAN,
                          .meter_c = (double)NAN,
                          .readings = sw_readings_default(),
                          .per_day_l = (double)NAN,
                          .fills = 1.0,
                          .scale = {.micro_step_g = (double)NAN,
                                    .concentrate_l = 1.0,
                                    .seconds = 10.0}};
}

static void keep_texts_and_flags(const cli_options *options, cli_settings *out)
{
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        const char *text = options_value(options, texts[i].id, 0);
        memcpy((char *)out + texts[i].offset, &text, sizeof text);
    }
    for (size_t i = 0; i < sizeof flags / sizeof *flags; i++) {
        bool given = options_has(options, flags[i].id);
        memcpy((char *)out + flags[i].offset, &given, sizeof given);
    }
}

/* Which of the words that an option takes is given; `usual`: none is. */
static size_t read_word(const cli_options *options, option_id id, size_t usual)
{
    enum { MOST_WORDS = 8 };
    char text[80], list[80] = "";
    const char *words[MOST_WORDS];
    const char *given = options_value(options, id, 0);
    size_t count = 0;
    snprintf(text, sizeof text, "%s", option_spec_of(id)->values);
    for (char *word = strtok(text, " "); word; word = strtok(NULL, " "))
        words[count++] = word;
    if (!given)
        return usual;
    for (size_t i = 0; i < count; i++) {
        text_join(list, sizeof list, i + 1 < count ? ", " : " or ", "%s",
                  words[i]);
        if (strcmp(given, words[i]) == 0)
            return i;
    }
    leave(complain_usage(options->command->name, "--%s %.80s: expected %s%s",
                         option_spec_of(id)->name, given, list,
                         complain_near(given, words, count).text));
}

static void read_words(const cli_options *options, cli_settings *out)
{
    const char *volume = options_value(options, OPT_VOLUME, 0);
    double l;
    out->fills_vessel = volume != NULL;
    if (volume)
        sw_volume_parse(volume, &l, &out->volume_system, NULL);
    out->format = (cli_format)read_word(options, OPT_FORMAT, FORMAT_TEXT);
    out->amounts = (cli_amounts)read_word(
        options, OPT_AMOUNTS,
        out->volume_system == SW_US ? AMOUNTS_BOTH : AMOUNTS_METRIC);
    out->trade = read_word(options, OPT_TRADE_OFF, 0) ? SW_TRADE_PRODUCTS
                                                      : SW_TRADE_COST;
}

static void read_objective(const cli_options *options, cli_settings *out)
{
    sw_error error = {0};
    const char *given = options_value(options, OPT_OBJECTIVE, 0);
    out->objective = SW_CLOSEST;
    if (given && sw_objective_parse(given, &out->objective, &error) != SW_OK)
        leave(complain_option("objective", &error));
    if (out->objective == SW_CLOSEST)
        return;
    const char *command = options->command->name;
    if (options_has(options, OPT_EQUAL))
        leave(complain_usage(command, SAY_EQUAL_NEEDS_CLOSEST));
    if (out->in_steps)
        leave(complain_usage(command, SAY_STEP_NEEDS_CLOSEST));
    if (out->trade_off)
        leave(complain_usage(command, SAY_TRADE_NEEDS_CLOSEST, given));
}

static bool is_us(const char *mass)
{
    return strstr(mass, "oz") || strstr(mass, "lb");
}

/* The other options of the scale say nothing without its step. */
static void read_scale(const cli_options *options, cli_settings *out)
{
    static const option_id others[] = {OPT_FINE_STEP, OPT_WHOLE_PACKS,
                                       OPT_TRACE_SOLUTION, OPT_SEARCH_TIME,
                                       OPT_COUNT};
    const char *step = options_value(options, OPT_SCALE_STEP, 0);
    const char *fine = options_value(options, OPT_FINE_STEP, 0);
    const char *stray = options_any(options, others);
    if (!step && stray)
        leave(complain_usage(options->command->name, SAY_NEEDS_SCALE_STEP,
                             stray));
    if (!step)
        return;
    out->steps_are_us = is_us(step);
    out->fine_steps_are_us = is_us(fine ? fine : step);
    if (!fine)
        out->scale.micro_step_g = out->scale.step_g;
}

static void read_doubts(const cli_options *options, cli_settings *out)
{
    cli_doubts *doubts = &out->doubts;
    out->measured = options_has(options, OPT_MEASURED_EC) ||
                    options_has(options, OPT_MEASURED_PH);
    if (options_has(options, OPT_DOUBT) && !out->how_sure && !out->measured)
        leave(complain_usage(options->command->name, SAY_DOUBT_NEEDS));
    doubts_read(options, out->volume_l, doubts);
    if (doubts->meter_ec == 0.0 || doubts->meter_ph == 0.0)
        leave(complain_usage(options->command->name, SAY_METER_NO_ERROR));
    if (!isnan(doubts->meter_ec))
        out->readings.ec_error = doubts->meter_ec;
    if (!isnan(doubts->meter_ph))
        out->readings.ph_error = doubts->meter_ph;
    if (out->in_steps && isnan(doubts->scale_g))
        doubts->scale_g = out->scale.step_g;
    if (out->in_steps && isnan(doubts->micro_g))
        doubts->micro_g = out->scale.micro_step_g;
}

/* Files, and what goes with what. */
static void check_outputs(const cli_options *options, const cli_settings *out)
{
    const char *command = options->command->name;
    if (out->brief && (out->only || out->format != FORMAT_TEXT))
        leave(complain_usage(command, SAY_BRIEF_ALONE));
    if (out->audience && !out->sheet)
        leave(complain_usage(command, "--for needs --sheet FILE.html"));
    if (out->sheet && !output_is_page(out->sheet))
        quantity_refuse(options, OPT_SHEET, out->sheet, SAY_SHEET_NAME);
    if (out->sheet && out->output && strcmp(out->sheet, out->output) == 0)
        leave(complain_usage(command, SAY_SHEET_IS_OUTPUT));
    if (out->curve && !out->trade_off)
        leave(complain_usage(command, SAY_CURVE_NEEDS_TRADE));
    if (out->curve && !output_is_chart(out->curve))
        quantity_refuse(options, OPT_CURVE, out->curve, "a name in .svg");
}

void settings_read(const cli_options *options, cli_settings *out)
{
    *out = defaults();
    keep_texts_and_flags(options, out);
    quantities_read(options, quantities, sizeof quantities / sizeof *quantities,
                    out);
    read_words(options, out);
    read_objective(options, out);
    read_scale(options, out);
    check_outputs(options, out);
    read_doubts(options, out);
}
