/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published targets of crops, inside the library. */
#ifndef SW_RECORDS_TARGET_SETS_H
#define SW_RECORDS_TARGET_SETS_H

#include "saltwright.h"

/* "yamazaki-lettuce (Takatsuji 1997)" */
typedef struct sw_cited {
    char text[80];
} sw_cited;
sw_cited sw_target_set_cited(const char *set);

#endif
