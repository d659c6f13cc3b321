/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of a lab report against itself, and one number for them all. */
#ifndef SW_ASSESS_EVIDENCE_H
#define SW_ASSESS_EVIDENCE_H

#include "saltwright.h"

typedef enum sw_check {
    SW_CHECK_CHARGE,
    SW_CHECK_EC,
    SW_CHECK_TDS_EC,
    SW_CHECK_TDS_IONS,
    SW_CHECK_HARDNESS,
    SW_CHECK_CA_HARDNESS,
    SW_CHECK_PH,
    SW_CHECK_CALCITE,
    SW_CHECK_COUNT
} sw_check;

typedef struct sw_evidence {
    sw_check_row rows[SW_CHECK_COUNT];
    double z[SW_CHECK_COUNT]; /* discrepancy over its uncertainty; 0: none */
    double score;             /* sum of z squared */
    double cations_meq_per_l;
    double anions_meq_per_l;
    sw_content per_l; /* completed */
    sw_chemistry chemistry;
    sw_notes notes; /* of the completion; free with sw_evidence_free */
} sw_evidence;

/*
 * Every check the report allows.  A check that lacks a number is
 * SW_NOT_CHECKED and says what is missing.  SW_ERR_NUMERIC, SW_ERR_MEMORY.
 */
sw_status sw_evidence_weigh(const sw_water *water,
                            const sw_conditions *conditions,
                            sw_evidence *evidence, sw_error *error);
void sw_evidence_free(sw_evidence *evidence);

/*
 * Does no check of `evidence` say that the report contradicts itself, but
 * those which said so in `before` and are no worse now?
 */
bool sw_evidence_agrees(const sw_evidence *evidence, const sw_evidence *before);

#endif
