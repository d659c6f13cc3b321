/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Turns the texts of options into values.  Every word that is not understood
 * is refused with the words that are.
 */
#include "settings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "quantities.h"
#include "scale.h"
#include "sheet/name.h"
#include "suggest.h"

/* What may be asked for is what some crop might be fed; what may be read is
 * whatever a tank can hold. */
static const double most_fed_ms_per_cm = 20.0, most_read_ms_per_cm = 500.0;

/* A laboratory is off by about 5 % (common practice, no source). */
static const double usual_equal_percent = 2.0, most_equal_percent = 10.0;

/* Index of the option's word among `words`, or `fallback` when not given. */
static exit_code read_word(const cli_options *options, option_id id,
                           const char *const words[3], size_t *index)
{
    const char *given = options_value(options, id, 0);
    if (!given)
        return EXIT_DONE;
    for (size_t i = 0; i < 3; i++)
        if (strcmp(given, words[i]) == 0) {
            *index = i;
            return EXIT_DONE;
        }
    const char *near = suggest(given, words, 3);
    return complain_usage(
        options->command->name, "--%s %.80s: expected %s, %s or %s%s%s%s",
        option_spec_of(id)->name, given, words[0], words[1], words[2],
        near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
}

static exit_code read_format(const cli_options *options, cli_settings *out)
{
    static const char *const words[3] = {"text", "json", "csv"};
    size_t index = FORMAT_TEXT;
    exit_code code = read_word(options, OPT_FORMAT, words, &index);
    out->format = (cli_format)index;
    out->brief = options_has(options, OPT_BRIEF);
    out->only = options_value(options, OPT_ONLY, 0);
    if (code == EXIT_DONE && out->brief && (out->only || index != FORMAT_TEXT))
        return complain_usage(options->command->name,
                              "--brief is for the screen: expected neither "
                              "--only nor --format json or csv beside it");
    return code;
}

static exit_code read_amounts(const cli_options *options, cli_settings *out)
{
    static const char *const words[3] = {"metric", "us", "both"};
    size_t index = out->volume_system == SW_US ? AMOUNTS_BOTH : AMOUNTS_METRIC;
    exit_code code = read_word(options, OPT_AMOUNTS, words, &index);
    out->amounts = (cli_amounts)index;
    return code;
}

static exit_code read_volume(const cli_options *options, cli_settings *out)
{
    const char *given = options_value(options, OPT_VOLUME, 0);
    cli_volume volume = {1000.0, SW_METRIC};
    exit_code code = EXIT_DONE;
    if (given)
        code = volume_read(options, OPT_VOLUME, given, given, &volume);
    out->volume_l = volume.l;
    out->volume_system = volume.system;
    return code;
}

static exit_code read_objective(const cli_options *options, cli_settings *out)
{
    sw_error error;
    const char *given = options_value(options, OPT_OBJECTIVE, 0);
    out->objective = SW_CLOSEST;
    if (given && sw_objective_parse(given, &out->objective, &error) != SW_OK)
        return complain_option("objective", &error);
    return EXIT_DONE;
}

/* "2%" or "2". */
static exit_code read_equal(const cli_options *options, cli_settings *out)
{
    const char *given = options_value(options, OPT_EQUAL, 0);
    double percent = usual_equal_percent;
    const char *end = given ? number_read(given, &percent) : "";
    out->equal_share = 0.0;
    if (end && *end == '%')
        end++;
    if (!end || *end || !(percent >= 0.0 && percent <= most_equal_percent))
        return complain_usage(options->command->name,
                              "--equal-within %.80s: expected a share of each "
                              "target from 0 to 10%%, such as 2%%",
                              given);
    if (given && percent > 0.0 && out->objective != SW_CLOSEST)
        return complain_usage(options->command->name,
                              "--equal-within goes with --objective closest");
    if (out->objective == SW_CLOSEST)
        out->equal_share = percent / 100.0;
    return EXIT_DONE;
}

const char *settings_degrees(const char *text, double *celsius)
{
    double value;
    const char *end = number_read(text, &value);
    if (!end)
        return NULL;
    bool fahrenheit = *end == 'F';
    if (fahrenheit || *end == 'C')
        end++;
    *celsius = fahrenheit ? (value - 32.0) / 1.8 : value;
    return end;
}

/* Leaves *celsius alone where the option is not given. */
static exit_code read_degrees(const cli_options *options, option_id id,
                              double *celsius)
{
    const char *given = options_value(options, id, 0);
    double value = (double)NAN;
    if (!given)
        return EXIT_DONE;
    const char *end = settings_degrees(given, &value);
    if (!end || *end || !(value >= 5.0 && value <= 40.0))
        return complain_usage(options->command->name,
                              "--%s %.80s: expected 5 to 40 degrees Celsius, "
                              "such as 18 or 18C, or Fahrenheit, such as 65F",
                              option_spec_of(id)->name, given);
    *celsius = value;
    return EXIT_DONE;
}

/* "1.8", which is in mS/cm, or with its unit; above 0. */
static bool parse_ec(const char *text, double *ms_per_cm)
{
    char *end;
    *ms_per_cm = strtod(text, &end);
    if (end != text && !*end)
        return *ms_per_cm > 0.0;
    return sw_conductivity_parse(text, ms_per_cm, NULL) == SW_OK;
}

/* Leaves *ms_per_cm alone where the option is not given. */
static exit_code read_ec(const cli_options *options, option_id id, double most,
                         double *ms_per_cm)
{
    const char *given = options_value(options, id, 0);
    double value;
    if (!given)
        return EXIT_DONE;
    if (!parse_ec(given, &value) || value > most)
        return complain_usage(options->command->name,
                              "--%s %.80s: expected an EC above 0 and up to "
                              "%g mS/cm, such as 1.8, 1.8mS/cm, 1.8dS/m or "
                              "1800uS/cm",
                              option_spec_of(id)->name, given, most);
    *ms_per_cm = value;
    return EXIT_DONE;
}

static exit_code read_to_ec(const cli_options *options, cli_settings *out)
{
    out->to_ec_ms_per_cm = (double)NAN;
    return read_ec(options, OPT_TO_EC, most_fed_ms_per_cm,
                   &out->to_ec_ms_per_cm);
}

static exit_code read_temperature(const cli_options *options, cli_settings *out)
{
    out->conditions = sw_conditions_default();
    out->meter_c = (double)NAN;
    exit_code code =
        read_degrees(options, OPT_TEMPERATURE, &out->conditions.temperature_c);
    return code == EXIT_DONE
               ? read_degrees(options, OPT_METER_AT, &out->meter_c)
               : code;
}

static exit_code read_sheet(const cli_options *options, cli_settings *out)
{
    out->sheet = options_value(options, OPT_SHEET, 0);
    out->audience = options_value(options, OPT_FOR, 0);
    if (out->audience && !out->sheet)
        return complain_usage(options->command->name,
                              "--for needs --sheet FILE.html");
    if (out->sheet && !sheet_is_name(out->sheet))
        return complain_usage(options->command->name,
                              "--sheet %.80s: expected a name in .html for the "
                              "sheet, or in .svg for its chart",
                              out->sheet);
    if (out->sheet && out->output && strcmp(out->sheet, out->output) == 0)
        return complain_usage(options->command->name,
                              "--sheet and --output name the same file");
    return EXIT_DONE;
}

static exit_code read_doubts(const cli_options *options, cli_settings *out)
{
    out->why = options_has(options, OPT_WHY);
    out->how_sure = options_has(options, OPT_HOW_SURE);
    if (options_has(options, OPT_DOUBT) && !out->how_sure && !out->measured)
        return complain_usage(options->command->name,
                              "--doubt needs --how-sure, --measured-ec or "
                              "--measured-ph");
    exit_code code = doubts_read(options, out->volume_l, &out->doubts);
    if (out->doubts.meter_ec == 0.0 || out->doubts.meter_ph == 0.0)
        return complain_usage(options->command->name,
                              "--doubt: no meter is without error; expected "
                              "such as meter-ec=2%% and meter-ph=0.05");
    if (!isnan(out->doubts.meter_ec))
        out->readings.ec_error = out->doubts.meter_ec;
    if (!isnan(out->doubts.meter_ph))
        out->readings.ph_error = out->doubts.meter_ph;
    if (out->in_steps && isnan(out->doubts.scale_g))
        out->doubts.scale_g = out->scale.step_g;
    if (out->in_steps && isnan(out->doubts.micro_g))
        out->doubts.micro_g = out->scale.micro_step_g;
    return code;
}

static exit_code read_readings(const cli_options *options, cli_settings *out)
{
    const char *end = NULL;
    const char *ec = options_value(options, OPT_MEASURED_EC, 0);
    const char *ph = options_value(options, OPT_MEASURED_PH, 0);
    out->readings = sw_readings_default();
    out->measured = ec || ph;
    exit_code code = read_ec(options, OPT_MEASURED_EC, most_read_ms_per_cm,
                             &out->readings.ec_ms_per_cm);
    if (code != EXIT_DONE)
        return code;
    if (ph)
        end = number_read(ph, &out->readings.ph);
    if (ph && (!end || *end || !(out->readings.ph >= 0.0) ||
               !(out->readings.ph <= 14.0)))
        return complain_usage(options->command->name,
                              "--measured-ph %.80s: expected a pH, such as 5.9",
                              ph);
    return EXIT_DONE;
}

static exit_code read_trade(const cli_options *options, cli_settings *out)
{
    const char *command = options->command->name;
    const char *given = options_value(options, OPT_TRADE_OFF, 0);
    out->trade_off = given != NULL;
    out->curve = options_value(options, OPT_CURVE, 0);
    if (out->curve && !given)
        return complain_usage(command,
                              "--curve needs --trade-off cost or products");
    if (out->curve && !sheet_is_chart(out->curve))
        return complain_usage(command, "--curve %.80s: expected a name in .svg",
                              out->curve);
    if (!given)
        return EXIT_DONE;
    out->trade = strcmp(given, "products") ? SW_TRADE_COST : SW_TRADE_PRODUCTS;
    if (out->trade == SW_TRADE_COST && strcmp(given, "cost") != 0)
        return complain_usage(
            command, "--trade-off %.80s: expected cost or products", given);
    if (out->objective != SW_CLOSEST)
        return complain_usage(command,
                              "--trade-off begins at the recipe that comes "
                              "closest; leave out --objective %s",
                              sw_objective_text(out->objective));
    return EXIT_DONE;
}

/* How long a batch of stock lasts, and for how many to buy. */
static exit_code read_buying(const cli_options *options, cli_settings *out)
{
    cli_volume feed = {(double)NAN, SW_METRIC};
    char *end;
    exit_code code = EXIT_DONE;
    const char *day = options_value(options, OPT_PER_DAY, 0);
    const char *fills = options_value(options, OPT_FILLS, 0);
    if (day)
        code = volume_read(options, OPT_PER_DAY, day, day, &feed);
    out->per_day_l = feed.l;
    out->fills = 1.0;
    if (code != EXIT_DONE || !fills)
        return code;
    out->fills = (double)strtol(fills, &end, 10);
    if (end == fills || *end || !(out->fills >= 1.0 && out->fills <= 1000.0))
        return complain_usage(options->command->name,
                              "--fills %.80s: expected a whole number from 1 "
                              "to 1000, such as 4",
                              fills);
    return EXIT_DONE;
}

exit_code settings_read(const cli_options *options, cli_settings *out)
{
    static exit_code (*const steps[])(const struct cli_options *,
                                      cli_settings *) = {
        read_format, read_volume,   read_amounts, read_objective,
        read_equal,  read_to_ec,    scale_read,   read_temperature,
        read_sheet,  read_readings, read_doubts,  read_trade,
        read_buying};
    exit_code code = EXIT_DONE;
    *out = (cli_settings){.output = options_value(options, OPT_OUTPUT, 0)};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++)
        if ((code = steps[i](options, out)) != EXIT_DONE)
            return code;
    return EXIT_DONE;
}
