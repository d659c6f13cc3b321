/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A spreadsheet runs a cell that begins with = + - @ tab or CR as a formula; a
 * text that does gets an apostrophe in front.  Numbers are left as they are.  A
 * message cut within a character still makes UTF-8.
 */
#include "write/line.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "io/safe.h"

/* A quote twice, a byte that is no UTF-8 spelled out; returns its bytes. */
static size_t put_character(FILE *stream, const char *text)
{
    size_t bytes = text_character_bytes(text);
    if (!bytes) {
        fprintf(stream, "<%02X>", (unsigned char)*text);
        return 1;
    }
    if (*text == '"')
        fputc('"', stream);
    fwrite(text, 1, bytes, stream);
    return bytes;
}

/* The cell with its quotes where RFC 4180 asks for them. */
void line_text(const cli_lines *out, const char *text)
{
    bool formula = *text && strchr("=+-@\t\r", *text);
    bool quoted = strpbrk(text, ",\"\r\n") != NULL;
    if (quoted)
        fputc('"', out->stream);
    if (formula)
        fputc('\'', out->stream);
    while (*text)
        text += put_character(out->stream, text);
    if (quoted)
        fputc('"', out->stream);
}

static void put_head(const cli_lines *out, const cli_cell *cell)
{
    const char *cells[] = {out->water, cell->section, cell->name,
                           cell->quantity};
    for (size_t i = out->water ? 0 : 1; i < 4; i++) {
        line_text(out, cells[i]);
        fputc(',', out->stream);
    }
}

void line_number(const cli_lines *out, cli_cell cell, double value,
                 const char *unit)
{
    if (!isfinite(value))
        return;
    put_head(out, &cell);
    fprintf(out->stream, "%.10g,", value);
    line_text(out, unit);
    fputs("\r\n", out->stream);
}

void line_word(const cli_lines *out, cli_cell cell, const char *word)
{
    if (!word || !*word)
        return;
    put_head(out, &cell);
    line_text(out, word);
    fputs(",\r\n", out->stream);
}

void line_numbers(const cli_lines *out, const char *section, const char *name,
                  const cli_quantity *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++)
        line_number(out, (cli_cell){section, name, numbers[i].quantity},
                    numbers[i].value, numbers[i].unit);
}

void line_header(const cli_lines *out, const char *what)
{
    fprintf(out->stream, "%s%ssection,name,quantity,value,unit\r\n", what,
            *what ? "," : "");
}
