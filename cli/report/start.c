/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was laid out, and what to do with it. */
#include "report/blocks.h"

doc_record *report_start(const char *folder, const cli_laid *files,
                         const bool *kept, size_t count)
{
    doc_record *report = report_begin("start");
    doc_text(report, "folder", folder);
    doc_block *block = doc_add(report, "files");
    for (size_t i = 0; i < count; i++) {
        doc_record *row = doc_row(block);
        doc_print(row, "file", "%s/%s", folder, files[i].name);
        doc_flag(row, "kept", kept[i]);
        doc_text(row, "done", kept[i] ? "was there; left as it is" : "new");
    }
    doc_block *next = doc_add(report, "next");
    doc_say(next, DOC_PLAIN,
            "Fill in water.csv from the laboratory's report, or copy the "
            "report itself there under that name.");
    doc_say(next, DOC_PLAIN,
            "Fill in target.csv, or begin it with published targets: "
            "saltwright catalogue --targets.");
    doc_say(next, DOC_PLAIN,
            "Delete from shelf.csv what you do not have, and add what you "
            "have.");
    doc_say(
        next, DOC_PLAIN,
        "Then, in that folder: saltwright formulate. It works in %s/example "
        "at once, on invented files.",
        folder);
    return report;
}
