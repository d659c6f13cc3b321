/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files of any length are read a block at a time.  What a file is like shows in
 * its first block, which is read before anything else is done.
 */
#include "run/flow.h"

#include <stdint.h>
#include <stdlib.h>
#include <sys/stat.h>

#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"

/* A value of --water: a file that is read as it comes, or a sample chosen. */
typedef struct flow_item {
    char *file;
    FILE *stream;
    sw_water_stream *waters;
    sw_waters *first; /* read ahead */
    double bytes;     /* of the file; 0: not known */
    size_t chosen;    /* of the samples chosen; SIZE_MAX: none is */
} flow_item;

struct cli_flow {
    const cli_options *options;
    flow_item *items;
    size_t count, at;
    cli_sources chosen;
    bool advised; /* on units */
};

enum { FIRST_WATERS = 256 };

static exit_code refuse(const cli_flow *flow, const sw_error *error)
{
    return options_has(flow->options, OPT_UNITS) && !error->file[0]
               ? complain_option("units", error)
               : complain_error(error);
}

/* A defect of a file, whose waters from there on mean nothing. */
static exit_code check_whole(const cli_flow *flow, const sw_waters *waters)
{
    for (size_t i = 0; waters && i < waters->defect_count; i++)
        if (waters->defects[i].sample == SW_WHOLE_FILE)
            return sources_refuse_defects(flow->options, waters);
    return EXIT_DONE;
}

static exit_code open_item(cli_flow *flow, flow_item *item, const char *text)
{
    sw_error error = {0};
    struct stat info;
    item->file = memory_text(text);
    exit_code code = file_open(OPT_WATER, item->file, &item->stream);
    if (code != EXIT_DONE)
        return code;
    if (fstat(fileno(item->stream), &info) == 0 && S_ISREG(info.st_mode))
        item->bytes = (double)info.st_size;
    if (sw_water_stream_new(item->stream, file_shown_name(item->file),
                            options_value(flow->options, OPT_UNITS, 0),
                            &item->waters, &error) != SW_OK ||
        sw_water_stream_next(item->waters, FIRST_WATERS, &item->first,
                             &error) != SW_OK)
        return refuse(flow, &error);
    return check_whole(flow, item->first);
}

static void close_item(flow_item *item)
{
    sw_waters_free(item->first);
    sw_water_stream_free(item->waters);
    if (item->stream)
        file_close(item->stream);
    free(item->file);
}

static void close_flow(void *thing)
{
    cli_flow *flow = thing;
    for (size_t i = 0; i < flow->count; i++)
        close_item(&flow->items[i]);
    free(flow->items);
    sources_free(&flow->chosen);
}

exit_code flow_open(const cli_options *options, cli_flow **flow)
{
    exit_code code = EXIT_DONE;
    size_t count = options_count(options, OPT_WATER);
    cli_flow *f = *flow = memory_kept(sizeof *f, close_flow);
    f->options = options;
    f->items = memory_array(count, sizeof *f->items);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++) {
        const char *text = options_value(options, OPT_WATER, i);
        flow_item *item = &f->items[f->count++];
        item->chosen = SIZE_MAX;
        if (!sources_names_one(text)) {
            code = open_item(f, item, text);
            continue;
        }
        item->chosen = f->chosen.count;
        code = sources_add(options, OPT_WATER, i, false, &f->chosen);
    }
    if (code == EXIT_DONE)
        sources_say(&f->chosen);
    return code;
}

/* Of what is behind and what is read of this one, where all are files. */
static double share_read(const cli_flow *flow)
{
    double all = 0.0, read = 0.0;
    for (size_t i = 0; i < flow->count; i++) {
        const flow_item *item = &flow->items[i];
        if (item->chosen == SIZE_MAX && item->bytes == 0.0 && i >= flow->at)
            return 0.0;
        all += item->bytes;
        if (i < flow->at)
            read += item->bytes;
        else if (i == flow->at && item->stream)
            read += (double)ftello(item->stream);
    }
    return all > 0.0 ? read / all : 0.0;
}

static cli_part *part_of(const cli_flow *flow, const flow_item *item,
                         sw_waters *waters)
{
    cli_part *part = memory_array(1, sizeof *part);
    part->waters = waters;
    part->file = item->file;
    part->sources.count = waters->count;
    part->sources.items =
        memory_array(waters->count, sizeof *part->sources.items);
    for (size_t i = 0; i < waters->count; i++)
        part->sources.items[i] =
            (cli_source){.file = item->file, .water = &waters->items[i]};
    part->share = share_read(flow);
    return part;
}

/* The sample chosen, which stays the flow's. */
static cli_part *part_chosen(cli_flow *flow, const flow_item *item)
{
    cli_part *part = memory_array(1, sizeof *part);
    const cli_source *source = &flow->chosen.items[item->chosen];
    part->sources.items = memory_array(1, sizeof *part->sources.items);
    part->sources.items[0] =
        (cli_source){.file = source->file, .water = source->water};
    part->sources.count = 1;
    part->file = source->file;
    part->share = share_read(flow);
    return part;
}

/* The next block of a file; *waters NULL at its end. */
static exit_code read_block(cli_flow *flow, flow_item *item, size_t most,
                            sw_waters **waters)
{
    sw_error error = {0};
    *waters = item->first;
    item->first = NULL;
    if (*waters)
        return EXIT_DONE;
    if (sw_water_stream_next(item->waters, most, waters, &error) != SW_OK)
        return refuse(flow, &error);
    exit_code code = check_whole(flow, *waters);
    if (code == EXIT_DONE)
        return code;
    sw_waters_free(*waters);
    *waters = NULL;
    return code;
}

exit_code flow_next(cli_flow *flow, size_t most, cli_part **part)
{
    *part = NULL;
    while (flow->at < flow->count) {
        sw_waters *waters;
        flow_item *item = &flow->items[flow->at];
        if (item->chosen != SIZE_MAX) {
            *part = part_chosen(flow, item);
            flow->at++;
            return EXIT_DONE;
        }
        exit_code code = read_block(flow, item, most, &waters);
        if (waters)
            *part = part_of(flow, item, waters);
        if (waters || code != EXIT_DONE)
            return code;
        flow->at++;
    }
    return EXIT_DONE;
}

bool part_is_sound(const cli_part *part, size_t index)
{
    const sw_waters *waters = part->waters;
    bool sound = true;
    for (size_t i = 0; waters && i < waters->defect_count; i++)
        if (waters->defects[i].sample == index) {
            complain_error(&waters->defects[i].error);
            sound = false;
        }
    return sound;
}

void part_free(cli_part *part)
{
    sw_waters_free(part->waters);
    free(part->sources.items);
    free(part);
}
