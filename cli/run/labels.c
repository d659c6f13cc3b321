/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels as files of their own, beside a shelf or without one. */
#include "run/labels.h"

#include <stdlib.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"

/* "bags/leaf.txt" is of "leaf". */
static char *name_of(const char *file)
{
    const char *slash = strrchr(file, '/');
    const char *base = slash ? slash + 1 : file;
    const char *dot = strrchr(base, '.');
    return strndup(base,
                   dot && dot > base ? (size_t)(dot - base) : strlen(base));
}

static exit_code read_one(const char *text, sw_shelf *shelf)
{
    sw_error error;
    FILE *stream;
    const char *equals = strchr(text, '=');
    const char *file = equals ? equals + 1 : text;
    if (equals == text)
        return complain_usage(NULL,
                              "--label %.80s: expected a product's name before "
                              "the =, such as leaf=leaf.txt",
                              text);
    exit_code code = file_open(OPT_LABEL, file, &stream);
    if (code != EXIT_DONE)
        return code;
    char *name =
        equals ? strndup(text, (size_t)(equals - text)) : name_of(file);
    sw_status status = name ? sw_shelf_add_label(shelf, name, stream,
                                                 file_shown_name(file), &error)
                            : SW_ERR_MEMORY;
    free(name);
    file_close(stream);
    return status == SW_ERR_MEMORY ? complain_memory()
                                   : file_conclude(file, status, NULL, &error);
}

exit_code labels_read(const cli_options *options, sw_shelf *shelf)
{
    exit_code code = EXIT_DONE;
    for (size_t i = 0;
         code == EXIT_DONE && i < options_count(options, OPT_LABEL); i++)
        code = read_one(options_value(options, OPT_LABEL, i), shelf);
    return code;
}
