/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Marks of the charts in SVG 1.1.  Everything is said in attributes, so that
 * the same element stands in a page or alone in a file.
 */
#include "write/chart.h"

#include <stdbool.h>
#include <string.h>

#include "write/escape.h"
#include "io/safe.h"

/* Ink on paper or, in a page that is dark, the page's own; on a light fill it
 * stays dark. */
#define INK "currentColor"
#define DARK "#1b2427"

/* Ids must differ within a page: each chart puts its name before its own. */
static void put_pattern(FILE *out, const char *name)
{
    fprintf(out,
            "<defs><pattern id=\"%s-hatch\" width=\"5\" height=\"5\" "
            "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
            "<rect width=\"5\" height=\"5\" fill=\"#fff\"/><rect width=\"2\" "
            "height=\"5\" fill=\"#2f6a80\"/></pattern></defs>\n",
            name);
}

void chart_open(FILE *out, double height, const char *title)
{
    fprintf(out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" "
            "viewBox=\"0 0 %d %.0f\">\n<title>%s</title>\n<desc>",
            CHART_WIDTH, height, title);
}

void chart_describe(FILE *out, const char *name)
{
    fputs("</desc>\n", out);
    put_pattern(out, name);
    fputs("<g color=\"" DARK
          "\" font-family=\"system-ui, &#39;DejaVu Sans&#39;, sans-serif\" "
          "font-size=\"12\">\n",
          out);
}

void chart_close(FILE *out)
{
    fputs("</g>\n</svg>\n", out);
}

static void put_label(FILE *out, double x, double y, const char *anchor,
                      const char *ink, const char *text)
{
    fprintf(out, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\" fill=\"%s\">",
            x, y, anchor, ink);
    escape_text(out, text);
    fputs("</text>\n", out);
}

static void put_box(FILE *out, const char *paint, const double box[4])
{
    fprintf(out,
            "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" "
            "stroke=\"" DARK "\" stroke-width=\".8\" fill=\"%s\"/>\n",
            box[0], box[1], box[2], box[3], paint);
}

/* Whether a piece is drawn: it would be written as 0.0. */
static bool is_seen(const double box[4])
{
    return box[2] >= 0.05;
}

static double room_of(const char *label)
{
    return 7.5 * (double)strlen(label) + 3.0;
}

static void put_inside(FILE *out, const double box[4], const char *label)
{
    if (label[0] && box[2] >= room_of(label))
        put_label(out, box[0] + box[2] / 2.0, box[1] + box[3] / 2.0 + 4.0,
                  "middle", DARK, label);
}

void chart_hatched(FILE *out, const char *name, const double box[4])
{
    char paint[80];
    snprintf(paint, sizeof paint, "url(#%.40s-hatch)", name);
    if (is_seen(box))
        put_box(out, paint, box);
}

void chart_coloured(FILE *out, const char *colour, const double box[4],
                    const char *label)
{
    if (!is_seen(box))
        return;
    put_box(out, colour, box);
    put_inside(out, box, label);
}

void chart_line(FILE *out, const double from_to[4], double width,
                const char *dashes)
{
    fprintf(out,
            "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" "
            "stroke=\"" INK "\" stroke-width=\"%.1f\"",
            from_to[0], from_to[1], from_to[2], from_to[3], width);
    if (dashes)
        fprintf(out, " stroke-dasharray=\"%s\"", dashes);
    fputs("/>\n", out);
}

void chart_dot(FILE *out, double x, double y)
{
    fprintf(out,
            "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"3.5\" fill=\"" INK "\"/>\n", x,
            y);
}

/* Units that a character of `columns` takes in DejaVu Sans at 12, the widest
 * of the faces asked for; rounded up by kind. */
static double width_of(char c, size_t columns)
{
    if (columns > 1 || strchr("mwMW@%", c))
        return 12.0;
    if (strchr(" /-.,'|:;iljt()[]", c))
        return 5.0;
    return (c >= 'A' && c <= 'Z') || strchr("<>=+&~#", c) ? 10.2 : 7.8;
}

size_t chart_fit(const char *safe, double units)
{
    size_t fit = 0;
    while (safe[fit]) {
        size_t bytes = text_character_bytes(safe + fit);
        char character[8];
        bytes = bytes ? bytes : 1;
        snprintf(character, sizeof character, "%.*s", (int)bytes, safe + fit);
        units -= width_of(*character, text_width(character));
        if (units < 0.0)
            break;
        fit += bytes;
    }
    return fit;
}

void chart_label(FILE *out, double x, double y, const char *anchor,
                 const char *text)
{
    put_label(out, x, y, anchor, INK, text);
}
