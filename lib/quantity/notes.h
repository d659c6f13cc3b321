/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Appending to a list of notes. */
#ifndef SW_QUANTITY_NOTES_H
#define SW_QUANTITY_NOTES_H

#include "quantity/status.h"

/* Appends one note, ending in "..." where it is too long; SW_ERR_MEMORY leaves
 * the list as it was. */
sw_status sw_notes_add(sw_notes *notes, sw_severity severity, const char *code,
                       const char *format, ...) SW_PRINTF(4, 5);

/* Appends copies of all of `from`. */
sw_status sw_notes_append(sw_notes *notes, const sw_notes *from);

#endif
