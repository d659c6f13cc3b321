/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waters as the command line names them: FILE or FILE:SAMPLE. */
#ifndef CLI_RUN_SOURCES_H
#define CLI_RUN_SOURCES_H

#include "saltwright.h"

#include "io/options.h"

/* sw_water's `file` where --purified is "typical". */
extern const char typical_water_file[];

typedef struct cli_source {
    char *file;            /* as given, without the sample */
    sw_waters *waters;     /* all of the file; NULL where another source
                              of the same file holds them */
    const sw_waters *all;  /* the same, whoever holds them */
    const char *asked;     /* the sample's name; or NULL */
    sw_water *reread;      /* with --read-as: a copy; else NULL */
    const sw_water *water; /* the one asked for */
    sw_notes notes;        /* worth saying of it; of a file's first sample, of
                              the whole file too */
    sw_notes doubts;       /* what of it may have been misread, once it is */
    bool completed;
} cli_source;

typedef struct cli_sources {
    cli_source *items;
    size_t count;
} cli_sources;

/* Reads every value of option `id`; a file named twice is read once. */
exit_code sources_read(const cli_options *options, option_id id,
                       cli_sources *out);
/* The same, but a file without :SAMPLE stands for every sample in it, and what
 * is worth saying is not said.  With `partly` samples with defects are left out
 * of these; in the `all` of their source they stay. */
exit_code sources_read_all(const cli_options *options, option_id id,
                           bool partly, cli_sources *out);
/* Whether a value names one water: a sample of a file, or readings told. */
bool sources_names_one(const char *text);
/* Adds the waters of value `given` of option `id`; `partly` as above. */
exit_code sources_add(const cli_options *options, option_id id, size_t given,
                      bool partly, cli_sources *out);
/* Complains of all that is wrong in a file. */
exit_code sources_refuse_defects(const cli_options *options,
                                 const sw_waters *waters);
/* That of --purified; without it, as it usually is. */
exit_code sources_read_purified(const cli_options *options, cli_sources *out);
/* Says what is worth saying, on standard error. */
void sources_say(const cli_sources *sources);
/* Gives an error without a place that of the water it arose in. */
void source_blame(const cli_source *source, sw_error *error);
/* sw_water_complete of a source's water, which a complaint names; and its
 * doubts: the one misreading that explains what disagrees in its report, which
 * takes long where something does. */
exit_code source_complete(cli_source *source, const sw_conditions *conditions,
                          sw_content *content, sw_notes *notes);
/* Moves all of `more` to the end. */
void sources_append(cli_sources *sources, cli_sources *more);
void sources_free(cli_sources *sources);

/* ---- Readings in place of a file; what a report leaves open -------------- */

/* Whether a value names readings; a file of that name wins. */
bool told_is(const char *text);
/* The same of "name=valueunit" for any three columns, to be read from *stream
 * as a file; then fclose it and free *text.  Complains as of option `id`. */
exit_code told_open(option_id id, const char *given,
                    const char *const columns[3], char **text, FILE **stream);
/* Its water, called "as told", "as told 2" ...; complains as of option `id`. */
exit_code told_read(const cli_options *options, option_id id, const char *text,
                    size_t index, sw_waters **waters);

/* For sw_waters_gather; free it. */
char *stated_of(const cli_options *options);
/* The error of a defect, and what of --read-as would settle it. */
sw_error stated_asks(const cli_options *options, const sw_water_defect *defect);

#endif
