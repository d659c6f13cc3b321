/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers and volumes as options give them. */
#ifndef CLI_QUANTITIES_H
#define CLI_QUANTITIES_H

#include "options.h"
#include "saltwright.h"

/*
 * Reads a decimal number at the start of `text`: digits with a point, a sign
 * and an exponent where there are any.  Returns what follows; NULL where there
 * is none or it is not finite.
 */
const char *number_read(const char *text, double *value);

typedef struct cli_volume {
    double l;
    sw_unit_system system; /* of its unit */
} cli_volume;

/*
 * Reads `text`, the volume in the value `given` of option `id`.  EXIT_USAGE
 * after a complaint where it is none, or none of a vessel or a day's feed:
 * 1 mL to 100000 m3.
 */
exit_code volume_read(const cli_options *options, option_id id,
                      const char *given, const char *text, cli_volume *out);

#endif
