/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Published recipes: their masses must give the printed composition, and the
 * printed composition as target must give their masses.  recipes.csv names
 * each source; recipe_values.csv and recipe_products.csv hold its figures, each
 * with its tolerance and the reason.  All goes through the public interface.
 */
#include "suite.h"

#include "saltwright.h"
#include "table_recipe_products.h"
#include "table_recipe_values.h"
#include "table_recipes.h"

#include <stdarg.h>
#include <string.h>

#define TEXT_BYTES 8192

#define EACH(table, row, name)                                                 \
    for (const sw_##table##_row *row = sw_##table##_table;                     \
         row < sw_##table##_table + sw_##table##_count; row++)                 \
        if (strcmp(row->recipe, (name)) == 0)

typedef struct published {
    const sw_recipes_row *row;
    sw_target *target; /* the values it is solved for */
    sw_target *values; /* every published value */
    sw_shelf *shelf;
    sw_recipe *recipe; /* NULL where no masses are published */
    sw_content water;
} published;

static bool has_mode(int index, const char *mode)
{
    return strstr(sw_recipes_table[index].modes, mode) != NULL;
}

static void append(char *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void append(char *text, const char *format, ...)
{
    size_t used = strlen(text);
    va_list args;
    va_start(args, format);
    int more = vsnprintf(text + used, TEXT_BYTES - used, format, args);
    va_end(args);
    ck_assert_int_lt(more, (int)(TEXT_BYTES - used));
}

/* Reads `text` by `read`, one of the library's readers. */
#define READ(text, read, ...)                                                  \
    do {                                                                       \
        sw_error error_ = {0};                                                 \
        FILE *stream_ = fmemopen(text, strlen(text), "r");                     \
        sw_status status_ = read(stream_, __VA_ARGS__, &error_);               \
        fclose(stream_);                                                       \
        ck_assert_msg(status_ == SW_OK, "%s\n%s", error_.message, text);       \
    } while (0)

static sw_target *read_target(const char *name, bool every)
{
    char text[TEXT_BYTES] = "parameter,target,unit\n";
    sw_target *target = NULL;
    EACH(recipe_values, v, name)
    {
        if (every || *v->target)
            append(text, "%s,%s,%s\n", v->component, v->value, v->unit);
    }
    READ(text, sw_target_read, "target", &target);
    return target;
}

static sw_shelf *read_shelf(const char *name)
{
    char text[TEXT_BYTES] = "product,formula,purity,label,density\n";
    sw_shelf *shelf = NULL;
    EACH(recipe_products, p, name)
    append(text, "%s,%s,%s,%s,%s\n", p->product, p->formula, p->purity,
           p->label, p->density);
    READ(text, sw_shelf_read, "shelf", &shelf);
    return shelf;
}

static sw_recipe *read_recipe(const char *name, sw_shelf *shelf)
{
    char text[TEXT_BYTES] = "product,amount,unit\n";
    size_t head = strlen(text);
    sw_recipe *recipe = NULL;
    EACH(recipe_products, p, name)
    {
        if (*p->amount)
            append(text, "%s,%s,%s\n", p->product, p->amount, p->unit);
    }
    if (text[head])
        READ(text, sw_recipe_read, "recipe", shelf, &recipe);
    return recipe;
}

/* A hard well: its calcium as hydrogen carbonate. */
static sw_content water_with_calcium(double calcium_mg_per_l)
{
    sw_content water = {{0}};
    double meq_per_l = calcium_mg_per_l * 2 / 40.078;
    water.amount[SW_CA] = calcium_mg_per_l;
    water.amount[SW_ALKALINITY] = meq_per_l;
    water.amount[SW_CARBON] = meq_per_l;
    return water;
}

static published open_recipe(int index)
{
    const sw_recipes_row *row = &sw_recipes_table[index];
    published p = {.row = row,
                   .shelf = read_shelf(row->recipe),
                   .values = read_target(row->recipe, true)};
    p.recipe = read_recipe(row->recipe, p.shelf);
    if (!isnan(row->water_ca_mg_per_l))
        p.water = water_with_calcium(row->water_ca_mg_per_l);
    if (has_mode(index, "solve") || has_mode(index, "reach"))
        p.target = read_target(row->recipe, false);
    return p;
}

static void close_recipe(published *p)
{
    sw_target_free(p->target);
    sw_target_free(p->values);
    sw_shelf_free(p->shelf);
    sw_recipe_free(p->recipe);
}

static void assert_within(double value, double expected, double percent,
                          const char *what)
{
    double off = 100 * fabs(value - expected) / expected;
    ck_assert_msg(off <= percent,
                  "%s: %.6g, published %.6g: %.3g %% off, not "
                  "within %.3g %%",
                  what, value, expected, off, percent);
}

/* Holds the finished solution against the values; `solved`: targets alone. */
static void assert_composition(const published *p, const sw_recipe *recipe,
                               bool solved)
{
    sw_assessment *judged = NULL;
    sw_error error = {0};
    sw_mix mix = {.water = &p->water,
                  .target = p->values,
                  .shelf = p->shelf,
                  .recipe = recipe,
                  .conditions = sw_conditions_default()};
    ck_assert_msg(sw_assess(&mix, &judged, &error) == SW_OK, "%s",
                  error.message);
    const sw_target_row *row = p->values->rows;
    EACH(recipe_values, v, p->row->recipe)
    {
        if (!solved || *v->target)
            assert_within(judged->rows[row->component].finished_mg_per_l,
                          row->target, v->tolerance_percent, row->name);
        row++;
    }
    ck_assert_ptr_eq(row, p->values->rows + p->values->count);
    sw_assessment_free(judged);
}

static sw_solution *solve(const published *p)
{
    sw_solver *solver = NULL;
    sw_solution *solution = NULL;
    sw_error error = {0};
    sw_problem problem = {.waters = &p->water,
                          .water_count = 1,
                          .target = p->target,
                          .shelf = p->shelf,
                          .objective = SW_CLOSEST,
                          .conditions = sw_conditions_default()};
    ck_assert_int_eq(sw_solver_new(&solver, &error), SW_OK);
    sw_status status = sw_formulate(solver, &problem, &solution, &error);
    ck_assert_msg(status == SW_OK, "%s", error.message);
    ck_assert_int_eq(solution->outcome, SW_OPTIMAL);
    sw_solver_free(solver);
    return solution;
}

START_TEST_EACH(masses_give_the_published_composition, sw_recipes_count)
{
    if (!has_mode(_i, "check"))
        return;
    published p = open_recipe(_i);
    assert_composition(&p, p.recipe, false);
    close_recipe(&p);
}
END_TEST

START_TEST_EACH(composition_gives_the_published_masses, sw_recipes_count)
{
    if (!has_mode(_i, "solve"))
        return;
    published p = open_recipe(_i);
    sw_solution *solution = solve(&p);
    size_t next = 0;
    EACH(recipe_products, product, p.row->recipe)
    {
        assert_within(solution->recipe.g_per_l[next], p.recipe->g_per_l[next],
                      product->tolerance_percent, product->product);
        next++;
    }
    ck_assert_uint_eq(next, p.shelf->count);
    sw_solution_free(solution);
    close_recipe(&p);
}
END_TEST

START_TEST_EACH(electroneutral_targets_are_all_reached, sw_recipes_count)
{
    if (!has_mode(_i, "reach"))
        return;
    published p = open_recipe(_i);
    sw_solution *solution = solve(&p);
    assert_composition(&p, &solution->recipe, true);
    sw_solution_free(solution);
    close_recipe(&p);
}
END_TEST

/* The contents that the set itself gives; "hs796-tomato:transplant" is a stage
 * of one. */
static sw_target *read_set(const char *named)
{
    char name[64];
    sw_target *set = NULL;
    sw_target *one = NULL;
    sw_error error = {0};
    const char *stage = strchr(named, ':');
    size_t kept = 0;
    snprintf(name, sizeof name, "%.*s",
             stage ? (int)(stage - named) : (int)strlen(named), named);
    ck_assert_int_eq(sw_target_named(name, &set, &error), SW_OK);
    if (stage) {
        ck_assert_int_eq(sw_target_stage(set, stage + 1, &one, &error), SW_OK);
        sw_target_free(set);
        set = one;
    }
    for (size_t i = 0; i < set->count; i++) {
        if (strcmp(set->rows[i].set, name) == 0 &&
            set->rows[i].kind == SW_TARGET_COMPONENT) {
            set->rows[kept++] = set->rows[i];
        } else {
            free(set->rows[i].name);
            free(set->rows[i].stage);
        }
    }
    set->count = kept;
    return set;
}

/* Chloride is no target of these sets. */
static bool is_chloride(const sw_recipe_products_row *product)
{
    return !strcmp(product->formula, "KCl") ||
           !strcmp(product->formula, "NaCl");
}

START_TEST_EACH(a_set_by_its_name_gives_the_published_masses, sw_recipes_count)
{
    const sw_recipes_row *row = &sw_recipes_table[_i];
    if (!*row->set)
        return;
    published p = open_recipe(_i);
    sw_target_free(p.target);
    p.target = read_set(row->set);
    sw_solution *solution = solve(&p);
    size_t next = 0;
    EACH(recipe_products, product, row->recipe)
    {
        double found = solution->recipe.g_per_l[next];
        double printed = p.recipe->g_per_l[next++];
        if (!is_chloride(product))
            assert_within(found, printed, product->tolerance_percent,
                          product->product);
    }
    ck_assert_uint_eq(next, p.shelf->count);
    sw_solution_free(solution);
    close_recipe(&p);
}
END_TEST

/* A row whose recipe is misspelt would otherwise be checked by nobody. */
START_TEST(every_row_belongs_to_a_recipe)
{
    size_t found = 0;
    for (int i = 0; i < sw_recipes_count; i++) {
        ck_assert(has_mode(i, "check") || has_mode(i, "solve") ||
                  has_mode(i, "reach"));
        EACH(recipe_values, v, sw_recipes_table[i].recipe)
        found += *v->value != '\0';
        EACH(recipe_products, p, sw_recipes_table[i].recipe)
        found += *p->product != '\0';
    }
    ck_assert_uint_eq(found, sw_recipe_values_count + sw_recipe_products_count);
}
END_TEST
