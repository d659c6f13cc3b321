/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lab reports: opened once each, the sample asked for, perhaps read anew. */
#include "run/sources.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "run/told.h"

/*
 * Parts "FILE:SAMPLE".  A colon may belong to either, so the first one that
 * follows the name of something that exists is taken.
 */
static const char *part_sample(char *text)
{
    if (access(text, F_OK) == 0)
        return NULL;
    for (char *colon = strchr(text, ':'); colon;
         colon = strchr(colon + 1, ':')) {
        *colon = '\0';
        if (strcmp(text, "-") == 0 || access(text, F_OK) == 0)
            return colon + 1;
        *colon = ':';
    }
    return NULL;
}

/* Names the samples of a file where one has to be chosen. */
static exit_code refuse_sample(const cli_options *options, option_id id,
                               const char *file, const sw_waters *waters,
                               const char *sample)
{
    char list[400] = "";
    size_t used = 0;
    for (size_t i = 0; i < waters->count && used + 1 < sizeof list; i++) {
        int n = snprintf(list + used, sizeof list - used, "%s%s", i ? ", " : "",
                         waters->items[i].sample);
        used += n > 0 ? (size_t)n : 0;
    }
    if (used >= sizeof list)
        memcpy(list + sizeof list - 4, "...", 4);
    const char *option = option_spec_of(id)->name;
    if (!sample)
        return complain_usage(options->command->name,
                              "--%s %.200s: it holds %zu samples; choose one "
                              "as %.200s:SAMPLE from: %s",
                              option, file, waters->count, file, list);
    return complain_usage(options->command->name,
                          "--%s %.200s holds no sample \"%.80s\"; expected "
                          "one of: %s",
                          option, file, sample, list);
}

static void take_for_solutions(sw_waters *waters)
{
    for (size_t i = 0; i < waters->count; i++)
        waters->items[i].is_solution = true;
    sw_notes_free(&waters->notes);
}

/* All that is wrong with the file and the sample; NULL: with any of them. */
static exit_code complain_defects(const sw_waters *waters,
                                  const sw_water *water)
{
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < waters->defect_count; i++) {
        size_t sample = waters->defects[i].sample;
        if (!water || sample == SW_WHOLE_FILE ||
            &waters->items[sample] == water)
            code = complain_error(&waters->defects[i].error);
    }
    return code;
}

static exit_code open_report(cli_source *source, option_id id)
{
    sw_error error;
    FILE *stream;
    exit_code code = file_open(id, source->file, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status = sw_waters_gather(stream, file_shown_name(source->file),
                                        NULL, &source->waters, &error);
    file_close(stream);
    return file_conclude(source->file, status, NULL, &error);
}

/* Of a solution, what is odd in a water is not said: it is none. */
static exit_code read_file(cli_source *source, option_id id, size_t index)
{
    exit_code code = told_is(source->file)
                         ? told_read(id, source->file, index, &source->waters)
                         : open_report(source, id);
    if (code != EXIT_DONE)
        return code;
    if (told_is(source->file)) {
        free(source->file);
        source->file = memory_text(source->waters->items[0].file);
    }
    if (id == OPT_SOLUTION || id == OPT_FEED)
        take_for_solutions(source->waters);
    complain_notes(file_shown_name(source->file), &source->waters->notes);
    return EXIT_DONE;
}

/* The waters of `file` where an earlier source has read them. */
static const sw_waters *find_read(const cli_sources *sources, size_t before,
                                  const char *file)
{
    for (size_t i = 0; i < before; i++)
        if (sources->items[i].waters &&
            strcmp(sources->items[i].file, file) == 0)
            return sources->items[i].waters;
    return NULL;
}

/* Sets `file`, and *waters to all that is in it; *sample is what was asked. */
static exit_code open_source(cli_sources *sources, size_t index, option_id id,
                             const char *text, const sw_waters **waters,
                             const char **sample)
{
    cli_source *source = &sources->items[index];
    source->file = memory_text(text);
    *sample = part_sample(source->file);
    *waters = find_read(sources, index, source->file);
    if (*waters)
        return EXIT_DONE;
    exit_code code = read_file(source, id, index);
    *waters = source->waters;
    return code;
}

const char typical_water_file[] = "typical purified water";

/* Purified water of which nobody has an analysis. */
static exit_code take_typical(cli_source *source)
{
    sw_error error;
    if (sw_purified_water(&source->waters, &error) != SW_OK)
        return complain_error(&error);
    source->file = memory_text("typical");
    source->water = &source->waters->items[0];
    return EXIT_DONE;
}

static exit_code read_source(const cli_options *options, option_id id,
                             cli_sources *sources, size_t index)
{
    const char *text = options_value(options, id, index);
    const char *sample;
    const sw_waters *waters;
    cli_source *source = &sources->items[index];
    if (id == OPT_PURIFIED && strcmp(text, "typical") == 0)
        return take_typical(source);
    exit_code code = open_source(sources, index, id, text, &waters, &sample);
    if (code != EXIT_DONE)
        return code;
    source->water = sw_waters_find(waters, sample);
    if (source->water || waters->count == 0)
        return complain_defects(waters, source->water);
    code = sample ? EXIT_DONE : complain_defects(waters, NULL);
    exit_code unsaid = refuse_sample(options, id, source->file, waters, sample);
    return code == EXIT_DONE ? unsaid : code;
}

/* Appends every sample of `waters`, the first to the source that is there. */
static void append_samples(cli_sources *sources, const sw_waters *waters)
{
    const char *file = sources->items[sources->count - 1].file;
    sources->items[sources->count - 1].water = &waters->items[0];
    for (size_t i = 1; i < waters->count; i++) {
        sources->items =
            memory_grow(sources->items, sources->count, sizeof *sources->items);
        sources->items[sources->count++] =
            (cli_source){.file = memory_text(file), .water = &waters->items[i]};
    }
}

exit_code sources_read_all(const cli_options *options, option_id id,
                           cli_sources *out)
{
    exit_code code = EXIT_DONE;
    *out = (cli_sources){0};
    for (size_t i = 0; i < options_count(options, id) && code == EXIT_DONE;
         i++) {
        const char *sample;
        const sw_waters *waters;
        size_t index = out->count++;
        out->items = memory_grow(out->items, index, sizeof *out->items);
        out->items[index] = (cli_source){0};
        code = open_source(out, index, id, options_value(options, id, i),
                           &waters, &sample);
        if (code == EXIT_DONE && !sample) {
            code = complain_defects(waters, NULL);
            if (code == EXIT_DONE)
                append_samples(out, waters);
        } else if (code == EXIT_DONE) {
            out->items[index].water = sw_waters_find(waters, sample);
            code = out->items[index].water
                       ? complain_defects(waters, out->items[index].water)
                       : refuse_sample(options, id, out->items[index].file,
                                       waters, sample);
        }
    }
    return code;
}

static exit_code refuse_reading(const cli_options *options, const char *given,
                                const sw_error *error)
{
    if (error->status == SW_ERR_MEMORY)
        return complain_error(error);
    return complain_usage(options->command->name,
                          "--read-as %.80s: %s; expected a reading of the "
                          "report and what it is, such as SO4=SO4-S",
                          given, error->message);
}

/* Takes readings of the only water as --read-as says, one after the other. */
static exit_code reread(const cli_options *options, cli_source *source)
{
    sw_error error;
    for (size_t i = 0; i < options_count(options, OPT_READ_AS); i++) {
        const char *given = options_value(options, OPT_READ_AS, i);
        sw_water *next;
        if (sw_water_reread(source->water, given, &next, &error) != SW_OK)
            return refuse_reading(options, given, &error);
        sw_water_free(source->reread);
        source->reread = next;
        source->water = next;
    }
    return EXIT_DONE;
}

exit_code sources_read(const cli_options *options, option_id id,
                       cli_sources *out)
{
    exit_code code = EXIT_DONE;
    size_t count = options_count(options, id);
    bool of_water = id == OPT_WATER ||
                    (id == OPT_SOLUTION && !options_has(options, OPT_WATER));
    bool rereads = of_water && options_has(options, OPT_READ_AS);
    *out = (cli_sources){memory_array(count, sizeof *out->items), count};
    if (rereads && count != 1)
        return complain_usage(options->command->name,
                              "--read-as needs exactly one --%s, whose "
                              "reading it takes as another",
                              option_spec_of(id)->name);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++)
        code = read_source(options, id, out, i);
    if (code == EXIT_DONE && rereads)
        code = reread(options, &out->items[0]);
    return code;
}

void source_blame(const cli_source *source, sw_error *error)
{
    if (!error->file[0])
        snprintf(error->file, sizeof error->file, "%.120s: %.120s",
                 file_shown_name(source->file), source->water->sample);
}

exit_code source_complete(const cli_source *source,
                          const sw_conditions *conditions, sw_content *content,
                          sw_notes *notes)
{
    sw_error error;
    if (sw_water_complete(source->water, conditions, content, notes, &error) ==
        SW_OK)
        return EXIT_DONE;
    source_blame(source, &error);
    return complain_error(&error);
}

void sources_append(cli_sources *sources, cli_sources *more)
{
    for (size_t i = 0; i < more->count; i++) {
        sources->items =
            memory_grow(sources->items, sources->count, sizeof *sources->items);
        sources->items[sources->count++] = more->items[i];
    }
    free(more->items);
    *more = (cli_sources){0};
}

void sources_free(cli_sources *sources)
{
    for (size_t i = 0; i < sources->count; i++) {
        free(sources->items[i].file);
        sw_waters_free(sources->items[i].waters);
        sw_water_free(sources->items[i].reread);
    }
    free(sources->items);
    *sources = (cli_sources){0};
}
