/* SPDX-License-Identifier: GPL-3.0-or-later */
/* No result may take the place of a file it was calculated from. */
#ifndef CLI_IO_OVERWRITE_H
#define CLI_IO_OVERWRITE_H

#include "io/options.h"

/* Ends the program where an output option names an input file or that of
 * another output, by whatever path or link, a folder, or a file in a folder
 * that is not there. */
void overwrite_refuse(const cli_options *options);

#endif
