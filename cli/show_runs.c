/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several runs are a report whose block of runs holds that of each. */
#include "show_runs.h"

#include "run/show.h"

exit_code show_runs(doc_record *report, const char *key,
                    const cli_several *several)
{
    doc_block *block = doc_add(report, key);
    for (size_t i = 0; i < several->count; i++) {
        doc_record *run = doc_row(block);
        doc_text(run, "name", several->names[i]);
        report_mixing(run, several->reports[i]);
    }
    return show_report(report, several->settings, several_exit_code(several));
}
