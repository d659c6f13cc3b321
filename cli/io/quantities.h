/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers with their units as options give them. */
#ifndef CLI_IO_QUANTITIES_H
#define CLI_IO_QUANTITIES_H

#include "io/options.h"
#include "saltwright.h"

/*
 * Reads a decimal number at the start of `text`: digits with a point, a sign
 * and an exponent where there are any.  Returns what follows; NULL where there
 * is none or it is too large or too small for a double.
 */
const char *number_read(const char *text, double *value);
/* The same of "18", "18C" or "65F". */
const char *degrees_read(const char *text, double *celsius);

/* Whether the whole of a text is such a quantity. */
bool parse_number(const char *text, double *value);
bool parse_count(const char *text, double *value);   /* "4" */
bool parse_percent(const char *text, double *share); /* "2%", "2" */
bool parse_seconds(const char *text, double *seconds);
bool parse_degrees(const char *text, double *celsius);
bool parse_ec(const char *text, double *ms_per_cm); /* above 0 */
bool parse_mass(const char *text, double *g);
bool parse_volume(const char *text, double *l);
bool parse_volume_or_none(const char *text, double *l); /* "none": 0 */

/* What parse_volume takes, in words. */
#define VOLUME_EXPECTED                                                        \
    "a volume and its unit, from 1 mL to 100000 m3, such as 400gal, 1500L "    \
    "or 2m3 (no "                                                              \
    "point before three digits: it may part thousands)"

/* An option with one quantity, and where in a struct that goes. */
typedef struct quantity_option {
    option_id id;
    bool (*parse)(const char *text, double *value);
    double least, most;
    const char *expected; /* "a mass from 0.1mg to 100kg, such as 10g" */
    size_t offset;        /* of a double */
} quantity_option;

/* Leaves what is not given as it is. */
void quantities_read(const cli_options *options, const quantity_option *wanted,
                     size_t count, void *out);
/* "--volume 3: expected a volume", and ends the program. */
_Noreturn void quantity_refuse(const cli_options *options, option_id id,
                               const char *given, const char *expected);

#endif
