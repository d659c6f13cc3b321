/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures of a label, by component and by what part of it they are of. */
#ifndef SW_QUANTITY_LABEL_CLAIMS_H
#define SW_QUANTITY_LABEL_CLAIMS_H

#include "quantity/label.h"
#include "quantity/label_text.h"

/* A figure as printed, or the sum of several. */
typedef struct sw_claim {
    bool made;
    double mg_per_g, digit; /* one unit of its last digit, mg/g */
} sw_claim;

enum { SW_LABEL_CHELATORS = SW_CITRATE_CHELATOR };

_Static_assert((int)SW_LABEL_MOST + 1 == (int)SW_LABEL_LIST,
               "a figure's roles are those before the table's own");

/* What was declared of one component. */
typedef struct sw_claims {
    sw_claim part[SW_LABEL_LIST];      /* by role */
    sw_claim free;                     /* beside a chelator */
    sw_claim held[SW_LABEL_CHELATORS]; /* by chelator; [0]: their sum */
    bool beside; /* a chelate without the word for it, of which a figure by
                    itself would not be the total */
} sw_claims;

typedef struct sw_chelator_name {
    const char *key;
    sw_chelator chelator;
    int group; /* of formulas */
} sw_chelator_name;

/* NULL after the last; the longer key first where one ends in the other. */
const sw_chelator_name *sw_chelator_named(size_t index);

/* "EDTA", "none"; static storage. */
const char *sw_chelator_word(sw_chelator chelator);

/* ", the chelated part,"; "" of the whole. */
const char *sw_label_role_name(sw_label_role role);

/*
 * What a printed figure leaves open: it is rounded, or cut off as a guaranteed
 * minimum, so that the truth lies from half a unit of its last digit below to
 * a whole one above (common practice, no source).
 */
double sw_claim_low(const sw_claim *c);
double sw_claim_high(const sw_claim *c);
void sw_claim_add(sw_claim *to, double mg_per_g, double digit);

/* The last printed of a total, what is available, what dissolves. */
sw_claim sw_claims_dissolved(const sw_claims *c);

/* Writes what a component comes to into the label. */
void sw_claims_settle(const sw_claims *c, sw_component component,
                      sw_label *label);

/*
 * All components together: chelators of the list, parts against wholes, the
 * forms of N against their total, charges.  SW_ERR_VALUE, SW_ERR_NAME (N
 * without a form).
 */
sw_status sw_claims_conclude(sw_claims of[SW_COMPONENT_COUNT], const char *name,
                             sw_label *label, sw_error *error);

#endif
