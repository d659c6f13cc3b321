/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --label [PRODUCT=]FILE: products by the analysis on their bags. */
#ifndef CLI_RUN_LABELS_H
#define CLI_RUN_LABELS_H

#include "io/options.h"
#include "saltwright.h"

/* Adds them to `shelf`; one without a name has that of its file. */
exit_code labels_read(const cli_options *options, sw_shelf *shelf);

#endif
