/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Purified water for those who have no analysis of it: the table is read as
 * the lab report it stands for, so that it is a water like any other.
 */
#include "quantity/status.h"
#include "table_purified_water.h"

#include <stdarg.h>
#include <string.h>

enum {
    ROWS = sizeof sw_purified_water_table / sizeof *sw_purified_water_table,
    REPORT_BYTES = 1024
};

/* Appends what fits: 1,024 bytes hold the table four times. */
static void append(char text[REPORT_BYTES], const char *format, ...)
    SW_PRINTF(2, 3);

static void append(char text[REPORT_BYTES], const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text + used, REPORT_BYTES - used, format, arguments);
    va_end(arguments);
}

/* The table as a lab report of one sample. */
static void write_report(char text[REPORT_BYTES])
{
    text[0] = '\0';
    append(text, "sample");
    for (size_t i = 0; i < ROWS; i++)
        append(text, ",%s [%s]", sw_purified_water_table[i].parameter,
               sw_purified_water_table[i].unit);
    append(text, "\npurified");
    for (size_t i = 0; i < ROWS; i++)
        append(text, ",%.10g", sw_purified_water_table[i].value);
    append(text, "\n");
}

sw_status sw_purified_water(sw_waters **waters, sw_error *error)
{
    char text[REPORT_BYTES];
    *waters = NULL;
    write_report(text);
    FILE *stream = fmemopen(text, strlen(text), "r");
    if (!stream)
        return sw_fail_memory(error);
    sw_status status =
        sw_waters_read(stream, "typical purified water", waters, error);
    fclose(stream);
    return status;
}
