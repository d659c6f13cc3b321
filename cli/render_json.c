/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON, put together in json/. */
#include "json/parts.h"

const cli_renderer render_json = {.report = doc_show_report};
