/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole mix out of the example files. */
#ifndef SW_TESTS_DECIDE_BENCH_H
#define SW_TESTS_DECIDE_BENCH_H

#include "suite.h"

#include "saltwright.h"

#include <stdio.h>

typedef struct bench {
    sw_waters *waters;
    sw_target *target;
    sw_shelf *shelf;
    sw_recipe *recipe;
    sw_content water;
    sw_mix mix;
} bench;

static inline FILE *bench_open(const char *name)
{
    char path[512];
    snprintf(path, sizeof path, "%s/examples/%s", SW_SOURCE_DIR, name);
    FILE *stream = fopen(path, "r");
    ck_assert_msg(stream != NULL, "%s cannot be opened", path);
    return stream;
}

#define BENCH_READ(read, name, ...)                                            \
    do {                                                                       \
        FILE *stream = bench_open(name);                                       \
        ck_assert_int_eq(read(stream, name, __VA_ARGS__, NULL), SW_OK);        \
        fclose(stream);                                                        \
    } while (0)

/* Water, target, shelf and recipe from examples/. */
static inline void bench_read(bench *b, const char *water, const char *target,
                              const char *shelf, const char *recipe)
{
    sw_notes notes = {NULL, 0};
    BENCH_READ(sw_waters_read, water, &b->waters);
    BENCH_READ(sw_target_read, target, &b->target);
    BENCH_READ(sw_shelf_read, shelf, &b->shelf);
    BENCH_READ(sw_recipe_read, recipe, b->shelf, &b->recipe);
    b->mix = (sw_mix){.water = &b->water,
                      .target = b->target,
                      .shelf = b->shelf,
                      .recipe = b->recipe,
                      .conditions = sw_conditions_default()};
    ck_assert_int_eq(sw_water_complete(&b->waters->items[0], &b->mix.conditions,
                                       &b->water, &notes, NULL),
                     SW_OK);
    sw_notes_free(&notes);
}

static inline void bench_free(bench *b)
{
    sw_waters_free(b->waters);
    sw_target_free(b->target);
    sw_recipe_free(b->recipe);
    sw_shelf_free(b->shelf);
}

/* A test of a bench that the suite sets up. */
#define START_BENCH_TEST(name)                                                 \
    START_TEST_WITH(name, bench, b, set_up(b), bench_free(b))

#endif
