/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which water, how strong, which stage: choosing between waters and targets. */
#ifndef SALTWRIGHT_WHICH_H
#define SALTWRIGHT_WHICH_H

#include "saltwright_stock.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Which water --------------------------------------------------------*/

/*
 * Purified water as a reverse-osmosis unit usually gives it, where no analysis
 * is at hand: reference/purified_water.csv.  One sample, "purified"; free with
 * sw_waters_free.  SW_ERR_MEMORY.
 */
SW_API sw_status sw_purified_water(sw_waters **waters, sw_error *error);

/*
 * The least share of `purified` (per litre, completed) beside the one water of
 * `problem` with which its recipe meets every target, in whole percent, each
 * tried as it would be mixed; NaN where no share does.  SW_ERR_VALUE: several
 * waters; else as sw_formulate.
 */
SW_API sw_status sw_purified_least(sw_solver *solver, const sw_problem *problem,
                                   const sw_content *purified, double *share,
                                   sw_error *error);

/*
 * The closest, or cheapest, mix of several waters, and how far it may be moved.
 * The range of a water is that of its share, 0 to 1, over all mixes and recipes
 * that meet every target: its limits and, where a side has none, the band of
 * its verdict (EC, which is only judged, left out).  It need not be the closest
 * recipe.
 */
typedef struct sw_blend {
    sw_solution *best;        /* of the problem's objective, with its shares */
    sw_outcome range;         /* SW_CONFLICT: no mix meets every target;
                                 SW_LIMIT: a solve could not be finished;
                                 SW_UNDETERMINED: as of a solution */
    double *lowest, *highest; /* share of each water; NaN without a range */
    size_t water_count;
} sw_blend;

/*
 * `problem` has two or more waters and no fractions.  SW_ERR_VALUE otherwise,
 * and as sw_formulate.
 */
SW_API sw_status sw_blend_find(sw_solver *solver, const sw_problem *problem,
                               sw_blend **blend, sw_error *error);
SW_API void sw_blend_free(sw_blend *blend);

/* What waters are chosen by, the weightiest first; in all of them less is
 * better.  The margin is what counts as no difference (our rule: for the
 * distance what a lab is off by, else common practice, no source). */
#define SW_CRITERION_LIST(X)                                                   \
    X(SW_BY_REPORT, "no report to judge by", 0.0) /* 1: there is none */       \
    X(SW_BY_RECIPE, "no recipe", 0.0)             /* 1: there is none */       \
    X(SW_BY_HARM, "harmful", 0.0)                 /* limits passed, dangers */ \
    X(SW_BY_MISSES, "targets missed", 0.0)        /* count of clear ones */    \
    X(SW_BY_DEPOSITS, "deposits", 0.0)            /* solids past saturation */ \
    X(SW_BY_DISTANCE, "distance to target", 5.0)  /* %, root mean square */    \
    X(SW_BY_DRIFT, "pH in the air", 0.5) /* beyond its range, aired */         \
    X(SW_BY_ACID, "acid and base", 0.5)  /* meq/L */                           \
    X(SW_BY_COST, "cost", 0.03) /* per m3; the margin is a share of the least  \
                                 */
typedef enum sw_criterion {
#define SW_CRITERION_ENUM(code, text, margin) code,
    SW_CRITERION_LIST(SW_CRITERION_ENUM)
#undef SW_CRITERION_ENUM
        SW_CRITERION_COUNT
} sw_criterion;
/* "targets missed" and so on; static storage; NULL beyond the last. */
SW_API const char *sw_criterion_text(sw_criterion criterion);
/* What counts as no difference, in the criterion's unit (of the cost: a share);
 * NaN beyond the last. */
SW_API double sw_criterion_margin(sw_criterion criterion);

/* By how much pH, and EC as a share, may be outside their accepted range before
 * a meter and this calculation can tell (twice their errors in
 * sw_readings_default): a miss is clear beyond; of a ratio it always is. */
#define SW_UNCLEAR_PH 0.1
#define SW_UNCLEAR_EC 0.04
/* Those that decide, weightiest first, ended by SW_CRITERION_COUNT.  Where all
 * water and products are `priced`, money decides among those that harm nothing,
 * miss the same targets and stay clear; for the cheapest the distance is left
 * out. */
SW_API const sw_criterion *sw_criterion_order(sw_objective objective,
                                              bool priced);

/* A water, or a mix of some, with the recipe found for it. */
typedef struct sw_candidate {
    const char *name;
    const char *detail; /* said in brackets behind the name: shares; or "" */
    const sw_target *target;
    const sw_shelf *shelf;
    const sw_solution *solution;
    const sw_assessment *assessment; /* NULL where there is no recipe */
    double water_price_per_m3;       /* NaN when it is not known */
    bool takes_work; /* a mix, or to be purified: only chosen where better */
    bool doubtful;   /* something of its report is in doubt, beside what a note
                        of its assessment tells of SW_ABOUT_DOUBT */
} sw_candidate;

typedef struct sw_ranking {
    double value[SW_CRITERION_COUNT]; /* NaN: unknown, left out of account */
    sw_criterion out_by;              /* SW_CRITERION_COUNT: never put out */
    double idle_acid_meq_per_l; /* of acid whose N, P or S nobody asks for */
    /* Of one water that takes work and is as sound (recipe, harm, misses,
     * deposits) as one that does not: the price of 1000 L at which it costs the
     * same, its products counted; of unknown prices the difference between
     * them.  And the index of that other one.  NaN and the count else. */
    double pays_below_per_m3;
    size_t pays_against;
    /* 1 of SW_BY_REPORT: nobody knows the alkalinity, or a note is that the
     * report cannot be true (SW_ABOUT_REPORT).  It is never chosen. */
    bool dangerous;   /* its solution or assessment has a note of danger */
    bool doubtful;    /* chosen, it is to be used only once that is settled */
    char reason[160]; /* what puts it behind the chosen; "" for that one */
} sw_ranking;

typedef struct sw_choice {
    const sw_criterion *order; /* as they were asked; static */
    bool priced;               /* all water and products have prices */
    size_t chosen;             /* the count where no water has a recipe, or
                                  none a report to judge it by */
    bool usable;               /* false: none is to be used as it stands, and
                                  `chosen`, where there is one, is the least
                                  harmful */
    sw_ranking *rankings;      /* one per candidate */
    size_t count;
    char verdict[1024]; /* "Use town: ..." */
} sw_choice;

/*
 * Criterion by criterion, the candidates that are behind the best of those
 * left by more than the margin are put out (elimination by aspects: Tversky A.
 * 1972, Psychological Review 79(4):281-299); what takes no work goes before
 * what does, then the closest to the target.  A candidate with a note of danger
 * is put out by harm before any other is counted, while one without is left.
 * Unless all is priced, cost does not part what takes work from what does not,
 * and no acid that is a nutrient speaks for what takes work.
 * SW_ERR_VALUE (no candidates; citric acid at a pH outside 2 to 12),
 * SW_ERR_NUMERIC, _MEMORY.
 */
SW_API sw_status sw_choose(const sw_candidate *candidates, size_t count,
                           sw_choice **choice, sw_error *error);
SW_API void sw_choice_free(sw_choice *choice);

/* ---- How strong ---------------------------------------------------------*/

typedef struct sw_strength {
    bool reached;
    double factor;          /* of the target, or of a given recipe; NaN */
    double ec_ms_per_cm;    /* there; not reached: the nearest to it */
    double water_ms_per_cm; /* the water with nothing in it; NaN for a blend
                               to be found */
    sw_target *target;      /* scaled; NULL when not reached, or for a recipe */
    char reason[512];       /* why it is not reached, or "" */
} sw_strength;

/*
 * The factor at which the finished solution of `problem` reads `ec_ms_per_cm`
 * at 25 degC: a root of formulate and the full equilibrium.  With `setup` it
 * is the solution the stocks deliver.  Not being reached is no error.
 * SW_ERR_VALUE (an EC not above 0, or above 20), and as sw_formulate.
 */
typedef struct sw_strength_aim {
    double ec_ms_per_cm;
    const sw_stock_setup *setup; /* NULL: mixed without stocks */
} sw_strength_aim;
SW_API sw_status sw_strength_find(sw_solver *solver, const sw_problem *problem,
                                  const sw_strength_aim *aim,
                                  sw_strength **strength, sw_error *error);
/* The same for a given recipe: all of its amounts times the factor. */
SW_API sw_status sw_strength_of_recipe(const sw_mix *mix, double ec_ms_per_cm,
                                       sw_strength **strength, sw_error *error);
SW_API void sw_strength_free(sw_strength *strength);

#ifdef __cplusplus
}
#endif

#endif
