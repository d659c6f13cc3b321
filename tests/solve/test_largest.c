/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The largest set that holds together, against every set there is. */
#include "suite.h"

#include <gsl/gsl_rng.h>

#include "solve/largest.h"

enum { MOST = 12, SYSTEMS = 2000 };

/* Minimal conflicts, each a bit set; whatever contains one does not hold. */
typedef struct problem {
    unsigned conflicts[10];
    size_t conflict_count, count, first, asked;
    size_t fail_at; /* the call that runs out of memory; 0: none */
} problem;

static unsigned bits_of(const bool *kept, size_t count)
{
    unsigned bits = 0;
    for (size_t i = 0; i < count; i++)
        bits |= (unsigned)kept[i] << i;
    return bits;
}

static bool holds_bits(const problem *p, unsigned bits)
{
    for (size_t c = 0; c < p->conflict_count; c++)
        if ((bits & p->conflicts[c]) == p->conflicts[c])
            return false;
    return true;
}

static sw_status holds(void *context, const bool *kept, bool *yes)
{
    problem *p = context;
    *yes = holds_bits(p, bits_of(kept, p->count));
    return ++p->asked == p->fail_at ? SW_ERR_MEMORY : SW_OK;
}

static sw_status largest(problem *p, bool *kept, bool *proved)
{
    static bool room[(SW_MOST_CONFLICTS + 1) * MOST];
    const sw_largest search = {p->count, p->first, holds, p, room};
    return sw_largest_set(&search, kept, proved);
}

/* One of the first counts more than all of the others. */
static int worth(const problem *p, unsigned bits)
{
    unsigned of_first = bits & ((1u << p->first) - 1u);
    return MOST * __builtin_popcount(of_first) + __builtin_popcount(bits);
}

static int most_of(const problem *p)
{
    int most = 0;
    for (unsigned bits = 0; bits < 1u << p->count; bits++)
        if (holds_bits(p, bits) && worth(p, bits) > most)
            most = worth(p, bits);
    return most;
}

static problem random_problem(gsl_rng *rng)
{
    problem p = {.count = 1 + gsl_rng_uniform_int(rng, MOST)};
    p.first = gsl_rng_uniform_int(rng, (unsigned long)p.count + 1);
    p.conflict_count = gsl_rng_uniform_int(rng, 11);
    for (size_t c = 0; c < p.conflict_count; c++) {
        size_t size = 1 + gsl_rng_uniform_int(rng, 4);
        while (size--)
            p.conflicts[c] |=
                1u << gsl_rng_uniform_int(rng, (unsigned long)p.count);
    }
    return p;
}

START_TEST(no_set_that_holds_is_larger)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < SYSTEMS; i++) {
        bool kept[MOST];
        bool proved;
        problem p = random_problem(rng);
        ck_assert_int_eq(largest(&p, kept, &proved), SW_OK);
        unsigned bits = bits_of(kept, p.count);
        ck_assert(proved);
        ck_assert(holds_bits(&p, bits));
        ck_assert_int_eq(worth(&p, bits), most_of(&p));
    }
    gsl_rng_free(rng);
}
END_TEST

START_TEST(of_two_that_conflict_the_last_is_given_up)
{
    bool kept[3];
    bool proved;
    problem p = {.conflicts = {3}, .conflict_count = 1, .count = 3};
    ck_assert_int_eq(largest(&p, kept, &proved), SW_OK);
    ck_assert(kept[0] && !kept[1] && kept[2]);
}
END_TEST

START_TEST(nothing_to_keep_is_kept_and_failures_are_passed_on)
{
    bool kept[3];
    bool proved;
    problem none = {.count = 0};
    ck_assert_int_eq(largest(&none, kept, &proved), SW_OK);
    ck_assert(proved);
    for (size_t call = 1; call <= 3; call++) {
        problem p = {
            .conflicts = {3}, .conflict_count = 1, .count = 3, .fail_at = call};
        ck_assert_int_eq(largest(&p, kept, &proved), SW_ERR_MEMORY);
    }
}
END_TEST

enum { RIVALS = 30 };

/* Of rivals seven hold: more conflicts than are searched through. */
static sw_status holds_seven(void *context, const bool *kept, bool *yes)
{
    (void)context;
    *yes = __builtin_popcount(bits_of(kept, RIVALS)) <= 7;
    return SW_OK;
}

START_TEST(a_search_cut_short_says_so_and_keeps_what_holds)
{
    static bool room[(SW_MOST_CONFLICTS + 1) * RIVALS];
    static const size_t first[] = {0, RIVALS}; /* that count more */
    for (size_t i = 0; i < 2; i++) {
        bool kept[RIVALS], proved = true;
        const sw_largest search = {RIVALS, first[i], holds_seven, NULL, room};
        ck_assert_int_eq(sw_largest_set(&search, kept, &proved), SW_OK);
        ck_assert(!proved);
        ck_assert_uint_eq(bits_of(kept, RIVALS), 0x7f);
    }
}
END_TEST
