/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the library reads from files, for test_labs.py: paths on standard input,
 * one a line, each perhaps with a tab and the units given for it.  For each
 * file and each thing in it a line of fields separated by tabs.
 */
#include "saltwright.h"

#include <stdio.h>
#include <string.h>

/* Texts of a file may hold tabs of their own. */
static void put(const char *text)
{
    putchar('\t');
    for (; *text; text++)
        putchar((unsigned char)*text < 0x20 ? ' ' : *text);
}

static void tell_water(const sw_waters *waters, const sw_water *water)
{
    printf("sample\t%d", sw_waters_sound(waters, water));
    put(water->sample);
    putchar('\n');
    for (size_t i = 0; i < water->reading_count; i++) {
        const sw_reading *r = &water->readings[i];
        printf("reading\t%d\t%s\t%.12g\t%d\t%d\t%lu", (int)r->kind,
               r->kind == SW_READS_COMPONENT ? sw_component_name(r->component)
                                             : r->name,
               r->amount, r->below_detection, r->limit_assumed, r->line);
        put(r->parameter);
        put(r->unit);
        putchar('\n');
    }
}

static void tell_file(const char *path, const char *units)
{
    sw_waters *waters = NULL;
    sw_error error = {0};
    FILE *stream = fopen(path, "rb");
    if (!stream)
        return;
    printf("file\t%s\n", path);
    if (sw_waters_gather(stream, path, units, &waters, &error) != SW_OK)
        printf("error\t%lu\t%lu\t%s\n", error.line, error.column,
               error.message);
    fclose(stream);
    for (size_t i = 0; waters && i < waters->count; i++)
        tell_water(waters, &waters->items[i]);
    for (size_t i = 0; waters && i < waters->defect_count; i++) {
        const sw_water_defect *d = &waters->defects[i];
        printf("defect\t%lu\t%lu\t%s\n", d->error.line, d->error.column,
               d->error.message);
    }
    for (size_t i = 0; waters && i < waters->remark_count; i++) {
        printf("remark\t%lu\t%lu", waters->remarks[i].line,
               waters->remarks[i].column);
        put(waters->remarks[i].written);
        put(waters->remarks[i].taken_as);
        putchar('\n');
    }
    sw_waters_free(waters);
}

int main(void)
{
    char line[4096];
    while (fgets(line, sizeof line, stdin)) {
        line[strcspn(line, "\n")] = '\0';
        char *units = strchr(line, '\t');
        if (units)
            *units++ = '\0';
        tell_file(line, units);
    }
    return 0;
}
