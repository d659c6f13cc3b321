/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * strtod takes more for a number than people write: blanks before it, "nan",
 * "inf" and hexadecimal digits.
 */
#include "quantities.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>

#include "command.h"
#include "complain.h"

const char *number_read(const char *text, double *value)
{
    const char *digits = text + (*text == '-' || *text == '+');
    char *end;
    digits += *digits == '.';
    if (!isdigit((unsigned char)*digits) ||
        (digits[0] == '0' && (digits[1] == 'x' || digits[1] == 'X')))
        return NULL;
    *value = strtod(text, &end);
    return isfinite(*value) ? end : NULL;
}

exit_code volume_read(const cli_options *options, option_id id,
                      const char *given, const char *text, cli_volume *out)
{
    if (sw_volume_parse(text, &out->l, &out->system, NULL) == SW_OK)
        return EXIT_DONE;
    return complain_usage(options->command->name,
                          "--%s %.80s: expected a volume and its unit, from "
                          "1 mL to 100000 m3, such as 400gal, 1500L or 2m3",
                          option_spec_of(id)->name, given);
}
