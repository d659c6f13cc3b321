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
#include "io/safe.h"
#include "sentences_text.h"

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
                               const cli_source *source)
{
    const char *file = source->file, *sample = source->asked;
    const sw_waters *waters = source->all;
    char list[400] = "";
    for (size_t i = 0; i < waters->count; i++)
        text_join(list, sizeof list, ", ", "%s", waters->items[i].sample);
    if (strlen(list) + 1 == sizeof list)
        memcpy(list + sizeof list - 4, "...", 4);
    const char *option = option_spec_of(id)->name;
    if (!sample)
        return complain_usage(options->command->name, SAY_SAMPLES_CHOOSE,
                              option, file, waters->count, file, list);
    return complain_usage(options->command->name, SAY_SAMPLE_UNKNOWN, option,
                          file, sample, list);
}

/* Of an option's file: what --units says of units is wrong, or the file. */
static exit_code refuse_file(const cli_options *options, const sw_error *error)
{
    return options_has(options, OPT_UNITS) && !error->file[0]
               ? complain_option("units", error)
               : complain_error(error);
}

static bool is_same(const sw_error *a, const sw_error *b)
{
    return a->line == b->line && a->column == b->column &&
           !strcmp(a->message, b->message);
}

/* What one word says of several lines is said once, with how many they are. */
static exit_code refuse_alike(const cli_options *options,
                              const sw_water_defect *first,
                              const sw_error *last, size_t lines)
{
    sw_error all = stated_asks(options, first);
    size_t used = strlen(all.message);
    if (lines > 1)
        snprintf(all.message + used, sizeof all.message - used, SAY_LINES_SO,
                 lines, last->line);
    return complain_error(&all);
}

static exit_code open_report(const cli_options *options, cli_source *source,
                             option_id id)
{
    sw_error error = {0};
    FILE *stream;
    exit_code code = file_open(id, source->file, &stream);
    if (code != EXIT_DONE)
        return code;
    char *stated = stated_of(options);
    sw_status status = sw_waters_gather(stream, file_shown_name(source->file),
                                        stated, &source->waters, &error);
    free(stated);
    file_close(stream);
    return status == SW_OK ? EXIT_DONE : refuse_file(options, &error);
}

static exit_code read_told(const cli_options *options, cli_source *source,
                           option_id id, size_t index)
{
    exit_code code =
        told_read(options, id, source->file, index, &source->waters);
    if (code != EXIT_DONE)
        return code;
    free(source->file);
    source->file = memory_text(source->waters->items[0].file);
    source->asked = NULL;
    return EXIT_DONE;
}

static exit_code read_file(const cli_options *options, cli_source *source,
                           option_id id, size_t index)
{
    exit_code code = told_is(source->file)
                         ? read_told(options, source, id, index)
                         : open_report(options, source, id);
    if (code == EXIT_DONE && (id == OPT_SOLUTION || id == OPT_FEED))
        for (size_t i = 0; i < source->waters->count; i++)
            source->waters->items[i].is_solution = true;
    return code;
}

/* Whether any reading came with a unit. */
static bool gives_units(const sw_waters *waters)
{
    for (size_t i = 0; i < waters->count; i++)
        for (size_t k = 0; k < waters->items[i].reading_count; k++)
            if (*waters->items[i].readings[k].unit)
                return true;
    return false;
}

/* All that is wrong with `sample`, or in the whole file where that is NULL. */
static exit_code refuse_defects(const cli_options *options,
                                const sw_waters *waters, const sw_water *sample)
{
    exit_code code = EXIT_INPUT;
    bool units = false;
    const sw_water_defect *first = NULL;
    const sw_error *last = NULL;
    size_t lines = 0;
    for (size_t i = 0; i < waters->defect_count; i++) {
        const sw_water_defect *defect = &waters->defects[i];
        if (sample && defect->sample != SW_WHOLE_FILE &&
            &waters->items[defect->sample] != sample &&
            !(sample->unsound && defect->error.status == SW_ERR_LIMIT))
            continue;
        if (last && is_same(&defect->error, last))
            continue; /* of a name or a unit that several samples share */
        if (first && strcmp(defect->error.message, first->error.message) != 0) {
            refuse_alike(options, first, last, lines);
            first = NULL;
        }
        lines = first ? lines + (defect->error.line != last->line) : 1;
        first = first ? first : defect;
        last = &defect->error;
        units = units || defect->error.status == SW_ERR_UNIT;
    }
    if (first)
        code = refuse_alike(options, first, last, lines);
    if (units && !options_has(options, OPT_UNITS) && !gives_units(waters))
        complain_file(waters->defects[0].error.file, SAY_UNITS_FOR_ALL);
    return code;
}

exit_code sources_refuse_defects(const cli_options *options,
                                 const sw_waters *waters)
{
    return refuse_defects(options, waters, NULL);
}

/* What was said of all of its file; another source of the same file has none.
 */
static void take_notes(cli_source *source)
{
    source->notes = source->waters->notes;
    source->waters->notes = (sw_notes){0};
}

/* What is of the whole file is of each of its samples. */
static void add_notes_of_file(cli_source *source)
{
    sw_notes *notes = &source->notes;
    const sw_notes *all = &source->all->notes;
    for (size_t i = 0; i < all->count; i++) {
        if (!(all->items[i].about & SW_ABOUT_FILE))
            continue;
        notes->items =
            memory_grow(notes->items, notes->count, sizeof *notes->items);
        notes->items[notes->count++] = all->items[i];
    }
}

/* Takes a sample of a file, with what is worth saying of it alone. */
static exit_code choose(const cli_options *options, cli_source *source,
                        const sw_water *sample)
{
    sw_error error = {0};
    if (!sw_waters_sound(source->all, sample))
        return refuse_defects(options, source->all, sample);
    source->water = sample;
    /* a solution was read as if it were a water */
    if (source->waters && source->waters->count == 1 && !sample->is_solution) {
        take_notes(source); /* those of the whole file with the sample's */
        return EXIT_DONE;
    }
    add_notes_of_file(source);
    return sw_water_notes(sample, &source->notes, &error) == SW_OK
               ? EXIT_DONE
               : complain_error(&error);
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

/* Reads the file that value `given` of option `id` names, unless an earlier
 * source has. */
static exit_code open_source(const cli_options *options, option_id id,
                             size_t given, cli_sources *sources, size_t index)
{
    cli_source *source = &sources->items[index];
    source->file = memory_text(options_value(options, id, given));
    source->asked = part_sample(source->file);
    source->all = find_read(sources, index, source->file);
    if (source->all)
        return EXIT_DONE;
    exit_code code = read_file(options, source, id, index);
    source->all = source->waters;
    return code;
}

const char typical_water_file[] = "typical purified water";

/* The sample that was asked for, or the only one. */
static exit_code choose_named(const cli_options *options, option_id id,
                              cli_source *source)
{
    const sw_water *sample = sw_waters_find(source->all, source->asked);
    if (sample)
        return choose(options, source, sample);
    if (source->all->defect_count)
        return refuse_defects(options, source->all, NULL);
    add_notes_of_file(source); /* which may tell that it was left out */
    complain_notes(file_shown_name(source->file), &source->notes);
    sw_notes_free(&source->notes); /* they are told */
    return refuse_sample(options, id, source);
}

/* Purified water of which nobody has an analysis. */
static exit_code take_typical(cli_source *source)
{
    sw_error error = {0};
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
    cli_source *source = &sources->items[index];
    if (id == OPT_PURIFIED && strcmp(text, "typical") == 0)
        return take_typical(source);
    exit_code code = open_source(options, id, index, sources, index);
    return code == EXIT_DONE ? choose_named(options, id, source) : code;
}

static bool is_of_file(const sw_waters *waters)
{
    for (size_t i = 0; i < waters->defect_count; i++)
        if (waters->defects[i].sample == SW_WHOLE_FILE)
            return true;
    return false;
}

/* Appends every sample of `waters` that can be read, the first to the source
 * that is there, with what is worth saying of any.  Of those that cannot, each
 * defect is told; none is left out unless `partly`. */
static exit_code append_samples(const cli_options *options, bool partly,
                                cli_sources *sources)
{
    cli_source *first = &sources->items[sources->count - 1];
    const char *file = first->file;
    const sw_waters *waters = first->all;
    bool refused = waters->defect_count > 0;
    sw_error error = {0};
    sw_status status = SW_OK;
    if (refused)
        refuse_defects(options, waters, NULL);
    if (refused && (!partly || is_of_file(waters)))
        return EXIT_INPUT;
    if (waters->count == 1 && !refused)
        return choose(options, first, &waters->items[0]);
    if (first->waters) /* else an earlier source has said it */
        add_notes_of_file(first);
    for (size_t i = 0; i < waters->count && status == SW_OK; i++) {
        const sw_water *water = &waters->items[i];
        first = &sources->items[sources->count - 1];
        if (!sw_waters_sound(waters, water))
            continue;
        if (first->water) {
            sources->items = memory_grow(sources->items, sources->count,
                                         sizeof *sources->items);
            first = &sources->items[sources->count++];
            *first = (cli_source){.file = memory_text(file)};
        }
        first->water = water;
        status = sw_water_notes(water, &first->notes, &error);
    }
    if (status != SW_OK)
        return complain_error(&error);
    return first->water ? EXIT_DONE : EXIT_INPUT;
}

static exit_code refuse_reading(const cli_options *options, const char *given,
                                const sw_error *error)
{
    if (error->status == SW_ERR_MEMORY)
        return complain_error(error);
    return complain_usage(options->command->name, SAY_READ_AS_FORM, given,
                          error->message);
}

/* What is worth saying of a water that is read otherwise; what is of its file
 * stays. */
static sw_status renew_notes(cli_source *source, sw_error *error)
{
    sw_notes *notes = &source->notes;
    size_t kept = 0;
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].about & SW_ABOUT_FILE)
            notes->items[kept++] = notes->items[i];
    notes->count = kept;
    return sw_water_notes(source->water, notes, error);
}

/* Takes a reading of every source that has it as another. */
static exit_code reread(const cli_options *options, const char *given,
                        cli_sources *sources)
{
    sw_error error = {.status = SW_OK};
    size_t found = 0;
    for (size_t i = 0; i < sources->count; i++) {
        cli_source *source = &sources->items[i];
        sw_water *next;
        sw_status status = sw_water_reread(source->water, given, &next, &error);
        if (status == SW_ERR_NAME)
            continue;
        if (status != SW_OK)
            return refuse_reading(options, given, &error);
        sw_water_free(source->reread);
        source->reread = next;
        source->water = next;
        if (renew_notes(source, &error) != SW_OK)
            return complain_error(&error);
        found++;
    }
    return found ? EXIT_DONE : refuse_reading(options, given, &error);
}

/* As --read-as says of the water, or of the solution where that is all there
 * is; one after the other. */
static exit_code reread_all(const cli_options *options, option_id id,
                            cli_sources *sources)
{
    exit_code code = EXIT_DONE;
    if (id != OPT_WATER &&
        (id != OPT_SOLUTION || options_has(options, OPT_WATER)))
        return EXIT_DONE;
    for (size_t i = 0;
         i < options_count(options, OPT_READ_AS) && code == EXIT_DONE; i++)
        code = reread(options, options_value(options, OPT_READ_AS, i), sources);
    return code;
}

void sources_say(const cli_sources *sources)
{
    for (size_t i = 0; i < sources->count; i++)
        if (sources->items[i].file) /* it was come to before an error */
            complain_notes(file_shown_name(sources->items[i].file),
                           &sources->items[i].notes);
}

bool sources_names_one(const char *text)
{
    char *file = memory_text(text);
    bool one = part_sample(file) || told_is(file);
    free(file);
    return one;
}

exit_code sources_add(const cli_options *options, option_id id, size_t given,
                      bool partly, cli_sources *out)
{
    size_t index = out->count++;
    out->items = memory_grow(out->items, index, sizeof *out->items);
    out->items[index] = (cli_source){0};
    exit_code code = open_source(options, id, given, out, index);
    if (code != EXIT_DONE)
        return code;
    return out->items[index].asked
               ? choose_named(options, id, &out->items[index])
               : append_samples(options, partly, out);
}

exit_code sources_read_all(const cli_options *options, option_id id,
                           bool partly, cli_sources *out)
{
    exit_code code = EXIT_DONE;
    *out = (cli_sources){0};
    for (size_t i = 0; i < options_count(options, id) && code == EXIT_DONE; i++)
        code = sources_add(options, id, i, partly, out);
    return code == EXIT_DONE ? reread_all(options, id, out) : code;
}

exit_code sources_read(const cli_options *options, option_id id,
                       cli_sources *out)
{
    exit_code code = EXIT_DONE;
    size_t count = options_count(options, id);
    *out = (cli_sources){memory_array(count, sizeof *out->items), count};
    if (id == OPT_WATER && options_has(options, OPT_READ_AS) && count != 1)
        return complain_usage(options->command->name, SAY_READ_AS_ONE_WATER);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++)
        code = read_source(options, id, out, i);
    if (code == EXIT_DONE)
        code = reread_all(options, id, out);
    sources_say(out);
    return code;
}

exit_code sources_read_purified(const cli_options *options, cli_sources *out)
{
    if (options_has(options, OPT_PURIFIED))
        return sources_read(options, OPT_PURIFIED, out);
    *out = (cli_sources){memory_array(1, sizeof *out->items), 1};
    return take_typical(&out->items[0]);
}

void source_blame(const cli_source *source, sw_error *error)
{
    if (!error->file[0])
        snprintf(error->file, sizeof error->file, "%.120s: %.120s",
                 file_shown_name(source->file), source->water->sample);
}

/* Of all misreadings tried, what is less likely is worth no warning. */
static const double least_share = 0.9;
/* At odds of 15 to 1 it stands out so far that how to take it so is told. */
static const double clear_share = 15.0 / 16.0;

static sw_status suspect(cli_source *source, const sw_content *per_l,
                         const sw_conditions *conditions, sw_error *error)
{
    sw_rereading *best;
    size_t count;
    sw_status status = sw_rereadings_find(source->water, per_l, conditions,
                                          &best, &count, error);
    if (status != SW_OK || !count || best->share < least_share) {
        free(status == SW_OK ? best : NULL);
        return status;
    }
    source->doubts = (sw_notes){memory_array(1, sizeof(sw_note)), 1};
    sw_note *note = source->doubts.items;
    *note = (sw_note){
        .severity = SW_WARNING, .about = SW_ABOUT_DOUBT, .code = "misread"};
    bool clear = best->share >= clear_share;
    snprintf(note->text, sizeof note->text, SAY_MISREAD, source->water->sample,
             100.0 * best->share, best->text,
             clear ? "; to take it so: --read-as \"" : "",
             clear ? best->read_as : "", clear ? "\"" : "");
    free(best);
    return SW_OK;
}

exit_code source_complete(cli_source *source, const sw_conditions *conditions,
                          sw_content *content, sw_notes *notes)
{
    sw_error error = {0};
    sw_status status =
        sw_water_complete(source->water, conditions, content, notes, &error);
    if (status == SW_OK && !source->completed)
        status = suspect(source, content, conditions, &error);
    source->completed = status == SW_OK;
    if (status == SW_OK)
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
        sw_notes_free(&sources->items[i].notes);
        sw_notes_free(&sources->items[i].doubts);
        sw_water_free(sources->items[i].reread);
    }
    free(sources->items);
    *sources = (cli_sources){0};
}
