/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Concentrates in tanks, amounts a scale can weigh, the order of mixing. */
#ifndef SALTWRIGHT_STOCK_H
#define SALTWRIGHT_STOCK_H

#include "saltwright_assess.h"
#include "saltwright_formulate.h"

/* clang-format off */
#ifdef __cplusplus
extern "C" {
#endif

/* ---- Stock --------------------------------------------------------------
 * Concentrates: which tank, whether it stays dissolved, what the injectors
 * deliver; what the scale can weigh; in which order to mix. */
typedef enum sw_tank { SW_TANK_A, SW_TANK_B, SW_TANK_C, SW_TANKS } sw_tank;
SW_API const char *sw_tank_text(sw_tank tank); /* "A", "B", "C" */

typedef struct sw_stock_setup {
    double factor;          /* litres of feed per litre of each stock */
    double ratio[SW_TANKS]; /* of a head that differs from it, else 0 */
    double volume_l;        /* of each tank, filled to the mark */
    double tank_l[SW_TANKS]; /* of a tank that differs from it, else 0 */
    double temperature_c, cold_c; /* of the stock: in use, in cold store */
    const sw_content *make_up;    /* fills the tanks; NULL: the source water */
    bool third_tank; /* C: for acid, or else for what is alkaline */
} sw_stock_setup;

/* 100-fold, 20 and 5 degC, made up with the source water, two tanks. */
SW_API sw_stock_setup sw_stock_setup_default(double volume_l);
/* Of one tank (below SW_TANKS), its own or the common one: litres of feed per
 * litre of its stock, and litres of the full tank. */
SW_API double sw_stock_ratio(const sw_stock_setup *setup, sw_tank tank);
SW_API double sw_stock_volume_l(const sw_stock_setup *setup, sw_tank tank);

typedef struct sw_placement {
    double g[SW_TANKS]; /* in a full tank */
    char reason[128];
    unsigned long line[SW_TANKS]; /* of the file; 0: not in it */
} sw_placement;
/* `tank,product,amount,unit`: what is in each full tank, by mass, or a liquid
 * by volume.  Products are found, and appended to `shelf`, as by
 * sw_recipe_read; one placement for each of them, in the shelf's order.  Free
 * with sw_placements_free. */
SW_API sw_status sw_placements_read(FILE *stream, const char *name,
                                    sw_shelf *shelf, sw_placement **placements,
                                    sw_error *error);
SW_API void sw_placements_free(sw_placement *placements);
/* Saturation: ion product over that at saturation, per ion; 1 is the limit. */
typedef struct sw_tank_report {
    double volume_l, ratio, salts_g_per_l; /* 0 L: unused */
    double ph;          /* estimated, about 0.3; NaN: not estimated */
    char no_ph[64];     /* and why not; or "" */
    /* Of the chelate in it that bears this pH least: it lasts between these;
     * NaN: none, or not said. */
    double chelate_ph_low, chelate_ph_high;
    size_t chelate;         /* which of the shelf */
    double chelate_ph;      /* `ph`, but in purified water if `makes_lime` */
    char chelate_lost[512]; /* `ph` lets its metal go: that, a way out; or "" */
    double ammonia_ppm; /* NH3 by volume, in air at rest over it */
    double saturation, saturation_cold;
    char solid[48], solid_cold[48];   /* nearest to coming out; or "" */
    double coldest_c;      /* at which all stays dissolved; NaN */
    double highest_factor; /* the same, in use and in store */
    char no_data[256]; /* products without a solubility, with g/L; or "" */
    char missing[160]; /* pairs of ions without data: pure salts bound; or "" */
    bool makes_lime; /* its calcium with the carbonate of its make-up water */
} sw_tank_report;
/* A way out of a conflict, planned or judged anew before it is offered: with
 * it the tanks work, and nothing in them is a danger. */
typedef enum sw_remedy_kind {
    SW_REMEDY_MOVE,   /* of products to other tanks: `text` says which */
    SW_REMEDY_FACTOR, /* a lower one */
    SW_REMEDY_TANK,   /* a third tank */
    SW_REMEDY_APART,  /* a product not in the stocks */
    SW_REMEDY_WATER,  /* purified make-up water */
    SW_REMEDY_SHELF   /* the recipe formulated without a product */
} sw_remedy_kind;
SW_API const char *sw_remedy_text(sw_remedy_kind kind); /* "move", "factor" ... */
typedef struct sw_remedy {
    sw_remedy_kind kind; /* the first, where it takes two steps */
    double factor;       /* to go down to; NaN: as it is */
    size_t product;      /* of the shelf, moved, let go of its tank, or left
                            out of the stocks (the first); SIZE_MAX: none */
    sw_tank tank;        /* where to; SW_TANKS: the plan tells */
    char text[400];      /* a sentence or two */
} sw_remedy;
enum { SW_REMEDIES_MAX = 8 };
typedef struct sw_stock {
    sw_outcome outcome; /* SW_CONFLICT: nothing works at this factor; or, as
                           mixed, it does not stay dissolved or must not meet */
    sw_placement *placements; /* one per product of the shelf */
    size_t count;
    sw_tank_report tanks[SW_TANKS];
    double highest_factor; /* at which something works; 0: none */
    char limit[512];       /* what limits it */
    sw_remedy remedies[SW_REMEDIES_MAX]; /* of a conflict */
    size_t remedy_count;   /* 0: nothing that was tried helps */
    size_t *clash;         /* products of the shelf that find no tanks together,
                              of a planned conflict; as far as that is settled */
    size_t clash_count;
    sw_content finished;   /* per litre, as delivered */
    double water_share;    /* of source water in it */
    double feed_l;         /* until the first tank is empty */
    double cost_per_m3, cost_per_fill; /* NaN without prices */
    sw_notes notes;
} sw_stock;

/* Where more of a product goes: the tank with most of it and the feed that
 * tank is for, of which all of what is beyond it is poured there. */
SW_API sw_pouring sw_stock_pouring(const sw_stock *stock, size_t product);

/* SW_ERR_VALUE (setup out of its domain: factor and ratios of 4 to 2000, tanks
 * above 0 L, 0 to 50 degC), SW_ERR_NAME (a product's tank). */
SW_API sw_status sw_stock_plan(sw_solver *solver, const sw_mix *mix,
                               const sw_stock_setup *setup, sw_stock **stock,
                               sw_error *error);
/* The same of tanks as really mixed: g[] of each product of mix->shelf; all
 * but the outcome is as if they stayed dissolved. */
SW_API sw_status sw_stock_check(sw_solver *solver, const sw_mix *mix,
                                const sw_stock_setup *setup,
                                const sw_placement *mixed, sw_stock **stock,
                                sw_error *error);
SW_API void sw_stock_free(sw_stock *stock);
/* Formulates so that the solution *stock delivers, diluted by its own make-up
 * water, is on target; iterated.  *stock is NULL after a conflict of limits. */
SW_API sw_status sw_stock_formulate(sw_solver *solver,
                                    const sw_problem *problem,
                                    const sw_stock_setup *setup,
                                    sw_solution **solution, sw_stock **stock,
                                    sw_error *error);

/* An injector: what the products of its tank bring to a litre of feed, and the
 * water with this injector running and the others shut. */
typedef struct sw_head {
    sw_tank tank;
    double ratio;      /* litres of feed from a litre of stock */
    sw_content brings; /* mg */
    sw_chemistry alone; /* CO2 kept, no saturation; its EC with bounds */
} sw_head;
/* Of a tank in use, else SW_ERR_VALUE; the water of `mix` is the source.
 * SW_ERR_NUMERIC. */
SW_API sw_status sw_stock_head(const sw_mix *mix, const sw_stock *stock,
                               const sw_stock_setup *setup, sw_tank tank,
                               sw_head *head, sw_error *error);

/* What so many batches of stock take of a product. */
typedef struct sw_purchase {
    double g;     /* 0: no tank takes it */
    double packs; /* whole ones; NaN where the shelf names no pack */
    double cost;  /* of the packs, or else of what is needed; NaN: no price */
} sw_purchase;
SW_API sw_purchase sw_stock_purchase(const sw_stock *stock,
                                     const sw_shelf *shelf, size_t product,
                                     double batches);

/* A recipe with a row for each product in each tank, since each tank is filled
 * and each injector drifts on its own; for sw_uncertainty_find and sw_diagnose.
 * It borrows what `mix` points to. */
typedef struct sw_apart {
    sw_mix mix;
    int *head;       /* of each row: its tank */
    size_t *product; /* and its product in the shelf of the whole */
    sw_shelf shelf;
    sw_recipe recipe;
} sw_apart;
/* Of a stock that has its tanks.  SW_ERR_MEMORY.  Free with sw_apart_free. */
SW_API sw_status sw_stock_apart(const sw_mix *mix, const sw_stock *stock,
                                sw_apart **apart, sw_error *error);
SW_API void sw_apart_free(sw_apart *apart);

/* An amount as a page prints it, of a product or of its part in one tank. */
enum { SW_EACH_MIX = -1 };
typedef struct sw_printed {
    size_t product; /* of the shelf */
    int mix;        /* that it goes into, by its place; or SW_EACH_MIX */
    double g_per_l; /* exact; the parts of a product are its recipe's amount */
    double unit_g_per_l; /* what 1 of the unit it is printed in stands for */
    double value;        /* found: of that unit, */
    int decimals;        /* to so many places; below 0: to tens, hundreds */
} sw_printed;

/* Fills value and decimals of `count` items: 3 figures, 4 after a 1 (off by
 * 0.5 % at most), as typed where a rate is fixed; other roundings or more
 * figures where the printed amounts together would otherwise lose a verdict of
 * `exact`, the assessments of `mixes`, move a pH by more than 0.02, or break a
 * product's own limit.  The mixes have one target and shelf: the same amounts,
 * but for those that are one mix's own, poured into several waters.
 * SW_ERR_NUMERIC, SW_ERR_MEMORY. */
SW_API sw_status sw_print_amounts(const sw_mix *mixes,
                                  const sw_assessment *const *exact,
                                  size_t mix_count, sw_printed *items,
                                  size_t count, sw_error *error);

/* What can be weighed for one batch of finished solution. */
typedef struct sw_scale {
    double volume_l;             /* of the batch */
    double step_g, micro_step_g; /* of the scale, of that for trace elements */
    bool whole_packs;            /* where a pack is known */
    double concentrate_l;        /* volume of a micro concentrate; 0: none */
    double seconds;              /* time limit */
    /* Set to other than 0 from outside, another thread or a signal: time is up
     * at once; or NULL. */
    const volatile int *stop;
    const double *batch_l; /* of each product, instead of volume_l; or NULL */
} sw_scale;

/* A liquid is measured out to three figures of its mL; a solid weighed. */
typedef struct sw_weighing {
    double amount_g, step_g; /* a whole number of steps */
    /* of trace elements too little for the scale: weigh, make up, measure out;
     * or NaN */
    double concentrate_g, concentrate_l, dose_ml;
} sw_weighing;

typedef struct sw_weighed {
    sw_outcome outcome; /* SW_LIMIT: time was up; see the gap */
    sw_certificate certificate; /* of whole steps; of kkt_residual: NaN */
    double rounded, continuous; /* objective of the best rounding, of none */
    /* With problem.equal_share: no component is further than that, or than the
     * coarsest step brings, from the solution, or, where no whole steps are,
     * from the closest of these.  Of such, the least move from the solution's
     * amounts is taken. */
    bool equal, of_steps;
    size_t moved;      /* amounts that are not at their nearest step */
    double most_moved; /* furthest of all from the solution's, as its share */
    sw_weighing *items; /* one per product of the shelf; without a recipe
                           of traces from a solution alone, at the amounts
                           of the solution weighed */
    sw_recipe recipe;   /* empty when no whole steps keep all limits */
    sw_notes notes;
} sw_weighed;

/* Closest recipe of whole steps to a solution of `problem` (SW_CLOSEST), in
 * the water of that solution.  SW_ERR_VALUE: another objective, a solution
 * without a recipe or of another shelf, a volume, step or time not above 0, a
 * batch of more than 1e12 steps of a product.  Else as sw_formulate. */
SW_API sw_status sw_weigh(sw_solver *solver, const sw_problem *problem,
                          const sw_solution *near, const sw_scale *scale,
                          sw_weighed **weighed, sw_error *error);
SW_API void sw_weighed_free(sw_weighed *weighed);

/* What sw_stock_formulate made of a problem. */
typedef struct sw_filling {
    const sw_problem *problem; const sw_stock_setup *setup;
    const sw_solution *solution;
    sw_stock **stock;
} sw_filling;
/* The same for full tanks: each amount in each tank in whole steps.  *stock is
 * replaced by that of the amounts found, or left after a conflict; volume_l and
 * batch_l of the scale do not matter.  Errors of sw_weigh, sw_stock_check. */
SW_API sw_status sw_stock_weigh(sw_solver *solver, const sw_filling *filling,
                                const sw_scale *scale, sw_weighed **weighed,
                                sw_error *error);

/* What must not meet, from reference/hazard_pairs.csv: static text.  A side is
 * a kind of product ("nitric acid") or a thing on no shelf ("bleach"). */
typedef struct sw_meeting {
    const char *one, *other;
    const char *gives, *advice; /* advice: "" for stocks' tank rule alone */
    const char *known, *source;
    bool is_product; /* `other` is a kind of product */
} sw_meeting;
SW_API size_t sw_meeting_count(void);
SW_API sw_meeting sw_meeting_at(size_t index); /* below the count */
/* Whether a product is what that side of a pair is; false of a thing. */
SW_API bool sw_meeting_side_is(const char *side, const sw_product *product);

/* Litres of water that a solid is dissolved in before it is poured into a
 * reservoir: 10 L for each kg; for what is little a litre, in small reservoirs
 * a thousandth of them (common practice, no source).  Of a liquid, its own. */
SW_API double sw_bucket_l(const sw_product *product, double g,
                          double reservoir_l);

typedef enum sw_step_kind {
    SW_STEP_PREPARE, SW_STEP_DRAIN, SW_STEP_FILL, SW_STEP_ADD, SW_STEP_MEASURE,
    SW_STEP_TOP_UP, SW_STEP_STIR, SW_STEP_STORE
} sw_step_kind;
SW_API const char *sw_step_text(sw_step_kind kind); /* "prepare", "fill" ... */
typedef struct sw_step {
    sw_step_kind kind;
    sw_tank tank;   /* SW_TANKS: the reservoir */
    size_t product; /* of the shelf, with SW_STEP_ADD and a solution's PREPARE */
    double g;       /* of it */
    double volume_l; /* in the vessel then, or of that solution; 0: no matter */
    /* Of too little to be weighed: what is dissolved to which volume, and what
     * of that is poured in; 0 where it is weighed. */
    double concentrate_g, concentrate_l, dose_ml;
    /* What the mixture is oversaturated with after an addition, of the solids
     * that form at once: "calcite, brushite", or "". */
    char clouds[128];
    char text[512], safety[640]; /* or ""; what can hurt, and how not to */
    char advice[400]; /* of it how not to, without hazards and gear; or "" */
} sw_step;
typedef struct sw_steps { sw_step *items; size_t count; } sw_steps;

typedef struct sw_mixing {
    const sw_mix *mix;
    const sw_stock *stock;       /* its tanks; NULL: straight into volume_l */
    const sw_stock_setup *setup; /* of the stock; else NULL */
    const sw_weighed *weighed;   /* with its trace solutions; or NULL */
    double volume_l;
    /* Of a reservoir that is renewed: how much old solution stays in it, and
     * how much is drained before.  Both 0: a fresh mix. */
    double kept_l, drained_l;
    /* Of the assessment of the same mix; or NULL: a pH that labels leave open
     * is found on a small batch first. */
    const sw_undeclared *undeclared;
} sw_mixing;
/* In order.  After every addition the mixture is speciated at the volume it
 * has then, and the order is one in which nothing clouds on the way; where
 * there is none, the step says so and what helps.  SW_ERR_VALUE (of another
 * shelf, no volume, more kept than that, no setup beside a stock),
 * SW_ERR_MEMORY. */
SW_API sw_status sw_mixing_order(const sw_mixing *mixing, sw_steps **steps,
                                 sw_error *error);
SW_API void sw_steps_free(sw_steps *steps);

#ifdef __cplusplus
}
#endif

#endif
