/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was laid out, and what to do with it. */
#include "report/blocks.h"
#include "sentences_text.h"

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
    doc_say(next, DOC_PLAIN, SAY_START_WATER);
    doc_say(next, DOC_PLAIN, SAY_START_TARGET);
    doc_say(next, DOC_PLAIN, SAY_START_SHELF);
    doc_say(next, DOC_PLAIN, SAY_START_THEN, folder);
    return report;
}
