/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which single mistake in reading a lab report would make it agree. */
#ifndef SW_ASSESS_REREADINGS_H
#define SW_ASSESS_REREADINGS_H

#include "assess/evidence.h"

/*
 * Tries every re-reading of reference/rereadings.csv that fits the report, one
 * at a time.  Kept are those under which nothing disagrees any more and whose
 * score, the table's penalty included, beats the report as given by the
 * margin of reference/methods.md: the rereadings of the report, best first.
 * SW_ERR_MEMORY.
 */
sw_status sw_suspects_find(const sw_water *water,
                           const sw_conditions *conditions,
                           const sw_evidence *given, sw_audit_report *report,
                           sw_error *error);

#endif
