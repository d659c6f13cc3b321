/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --tank, --factor, --head, --store and --make-up, for stock and check. */
#include "run/tanks.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/quantities.h"
#include "sentences_text.h"

static bool is_called(const char *name, const char *text, size_t length)
{
    return strlen(name) == length && strncmp(name, text, length) == 0;
}

/* What follows "A=" in "A=30gal", and which tank that is; the text itself and
 * SW_TANKS where there is no "="; NULL for another tank. */
static const char *after_tank(const char *text, int *tank)
{
    const char *equals = strchr(text, '=');
    if (!equals) {
        *tank = SW_TANKS;
        return text;
    }
    size_t length = (size_t)(equals - text);
    for (*tank = 0; *tank < SW_TANKS; (*tank)++)
        if (is_called(sw_tank_text((sw_tank)*tank), text, length))
            return equals + 1;
    *tank = SW_TANK_C;
    return is_called("acid", text, length) ? equals + 1 : NULL;
}

/* A third tank is planned only where it is asked for. */
static exit_code expect_third_tank(const cli_options *options, option_id id,
                                   const char *given, int tank)
{
    if (tank != SW_TANK_C || options_has(options, OPT_STOCKS) ||
        options_has(options, OPT_THIRD_TANK))
        return EXIT_DONE;
    return complain_usage(options->command->name, SAY_NEEDS_THIRD_TANK,
                          option_spec_of(id)->name, given);
}

static exit_code read_volume(const cli_options *options, const char *given,
                             cli_tanks *out)
{
    int tank;
    double l;
    const char *text = after_tank(given, &tank);
    if (!text)
        return quantity_refuse(options, OPT_TANK, given, SAY_TANK_VOLUME);
    if (sw_volume_parse(text, &l, &out->system, NULL) != SW_OK)
        return quantity_refuse(options, OPT_TANK, given, VOLUME_EXPECTED);
    if (tank == SW_TANKS || !(out->setup.volume_l > 0.0))
        out->setup.volume_l = l;
    if (tank < SW_TANKS)
        out->setup.tank_l[tank] = l;
    return expect_third_tank(options, OPT_TANK, given, tank);
}

/* The same tank, or that of all of them, given before. */
static exit_code expect_once(const cli_options *options, size_t index)
{
    const char *given = options_value(options, OPT_TANK, index);
    int tank, earlier;
    (void)after_tank(given, &tank);
    for (size_t i = 0; i < index; i++) {
        (void)after_tank(options_value(options, OPT_TANK, i), &earlier);
        if (earlier == tank)
            return complain_usage(options->command->name, SAY_TANK_TWICE,
                                  given);
    }
    return EXIT_DONE;
}

static exit_code read_volumes(const cli_options *options, cli_tanks *out)
{
    exit_code code = EXIT_DONE;
    out->setup = sw_stock_setup_default(0.0);
    out->setup.third_tank = options_has(options, OPT_THIRD_TANK);
    for (size_t i = 0; i < options_count(options, OPT_TANK) && !code; i++) {
        code = read_volume(options, options_value(options, OPT_TANK, i), out);
        if (!code)
            code = expect_once(options, i);
    }
    return code;
}

/* Ratios that sw_stock_setup allows. */
static const double least_ratio = 4.0, most_ratio = 2000.0;

static exit_code read_factor(const cli_options *options, cli_tanks *out)
{
    const quantity_option factor = {
        OPT_FACTOR,
        parse_number,
        least_ratio,
        most_ratio,
        "litres of feed from a litre of stock, from 4 to 2000, such as 100",
        offsetof(cli_tanks, setup.factor)};
    return quantities_read(options, &factor, 1, out);
}

static exit_code read_heads(const cli_options *options, cli_tanks *out)
{
    for (size_t i = 0; i < options_count(options, OPT_HEAD); i++) {
        const char *given = options_value(options, OPT_HEAD, i);
        int tank;
        const char *text = after_tank(given, &tank);
        bool known = text && tank < SW_TANKS;
        double *ratio = known ? &out->setup.ratio[tank] : NULL;
        if (known && *ratio > 0.0)
            return complain_usage(options->command->name, SAY_INJECTOR_TWICE,
                                  given);
        if (!known || !parse_number(text, ratio) || *ratio < least_ratio ||
            *ratio > most_ratio)
            return quantity_refuse(options, OPT_HEAD, given,
                                   SAY_INJECTOR_RATIO);
        exit_code code = expect_third_tank(options, OPT_HEAD, given, tank);
        if (code != EXIT_DONE)
            return code;
    }
    return EXIT_DONE;
}

static exit_code read_store(const cli_options *options, cli_tanks *out)
{
    const char *given = options_value(options, OPT_STORE, 0);
    const char *end = NULL;
    if (!given)
        return EXIT_DONE;
    const char *comma = degrees_read(given, &out->setup.temperature_c);
    if (comma && *comma == ',')
        end = degrees_read(comma + 1, &out->setup.cold_c);
    if (!end || *end || !(out->setup.cold_c >= 0.0) ||
        !(out->setup.cold_c <= out->setup.temperature_c) ||
        !(out->setup.temperature_c <= 50.0))
        return quantity_refuse(options, OPT_STORE, given,
                               SAY_STOCK_TEMPERATURES);
    return EXIT_DONE;
}

exit_code tanks_read(const cli_options *options, cli_tanks *out)
{
    static exit_code (*const steps[])(const cli_options *, cli_tanks *) = {
        read_volumes, read_factor, read_heads, read_store};
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < sizeof steps / sizeof steps[0] && !code; i++)
        code = steps[i](options, out);
    return code;
}

exit_code tanks_read_make_up(const cli_options *options,
                             const cli_settings *settings, cli_tanks *out,
                             sw_notes *notes)
{
    exit_code code = sources_read(options, OPT_MAKE_UP, &out->make_up);
    if (code != EXIT_DONE || !out->make_up.count)
        return code;
    out->setup.make_up = &out->make_up_content;
    return source_complete(&out->make_up.items[0], &settings->conditions,
                           &out->make_up_content, notes);
}

void tanks_set_units(const cli_options *options, const cli_tanks *tanks,
                     cli_settings *settings)
{
    if (tanks->system == SW_US && !options_has(options, OPT_AMOUNTS))
        settings->amounts = AMOUNTS_BOTH;
}

const sw_water *tanks_make_up(const cli_tanks *tanks)
{
    return tanks->make_up.count ? tanks->make_up.items[0].water : NULL;
}

bool tanks_differ(const sw_stock_setup *setup, const sw_stock *stock)
{
    int first = -1;
    bool differ = false;
    for (int t = 0; t < SW_TANKS; t++) {
        if (!(stock->tanks[t].volume_l > 0.0))
            continue;
        first = first < 0 ? t : first;
        differ = differ ||
                 sw_stock_ratio(setup, (sw_tank)t) !=
                     sw_stock_ratio(setup, (sw_tank)first) ||
                 sw_stock_volume_l(setup, (sw_tank)t) !=
                     sw_stock_volume_l(setup, (sw_tank)first);
    }
    return differ;
}
