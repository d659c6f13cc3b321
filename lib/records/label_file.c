/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A label as a file of its own: the guaranteed analysis as the bag prints it.
 */
#include "quantity/label_text.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/csv_lines.h"
#include "records/hazards.h"
#include "records/label_charge.h"
#include "records/product.h"
#include "records/product_claims.h"
#include "table_refusals.h"

#include <stdlib.h>
#include <string.h>

/* Line and column of what the reader calls the character `at`, from 1. */
static void place_in(const char *text, unsigned long at, const char *file,
                     sw_error *error)
{
    unsigned long line = 1;
    unsigned long column = 1;
    for (unsigned long i = 1; i < at && *text; i++) {
        bool ends = sw_text_next(&text) == '\n';
        line += ends;
        column = ends ? 1 : column + 1;
    }
    if (!error)
        return;
    (void)snprintf(error->file, sizeof error->file, "%s", file);
    error->line = line;
    error->column = column;
}

/* Decoded as any text of a file is; each line's end becomes a newline. */
static sw_status read_lines(sw_lines *lines, char *text, size_t most,
                            sw_error *error)
{
    bool got = false;
    size_t used = 0;
    sw_status status = sw_lines_begin(lines, error);
    if (!status)
        status = sw_lines_next(lines, &got, error);
    while (!status && got) {
        size_t length = sw_text_cut(lines->text, lines->length, "\r\n");
        if (used + length + 1 >= most || memchr(lines->text, '\0', length))
            return sw_fail_at(error, &(sw_place){lines->name, 0, 0},
                              SW_BAD_LABEL_NOT_TEXT);
        memcpy(text + used, lines->text, length);
        used += length;
        if (length < lines->length)
            text[used++] = '\n';
        status = sw_lines_next(lines, &got, error);
    }
    return status;
}

static sw_status read_all(FILE *stream, const char *file, char **text,
                          sw_error *error)
{
    size_t most = 4 * SW_LABEL_BYTES; /* bytes of a character */
    sw_lines lines = {.stream = stream, .name = file};
    *text = calloc(1, most + 1);
    if (!*text)
        return sw_fail_memory(error);
    sw_status status = read_lines(&lines, *text, most, error);
    sw_lines_free(&lines);
    return status;
}

/* In what is said of it the label is its file: its text has many lines. */
static sw_status check_name(const sw_product *made, const char *product,
                            const char *file, sw_error *error)
{
    const char *hydrate;
    char shown[80];
    sw_product held = *made;
    (void)snprintf(shown, sizeof shown, "%s", file);
    held.label = shown;
    sw_status status = sw_product_check_name(&held, product, &hydrate, error);
    if (status == SW_ERR_NAME || status == SW_ERR_VALUE)
        place_in("", 1, file, error);
    return status;
}

static sw_status compose(const char *text, const char *product,
                         const char *file, sw_product *made, sw_error *error)
{
    const sw_label_names names = {product, NULL};
    if (error)
        error->column = 1;
    sw_status status = sw_label_compose(text, &names, made, error);
    if (status != SW_OK) {
        if (status != SW_ERR_MEMORY)
            place_in(text, error ? error->column : 1, file, error);
        return status;
    }
    status = check_name(made, product, file, error);
    if (status != SW_OK)
        return status;
    made->name = strdup(product);
    made->label = strdup(text);
    made->source = strdup("label");
    sw_hazards_find(made, true);
    return made->name && made->label && made->source ? SW_OK
                                                     : sw_fail_memory(error);
}

sw_status sw_shelf_add_label(sw_shelf *shelf, const char *product, FILE *stream,
                             const char *file, sw_error *error)
{
    SW_REQUIRE(error, shelf, product, stream, file);
    char *text = NULL;
    sw_product made = sw_product_blank();
    sw_status status = SW_OK;
    if (sw_shelf_index(shelf, product) < shelf->count)
        status = sw_fail(error, SW_BAD_LABEL_NAME_TAKEN, product);
    if (status == SW_OK)
        status = read_all(stream, file, &text, error);
    if (status == SW_OK)
        status = compose(text, product, file, &made, error);
    if (status == SW_OK)
        status = sw_shelf_append(shelf, &made, error);
    sw_product_clear(&made);
    free(text);
    return status;
}
