/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Purified water for those who have no analysis of it: the table is read as
 * the lab report it stands for, so that it is a water like any other.
 */
#include "quantity/text.h"
#include "quantity/status.h"
#include "table_purified_water.h"

#include <string.h>

enum {
    ROWS = sizeof sw_purified_water_table / sizeof *sw_purified_water_table,
    REPORT_BYTES = 1024
};

/* The table as a lab report of one sample: 1,024 bytes hold it four times. */
static void write_report(char text[REPORT_BYTES])
{
    text[0] = '\0';
    sw_text_add(text, REPORT_BYTES, "sample");
    for (size_t i = 0; i < ROWS; i++)
        sw_text_add(text, REPORT_BYTES, ",%s [%s]",
                    sw_purified_water_table[i].parameter,
                    sw_purified_water_table[i].unit);
    sw_text_add(text, REPORT_BYTES, "\npurified");
    for (size_t i = 0; i < ROWS; i++)
        sw_text_add(text, REPORT_BYTES, ",%.10g",
                    sw_purified_water_table[i].value);
    sw_text_add(text, REPORT_BYTES, "\n");
}

sw_status sw_purified_water(sw_waters **waters, sw_error *error)
{
    SW_REQUIRE(error, waters);
    *waters = NULL;
    char text[REPORT_BYTES];
    write_report(text);
    FILE *stream = fmemopen(text, strlen(text), "r");
    if (!stream)
        return sw_fail_memory(error);
    sw_status status =
        sw_waters_read(stream, "typical purified water", waters, error);
    fclose(stream);
    return status;
}
