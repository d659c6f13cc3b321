/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Invented feeds with none to three acids and bases on the shelf, half of them
 * with a pH, for verify_acids.py: the problem, the recipe, and what the proof
 * names, by its names.  The row of a pH is written out at the activities of
 * the recipe, as all contents act on it and as the proof says what moves it.
 *     formulate_acids FIRST COUNT
 * or, with `subsets` behind that, sets of the products of each recipe solved
 * again, and those that are better than the recipe: none may be.  Of up to 7
 * products each set, of more those without one or two of them; with `all`
 * behind that each set of any number; with `of` and an amount of each product,
 * g/L, as if the shelf fixed these.
 */
#include "chemistry/ph_row.h"
#include "quantity/formula.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_PRODUCTS = 24, MOST_ROWS = 24 };

static const char *const salts[] = {
    "Ca(NO3)2·4H2O", "KNO3",       "KH2PO4",    "MgSO4·7H2O", "K2SO4",
    "NH4NO3",        "NH4H2PO4",   "KCl",       "CaCl2·2H2O", "Mg(NO3)2·6H2O",
    "(NH4)2SO4",     "CaSO4·2H2O", "MnSO4·H2O", "H3BO3"};
static const char *const acids[] = {"HNO3", "H3PO4", "H2SO4"};
static const char *const bases[] = {"KHCO3", "KOH", "K2CO3"};
enum { SALTS = sizeof salts / sizeof *salts, AGENTS = 3 };

typedef struct feed {
    sw_content water;
    sw_target_row row[MOST_ROWS];
    sw_product product[MOST_PRODUCTS];
    char name[MOST_PRODUCTS][24];
    sw_target target;
    sw_shelf shelf;
    sw_problem problem;
} feed;

static double between(gsl_rng *random, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(random);
}

static bool chance(gsl_rng *random, double probability)
{
    return gsl_rng_uniform(random) < probability;
}

static void invent_water(gsl_rng *random, sw_content *water)
{
    double alkalinity = between(random, 0.2, 6);
    double *a = water->amount;
    *water = (sw_content){{0}};
    a[SW_ALKALINITY] = alkalinity;
    a[SW_CARBON] = alkalinity * between(random, 1.0, 1.3);
    a[SW_CA] = between(random, 5, 20) * alkalinity;
    a[SW_MG] = between(random, 1, 30);
    a[SW_NA] = between(random, 1, 80);
    a[SW_CL] = between(random, 1, 100);
    a[SW_S] = between(random, 0, 40);
    a[SW_SI] = between(random, 0, 10);
    a[SW_B] = between(random, 0, 0.3);
}

static sw_target_row *add_row(feed *f, sw_target_kind kind,
                              sw_component component, const char *name)
{
    sw_target_row *row = &f->row[f->target.count++];
    *row = (sw_target_row){.kind = kind,
                           .component = component,
                           .name = (char *)name,
                           .target = NAN,
                           .min = NAN,
                           .max = NAN,
                           .weight = 1,
                           .line = f->target.count + 1};
    return row;
}

/* Asked for, now and then with limits, which may hold the recipe back. */
static void ask(gsl_rng *random, feed *f, sw_component component, double usual)
{
    sw_target_row *row = add_row(f, SW_TARGET_COMPONENT, component,
                                 sw_component_name(component));
    row->target = usual * between(random, 0.4, 1.6);
    if (chance(random, 0.15))
        row->max = row->target * between(random, 1, 1.3);
    if (chance(random, 0.15))
        row->min = row->target * between(random, 0.6, 1);
    if (chance(random, 0.2))
        row->weight = between(random, 0.2, 3);
}

static void ask_ph(gsl_rng *random, feed *f)
{
    bool aired = chance(random, 0.2);
    sw_target_row *row =
        add_row(f, SW_TARGET_PH, SW_NO3_N, aired ? "pH aired" : "pH");
    double ph = between(random, 5.2, 7) + (aired ? 1 : 0);
    row->aired = aired;
    if (chance(random, 0.6))
        row->target = ph;
    if (isnan(row->target) || chance(random, 0.4)) {
        row->min = ph - between(random, 0.1, 0.6);
        row->max = ph + between(random, 0.1, 0.6);
    }
}

static void ask_all(gsl_rng *random, feed *f)
{
    static const struct {
        sw_component component;
        double usual;
    } usual[] = {{SW_N, 180},  {SW_P, 40},  {SW_K, 220},
                 {SW_CA, 150}, {SW_MG, 45}, {SW_S, 70},
                 {SW_MN, 0.6}, {SW_B, 0.4}, {SW_NH4_N, 8}};
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++)
        if (chance(random, 0.85))
            ask(random, f, usual[i].component, usual[i].usual);
    if (!f->target.count)
        ask(random, f, SW_K, 200);
    if (chance(random, 0.3)) {
        sw_target_row *ratio = add_row(f, SW_TARGET_RATIO, SW_K, "K:Ca");
        ratio->other = SW_CA;
        ratio->max = between(random, 1.2, 2);
    }
    if (chance(random, 0.3))
        add_row(f, SW_TARGET_COMPONENT, SW_NA, "Na")->max = 150;
}

static void put_on_shelf(gsl_rng *random, feed *f, const char *formula)
{
    size_t j = f->shelf.count++;
    sw_product *p = &f->product[j];
    snprintf(f->name[j], sizeof f->name[j], "%s", formula);
    *p = (sw_product){.name = f->name[j],
                      .min_g_per_l = NAN,
                      .max_g_per_l = NAN,
                      .fixed_g_per_l = NAN,
                      .price_per_kg = NAN,
                      .line = j + 2};
    if (sw_formula_content(formula, 1, &p->per_g, NULL, NULL) != SW_OK)
        abort();
    if (chance(random, 0.05))
        p->max_g_per_l = between(random, 0.01, 0.5);
}

static void stock_shelf(gsl_rng *random, feed *f)
{
    for (size_t i = 0; i < SALTS; i++)
        if (chance(random, 0.75))
            put_on_shelf(random, f, salts[i]);
    for (size_t i = 0; i < AGENTS; i++)
        if (chance(random, 0.5))
            put_on_shelf(random, f, acids[i]);
    for (size_t i = 0; i < AGENTS; i++)
        if (chance(random, 0.4))
            put_on_shelf(random, f, bases[i]);
    if (!f->shelf.count)
        put_on_shelf(random, f, salts[0]);
}

static void invent_feed(gsl_rng *random, unsigned long seed, feed *f)
{
    *f = (feed){.water = {{0}}};
    gsl_rng_set(random, seed);
    invent_water(random, &f->water);
    stock_shelf(random, f);
    ask_all(random, f);
    if (seed % 2)
        ask_ph(random, f);
    f->target.rows = f->row;
    f->target.name = (char *)"target.csv";
    f->shelf.products = f->product;
    f->shelf.name = (char *)"shelf.csv";
    f->problem = (sw_problem){.waters = &f->water,
                              .water_count = 1,
                              .target = &f->target,
                              .shelf = &f->shelf,
                              .objective = SW_CLOSEST,
                              .conditions = sw_conditions_default()};
}

/* ---- Written out --------------------------------------------------------- */

static sw_content finished_of(const feed *f, const sw_solution *solution)
{
    sw_content sum = solution->water;
    for (size_t j = 0; j < f->shelf.count; j++)
        sw_content_add(&sum, solution->recipe.g_per_l[j], &f->product[j].per_g);
    return sum;
}

static const char *kind_of(const char *formula)
{
    for (size_t i = 0; i < AGENTS; i++) {
        if (!strcmp(formula, acids[i]))
            return "acid";
        if (!strcmp(formula, bases[i]))
            return "base";
    }
    return "salt";
}

static bool is_bounded(const feed *f, sw_component component)
{
    for (size_t i = 0; i < f->target.count; i++)
        if (f->row[i].kind == SW_TARGET_COMPONENT &&
            f->row[i].component == component)
            return true;
    return false;
}

/* Brings something that has a target. */
static bool serves(const feed *f, const sw_product *product)
{
    for (size_t i = 0; i < f->target.count; i++)
        if (f->row[i].kind == SW_TARGET_COMPONENT && f->row[i].target > 0 &&
            product->per_g.amount[f->row[i].component] >= 1)
            return true;
    return false;
}

/* As the proof says what moves the pH, which `harm` takes further off. */
static double moves(const feed *f, const sw_ph_row *row, sw_levers levers,
                    size_t j, double harm)
{
    double part = row->coefficient[SW_P] * f->product[j].per_g.amount[SW_P];
    double all = sw_ph_row_sum(row, &f->product[j].per_g);
    bool in_check = serves(f, &f->product[j]);
    if (strcmp(kind_of(f->name[j]), "salt") != 0 ||
        (levers == SW_LEVERS_ALL && (in_check || all * harm > 0)))
        return all;
    return (in_check || is_bounded(f, SW_P)) && levers != SW_LEVERS_AGENTS
               ? part
               : 0;
}

/* Meq/L by which a target that is met may be off: nothing takes it further. */
static const double met_meq_per_l = 1e-9;

/* The row of a pH at the activities of a solution, into `row`, and the excess
 * that it has there; NaN where it has none. */
static double row_at(const feed *f, const sw_content *at,
                     const sw_target_row *asked, double ph, sw_ph_row *row)
{
    sw_constants room;
    sw_ph_memory memory = {
        .ph = ph, .guess = at, .aired = asked->aired, .room = &room};
    if (sw_ph_rows_near((sw_ph_memory *[]){&memory}, 1, &f->problem.conditions,
                        NULL))
        return NAN;
    *row = memory.row;
    return row->constant + sw_ph_row_sum(row, at);
}

/* "ph PH excess", then by what a gram of each product moves it; `harm` is of
 * the sign of what takes it further off, 0: as the excess is. */
static bool put_ph(const feed *f, const sw_content *at, sw_levers levers,
                   const sw_target_row *asked, const char *word, double ph,
                   double harm)
{
    sw_ph_row row;
    double excess = row_at(f, at, asked, ph, &row);
    if (isnan(excess))
        return false;
    if (harm == 0 && fabs(excess) > met_meq_per_l)
        harm = excess;
    printf("%s %.17g %.17g", word, ph, excess);
    for (size_t j = 0; j < f->shelf.count; j++)
        printf(" %.17g", moves(f, &row, levers, j, harm));
    printf("\n");
    return true;
}

/* The excess of alkalinity at a pH in the solution the target asks for. */
static double excess(const feed *f, const sw_target_row *asked, double ph)
{
    sw_content at = f->water;
    for (size_t i = 0; i < f->target.count; i++)
        if (f->row[i].kind == SW_TARGET_COMPONENT && f->row[i].target > 0)
            at.amount[f->row[i].component] =
                fmax(at.amount[f->row[i].component], f->row[i].target);
    sw_ph_row row;
    return row_at(f, &at, asked, ph, &row);
}

/* What a meq/L less, or more, than at the target counts: at the end of the
 * accepted range 0.1. */
static double scale_of(const feed *f, const sw_target_row *row, bool more)
{
    double at = excess(f, row, row->target);
    double low = isnan(row->min) ? row->target - 0.5 : row->min;
    double high = isnan(row->max) ? row->target + 0.5 : row->max;
    low = low < row->target ? low : row->target - 0.5;
    high = high > row->target ? high : row->target + 0.5;
    return more ? 0.1 / (at - excess(f, row, high))
                : 0.1 / (excess(f, row, low) - at);
}

static void put_scales(const feed *f, const sw_target_row *row)
{
    printf("scales %.17g %.17g %.17g\n", scale_of(f, row, false),
           scale_of(f, row, true), row->weight);
}

static void put_contents(const sw_content *content)
{
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        printf(" %.17g", content->amount[c]);
    printf("\n");
}

static void put_problem(const feed *f)
{
    printf("water");
    put_contents(&f->water);
    for (size_t j = 0; j < f->shelf.count; j++) {
        printf("product %s %s", f->name[j], kind_of(f->name[j]));
        put_contents(&f->product[j].per_g);
    }
    for (size_t i = 0; i < f->target.count; i++)
        if (f->row[i].kind == SW_TARGET_COMPONENT && !isnan(f->row[i].target))
            printf("term %s %.17g %.17g\n", f->row[i].name, f->row[i].target,
                   f->row[i].weight);
}

/* The row on a pH, as mixed or aired; where there is none, one without a
 * target: acids and bases keep to our own limits. */
static const sw_target_row *asked_ph(const feed *f)
{
    static const sw_target_row usual = {.name = (char *)"pH", .target = NAN};
    for (size_t i = 0; i < f->target.count; i++)
        if (f->row[i].kind == SW_TARGET_PH)
            return &f->row[i];
    return &usual;
}

static void put_solution(const feed *f, const sw_solution *s)
{
    printf("outcome %s %.17g\n", sw_outcome_text(s->outcome),
           s->certificate.objective);
    if (!s->recipe.count)
        return;
    sw_content at = finished_of(f, s);
    printf("recipe");
    for (size_t j = 0; j < s->recipe.count; j++)
        printf(" %.17g", s->recipe.g_per_l[j]);
    printf("\nleft");
    for (size_t j = 0; j < f->shelf.count; j++)
        printf(" %d", s->left_out[j] != SW_IN_USE);
    printf("\n");
    const sw_target_row *ph = asked_ph(f);
    for (size_t i = 0; i < s->within_count; i++) {
        const char *name = s->within[i].name;
        printf("limit %.17g %s\n", s->within[i].bound, name);
        if (!strncmp(name, "pH", 2))
            put_ph(f, &at, s->certificate.levers, ph, "ph", s->within[i].bound,
                   s->within[i].end == SW_SIDE_MIN ? -1 : 1);
    }
    if (!isnan(ph->target)) {
        put_ph(f, &at, s->certificate.levers, ph, "aim", ph->target, 0);
        put_scales(f, ph);
    }
}

/* ---- Every set of the products used ---------------------------------------
 */

static const double nothing_g_per_l = 1e-9;
/* Beside the objective; the rows of a pH are settled to 1e-10 meq/L. */
static const double better_share = 1e-8, better_least = 1e-12;
/* Salts whose amount no target keeps in check are not poured for the little
 * they do to a pH: a proof leaves it out of account, and says so.  Another
 * choice among them - as good and lighter at the activities of the other recipe
 * too - may so be followed by a pH a hair nearer: at first order by what is
 * summed here, of which activities that change with it take or add a part, and
 * by no more than this, a thousandth of the accepted range. */
static const double uncounted_share = 0.1, uncounted_most = 1e-6;

/* What a meq/L at the pH of an aim, or of a limit, adds to the objective. */
static double price_of(const feed *f, const sw_content *at,
                       const sw_target_row *asked, const sw_limit *limit,
                       double is)
{
    const double step = 1e-4;
    sw_ph_row row;
    if (!limit) {
        double scale = scale_of(f, asked, !(is < -met_meq_per_l));
        return 2 * asked->weight * scale * scale * is;
    }
    return limit->price * 2 * step /
           (row_at(f, at, asked, limit->bound + step, &row) -
            row_at(f, at, asked, limit->bound - step, &row));
}

/* What `other` gains on an aim, or a limit, by what the proof of `s` does not
 * count. */
static double gains(const feed *f, const sw_solution *s,
                    const sw_solution *other, const sw_limit *limit)
{
    sw_ph_row row;
    const sw_target_row *asked = asked_ph(f);
    double ph = limit ? limit->bound : asked->target, meq_per_l = 0;
    sw_content at = finished_of(f, s);
    double is = row_at(f, &at, asked, ph, &row);
    double harm = fabs(is) > met_meq_per_l ? is : 0;
    if (limit)
        harm = limit->end == SW_SIDE_MIN ? -1 : 1;
    for (size_t j = 0; j < f->shelf.count; j++)
        meq_per_l += (sw_ph_row_sum(&row, &f->product[j].per_g) -
                      moves(f, &row, s->certificate.levers, j, harm)) *
                     (other->recipe.g_per_l[j] - s->recipe.g_per_l[j]);
    return -meq_per_l * price_of(f, &at, asked, limit, is);
}

/* The most, by the prices of the proof, that the gain of another recipe may be
 * for what the proof does not count. */
static double uncounted(const feed *f, const sw_solution *s,
                        const sw_solution *other)
{
    const sw_target_row *asked = asked_ph(f);
    double sum = isnan(asked->target) ? 0 : gains(f, s, other, NULL);
    for (size_t i = 0; i < s->limit_count; i++)
        if (s->limits[i].kind == SW_SIDE_PH)
            sum += gains(f, s, other, &s->limits[i]);
    return fmin((1 + uncounted_share) * fmax(sum, 0), uncounted_most);
}

static bool keeps_ph(const sw_solution *s)
{
    for (size_t i = 0; i < s->within_count; i++)
        if (s->within[i].missed)
            return false;
    return true;
}

/* The recipe with the products of `set` alone; NULL without one that keeps its
 * limits. */
static sw_solution *solve_set(sw_solver *solver, feed *f, const size_t *used,
                              unsigned set)
{
    sw_solution *solution = NULL;
    double most[MOST_PRODUCTS];
    for (size_t j = 0; j < f->shelf.count; j++) {
        most[j] = f->product[j].max_g_per_l;
        f->product[j].max_g_per_l = 0;
    }
    for (size_t i = 0; set >> i; i++)
        if (set >> i & 1)
            f->product[used[i]].max_g_per_l = most[used[i]];
    sw_status status = sw_formulate(solver, &f->problem, &solution, NULL);
    for (size_t j = 0; j < f->shelf.count; j++)
        f->product[j].max_g_per_l = most[j];
    if (status == SW_OK && solution->outcome == SW_OPTIMAL &&
        keeps_ph(solution))
        return solution;
    sw_solution_free(solution);
    return NULL;
}

typedef struct tally {
    unsigned long recipes, sets, better, uncounted;
    double most, most_uncounted; /* share of the objective */
} tally;

enum { SMALL = 7, APART = 2 };

static bool is_tried(unsigned set, size_t products)
{
    size_t left = 0;
    for (size_t i = 0; i < products; i++)
        left += !(set >> i & 1);
    return products <= SMALL || left <= APART;
}

static void compare(const feed *f, const sw_solution *s,
                    const sw_solution *other, unsigned long seed, unsigned set,
                    tally *count)
{
    double is = s->certificate.objective;
    double gain = is - other->certificate.objective;
    double least = better_share * is + better_least;
    if (!(gain > least))
        return;
    bool by_uncounted = gain <= least + uncounted(f, s, other);
    double *most = by_uncounted ? &count->most_uncounted : &count->most;
    *(by_uncounted ? &count->uncounted : &count->better) += 1;
    *most = fmax(*most, gain / is);
    printf("seed %lu: %.12g, with set %x of its products %.12g%s\n", seed, is,
           set, other->certificate.objective,
           by_uncounted ? ", by what the proof leaves out of account" : "");
}

static void try_sets(sw_solver *solver, feed *f, unsigned long seed, bool all,
                     tally *count)
{
    sw_solution *s = NULL;
    size_t used[MOST_PRODUCTS], k = 0;
    if (sw_formulate(solver, &f->problem, &s, NULL) != SW_OK ||
        s->outcome != SW_OPTIMAL || !keeps_ph(s)) {
        sw_solution_free(s);
        return;
    }
    count->recipes++;
    for (size_t j = 0; j < f->shelf.count; j++)
        if (s->recipe.g_per_l[j] > nothing_g_per_l)
            used[k++] = j;
    for (unsigned set = 0; set < 1U << k; set++) {
        if (!all && !is_tried(set, k))
            continue;
        sw_solution *other = solve_set(solver, f, used, set);
        count->sets++;
        if (other)
            compare(f, s, other, seed, set, count);
        sw_solution_free(other);
    }
    sw_solution_free(s);
}

static void write_out(sw_solver *solver, feed *f, unsigned long seed)
{
    sw_solution *solution = NULL;
    sw_error error;
    printf("seed %lu\n", seed);
    put_problem(f);
    if (sw_formulate(solver, &f->problem, &solution, &error) == SW_OK)
        put_solution(f, solution);
    else
        printf("refused %s\n", error.message);
    sw_solution_free(solution);
}

int main(int argc, char **argv)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    static feed f;
    sw_solver *solver;
    tally count = {0};
    bool subsets = argc > 3 && !strcmp(argv[3], "subsets");
    bool all = argc == 5 && !strcmp(argv[4], "all");
    bool given = argc > 4 && !strcmp(argv[3], "of");
    if ((argc != 3 && !subsets && !given) ||
        sw_solver_new(&solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    unsigned long first = strtoul(argv[1], NULL, 10);
    unsigned long number = strtoul(argv[2], NULL, 10);
    for (unsigned long seed = first; seed < first + number; seed++) {
        invent_feed(random, seed, &f);
        for (size_t j = 0; given && j < f.shelf.count; j++)
            f.product[j].fixed_g_per_l = strtod(argv[4 + j], NULL);
        if (subsets)
            try_sets(solver, &f, seed, all, &count);
        else
            write_out(solver, &f, seed);
    }
    if (subsets)
        printf("%lu recipes, %lu sets of their products, %lu better, by %.1e "
               "at most; %lu by what proofs leave out of account, %.1e\n",
               count.recipes, count.sets, count.better, count.most,
               count.uncounted, count.most_uncounted);
    sw_solver_free(solver);
    gsl_rng_free(random);
    return count.better ? EXIT_FAILURE : EXIT_SUCCESS;
}
