/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What fit is bought with: the front that --trade-off asks for. */
#ifndef CLI_TRADE_H
#define CLI_TRADE_H

#include "options.h"
#include "report.h"
#include "settings.h"

/* --trade-off and --curve. */
exit_code trade_read(const cli_options *options, cli_settings *out);

/*
 * The front, its curve written where that is asked for.  *front is NULL where
 * there is none, which has then been said.
 */
exit_code trade_find(const cli_report *report, sw_front **front);

#endif
