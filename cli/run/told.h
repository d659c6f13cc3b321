/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What options tell of a water: readings, "Ca=80mg/L, pH=7.4", in place of a
 * file; and what a report leaves open, by --units and --read-as. */
#ifndef CLI_RUN_TOLD_H
#define CLI_RUN_TOLD_H

#include "io/options.h"
#include "saltwright.h"

/* Whether a value names readings; a file of that name wins. */
bool told_is(const char *text);
/* The same of "name=valueunit" for any three columns, to be read from *stream
 * as a file; then fclose it and free *text.  Complains as of option `id`. */
exit_code told_open(option_id id, const char *given,
                    const char *const columns[3], char **text, FILE **stream);
/* Its water, called "as told", "as told 2" ...; complains as of option `id`. */
exit_code told_read(const cli_options *options, option_id id, const char *text,
                    size_t index, sw_waters **waters);

/* For sw_waters_gather; free it. */
char *stated_of(const cli_options *options);
/* The error of a defect, and what of --read-as would settle it. */
sw_error stated_asks(const cli_options *options, const sw_water_defect *defect);

#endif
