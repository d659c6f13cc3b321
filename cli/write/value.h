/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A JSON value in the making.  Whatever is put into another belongs to it.
 * Where memory runs out the program ends with its complaint.
 */
#ifndef CLI_WRITE_VALUE_H
#define CLI_WRITE_VALUE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef struct cli_value cli_value;

cli_value *value_object(void);
cli_value *value_array(void);
/* Bytes that are no UTF-8 are spelled out. */
cli_value *value_text(const char *text);
/* A finite number. */
cli_value *value_number(double value);

/* Each under `key` of an object; a number that is none is left out, and so is
 * a text that is NULL or "". */
void value_put(cli_value *object, const char *key, cli_value *value);
void value_put_number(cli_value *object, const char *key, double value);
void value_put_text(cli_value *object, const char *key, const char *text);
void value_put_flag(cli_value *object, const char *key, bool flag);

typedef struct cli_keyed {
    const char *key;
    double value;
} cli_keyed;

void value_put_numbers(cli_value *object, const cli_keyed *numbers,
                       size_t count);

/* VALUE_PUT(object, {"key", number}, ...) */
#define VALUE_PUT(object, ...)                                                 \
    value_put_numbers(object, (const cli_keyed[]){__VA_ARGS__},                \
                      sizeof((const cli_keyed[]){__VA_ARGS__}) /               \
                          sizeof(cli_keyed))

void value_append(cli_value *array, cli_value *value);
/* A new object at the end of `array`, to be filled. */
cli_value *value_add_object(cli_value *array);

/* Prints and releases `root`; ends the program where memory has run out. */
void value_write(cli_value *root, FILE *out);

#endif
