/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the program ends. */
#ifndef CLI_IO_EXIT_CODE_H
#define CLI_IO_EXIT_CODE_H

typedef enum exit_code {
    EXIT_DONE = 0,    /* done, and every target is met */
    EXIT_UNMET = 1,   /* done, but a target is not met or limits conflict */
    EXIT_USAGE = 2,   /* the command line makes no sense */
    EXIT_INPUT = 3,   /* a file cannot be read or is wrong */
    EXIT_INTERNAL = 4 /* memory, numerics, or the result cannot be written */
} exit_code;

#endif
