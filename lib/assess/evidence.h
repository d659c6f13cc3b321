/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of a lab report against itself, and one number for them all. */
#ifndef SW_ASSESS_EVIDENCE_H
#define SW_ASSESS_EVIDENCE_H

#include "saltwright.h"

#include "list_checks.h"

/* reference/checks.csv, in its order. */
typedef enum sw_check {
#define SW_CHECK_ENUM(check) check,
    SW_CHECK_LIST(SW_CHECK_ENUM)
#undef SW_CHECK_ENUM
        SW_CHECK_COUNT
} sw_check;

typedef struct sw_evidence {
    sw_check_row rows[SW_CHECK_COUNT];
    double z[SW_CHECK_COUNT]; /* discrepancy over its uncertainty; 0: none */
    double score;             /* sum of z squared */
    double cations_meq_per_l;
    double anions_meq_per_l;
    sw_content per_l;       /* completed */
    sw_chemistry chemistry; /* of NaN when not `calculated` */
    bool calculated;        /* false: beyond what the chemistry is made for */
    sw_notes notes;         /* of the completion; free with sw_evidence_free */
} sw_evidence;

/*
 * Every check the report allows.  A check that lacks a number is
 * SW_NOT_CHECKED and says what is missing.  A report that is read as a brine
 * beyond any equilibrium is checked without one.  SW_ERR_MEMORY.
 */
sw_status sw_evidence_weigh(const sw_water *water,
                            const sw_conditions *conditions,
                            sw_evidence *evidence, sw_error *error);

/* Of a water already completed, those of them that nothing but an audit would
 * tell: a reading against another is doubted as it is read.  As above. */
sw_status sw_evidence_glance(const sw_water *water, const sw_content *completed,
                             const sw_conditions *conditions,
                             sw_evidence *evidence, sw_error *error);
/* Forgets the checks that are none of a nutrient solution. */
void sw_evidence_drop_stray(sw_evidence *evidence, const sw_water *water);
sw_chemistry sw_unknown_chemistry(void); /* every number NaN */
/* The score of what the checks have found. */
void sw_evidence_add_up(sw_evidence *evidence);
void sw_evidence_free(sw_evidence *evidence);

const char *sw_check_text(sw_check check); /* static */

/* A lower bound of the score, from the checks that need no chemistry. */
double sw_evidence_least_score(const sw_water *water);

/*
 * Does no check say that the report contradicts itself?  Dissolved solids, pH
 * and calcite are excused where they said so in `before` and are no worse.
 */
bool sw_evidence_agrees(const sw_evidence *evidence, const sw_evidence *before);

/* Does any check say so? */
bool sw_evidence_disagrees(const sw_evidence *evidence);

#endif
