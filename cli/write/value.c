/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON values are jansson's. */
#include "write/value.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>

#include "io/complain.h"
#include "io/safe.h"

enum { DIGITS = 12 };

static json_t *inside(cli_value *value)
{
    return (json_t *)value;
}

cli_value *value_object(void)
{
    return (cli_value *)json_object();
}

cli_value *value_array(void)
{
    return (cli_value *)json_array();
}

cli_value *value_text(const char *text)
{
    char safe[4096];
    json_t *value = json_string(text);
    if (!value) {
        text_safe(safe, sizeof safe, text);
        value = json_string(safe);
    }
    return (cli_value *)value;
}

cli_value *value_number(double value)
{
    return (cli_value *)json_real(value);
}

/* jansson refuses NULL; a lost value must not pass for one left out. */
static void keep(int refused)
{
    if (refused)
        exit((int)complain_memory());
}

void value_put(cli_value *object, const char *key, cli_value *value)
{
    keep(json_object_set_new(inside(object), key, inside(value)));
}

void value_put_number(cli_value *object, const char *key, double value)
{
    if (isfinite(value))
        value_put(object, key, (cli_value *)json_real(value));
}

void value_put_text(cli_value *object, const char *key, const char *text)
{
    if (text && *text)
        value_put(object, key, value_text(text));
}

void value_put_flag(cli_value *object, const char *key, bool flag)
{
    value_put(object, key, (cli_value *)json_boolean(flag));
}

void value_put_numbers(cli_value *object, const cli_keyed *numbers,
                       size_t count)
{
    for (size_t i = 0; i < count; i++)
        value_put_number(object, numbers[i].key, numbers[i].value);
}

void value_append(cli_value *array, cli_value *value)
{
    keep(json_array_append_new(inside(array), inside(value)));
}

cli_value *value_add_object(cli_value *array)
{
    cli_value *object = value_object();
    value_append(array, object);
    return object;
}

void value_write(cli_value *root, FILE *out)
{
    keep(json_dumpf(inside(root), out,
                    JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS)));
    fputc('\n', out);
    json_decref(inside(root));
}
