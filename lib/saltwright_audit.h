/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lab reports judged: believable, and fit for use? */
#ifndef SALTWRIGHT_AUDIT_H
#define SALTWRIGHT_AUDIT_H

#include "saltwright_assess.h"

/* clang-format off */
#ifdef __cplusplus
extern "C" {
#endif

/* ---- Audit --------------------------------------------------------------
 * Is a lab report believable, and is the water fit for use? */
typedef enum sw_finding {
    SW_NOT_CHECKED, SW_AGREES, SW_DOUBTFUL, SW_DISAGREES
} sw_finding;
SW_API const char *sw_finding_text(sw_finding finding); /* "agrees" ... */

/* One check of a report against itself; NaN where there is no number. */
typedef struct sw_check_row {
    char name[48], unit[16];     /* unit of `reported` and `calculated` */
    double reported, calculated; /* the two that should agree */
    double value, low, high;     /* how they compare, what is allowed */
    char measure[32];            /* what `value` is: "reported / calculated" */
    sw_finding finding;
    char reason[160], source[192];
} sw_check_row;
/* One mistake in reading the report that would make it agree with itself. */
typedef struct sw_rereading {
    char read_as[64], text[192]; /* "SO4=SO4-S" for sw_water_reread; in words */
    double score, share; /* less is better; of belief among all tried */
    /* Of many reports: those in which the charge can be checked; how many of
     * them balance within 5 % as given and so read; their median imbalance. */
    size_t checked, balanced_given, balanced_read;
    double median_given_percent, median_read_percent;
} sw_rereading;
/* Against water, how fast the crop takes up what it is fed. */
typedef enum sw_uptake {
    SW_UPTAKE_OPEN, SW_SLOWER_THAN_WATER, SW_AS_FAST_AS_WATER, SW_FASTER_THAN_WATER
} sw_uptake;
SW_API const char *sw_uptake_text(sw_uptake uptake); /* "faster", "" ... */

/* What a solution holds of one thing, beside what it was fed with and what it
 * should hold: mg/L, mS/cm, a pH or a ratio by mass; NaN where not known. */
typedef struct sw_sample_row {
    sw_target_kind kind;
    sw_component component, other; /* as in sw_target_row */
    char name[64];
    double found, fed;             /* below detection: 0 */
    double found_most, fed_most;   /* with what that hides */
    double ratio_low, ratio_high;  /* found over fed, between these */
    double at_feed_ec;             /* found, were it as strong as the feed */
    double taken_up;               /* per litre of water the crop takes up */
    sw_uptake uptake;
    double target, low, high;      /* as in sw_component_row */
    sw_verdict verdict;            /* SW_OPEN: detection's limit hides it */
    const char *remark;            /* static; "" */
} sw_sample_row;
typedef struct sw_audit_report {
    sw_check_row *checks; size_t check_count;
    double score; /* sum of squares of discrepancies over their uncertainties */
    sw_rereading *rereadings; size_t rereading_count; /* best first; or none */
    sw_guideline_row *fitness; size_t fitness_count;
    sw_content per_l; sw_chemistry chemistry; /* completed; at its own pH */
    sw_notes notes; /* what is missing; shares of purified water, by use */
    /* Of a solution: EC, pH, what is reported or asked for, and its ratios. */
    sw_sample_row *rows; size_t row_count;
    /* Of the feed no more can have drained in a steady state, or more of that
     * component, Na or Cl, would leave than came; NaN where not known. */
    double most_drained; sw_component most_drained_by;
} sw_audit_report;
/* The report is taken as given; a re-reading is only proposed.  Of a solution:
 * as sw_audit_solution of it alone.  `purified`:
 * what the water to blend with carries; NULL: nothing.  Numbers that no
 * equilibrium has are NaN.  SW_ERR_VALUE (conditions), _NUMERIC, _MEMORY. */
SW_API sw_status sw_audit(const sw_water *water, const sw_content *purified,
                          const sw_conditions *conditions,
                          sw_audit_report **report, sw_error *error);
/*
 * What a free mix of the completed waters may take of each, for a problem's
 * most_share, with a note on each below 1: 0 of one that endangers the crop, who
 * eats it or who mixes where another does not; of one that needs treating first,
 * or where all endanger, what keeps the mix within the limits, if such shares
 * can sum to 1; else 1.
 * SW_ERR_MEMORY.
 */
SW_API sw_status sw_most_shares(const sw_water *const *waters,
                                const sw_content *per_l, size_t count,
                                double *most, sw_notes *notes, sw_error *error);
/* Of these the re-readings alone, *found of *count to be freed, NULL for none;
 * `per_l`: as sw_water_complete made it.  Faster where the charge, the EC, what
 * is dissolved and the hardness agree: none is looked for there.  SW_ERR_MEMORY.
 */
SW_API sw_status sw_rereadings_find(const sw_water *water,
                                    const sw_content *per_l,
                                    const sw_conditions *conditions,
                                    sw_rereading **found, size_t *count,
                                    sw_error *error);
/* A sample of a nutrient solution (its is_solution does not matter), and what
 * is known of it: NULL and NaN where that is nothing. */
typedef struct sw_sampling {
    const sw_water *sample;
    const sw_water *feed;    /* whose drain it is; NULL with `drained`: the
                                target is */
    const sw_target *target; /* of one stage */
    double drained;          /* of the feed, the share that drains, below 1 */
} sw_sampling;
/* The same, of a solution: judged as sw_assess judges a finished one, and as
 * what the crop left of its feed.  `fitness` is what sw_assess held it against.
 * Errors as there; SW_ERR_VALUE (a share).  Method: reference/methods.md. */
SW_API sw_status sw_audit_solution(const sw_sampling *sampling,
                                   const sw_conditions *conditions,
                                   sw_audit_report **report, sw_error *error);
SW_API void sw_audit_report_free(sw_audit_report *report);
/* ---- Many reports of one origin: an archive ------------------------------*/

/* One of them in short; NaN where there is no number. */
typedef struct sw_sample_audit {
    double balance_percent; /* (cations - anions) / their sum */
    double ec_ratio;        /* measured / calculated */
    sw_finding finding;     /* the worst, and the check it is of; static */
    const char *check;
    sw_fitness fitness;     /* the worst among limits, and which it is */
    char limit[32], use[32];
    bool danger;            /* no crop should get it */
    bool gas;               /* acid drives out of it what harms */
    bool no_alkalinity;     /* it is doubtful since that is not reported */
    char lacking[64];       /* the ion that must be in it, not reported; or "" */
    bool doubtful; /* nobody knows the acid that it needs, or a gap of its charges
                      leaves that open */
} sw_sample_audit;
typedef struct sw_archive {
    sw_sample_audit *samples; size_t count;
    size_t checked, balanced; /* whose charge can be checked; within 5 % */
    double median_percent;    /* of those checked, without sign */
    size_t ec_checked, ec_within; /* of those balanced; EC within 10 % */
    sw_rereading *rereadings; size_t rereading_count; /* best first; or none */
} sw_archive;
/* Audits each, and tries each re-reading on all of them together: of more than
 * 200, on some 200 from first to last.  Errors as sw_audit; SW_ERR_VALUE (no
 * report). */
SW_API sw_status sw_audit_many(const sw_water *const *waters, size_t count,
                               const sw_conditions *conditions,
                               sw_archive **archive, sw_error *error);
SW_API void sw_archive_free(sw_archive *archive);
/* A copy with one reading taken as another: "SO4=SO4-S", "Ca=[mmol/L]",
 * "[mg/L]=[meq/L]" (every ion in the unit).  Free with sw_water_free.
 * SW_ERR_SYNTAX, _NAME (no such reading), _UNIT, _DUPLICATE, _MEMORY. */
SW_API sw_status sw_water_reread(const sw_water *water, const char *read_as,
                                 sw_water **reread, sw_error *error);
SW_API void sw_water_free(sw_water *water);

#ifdef __cplusplus
}
#endif

#endif
