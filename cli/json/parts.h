/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * For programs: one object a run, reference/saltwright.schema.json.  A key
 * that does not apply is absent.
 */
#ifndef CLI_JSON_PARTS_H
#define CLI_JSON_PARTS_H

#include "../render.h"
#include "value.h"

/* The object of a whole run, with the version and `command` in it. */
cli_value *doc_run(const char *command);

cli_value *doc_certificate(const sw_certificate *proof);
void doc_put_report(cli_value *root, const cli_report *report);

/* What the renderer shows. */
void doc_show_report(const cli_canvas *canvas, const cli_report *report);

#endif
