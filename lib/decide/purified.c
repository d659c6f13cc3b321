/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Purified water for those who have no analysis of it: the table is read as
 * the lab report it stands for, so that it is a water like any other.
 */
#include "quantity/status.h"
#include "table_purified_water.h"

#include <stdlib.h>
#include <string.h>

enum {
    ROWS = sizeof sw_purified_water_table / sizeof *sw_purified_water_table
};

/* The table as a lab report; the caller frees it. */
static char *report_text(void)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    if (!stream)
        return NULL;
    fputs("sample", stream);
    for (size_t i = 0; i < ROWS; i++)
        fprintf(stream, ",%s [%s]", sw_purified_water_table[i].parameter,
                sw_purified_water_table[i].unit);
    fputs("\npurified", stream);
    for (size_t i = 0; i < ROWS; i++)
        fprintf(stream, ",%.10g", sw_purified_water_table[i].value);
    fputc('\n', stream);
    return fclose(stream) == 0 ? text : NULL;
}

sw_status sw_purified_water(sw_waters **waters, sw_error *error)
{
    char *text = report_text();
    FILE *stream = text ? fmemopen(text, strlen(text), "r") : NULL;
    *waters = NULL;
    sw_status status =
        stream ? sw_waters_read(stream, "typical purified water", waters, error)
               : sw_fail_memory(error);
    if (stream)
        fclose(stream);
    free(text);
    return status;
}
