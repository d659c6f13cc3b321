/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The path from before there were lanes and a memory is the reference: every
 * equilibrium by the convex solve that converges from anywhere, every recipe
 * from a corner.  The linker puts the tests' sw_lanes_solve in place of the
 * library's.  Invented waters, shelves and targets, half of them with a pH:
 * verdicts alike, recipes, pH, EC and indices near; and to the last digit the
 * same however many lanes are solved at a time.
 * SALTWRIGHT_SHELVES (2) of eight waters: 1,250 make 10,000.  What is printed
 * then is the same by every compiler.
 */
#include "suite.h"
#include "tolerances.h"

#include "chemistry/lanes.h"
#include "invent.h"
#include "solve/solver.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { WATERS = 8, ABSURD = 1000, OLD_PATH = 0, WIDEST = -1 };

/* Lanes at a time. */
static int width = WIDEST;
/* The case in hand. */
static unsigned long shelf;
static int water_of_shelf;
/* The slope at a solution that the convex solve has found is the kernel's. */
static bool slope_next;
static size_t lost, solved;

void __real_sw_lanes_solve(sw_lanes *lanes);
void __wrap_sw_lanes_solve(sw_lanes *lanes);
sw_status __real_sw_speciate_surely(sw_speciation *s, sw_error *error);
sw_status __wrap_sw_speciate_surely(sw_speciation *s, sw_error *error);

void __wrap_sw_lanes_solve(sw_lanes *lanes)
{
    bool old = width == OLD_PATH && !slope_next;
    slope_next = false;
    if (width <= 0 || !sw_lanes_solve_by(lanes, width))
        __real_sw_lanes_solve(lanes); /* or the processor has not so many */
    /* at a high pH the air's CO2 makes a brine that is no solution */
    bool sweeps = lanes->closing == SW_PH_GIVEN && lanes->carbon_open;
    for (int l = 0; l < lanes->count; l++) {
        solved += !old;
        lost += !old && !sweeps && !lanes->found[l];
        lanes->found[l] = lanes->found[l] && !old;
    }
}

sw_status __wrap_sw_speciate_surely(sw_speciation *s, sw_error *error)
{
    sw_status status = __real_sw_speciate_surely(s, error);
    slope_next = status == SW_OK && s->wants_slope;
    return status;
}

/* ---- A water ------------------------------------------------------------ */

typedef struct answer {
    sw_solution *solution;
    sw_assessment *judged; /* of the recipe; NULL where there is none, or where
                              a fixed product makes it a brine */
} answer;

static sw_assessment *judge(const invention *in, const sw_recipe *recipe)
{
    sw_assessment *judged = NULL;
    sw_mix mix = {.water = in->problem.waters,
                  .target = in->problem.target,
                  .shelf = in->problem.shelf,
                  .recipe = recipe,
                  .conditions = in->problem.conditions};
    sw_status status = sw_assess(&mix, &judged, NULL);
    ck_assert(status == SW_OK || status == SW_ERR_VALUE);
    return judged;
}

static answer solve(sw_solver *solver, invention *in, unsigned long seed)
{
    answer out = {NULL, NULL};
    in->problem.nearest = seed % 4 < 2;
    in->problem.fewest = seed % 3;
    in->problem.equal_share = seed % 3 == 1 ? 0.02 : 0;
    ck_assert_int_eq(sw_formulate(solver, &in->problem, &out.solution, NULL),
                     SW_OK);
    if (out.solution->recipe.count)
        out.judged = judge(in, &out.solution->recipe);
    return out;
}

static void free_answer(answer *of)
{
    sw_solution_free(of->solution);
    sw_assessment_free(of->judged);
}

/* ---- Near --------------------------------------------------------------- */

static void expect_near(double a, double b, double tolerance)
{
    ck_assert_int_eq(isnan(a) != 0, isnan(b) != 0);
    ck_assert_msg(isnan(a) || fabs(a - b) <= tolerance,
                  "%.12g for %.12g, water %d of shelf %lu", a, b,
                  water_of_shelf, shelf);
}

static void expect_chemistry(const sw_chemistry *a, const sw_chemistry *b)
{
    expect_near(a->ph, b->ph, TOL_KERNEL);
    expect_near(a->ec_ms_per_cm, b->ec_ms_per_cm,
                TOL_KERNEL * (1 + b->ec_ms_per_cm));
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        const sw_saturation *one = &a->saturation[i],
                            *other = &b->saturation[i];
        ck_assert_int_eq(one->defined, other->defined);
        if (one->defined)
            expect_near(one->index, other->index, TOL_KERNEL);
    }
}

static void expect_verdicts(const sw_assessment *a, const sw_assessment *b)
{
    ck_assert_uint_eq(sw_row_count(a), sw_row_count(b));
    for (size_t i = 0; i < sw_row_count(a); i++)
        ck_assert_int_eq(sw_row_at(a, i).verdict, sw_row_at(b, i).verdict);
}

/* The same recipe by both paths. */
static void expect_judged_alike(const invention *in, const answer *by_lanes)
{
    sw_assessment *old = judge(in, &by_lanes->solution->recipe);
    expect_verdicts(by_lanes->judged, old);
    expect_chemistry(&by_lanes->judged->mixed, &old->mixed);
    expect_chemistry(&by_lanes->judged->aired, &old->aired);
    sw_assessment_free(old);
}

static void expect_like_old(const answer *is, const answer *old)
{
    ck_assert_int_eq(is->solution->outcome, old->solution->outcome);
    ck_assert_uint_eq(is->solution->recipe.count, old->solution->recipe.count);
    ck_assert_int_eq(is->judged != NULL, old->judged != NULL);
    if (!is->judged)
        return;
    /* what a fixed product is thousands of times too much of leaves no digits
     * to the rest */
    if (old->solution->certificate.objective >= ABSURD)
        return;
    expect_verdicts(is->judged, old->judged);
    for (size_t j = 0; j < is->solution->recipe.count; j++) {
        double g = old->solution->recipe.g_per_l[j];
        expect_near(is->solution->recipe.g_per_l[j], g,
                    TOL_OLD_RECIPE * (LEAST_G_PER_L + g));
    }
}

/* ---- The same ----------------------------------------------------------- */

/* FNV-1a of the bits. */
static void add_digits(uint64_t *digest, double number)
{
    uint64_t bits;
    memcpy(&bits, &number, sizeof bits);
    *digest = (*digest ^ bits) * UINT64_C(0x100000001b3);
}

static uint64_t digest_of(const answer *of)
{
    uint64_t digest = UINT64_C(0xcbf29ce484222325);
    for (size_t j = 0; j < of->solution->recipe.count; j++)
        add_digits(&digest, of->solution->recipe.g_per_l[j]);
    if (!of->judged)
        return digest;
    const sw_chemistry *each[] = {&of->judged->mixed, &of->judged->aired};
    for (int k = 0; k < 2; k++) {
        add_digits(&digest, each[k]->ph);
        add_digits(&digest, each[k]->ec_ms_per_cm);
        for (int i = 0; i < SW_SOLID_COUNT; i++)
            if (each[k]->saturation[i].defined) {
                add_digits(&digest, each[k]->saturation[i].index);
                add_digits(&digest, each[k]->saturation[i].ph_onset);
            }
    }
    return digest;
}

/* ---- Shelves ------------------------------------------------------------ */

static void check_water(invention *in, unsigned long seed, sw_solver *solver,
                        sw_solver *reference, uint64_t *digest)
{
    width = WIDEST;
    answer by_lanes = solve(solver, in, seed);
    uint64_t digits = digest_of(&by_lanes);
    *digest = (*digest ^ digits) * UINT64_C(0x100000001b3);
    for (width = 1; width <= SW_LANES; width *= 2) {
        answer other = solve(solver, in, seed);
        ck_assert(digest_of(&other) == digits);
        free_answer(&other);
    }
    width = OLD_PATH;
    answer old = solve(reference, in, seed);
    expect_like_old(&by_lanes, &old);
    if (by_lanes.judged)
        expect_judged_alike(in, &by_lanes);
    free_answer(&by_lanes);
    free_answer(&old);
}

START_TEST(lanes_and_memory_answer_as_the_old_path)
{
    static invention in;
    sw_solver *solver, *reference;
    uint64_t digest = 0;
    const char *asked = getenv("SALTWRIGHT_SHELVES");
    int shelves = asked ? atoi(asked) : 2;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_new(&reference, NULL), SW_OK);
    reference->forgets = true;
    for (int i = 1; i <= shelves; i++) {
        unsigned long seed = (unsigned long)i;
        invent(&in, seed, SW_CLOSEST);
        if (seed % 2)
            invent_ph(&in, seed);
        for (int k = 0; k < WATERS; k++) {
            sw_content water = invent_water(&in, seed, k);
            shelf = seed;
            water_of_shelf = k;
            in.problem.waters = &water;
            in.problem.water_count = 1;
            in.problem.fractions = NULL;
            check_water(&in, seed, solver, reference, &digest);
        }
    }
    ck_assert_uint_eq(lost, 0);
    if (asked)
        printf("%d waters, %zu lanes, digits %016" PRIx64 "\n",
               shelves * WATERS, solved, digest);
    sw_solver_free(solver);
    sw_solver_free(reference);
}
END_TEST
