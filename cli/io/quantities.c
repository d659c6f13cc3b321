/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * strtod takes more for a number than people write: blanks before it, "nan",
 * "inf" and hexadecimal digits.
 */
#include "io/quantities.h"

#include <ctype.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"

const char *number_read(const char *text, double *value)
{
    const char *digits = text + (*text == '-' || *text == '+');
    char *end;
    digits += *digits == '.';
    if (!isdigit((unsigned char)*digits) ||
        (digits[0] == '0' && (digits[1] == 'x' || digits[1] == 'X')))
        return NULL;
    errno = 0;
    *value = strtod(text, &end);
    return errno == ERANGE ? NULL : end;
}

/* A number, and that sign behind it where there is one. */
static bool parse_with(const char *text, char sign, double *value)
{
    const char *end = number_read(text, value);
    if (end && *end == sign)
        end += sign != '\0';
    return end && !*end;
}

bool parse_number(const char *text, double *value)
{
    return parse_with(text, '\0', value);
}

bool parse_count(const char *text, double *value)
{
    return text[strspn(text, "0123456789")] == '\0' &&
           parse_number(text, value);
}

bool parse_percent(const char *text, double *share)
{
    double percent;
    bool is_one = parse_with(text, '%', &percent);
    *share = is_one ? percent / 100.0 : 0.0;
    return is_one;
}

bool parse_seconds(const char *text, double *seconds)
{
    return parse_with(text, 's', seconds);
}

const char *degrees_read(const char *text, double *celsius)
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

bool parse_degrees(const char *text, double *celsius)
{
    const char *end = degrees_read(text, celsius);
    return end && !*end;
}

bool parse_ec(const char *text, double *ms_per_cm)
{
    return (parse_number(text, ms_per_cm) ||
            sw_conductivity_parse(text, ms_per_cm, NULL) == SW_OK) &&
           *ms_per_cm > 0.0;
}

bool parse_mass(const char *text, double *g)
{
    return sw_mass_parse(text, g, NULL) == SW_OK;
}

bool parse_volume(const char *text, double *l)
{
    sw_unit_system system;
    return sw_volume_parse(text, l, &system, NULL) == SW_OK;
}

bool parse_volume_or_none(const char *text, double *l)
{
    *l = 0.0;
    return strcmp(text, "none") == 0 || parse_volume(text, l);
}

_Noreturn void quantity_refuse(const cli_options *options, option_id id,
                               const char *given, const char *expected)
{
    leave(complain_usage(options->command->name, "--%s %.80s: expected %s",
                         option_spec_of(id)->name, given, expected));
}

void quantities_read(const cli_options *options, const quantity_option *wanted,
                     size_t count, void *out)
{
    for (size_t i = 0; i < count; i++) {
        const quantity_option *w = &wanted[i];
        const char *given = options_value(options, w->id, 0);
        double value;
        if (!given)
            continue;
        if (!w->parse(given, &value) || !(value >= w->least) ||
            !(value <= w->most))
            quantity_refuse(options, w->id, given, w->expected);
        memcpy((char *)out + w->offset, &value, sizeof value);
    }
}
