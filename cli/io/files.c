/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A directory can be opened but not read, and says so only later and
 * obscurely; it is refused here.
 */
#include "io/files.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "io/complain.h"

exit_code file_open(option_id id, const char *file, FILE **stream)
{
    const char *option = option_spec_of(id)->name;
    struct stat info;
    *stream = strcmp(file, "-") == 0 ? stdin : fopen(file, "rb");
    if (!*stream)
        return complain_file(file,
                             "cannot open: %s; expected the CSV file of --%s",
                             strerror(errno), option);
    if (fstat(fileno(*stream), &info) == 0 && S_ISDIR(info.st_mode)) {
        file_close(*stream);
        return complain_file(file_shown_name(file),
                             "is a directory; expected the CSV file of --%s",
                             option);
    }
    return EXIT_DONE;
}

void file_close(FILE *stream)
{
    if (stream != stdin)
        fclose(stream);
}

const char *file_shown_name(const char *file)
{
    return strcmp(file, "-") == 0 ? "standard input" : file;
}

exit_code file_conclude(const char *file, sw_status status,
                        const sw_notes *notes, const sw_error *error)
{
    if (status != SW_OK)
        return complain_error(error);
    if (notes)
        complain_notes(file_shown_name(file), notes);
    return EXIT_DONE;
}
