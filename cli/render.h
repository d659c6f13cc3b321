/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One renderer per format; each knows how to show everything there is. */
#ifndef CLI_RENDER_H
#define CLI_RENDER_H

#include <stdio.h>

#include "report.h"

typedef struct cli_canvas {
    FILE *out;
    bool colour;
} cli_canvas;

typedef struct cli_renderer {
    void (*report)(const cli_canvas *canvas, const cli_report *report);
} cli_renderer;

extern const cli_renderer render_text;
extern const cli_renderer render_json;
extern const cli_renderer render_csv;

const cli_renderer *renderer_of(cli_format format);

/* Whether the result goes to a terminal that shows and wants colour. */
bool render_in_colour(const cli_settings *settings);

#endif
