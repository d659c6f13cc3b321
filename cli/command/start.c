/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright start: a client's folder, with files to fill in. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command/show.h"
#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/output.h"
#include "report/blocks.h"
#include "start_text.h"
#include "sentences_text.h"

/* Files to fill in, and an invented example of each filled in. */
static const struct {
    const char *name; /* within the folder */
    const char *text;
} files[] = {
#define START_FILE(name, text) {name, text},
    START_LIST(START_FILE)
#undef START_FILE
};

enum { FILE_COUNT = sizeof files / sizeof files[0] };

static exit_code make_folder(const char *folder)
{
    struct stat info;
    if (mkdir(folder, 0777) == 0 ||
        (stat(folder, &info) == 0 && S_ISDIR(info.st_mode)))
        return EXIT_DONE;
    return complain_file(folder, "cannot make this folder: %s",
                         strerror(errno));
}

static char *path_of(const char *folder, const char *name)
{
    size_t size = strlen(folder) + strlen(name) + 2;
    char *path = memory_array(size, 1);
    snprintf(path, size, "%s/%s", folder, name);
    return path;
}

/* Where a file of that name is, it stays as it is. */
static exit_code lay(char *path, const char *text, bool *kept)
{
    cli_output output;
    *kept = access(path, F_OK) == 0;
    if (*kept)
        return EXIT_DONE;
    output_open(&output);
    fputs(text, output.stream);
    return output_deliver(&output, path);
}

static exit_code lay_all(const char *folder, char *paths[FILE_COUNT],
                         bool kept[FILE_COUNT])
{
    char *example = path_of(folder, "example");
    exit_code code = make_folder(folder);
    if (code == EXIT_DONE)
        code = make_folder(example);
    free(example);
    for (size_t i = 0; code == EXIT_DONE && i < FILE_COUNT; i++) {
        paths[i] = path_of(folder, files[i].name);
        code = lay(paths[i], files[i].text, &kept[i]);
    }
    return code;
}

/* What was laid out, and what to do with it. */
static doc_record *report_of(const char *folder, const bool kept[FILE_COUNT])
{
    doc_record *report = report_begin("start");
    doc_text(report, "folder", folder);
    doc_block *block = doc_add(report, "files");
    for (size_t i = 0; i < FILE_COUNT; i++) {
        doc_record *row = doc_row(block);
        doc_print(row, "file", "%s/%s", folder, files[i].name);
        doc_flag(row, "kept", kept[i]);
        doc_text(row, "done", kept[i] ? "was there; left as it is" : "new");
    }
    doc_block *next = doc_add(report, "next");
    doc_say(next, DOC_PLAIN, SAY_START_WATER);
    doc_say(next, DOC_PLAIN, SAY_START_TARGET);
    doc_say(next, DOC_PLAIN, SAY_START_SHELF);
    doc_say(next, DOC_PLAIN, SAY_START_THEN, folder);
    return report;
}

static exit_code run(const cli_options *options)
{
    /* What is delivered is written, by these names, once the run has ended. */
    static char *paths[FILE_COUNT];
    bool kept[FILE_COUNT];
    cli_settings settings;
    settings_read(options, &settings);
    if (options->operand_count != 1 || !options->operands[0][0])
        leave(complain_usage("start", SAY_ONE_FOLDER));
    exit_code code = lay_all(options->operands[0], paths, kept);
    return code == EXIT_DONE
               ? show_report(report_of(options->operands[0], kept), &settings,
                             EXIT_DONE)
               : code;
}

static const option_id taken[] = {OPTIONS_DATA, OPT_COUNT};

const cli_task command_start = {
    .required = requires_nothing, .options = taken, .run = run};
