/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Invented problems with numbers at the edge: waters, targets and products a
 * millionth or a million times what they were, products nearly alike, targets
 * of zero, far more products and targets than a shelf has.  Each ends in a
 * recipe that is proved and keeps what is asked, in named limits that conflict,
 * or in a refusal that says why.  SW_SEEDS=N tries N problems of each kind.
 */
#include "gap.h"
#include "suite.h"
#include "tolerances.h"

#include "invent.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void scale_content(sw_content *content, double by)
{
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        content->amount[c] *= by;
}

static void scale_waters(invention *p, double by)
{
    for (size_t i = 0; i < p->problem.water_count; i++)
        scale_content(&p->water[i], by);
}

static void scale_targets(invention *p, double by)
{
    for (size_t i = 0; i < p->target.count; i++) {
        if (p->row[i].kind != SW_TARGET_COMPONENT)
            continue;
        p->row[i].target *= by;
        p->row[i].min *= by;
        p->row[i].max *= by;
    }
}

static void scale_products(invention *p, double by)
{
    for (size_t i = 0; i < p->shelf.count; i++)
        scale_content(&p->product[i].per_g, by);
}

/* The same feed a million times as strong: the same problem. */
static void scale_strength(invention *p, double by)
{
    scale_waters(p, by);
    scale_targets(p, by);
    for (size_t i = 0; i < p->shelf.count; i++) {
        p->product[i].min_g_per_l *= by;
        p->product[i].max_g_per_l *= by;
        p->product[i].fixed_g_per_l *= by;
    }
}

/* Each product nearly that before it. */
static void make_alike(invention *p, double by)
{
    for (size_t i = 1; i < p->shelf.count; i += 2) {
        p->product[i].per_g = p->product[i - 1].per_g;
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            p->product[i].per_g.amount[c] *= 1 + by * (c % 3);
    }
}

static void ask_for_nothing(invention *p, double by)
{
    for (size_t i = 0; i < p->target.count; i++) {
        sw_target_row *row = &p->row[i];
        if (row->kind != SW_TARGET_COMPONENT || !(row->target > 0) || i % 2)
            continue;
        row->max = by * row->target;
        row->target = 0;
        row->min = NAN;
    }
}

static const struct {
    const char *name;
    void (*change)(invention *problem, double by);
    double by;
} EDGES[] = {
    {"water", scale_waters, 1e-6},     {"water", scale_waters, 1e-3},
    {"water", scale_waters, 1e3},      {"water", scale_waters, 1e6},
    {"target", scale_targets, 1e-6},   {"target", scale_targets, 1e-3},
    {"target", scale_targets, 1e3},    {"target", scale_targets, 1e6},
    {"product", scale_products, 1e-6}, {"product", scale_products, 1e-3},
    {"product", scale_products, 1e3},  {"product", scale_products, 1e6},
    {"all", scale_strength, 1e-6},     {"all", scale_strength, 1e6},
    {"alike", make_alike, 1e-12},      {"alike", make_alike, 1e-9},
    {"alike", make_alike, 1e-6},       {"alike", make_alike, 1e-3},
    {"zero", ask_for_nothing, 1},      {"zero", ask_for_nothing, 1e-6},
    {"zero", ask_for_nothing, 1e6},
};
enum { EDGE_COUNT = sizeof EDGES / sizeof EDGES[0] };

/* How each kind of seed ended. */
typedef struct tally {
    int proved, conflicts, unfinished, refused;
} tally;

static double amount_of(const invention *p, const sw_solution *s,
                        sw_component component)
{
    double amount = 0;
    for (size_t i = 0; i < p->problem.water_count; i++)
        amount += s->fractions[i] * p->water[i].amount[component];
    for (size_t j = 0; j < p->shelf.count; j++)
        amount += s->recipe.g_per_l[j] * p->product[j].per_g.amount[component];
    return amount;
}

/* Its limits by a way of their own: amounts added up again. */
static bool keeps_limits(const invention *p, const sw_solution *s)
{
    bool kept = true;
    for (size_t j = 0; j < p->shelf.count; j++) {
        const sw_product *product = &p->product[j];
        double g = s->recipe.g_per_l[j];
        double room = 1e-9 * g + 1e-15;
        kept &= g >= 0 && isfinite(g);
        kept &= !(g < product->min_g_per_l - room);
        kept &= !(g > product->max_g_per_l + room);
        kept &= !(fabs(g - product->fixed_g_per_l) > room);
    }
    for (size_t i = 0; i < p->target.count; i++) {
        const sw_target_row *row = &p->row[i];
        if (row->kind != SW_TARGET_COMPONENT)
            continue;
        double at = amount_of(p, s, row->component);
        double room = TOL_AT_BAND * at + 1e-12; /* mg/L: nothing */
        kept &= !(at < row->min - room) && !(at > row->max + room);
    }
    return kept;
}

static bool is_proof(const sw_solution *s)
{
    double floor = s->objective == SW_CHEAPEST ? 1e-9 : 1e-13;
    return gap_is_closed(s, floor) && s->certificate.kkt_residual <= TOL_KKT;
}

/* Each by its name; or it is said that they were not found. */
static bool names_conflict(const sw_solution *s)
{
    bool named = !s->recipe.count;
    bool unnamed = sw_notes_find(&s->notes, "conflict-unnamed") != NULL;
    for (size_t i = 0; i < s->limit_count; i++)
        named &= s->limits[i].name[0] != '\0';
    return named && unnamed == (s->limit_count == 0);
}

static void judge(const invention *p, sw_status status, const sw_solution *s,
                  const sw_error *error, tally *to)
{
    if (status) {
        ck_assert_msg(status == SW_ERR_VALUE && error->message[0], "%s: %s",
                      sw_status_text(status), error->message);
        to->refused++;
    } else if (s->outcome == SW_CONFLICT) {
        ck_assert_msg(names_conflict(s), "a conflict of %zu", s->limit_count);
        to->conflicts += s->limit_count > 0;
        to->unfinished += s->limit_count == 0;
    } else if (s->outcome == SW_LIMIT) {
        ck_assert_msg(s->notes.count > 0, "unfinished, and nothing said");
        ck_assert(!s->recipe.count || keeps_limits(p, s));
        to->unfinished++;
    } else {
        ck_assert_msg(is_proof(s), "gap %g of %g, KKT %g", s->certificate.gap,
                      s->certificate.objective, s->certificate.kkt_residual);
        ck_assert_msg(keeps_limits(p, s), "a limit is not kept");
        to->proved++;
    }
}

static void solve(sw_solver *solver, const invention *p, tally *to,
                  sw_certificate *proof)
{
    sw_solution *solution = NULL;
    sw_error error = {0};
    sw_status status = sw_formulate(solver, &p->problem, &solution, &error);
    judge(p, status, solution, &error, to);
    if (proof)
        *proof = solution ? solution->certificate
                          : (sw_certificate){.objective = NAN};
    sw_solution_free(solution);
}

static unsigned long seeds(void)
{
    const char *given = getenv("SW_SEEDS");
    return given ? strtoul(given, NULL, 10) : (unsigned long)sw_cases(400) / 20;
}

START_TEST_EACH(each_edge_is_proved_or_refused_with_a_reason, EDGE_COUNT)
{
    static invention p;
    tally ended = {0};
    sw_solver *solver;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    for (unsigned long seed = 1; seed <= seeds(); seed++)
        for (int objective = SW_CLOSEST; objective <= SW_CHEAPEST;
             objective++) {
            invent(&p, seed, (sw_objective)objective);
            EDGES[_i].change(&p, EDGES[_i].by);
            solve(solver, &p, &ended, NULL);
        }
    sw_solver_free(solver);
    int all = ended.proved + ended.conflicts + ended.unfinished + ended.refused;
    ck_assert_msg(ended.unfinished * 10 <= all, "%s x %g: %d of %d unfinished",
                  EDGES[_i].name, EDGES[_i].by, ended.unfinished, all);
    if (getenv("SW_SEEDS"))
        printf("%s x %g: %d proved, %d conflicts, %d unfinished, %d refused\n",
               EDGES[_i].name, EDGES[_i].by, ended.proved, ended.conflicts,
               ended.unfinished, ended.refused);
}
END_TEST

/* Deviations are shares of targets, which strength does not touch. */
START_TEST(a_feed_of_any_strength_is_as_close)
{
    static invention p;
    sw_solver *solver;
    tally plain = {0};
    tally weak = {0};
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    for (unsigned long seed = 1; seed <= seeds(); seed++) {
        sw_certificate before;
        sw_certificate after;
        invent(&p, seed, SW_CLOSEST);
        solve(solver, &p, &plain, &before);
        scale_strength(&p, 1e-3);
        solve(solver, &p, &weak, &after);
        ck_assert_msg(isnan(before.objective) == isnan(after.objective) &&
                          !(fabs(before.objective - after.objective) >
                            1e-8 * (1 + before.objective)),
                      "seed %lu: %.12g, %.12g", seed, before.objective,
                      after.objective);
    }
    ck_assert_int_eq(plain.conflicts, weak.conflicts);
    sw_solver_free(solver);
}
END_TEST

/* ---- More than any shelf has ---------------------------------------------*/

enum { CROWD = 256, ASKED = 30 };

static double dice(unsigned long *state)
{
    *state = *state * 6364136223846793005UL + 1442695040888963407UL;
    return (double)(*state >> 11) / (double)(1UL << 53);
}

static sw_target_row row_of(size_t i, unsigned long *state)
{
    sw_component components = SW_COMPONENT_COUNT - 1; /* N is a sum */
    bool ratio = i >= components;
    double target = ratio ? NAN : pow(10, 4 * dice(state) - 2);
    return (sw_target_row){.kind =
                               ratio ? SW_TARGET_RATIO : SW_TARGET_COMPONENT,
                           .component = (sw_component)(i % components),
                           .other = (sw_component)((i + 5) % components),
                           .name = "row",
                           .target = target,
                           .min = ratio ? 1e-6 : NAN,
                           .max = ratio               ? 1e6
                                  : dice(state) < 0.3 ? 2 * target
                                                      : NAN,
                           .weight = 1,
                           .line = i + 2};
}

static sw_product product_of(size_t j, unsigned long *state)
{
    sw_product product = {.name = "salt",
                          .purity = 1,
                          .density_g_per_ml = NAN,
                          .min_g_per_l = NAN,
                          .max_g_per_l = NAN,
                          .fixed_g_per_l = NAN,
                          .price_per_kg = 1 + 9 * dice(state),
                          .pack_g = NAN,
                          .line = j + 2};
    for (int k = 0; k < 3; k++) {
        int c = (int)(dice(state) * (SW_COMPONENT_COUNT - 1));
        product.per_g.amount[c] = pow(10, 3 * dice(state) - 0.5);
    }
    return product;
}

static void solve_crowd(sw_solver *solver, unsigned long state,
                        sw_objective objective, tally *to)
{
    static sw_product product[CROWD];
    static char name[CROWD][8];
    sw_target_row row[ASKED];
    sw_content water = {{0}};
    sw_target target = {.name = "t", .rows = row, .count = ASKED};
    sw_shelf shelf = {.name = "s", .products = product, .count = CROWD};
    for (size_t i = 0; i < ASKED; i++)
        row[i] = row_of(i, &state);
    for (size_t j = 0; j < CROWD; j++) {
        product[j] = product_of(j, &state);
        snprintf(name[j], sizeof name[j], "p%zu", j);
        product[j].name = name[j];
    }
    sw_problem problem = {.waters = &water,
                          .water_count = 1,
                          .target = &target,
                          .shelf = &shelf,
                          .objective = objective,
                          .conditions = sw_conditions_default()};
    sw_solution *solution;
    sw_error error = {0};
    ck_assert_msg(!sw_formulate(solver, &problem, &solution, &error), "%s",
                  error.message);
    if (solution->outcome == SW_LIMIT) {
        ck_assert_msg(solution->notes.count > 0, "stopped, and nothing said");
        to->unfinished++;
    } else if (solution->outcome == SW_CONFLICT) {
        ck_assert_msg(names_conflict(solution), "a conflict of %zu",
                      solution->limit_count);
        to->conflicts++;
    } else {
        ck_assert_msg(is_proof(solution), "gap %g of %g, KKT %g",
                      solution->certificate.gap,
                      solution->certificate.objective,
                      solution->certificate.kkt_residual);
        to->proved++;
    }
    sw_solution_free(solution);
}

/* SW_SEEDS: so many of each objective; else some, in the last of which the walk
 * from the lowest corner goes round in circles. */
START_TEST_EACH(hundreds_of_products_for_thirty_targets, 3)
{
    static const unsigned long some[] = {0, 1, 2, 21, 24, 463};
    bool given = getenv("SW_SEEDS");
    unsigned long count = given ? seeds() : sizeof some / sizeof *some;
    tally ended = {0};
    sw_solver *solver;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    for (unsigned long k = 0; k < count; k++)
        solve_crowd(solver, 3 * (given ? k : some[k]) + (unsigned long)_i + 1,
                    (sw_objective)_i, &ended);
    sw_solver_free(solver);
    if (given)
        printf("%d products, %d targets, %s: %d proved, %d conflicts, %d "
               "unfinished\n",
               CROWD, ASKED, sw_objective_text((sw_objective)_i), ended.proved,
               ended.conflicts, ended.unfinished);
    ck_assert_int_eq(ended.unfinished, 0);
}
END_TEST
