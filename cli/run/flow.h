/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The waters of --water as they come, part by part. */
#ifndef CLI_RUN_FLOW_H
#define CLI_RUN_FLOW_H

#include "run/sources.h"

/* Some of them; its waters are in `sources`. */
typedef struct cli_part {
    sw_waters *waters; /* owned; NULL: the flow's */
    cli_sources sources;
    const char *file; /* the flow's, as given */
    double share;     /* of all files, read so far; 0: not known */
} cli_part;

typedef struct cli_flow cli_flow;

/* Opens them all and reads the head of each; complains of what is wrong with a
 * file as a whole.  *flow is kept, whatever is returned. */
exit_code flow_open(const cli_options *options, cli_flow **flow);
/* The next of them, at most so many; *part is NULL at the end, else for
 * part_free.  Complains where a file cannot be read on. */
exit_code flow_next(cli_flow *flow, size_t most, cli_part **part);

/* Whether water `index` can be used; complains of what is wrong with it. */
bool part_is_sound(const cli_part *part, size_t index);
void part_free(cli_part *part);

#endif
