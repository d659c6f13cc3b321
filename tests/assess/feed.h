/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe of formulas in a water, and its assessment. */
#ifndef SW_TESTS_ASSESS_FEED_H
#define SW_TESTS_ASSESS_FEED_H

#include "suite.h"

#include "quantity/formula.h"

#include <math.h>
#include <string.h>

enum { MAX_PRODUCTS = 8, MAX_TARGETS = 24 };

typedef struct bench {
    sw_content water;
    sw_product products[MAX_PRODUCTS];
    double g_per_l[MAX_PRODUCTS];
    sw_target_row rows[MAX_TARGETS];
    sw_target target;
    sw_shelf shelf;
    sw_recipe recipe;
} bench;

static inline void set_up(bench *b)
{
    memset(b, 0, sizeof *b);
    b->target.rows = b->rows;
    b->shelf.products = b->products;
    b->recipe.g_per_l = b->g_per_l;
}

static inline sw_product *add(bench *b, const char *formula, double mg_per_l)
{
    sw_product *p = &b->products[b->shelf.count];
    ck_assert_int_eq(sw_formula_content(formula, 1.0, &p->per_g, NULL, NULL),
                     SW_OK);
    p->name = (char *)formula;
    p->price_per_kg = NAN;
    b->g_per_l[b->shelf.count] = mg_per_l / 1000;
    b->recipe.count = ++b->shelf.count;
    return p;
}

static inline sw_target_row *aim(bench *b, sw_target_kind kind, double target)
{
    sw_target_row *row = &b->rows[b->target.count++];
    *row = (sw_target_row){.kind = kind,
                           .name = "row",
                           .target = target,
                           .min = NAN,
                           .max = NAN,
                           .weight = 1};
    return row;
}

static inline void aim_at(bench *b, sw_component component, double mg_per_l)
{
    aim(b, SW_TARGET_COMPONENT, mg_per_l)->component = component;
}

static inline sw_mix mix_of(const bench *b)
{
    return (sw_mix){.water = &b->water,
                    .target = &b->target,
                    .shelf = &b->shelf,
                    .recipe = &b->recipe,
                    .conditions = sw_conditions_default()};
}

static inline sw_assessment *assess(const bench *b)
{
    sw_mix mix = mix_of(b);
    sw_assessment *a;
    sw_error error;
    ck_assert_msg(sw_assess(&mix, &a, &error) == SW_OK, "%s", error.message);
    return a;
}

static inline const sw_note *note(const sw_assessment *a, const char *code)
{
    return sw_notes_find(&a->notes, code);
}

#endif
