/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV, put together in csv/. */
#include "csv/parts.h"

const cli_renderer render_csv = {.report = lines_show_report};
