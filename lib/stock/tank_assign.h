/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which product goes into which tank.  Each product takes one of its options
 * (a tank, or shares of A and B in tenths) so that the fuller tank's share of
 * the salts plus what departs from common practice is least, nothing feuds,
 * everything fits and all tanks stay dissolved.
 */
#ifndef SW_STOCK_TANK_ASSIGN_H
#define SW_STOCK_TANK_ASSIGN_H

#include "solve/solver.h"
#include "stock/mixture.h"

enum { SW_OPTIONS_MAX = 12 };

/* Shares of a product's rate by tank, sum 1, and its cost. */
typedef struct sw_option {
    double share[SW_TANKS];
    double cost;
} sw_option;

/* A product in use. */
typedef struct sw_assigned {
    size_t product; /* of the shelf */
    unsigned classes;
    bool pinned;
    double g_per_l[SW_TANKS]; /* of stock, if all of it went there */
    const sw_content *per_g;
    double l_per_g; /* what it takes of a tank */
    sw_option option[SW_OPTIONS_MAX];
    size_t option_count;
} sw_assigned;

typedef struct sw_assign {
    const sw_shelf *shelf;
    sw_assigned *items;
    size_t count;
    sw_content make_up; /* of a litre of stock */
    const sw_solubility *solubility;
    long checks_max; /* tanks a search may speciate, about 0.1 ms each */
} sw_assign;

/*
 * The problem of a recipe in memory of the solver.  SW_ERR_NAME: a product's
 * `tank` is none of "A", "B", "C".
 */
sw_status sw_assign_build(sw_solver *solver, const sw_mix *mix,
                          const sw_stock_setup *setup, sw_assign *assign,
                          sw_error *error);

typedef struct sw_assignment {
    bool found;
    bool open;        /* the search was cut short: a better one may be left */
    long checks;      /* tanks speciated */
    size_t *option;   /* of each item; in memory of the solver */
    double objective; /* least cost */
    size_t solid;     /* that came out last, or sw_stock_solid_count() */
    bool comes_out[SW_STOCK_SOLIDS_MAX]; /* of some assignment tried */
    sw_tank tank; /* of which tank; or that had no room, without a solid */
} sw_assignment;

typedef enum sw_assign_aim {
    SW_ASSIGN_BEST, /* the cheapest */
    SW_ASSIGN_ANY   /* the first that works */
} sw_assign_aim;
/* An assignment with `strength` times the salts; within sw_solver_run. */
sw_assignment sw_assign_solve(sw_solver *solver, const sw_assign *assign,
                              double strength, sw_assign_aim aim);
/* Strength up to which no chelate meets the acid of another product. */
double sw_assign_chelate_strength(const sw_assign *assign,
                                  const size_t *option);

/* Strength up to which the tanks have room for their water. */
double sw_assign_room_strength(const sw_assign *assign, const size_t *option);

/* Items that find no tanks though all but any one of them do. */
typedef struct sw_clash {
    size_t *item; /* in memory of the solver */
    size_t count; /* 0: there are tanks, or the search was cut short */
    sw_assignment why;
} sw_clash;
/* With `strength` times the salts; within sw_solver_run. */
sw_clash sw_assign_clash(sw_solver *solver, const sw_assign *assign,
                         double strength);

/* Contents of a tank under options chosen. */
void sw_assign_tank(const sw_assign *assign, const size_t *option, sw_tank tank,
                    sw_tank_content *content);
/* Why no assignment keeps the feuds, or "" when some might. */
void sw_assign_feud(const sw_assign *assign, char *text, size_t size);
/* The products of a clash and why they clash; the highest factor at which they
 * do not, or 0. */
void sw_assign_clash_text(const sw_assign *assign, const sw_clash *clash,
                          double factor, char *text, size_t size);
/* A few words on why an item is where it is. */
void sw_assign_reason(const sw_product *product, const sw_assigned *item,
                      const sw_option *option, bool alone, char *text,
                      size_t size);

#endif
