/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several waters and one recipe as one model: salts are columns in common,
 * acids and bases a column for each water, and every limit and target stands
 * once for each water.
 */
#ifndef SW_DECIDE_JOINT_H
#define SW_DECIDE_JOINT_H

#include "formulate/ease.h"
#include "formulate/settle.h"

#include <stdint.h>

/* Waters of a set are its bits. */
typedef uint64_t sw_water_set;
enum { SW_MOST_JOINT = 48, SW_ALLOWED_KINDS = SW_EITHER + 1 };

/* One of the waters. */
typedef struct sw_member {
    sw_problem problem;     /* of it alone */
    sw_easing_state *eased; /* what the water is over, or NULL */
    sw_allowed list[SW_MOST_SETTINGS];
    size_t options;
    sw_allowed allowed; /* in force */
    sw_setting setting[SW_ALLOWED_KINDS];
    sw_model model[SW_ALLOWED_KINDS]; /* each built when it is asked for */
    bool built[SW_ALLOWED_KINDS];
    double *y;  /* its columns at the point in hand */
    bool known; /* there was such a point */
    /* Of each row that is no pH's, and of each pH (meq/L): how far it gave way,
     * and by how much it may since it does with a recipe of its own too. */
    sw_give *gave, *lent;
    sw_give ph_gave[SW_MOST_AIMS], ph_lent[SW_MOST_AIMS];
} sw_member;

typedef struct sw_joint {
    sw_solver *solver;
    const sw_problem *problem; /* its waters each stand alone */
    sw_member *members;
    size_t count;
    size_t *in; /* members in force */
    size_t in_count;
    size_t columns;      /* of a member's model */
    bool *own;           /* of each of them: a column for each water */
    size_t common, each; /* how many are not, and are, own */
    size_t *column;      /* of `all`: rounds.block */
    sw_model all;        /* of the members in force */
    double share;        /* by which limits gave way beyond what they may */
    sw_rounds rounds;    /* of the members in force */
    sw_model *model[SW_MOST_JOINT];
    double *y[SW_MOST_JOINT];
    bool found;  /* there is a recipe */
    bool proved; /* the search for acid or base came to its end */
} sw_joint;

/*
 * Every water of `problem` a member, all in force; nothing is solved.  Errors
 * of sw_formulate.
 */
sw_status sw_joint_open(sw_solver *solver, const sw_problem *problem,
                        sw_joint *joint, sw_error *error);
void sw_joint_close(sw_joint *joint);
/* Puts the members of `set` in force, each with all its options. */
void sw_joint_choose(sw_joint *joint, sw_water_set set);

/* The model of member `at` in force. */
sw_model *sw_joint_model(sw_joint *joint, size_t at);
/* Builds the model of a member for what is now allowed to it. */
sw_status sw_joint_build(sw_joint *joint, size_t at, sw_error *error);
/* The first that is undetermined; NULL: none is. */
const sw_problem *sw_joint_undetermined(const sw_joint *joint);
/* Lets every limit that a water alone is over give way; whether any did. */
sw_status sw_joint_ease_waters(sw_joint *joint, bool *any, sw_error *error);
/* Which of its pH aims this is. */
size_t sw_joint_aim(const sw_model *model, const sw_ph_aim *aim);
/* The first row of `all` of the member in force at place `i`. */
size_t sw_joint_row(sw_joint *joint, size_t i);
/* What the members' models now say into `all`, with what gave way. */
void sw_joint_assemble(sw_joint *joint);

/*
 * The best recipe for the members in force: which of them get acid and which
 * base is found by branch and bound, from a relaxation that lets both.  Into
 * the members' y, joint->fit and what gave way.  A point keeps all limits but
 * for that.  Errors of sw_formulate.
 */
sw_status sw_joint_settle(sw_joint *joint, sw_error *error);

#endif
