/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Build tool: a reference table as CSV becomes a C header.
 *
 *     compile_table IN.csv OUT.h NAME column:type ...
 *     compile_table IN.csv OUT.h NAME --list MACRO column:type ...
 *
 * The first makes one static array of the whole table, the second an X-macro
 * of the columns named: MACRO(X) is X(cell, cell) of each row.
 * Types: text, number, integer; names (or units) is text whose names, separated
 * by |, are in sw_NAME_names too, by their keys (quantity/keys.h); any other
 * type is the beginning of enumerators, which the cell completes: `solid:SW_`
 * and CALCITE give SW_CALCITE, A|B gives SW_A | SW_B (declare the enum before
 * the header).
 * A first column of type `macro:SW_SAY_` makes words instead of an array: a row
 * is the macro SW_SAY_ and its first cell, which stands for the other cells
 * that are not empty, without the source.
 *
 * Stops the build on anything unexpected: a column too many or too few, a
 * cell that is no number, a row without a source.
 */
#include "quantity/keys.h"

#include <csv.h>
#include <ctype.h>
#include <limits.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MAX_COLUMNS = 32, MAX_CELL = 8192 };

typedef struct column {
    char name[64];
    char type[16];
    int place; /* in the file */
} column;

/* Of a cell of names. */
typedef struct key_of {
    char key[SW_KEY_SIZE];
    int column;
    unsigned long row;
} key_of;

typedef struct table {
    const char *path;
    key_of *names;
    size_t name_count;
    column columns[MAX_COLUMNS];
    int column_count;
    char *cells[MAX_COLUMNS];
    int cell_count;
    int header_cells;
    unsigned long row;
    bool is_list;
    FILE *out;
} table;

static _Noreturn void fail(const table *t, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fprintf(stderr, "%s: row %lu: ", t->path, t->row);
    vfprintf(stderr, format, args);
    fputc('\n', stderr);
    va_end(args);
    exit(1);
}

static void put_text(FILE *out, const char *text)
{
    fputc('"', out);
    for (; *text; text++) {
        if (*text == '"' || *text == '\\' || *text == '\n')
            fputc('\\', out);
        fputc(*text == '\n' ? 'n' : *text, out);
    }
    fputc('"', out);
}

static void put_number(const table *t, const column *c, const char *cell)
{
    char *end;
    if (!*cell) {
        fputs("NAN", t->out);
        return;
    }
    (void)strtod(cell, &end);
    if (*end)
        fail(t, "%s: '%s' is not a number", c->name, cell);
    fprintf(t->out, "%s", cell);
    if (!strpbrk(cell, ".eE"))
        fputs(".0", t->out);
}

static void put_integer(const table *t, const column *c, const char *cell)
{
    char *end;
    (void)strtol(cell, &end, 10);
    if (!*cell || *end)
        fail(t, "%s: '%s' is not an integer", c->name, cell);
    fputs(cell, t->out);
}

static void put_enumerators(const table *t, const column *c, const char *cell)
{
    static const char allowed[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                  "abcdefghijklmnopqrstuvwxyz0123456789_";
    size_t length = strspn(cell, allowed);
    if (length == 0 || (cell[length] && cell[length] != '|'))
        fail(t, "%s: '%s' does not complete '%s'", c->name, cell, c->type);
    fprintf(t->out, "%s%.*s", c->type, (int)length, cell);
    if (cell[length]) {
        fputs(" | ", t->out);
        put_enumerators(t, c, cell + length + 1);
    }
}

static bool is_names(const column *c)
{
    return !strcmp(c->type, "names") || !strcmp(c->type, "units");
}

static bool is_text(const column *c)
{
    return !strcmp(c->type, "text") || is_names(c);
}

static void put_cell(const table *t, const column *c)
{
    const char *cell = t->cells[c->place];
    if (!strcmp(c->name, "source") && !*cell)
        fail(t, "no source given");
    if (is_text(c))
        put_text(t->out, cell);
    else if (!strcmp(c->type, "number"))
        put_number(t, c, cell);
    else if (!strcmp(c->type, "integer"))
        put_integer(t, c, cell);
    else
        put_enumerators(t, c, cell);
}

static void place_columns(table *t)
{
    t->header_cells = t->cell_count;
    if (t->cell_count != t->column_count && !t->is_list)
        fail(t, "%d columns, expected %d", t->cell_count, t->column_count);
    for (int i = 0; i < t->column_count; i++) {
        t->columns[i].place = -1;
        for (int k = 0; k < t->cell_count; k++)
            if (!strcmp(t->cells[k], t->columns[i].name))
                t->columns[i].place = k;
        if (t->columns[i].place < 0)
            fail(t, "no column '%s'", t->columns[i].name);
    }
}

static void on_cell(void *data, size_t length, void *state)
{
    table *t = state;
    if (t->cell_count == MAX_COLUMNS || length >= MAX_CELL)
        fail(t, "too many or too long cells");
    char *copy = malloc(length + 1);
    if (!copy)
        fail(t, "out of memory");
    memcpy(copy, data, length);
    copy[length] = '\0';
    t->cells[t->cell_count++] = copy;
}

static bool makes_words(const table *t)
{
    return !strncmp(t->columns[0].type, "macro:", 6);
}

/* "macro:SW_SAY_" and "charge-balance": SW_SAY_CHARGE_BALANCE */
static void put_macro_name(const table *t)
{
    fprintf(t->out, "#define %s", t->columns[0].type + 6);
    for (const char *c = t->cells[t->columns[0].place]; *c; c++)
        fputc(*c == '-' ? '_' : toupper((unsigned char)*c), t->out);
}

static void put_words(const table *t)
{
    const char *before = " ";
    put_macro_name(t);
    for (int i = 1; i < t->column_count; i++) {
        const column *c = &t->columns[i];
        if (!*t->cells[c->place] || !strcmp(c->name, "source"))
            continue;
        fputs(before, t->out);
        put_cell(t, c);
        before = ", ";
    }
    fputc('\n', t->out);
}

/* ---- Names --------------------------------------------------------------- */

static void keep_name(table *t, const column *c, const char *one)
{
    t->names = realloc(t->names, (t->name_count + 1) * sizeof *t->names);
    if (!t->names)
        fail(t, "out of memory");
    key_of *n = &t->names[t->name_count];
    *n = (key_of){.column = (int)(c - t->columns), .row = t->row - 2};
    (strcmp(c->type, "units") ? sw_text_key : sw_unit_key)(one, n->key);
    if (!*n->key && strlen(one) >= sizeof n->key)
        fail(t, "%s: '%s' is too long", c->name, one);
    t->name_count += *n->key != '\0';
}

static void keep_names(table *t, const column *c)
{
    char *save, *cell = t->cells[c->place];
    for (char *one = strtok_r(cell, "|", &save); one;
         one = strtok_r(NULL, "|", &save))
        keep_name(t, c, one);
}

static int by_key(const void *left, const void *right)
{
    const key_of *a = left, *b = right;
    int order = strcmp(a->key, b->key);
    if (order == 0)
        order = a->column - b->column;
    return order ? order : (a->row > b->row) - (a->row < b->row);
}

static void put_names(table *t, const char *of)
{
    size_t at = 0;
    qsort(t->names, t->name_count, sizeof *t->names, by_key);
    fprintf(t->out, "static const char sw_%s_keys[] =", of);
    for (size_t i = 0; i < t->name_count; i++)
        fprintf(t->out, "\n    \"%s\\0\"", t->names[i].key);
    fprintf(t->out, ";\nstatic const sw_name sw_%s_name[] = {\n", of);
    for (size_t i = 0; i < t->name_count; i++) {
        fprintf(t->out, "    {%zu, %lu},\n", at, t->names[i].row);
        at += strlen(t->names[i].key) + 1;
    }
    if (at > USHRT_MAX)
        fail(t, "too many names");
    fprintf(t->out,
            "};\nstatic const sw_names sw_%s_names = "
            "{sw_%s_keys, sw_%s_name, %zu};\n",
            of, of, of, t->name_count);
}

static void put_row(table *t)
{
    if (t->cell_count != t->header_cells)
        fail(t, "%d cells, expected %d", t->cell_count, t->header_cells);
    if (makes_words(t)) {
        put_words(t);
        return;
    }
    fputs(t->is_list ? " \\\n    X(" : "    {", t->out);
    for (int i = 0; i < t->column_count; i++) {
        put_cell(t, &t->columns[i]);
        fputs(i + 1 < t->column_count ? ", " : "", t->out);
    }
    fputs(t->is_list ? ")" : "},\n", t->out);
    for (int i = 0; i < t->column_count; i++)
        if (is_names(&t->columns[i]))
            keep_names(t, &t->columns[i]);
}

static void on_row(int end, void *state)
{
    table *t = state;
    (void)end;
    if (t->row++ == 0)
        place_columns(t);
    else
        put_row(t);
    for (int k = 0; k < t->cell_count; k++)
        free(t->cells[k]);
    t->cell_count = 0;
}

static void read_columns(table *t, int count, char **arguments)
{
    if (count > MAX_COLUMNS)
        fail(t, "too many columns");
    for (int i = 0; i < count; i++) {
        column *c = &t->columns[i];
        if (sscanf(arguments[i], "%63[^:]:%15s", c->name, c->type) != 2)
            fail(t, "column '%s' lacks a type", arguments[i]);
    }
    t->column_count = count;
}

static void put_head(const table *t, const char *name)
{
    for (int i = 0; i < t->column_count; i++)
        if (is_names(&t->columns[i])) {
            fputs("#include \"quantity/keys.h\"\n", t->out);
            break;
        }
    fprintf(t->out, "#include <math.h>\ntypedef struct sw_%s_row {\n", name);
    for (int i = 0; i < t->column_count; i++) {
        const column *c = &t->columns[i];
        const char *type = is_text(c)                   ? "const char *"
                           : !strcmp(c->type, "number") ? "double "
                                                        : "int ";
        fprintf(t->out, "    %s%s;\n", type, c->name);
    }
    fprintf(t->out, "} sw_%s_row;\nstatic const sw_%s_row sw_%s_table[] = {\n",
            name, name, name);
}

static void parse(table *t, FILE *in)
{
    struct csv_parser parser;
    char buffer[4096];
    size_t got;
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL))
        fail(t, "out of memory");
    while ((got = fread(buffer, 1, sizeof buffer, in)) > 0)
        if (csv_parse(&parser, buffer, got, on_cell, on_row, t) != got)
            fail(t, "%s", csv_strerror(csv_error(&parser)));
    if (csv_fini(&parser, on_cell, on_row, t))
        fail(t, "%s", csv_strerror(csv_error(&parser)));
    csv_free(&parser);
}

static void put_table(table *t, const char *name, FILE *in)
{
    put_head(t, name);
    parse(t, in);
    fprintf(t->out, "};\nenum { sw_%s_count = %lu };\n", name,
            t->row ? t->row - 1 : 0);
    if (t->name_count)
        put_names(t, name);
}

static void put_list(table *t, const char *macro, FILE *in)
{
    fprintf(t->out, "#define %s(X)", macro);
    parse(t, in);
    fputc('\n', t->out);
}

int main(int argc, char **argv)
{
    table t = {.path = argc > 1 ? argv[1] : "compile_table"};
    t.is_list = argc > 5 && !strcmp(argv[4], "--list");
    if (argc < 5)
        fail(&t, "usage: compile_table IN.csv OUT.h NAME column:type ...");
    int before = t.is_list ? 6 : 4;
    read_columns(&t, argc - before, argv + before);
    FILE *in = fopen(argv[1], "rb");
    t.out = fopen(argv[2], "wb");
    if (!in || !t.out)
        fail(&t, "cannot open %s or %s", argv[1], argv[2]);
    fprintf(t.out, "/* Made from %s.csv; edit that. */\n", argv[3]);
    if (t.is_list)
        put_list(&t, argv[5], in);
    else if (makes_words(&t))
        parse(&t, in);
    else
        put_table(&t, argv[3], in);
    if (fclose(t.out) || fclose(in))
        fail(&t, "cannot write %s", argv[2]);
    free(t.names);
    return 0;
}
