/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem as a scaled linear form, and the way back to the user's words. */
#ifndef SW_FORMULATE_MODEL_H
#define SW_FORMULATE_MODEL_H

#include "solve/fit.h"
#include "formulate/setting.h"

/* Limits of a pH: where the equilibria hold (chemistry/ph_row.h), less the
 * slope's step. */
#define SW_LEAST_PH 2.1
#define SW_MOST_PH 11.9

/* Where no limit of a product is in force: a bound for any column. */
#define SW_ANY_G_PER_L 1e6

/* One limit: a bound of a row, or of a column (a product). */
typedef struct sw_side {
    sw_side_kind kind;
    sw_side_end end; /* SW_SIDE_FIXED: a product's rate */
    sw_origin origin;
    size_t index;                /* of the row or column */
    double bound;                /* in the user's unit */
    const sw_target_row *target; /* NULL for a product and the cost */
    const sw_product *product;
    const sw_ph_aim *aim; /* of a pH */
} sw_side;

/* Of each aim its target, min and max; SW_LANES at most. */
enum { SW_MOST_PH_LINES = 3 * SW_MOST_AIMS };

/* How far the ends of a row give way, in its own unit. */
typedef struct sw_give {
    double low, high;
} sw_give;

/* A row on a pH as it stands: what the levers give times y, and the rest. */
typedef struct sw_ph_line {
    const sw_ph_aim *aim;
    sw_side_end end;     /* SW_SIDE_FIXED: a term */
    bool is_both;        /* a min and a max that are one */
    size_t index;        /* of the term, or of the form's row */
    double unit;         /* meq/L that 1 of it stands for */
    double rest;         /* meq/L of what does not move */
    sw_ph_memory memory; /* of the pH at which it is linear, at model.ph_at */
} sw_ph_line;

/* A content whose pH is known. */
typedef struct sw_seen {
    sw_content content;
    sw_start at; /* with its pH */
} sw_seen;

typedef struct sw_model {
    const sw_problem *problem;
    const sw_setting *setting;
    sw_form form;
    sw_terms terms;
    const sw_target_row **term_row; /* of each term */
    double *term_scale;             /* sqrt(weight) / s of each term */
    size_t products;                /* columns of products come first, */
    size_t blends;                  /* then one per water when free */
    size_t *shelf_index;            /* of each product's column */
    double *unit;        /* g/L, or fraction, that 1 of a column stands for */
    const double *times; /* in how many solutions a column's amount goes; NULL:
                            in one */
    double *row_unit;    /* what 1 of a row stands for */
    sw_content water;    /* the blend when it is given, else 0 */
    sw_side *sides;
    size_t side_count;
    sw_ph_line *ph_lines;
    size_t ph_line_count;
    sw_constants *room; /* for the lines' constants, where the conditions
                           bring none */
    bool ph_in_force;
    sw_content ph_at; /* what the lines' rows are of, */
    bool ph_asked;    /* or before that, of the solution asked for */
    sw_seen seen[2];  /* as mixed, aired; ph NaN: none, or no answer */
    sw_give *ph_gave; /* meq/L of each aim; NULL: nobody asks */
    sw_levers levers;
    bool priced;     /* every product has a price */
    double by_place; /* share of its cost by which each place of a product adds
                        to it, where recipes as good take turns; else 0 */
    sw_beside *beside; /* in circles; or NULL */
    sw_notes notes;
} sw_model;

/* Models of several waters as one. */
typedef struct sw_block {
    size_t count;
    sw_model *const *model; /* of each water; their columns are alike */
    sw_model *all;          /* their rows, one after another */
    const size_t *column;   /* of `all`, for each column of each model, water by
                               water; NULL: the one model's own */
} sw_block;

size_t sw_block_column(const sw_block *block, size_t i, size_t j);
/* Water `i`'s part of what has an entry for each column of `all`. */
void sw_block_part(const sw_block *block, size_t i, const double *all,
                   double *part);
/* The way back, into zeros. */
void sw_block_spread(const sw_block *block, size_t i, const double *part,
                     double *all);

/*
 * Builds the model of `problem` in memory of the solver; products in order of
 * their names, so that the order of the shelf does not matter.  Only the notes
 * need sw_notes_free.  Errors: see sw_formulate.
 */
sw_status sw_model_build(sw_solver *solver, const sw_problem *problem,
                         const sw_setting *setting, sw_model *model,
                         sw_error *error);

/* sw_model_build's parts, in the order they run. */
sw_status sw_model_check(const sw_problem *problem, sw_error *error);
sw_status sw_model_add_terms(sw_solver *solver, sw_model *model,
                             sw_error *error);
sw_status sw_model_add_limits(sw_solver *solver, sw_model *model,
                              sw_error *error);
/* Rows of a model, at most. */
size_t sw_model_most_rows(const sw_problem *problem);

/* The product of a column; price per m3 that 1 of each product's column stands
 * for in all its solutions, into `row`. */
const sw_product *sw_model_product(const sw_model *model, size_t column);
/* A rule of ours leaves no more of the product than its min. */
bool sw_model_is_shut(const sw_model *model, size_t column);
/* It serves as an acid or a base. */
bool sw_model_is_agent(const sw_model *model, size_t column);
void sw_model_price_products(const sw_model *model, double *row);

/*
 * Row coefficients of sum coefficient * content, per unit of each column,
 * into `row`; returns what the given water alone brings.
 */
double sw_model_row(const sw_model *model, const double *coefficient,
                    double *row);
/*
 * Fills row `at` of the form with the same, divided by a power of two near
 * its largest coefficient: row_unit.  A row no column reaches is scaled by
 * `bound`.
 */
double sw_model_fill_row(sw_model *model, size_t at, const double *coefficient,
                         double bound);

/* Amounts of products free to be 0 that are rounding of the solve, and that no
 * target could tell, become 0; answers whether there were any. */
bool sw_model_drop_residue(const sw_model *model, double *y);

/* The most of a column's product, g/L, and who sets that. */
double sw_model_most(const sw_model *model, size_t column, sw_origin *origin);

/* Finished content at a point. */
void sw_model_content(const sw_model *model, const double *y,
                      sw_content *finished);

/* The equilibrium last seen, or that of the line of a pH whose solution is
 * nearest to that pH, in `room`; NULL where there is none. */
const sw_start *sw_model_start(const sw_model *model, sw_start *room);
/* The pH of a solution, from the model's memory where it is of that to the last
 * bit.  Errors of sw_equilibrate. */
sw_status sw_model_see(const sw_model *model, const sw_content *finished,
                       bool aired, sw_seen *seen, sw_error *error);
/* g/L of a salt that brings P or Si nobody bounds, and serves other targets:
 * what fills the first of those to the end of its accepted range, or any to its
 * min, so that no phosphate stands in for an acid; INFINITY of others. */
double sw_model_buffer_cap(const sw_model *model, size_t column);
/*
 * Puts limits and terms on the pH in force with the activities of the solution
 * at `y`.  What is none of the model's levers does to the pH what it does at
 * `y`, whatever its amount.
 * *moved is the largest change (meq/L) of what they say of `y`, INFINITY when
 * they were not in force before.  Errors of sw_ph_row_at.
 */
sw_status sw_model_set_ph(sw_model *model, const double *y, double *moved,
                          sw_error *error);
/* d(row)/d(pH) at `finished`, meq/L; NaN when the chemistry has no answer. */
double sw_model_ph_slope(const sw_model *model, const sw_side *side,
                         const sw_content *finished);

/* Puts the side's bound in force in `form`, a copy of the model's, or takes it
 * out; a product that a rule of ours leaves out stays so. */
void sw_side_put(const sw_model *model, const sw_side *side, bool in_force,
                 const sw_form *form);
/* Of its row or column: what 1 is in the user's unit, the bound, the value at a
 * point. */
double sw_side_unit_size(const sw_model *model, const sw_side *side);
double sw_side_bound(const sw_model *model, const sw_side *side);
double sw_side_value(const sw_model *model, const sw_side *side,
                     const double *y);
/* Where the side stands at a point, in the user's unit; NaN: nowhere. */
double sw_side_stand(const sw_model *model, const sw_side *side,
                     const double *y);
/* Writes the row of a component's or ratio's side for another bound. */
void sw_side_move(sw_model *model, const sw_side *side, double bound);
/* Puts our ceilings and caps where the least rates of products, as they now are
 * in its form, have them; each stood at its side's bound. */
void sw_model_move_own(sw_model *model);
/* "Ca max 200 mg/L (target.csv line 5)"; `size` bytes. */
void sw_side_text(const sw_model *model, const sw_side *side, char *text,
                  size_t size);
/* The rule by which there is a limit; "": it is given. */
const char *sw_origin_rule(sw_origin origin);
/* The side as a limit with its price at a point. */
sw_limit sw_side_limit(const sw_model *model, const sw_side *side,
                       const sw_point *point);
/* Whether the price of the side's bound is of its sign and not nothing. */
bool sw_side_binds(const sw_side *side, const sw_point *point);

#endif
