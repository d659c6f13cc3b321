/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem, its recipe, and what is proved of it. */
#ifndef SALTWRIGHT_FORMULATE_H
#define SALTWRIGHT_FORMULATE_H

#include "saltwright_chemistry.h"

/* clang-format off */
#ifdef __cplusplus
extern "C" {
#endif

/* ---- Formulate ----------------------------------------------------------*/
typedef enum sw_objective {
    SW_CLOSEST, /* least sum of weighted squared relative deviations */
    SW_EVEN,    /* least largest weighted relative deviation */
    SW_CHEAPEST /* least cost within the targets' limits */
} sw_objective;
typedef enum sw_objective_kind {
    SW_OF_SQUARES, /* of deviations from the targets, summed */
    SW_OF_WORST,   /* the largest of them */
    SW_OF_AMOUNTS  /* a sum over amounts; targets are limits only */
} sw_objective_kind;
/* Everything that is true of an objective alone. */
typedef struct sw_objective_facts {
    const char *name; /* "closest" */
    sw_objective_kind kind;
    const char *aim;     /* "closest to the target" */
    const char *value;   /* what its value is called: "distance" */
    const char *measure; /* what it makes least, in a sentence */
} sw_objective_facts;
/* NULL for anything else. */
SW_API const sw_objective_facts *sw_objective_facts_of(sw_objective objective);
/* Its name, and back; NULL / SW_ERR_NAME for anything else. */
SW_API const char *sw_objective_text(sw_objective objective);
SW_API sw_status sw_objective_parse(const char *text, sw_objective *objective,
                                    sw_error *error);

typedef struct sw_problem {
    const sw_content *waters; /* completed, per litre; water_count of them */
    size_t water_count;       /* >= 1 */
    const double *fractions;  /* one per water, sum 1; NULL: free */
    const sw_target *target; const sw_shelf *shelf;
    sw_objective objective;
    sw_conditions conditions; /* for rows on pH */
    int pivot_limit;          /* 0: the default */
    bool keep_bands; /* the verdicts' bands are limits, as for SW_OF_AMOUNTS */
    bool nearest; /* limits of the target that cannot all hold give way by the
                     least; else there is no recipe */
    /* A ratio that the water alone breaks at every amount of its other part
     * that the target accepts gives way, as with `nearest`. */
    bool ratios_yield;
    /* The target of a ratio is only judged; else sought through its accepted
     * range, where nothing else is missed for it. */
    bool ratios_judged;
    bool bands_unsaid; /* no note on accepted ranges that served as limits */
    bool brief; /* `within` is not told, nor `limits` but those in conflict */
    bool no_ceilings; /* what the target does not name may rise without end */
    /* The solution is not the closest recipe but, of those that count as equal
     * to it, the one of the fewest products, then the cheapest (SW_CLOSEST). */
    bool fewest;
    /* Equal: every verdict is kept and components are within this share of
     * their targets of the closest; 0: they are the same, to six digits. */
    double equal_share;
    double most_cost_per_m3; /* needs prices; 0: any */
    const double *water_price_per_m3; /* of free waters; NULL: cost nothing */
    const double *most_share; /* of free waters, 0 to 1; NULL: 1 of each */
    const struct sw_no_further *no_further; /* the library's own: NULL */
} sw_problem;
/* The closest recipe to one water, with what is usual: 25 degC, ceilings on
 * what the target does not name, limits that give way where they cannot hold,
 * the fewest products of what is 2 % equal.  Set waters, target and shelf. */
SW_API sw_problem sw_problem_default(void);

#define SW_OUTCOME_LIST(X)                                                     \
    X(SW_OPTIMAL, "optimal")                                                   \
    X(SW_LIMIT, "limit")                                                       \
    X(SW_CONFLICT, "conflict")                                                 \
    X(SW_UNDETERMINED, "undetermined") /* some of it is SW_UNKNOWN_WATER, or   \
                                          rests on SW_UNKNOWN_CO2 */
typedef enum sw_outcome {
#define SW_OUTCOME_ENUM(code, text) code,
    SW_OUTCOME_LIST(SW_OUTCOME_ENUM)
#undef SW_OUTCOME_ENUM
} sw_outcome;
SW_API const char *sw_outcome_text(sw_outcome outcome);

/*
 * What moves a pH in a proof: acids, bases and the mix of waters; P and Si too
 * that the target bounds or that come with what it asks for; or whatever its
 * target or its price keeps in check, to first order.  The rest does what it
 * does in the recipe.  Whether a pH can be had is not for salts to say;
 * where it can, what they do to it counts.
 */
typedef enum sw_levers {
    SW_LEVERS_AGENTS, SW_LEVERS_BUFFERS, SW_LEVERS_ALL
} sw_levers;
/* "acids, bases, ..." of a sentence that ends with it; NULL for others. */
SW_API const char *sw_levers_text(sw_levers levers);

/* objective >= optimum >= lower_bound; gap is their difference: where optimal
 * 1e-9 of the objective at most, and what amounts that no target could tell,
 * left out of the recipe, would have gained.  The optimum is
 * over all amounts of the products not left out, within the solution's limits,
 * each pH linear around this very recipe, as `levers` move it. */
typedef struct sw_certificate {
    double objective, lower_bound, gap;
    double kkt_residual; /* worst scaled violation of the KKT conditions */
    double ionic_strength_mol_per_kg; /* of the recipe, aired where a pH aired is
                                         sought; NaN: no pH in it */
    sw_levers levers;
    int pivots;
} sw_certificate;
/* Who set a limit: a line of a file, or the caller; or a rule of ours. */
typedef enum sw_origin {
    SW_GIVEN, SW_BY_RANGE, /* accepted range, of the cheapest, keep_bands, ratios */
    SW_OWN_CEILING, /* on what products add of what the target does not name */
    SW_OWN_CAP,     /* on P and Si while a pH is sought: target + 10 %, or on a
                       salt that brings them unasked, by what it serves */
    SW_OWN_RANGE,   /* usual pH as far as acid or base serve, no limit given */
    SW_OWN_LITRE,   /* on a weak product: what a litre of it weighs */
    SW_GAVE_WAY,    /* with `nearest`: from a line, to where a recipe is */
    SW_BY_LAB,      /* accepted range, and what a renewed tank keeps beyond it,
                       as far as no laboratory can tell */
    SW_FOR_SULFUR,  /* `held_low` or `held_high` of a row of the target */
    SW_NO_FURTHER,  /* on what sw_renew gives up: off as the closest recipe is,
                       and what a laboratory cannot tell */
    SW_OWN_SHARE    /* `most_share` of a water */
} sw_origin;
/* "given", "accepted range", "ceiling" ...; NULL for anything else. */
SW_API const char *sw_origin_text(sw_origin origin);
/* What a limit bounds, and from which end. */
typedef enum sw_side_kind {
    SW_SIDE_COMPONENT, SW_SIDE_RATIO, SW_SIDE_PH, SW_SIDE_PRODUCT, SW_SIDE_COST,
    SW_SIDE_WATER /* its share in the mix; told in `within` alone */
} sw_side_kind;
typedef enum sw_side_end { SW_SIDE_MIN, SW_SIDE_MAX, SW_SIDE_FIXED } sw_side_end;
/* A limit of the problem by its name, and by its place. */
typedef struct sw_limit {
    char name[320];     /* "Ca max 200 mg/L (target.csv line 5)" */
    unsigned long line; /* in its file; 0: it has none */
    sw_side_kind kind;
    sw_side_end end;
    size_t index; /* of the target's row, the shelf's product or the water; the
                     target's count: no row has it */
    sw_component component; /* of a component, and the first of a ratio */
    double bound, price; /* change of the objective per unit of the bound */
    const char *unit;    /* of it: "mg/L", "g/L"; "": a ratio, a pH, a cost, a share */
    sw_origin origin;
    bool binds; /* its price is not 0, it keeps a pH from its range, or sw_renew
                   lets more out for it */
    bool missed; /* a pH that gave way: the recipe passes it */
} sw_limit;
/* Whether a product of the shelf might serve, and if not, by which rule. */
typedef enum sw_left_out {
    SW_IN_USE, SW_LEFT_ACID, SW_LEFT_BASE, /* never together; or neither */
    SW_LEFT_TRACE, /* a source of trace elements the target does not ask for */
    SW_LEFT_OUTLASTED, /* its metal would not stay dissolved at the pH asked
                          for; another product's bears more */
    SW_LEFT_WATER  /* it adds to what the water alone brings too much of */
} sw_left_out;
/* The rule in words: "acid and base never serve together"; "" for in use. */
SW_API const char *sw_left_out_text(sw_left_out rule);
/* What problem.fewest did: the certificate, its limits and prices are of
 * the closest recipe; the solution's recipe is equal to it and has fewer
 * products, or costs less. */
typedef struct sw_fewer {
    bool proved;         /* no equal recipe of this kind chooses fewer */
    size_t products;     /* chosen: not fixed by the shelf, nor with a min */
    double ph_apart;     /* equal recipes are no further apart in pH; 0: none
                            were sought */
    double objective;    /* of the solution's recipe, where it is another */
    sw_recipe closest;   /* the certificate's; empty: it is the recipe */
    sw_component moved;  /* what is furthest from the closest, */
    double moved_share;  /* by this share of its target */
} sw_fewer;
typedef struct sw_solution {
    sw_outcome outcome;
    sw_objective objective;
    sw_certificate certificate;
    sw_recipe recipe;  /* empty after a conflict, or a limit met too early, or
                          where it is undetermined */
    double *fractions; size_t water_count; /* NULL after a conflict */
    sw_content water;  /* the blend, per litre */
    sw_limit *limits; size_t limit_count; /* binding; or those in conflict */
    sw_limit *within; size_t within_count; /* all the certificate is under */
    /* With `nearest`: the limits in conflict; a note says what gave way. */
    sw_limit *conflict; size_t conflict_count;
    sw_left_out *left_out; /* of each product */
    sw_fewer fewer;
    sw_start *start; /* for the conditions of who assesses it; or NULL */
    bool misses_ph; /* it is not where it is asked for; a note says why */
    bool ratios_judged; /* as the problem's, or others would be missed for one:
                           a note says for which */
    sw_notes notes;
} sw_solution;

/* The workspace of GLPK and GSL between solves, given to every call that solves:
 * one will do for all calls of a program, one at a time; opaque because those
 * types must not show.  GLPK's environment of the calling thread, if the program
 * has made one, is left as it is. */
typedef struct sw_solver sw_solver;
SW_API sw_status sw_solver_new(sw_solver **solver, sw_error *error);
SW_API void sw_solver_free(sw_solver *solver);
/* SW_ERR_MISSING: a target of zero without a max, "cheapest" without a price,
 * nothing to solve for.  SW_ERR_VALUE: fractions that do not sum to 1, min
 * above max, a number that is not finite, a pH limit outside 2.1 to 11.9.
 * SW_ERR_MEMORY.  What the solver could not finish is an outcome, and so is
 * SW_UNKNOWN_WATER in a water that may have a share, or SW_UNKNOWN_CO2 where the
 * pH as mixed, or acid or base of the shelf, has a part in it.  A limit that
 * only acid poured below the end of a pH, or base above it, would keep is in
 * conflict with that end, be it given or ours. */
SW_API sw_status sw_formulate(sw_solver *solver, const sw_problem *problem,
                              sw_solution **solution, sw_error *error);
SW_API void sw_solution_free(sw_solution *solution);

#ifdef __cplusplus
}
#endif

#endif
