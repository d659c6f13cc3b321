/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Published targets of crops, which are built in (reference/crop_sets.csv and
 * crop_targets.csv).
 */
#ifndef SALTWRIGHT_CROPS_H
#define SALTWRIGHT_CROPS_H

#include "saltwright_records.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What one work gives for one crop; texts are static, "" where there is none.
 */
typedef struct sw_target_set {
    const char *name;        /* "yamazaki-lettuce" */
    const char *crop;        /* "lettuce" */
    const char *other_names; /* of the set or its crop, separated by | */
    const char *system;      /* "solution culture" */
    const char *known;       /* "read", "value from memory" */
    const char *cited;       /* "Takatsuji 1997" */
    const char *remark;
    const char *source; /* author, year, title, place in it */
} sw_target_set;
SW_API size_t sw_target_set_count(void);
/* Of `index` below the count. */
SW_API sw_target_set sw_target_set_at(size_t index);
/* Whether `name` is its name, its crop or another name of it; case and spaces
 * do not matter. */
SW_API bool sw_target_set_is(const sw_target_set *set, const char *name);

/* What the work prints beside the targets; `stage` NULL: of all stages. */
typedef struct sw_printed_stage {
    const char *source;  /* the table; static; NULL: no such stage */
    double ec_ms_per_cm; /* NaN where it prints none */
} sw_printed_stage;
SW_API sw_printed_stage sw_target_set_printed(const char *set,
                                              const char *stage);

/*
 * A fresh target with what set `name` gives, each row's `set` being its name;
 * a crop that one set is for will do.  Trace elements and a pH that the set
 * lacks come from set "general".  The notes say sources, how they are known,
 * and what was added.  SW_ERR_NAME (several sets: the choices; unknown: near
 * names), SW_ERR_MEMORY.  Free with sw_target_free.
 */
SW_API sw_status sw_target_named(const char *name, sw_target **target,
                                 sw_error *error);

#ifdef __cplusplus
}
#endif

#endif
