/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The built-in targets of crops against what their sources print, in
 * crop_values.csv: contents worked out by hand, sums of charges, EC.  And each
 * set is formulated in purified water with straights of the catalogue.
 */
#include "suite.h"

#include "saltwright.h"
#include "table_crop_values.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

typedef sw_crop_values_row printed;

static sw_target *read_set(const char *name, const char *stage)
{
    sw_error error = {0};
    sw_target *set = NULL;
    sw_target *one = NULL;
    ck_assert_msg(sw_target_named(name, &set, &error) == SW_OK, "%s",
                  error.message);
    if (!stage || !*stage)
        return set;
    ck_assert_msg(sw_target_stage(set, stage, &one, &error) == SW_OK, "%s",
                  error.message);
    sw_target_free(set);
    return one;
}

static double content_of(const sw_target *target, const char *name)
{
    for (size_t i = 0; i < target->count; i++)
        if (strcmp(target->rows[i].name, name) == 0)
            return target->rows[i].target;
    return NAN;
}

/* Ions of the macronutrients, N as nitrate where its forms are not known. */
static sw_chemistry chemistry_of(const sw_target *target)
{
    sw_content per_l = {{0}};
    sw_chemistry out;
    sw_error error = {0};
    sw_conditions conditions = sw_conditions_default();
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->component <= SW_S)
            per_l.amount[row->component] = row->target;
    }
    ck_assert_int_eq(
        sw_equilibrate(&per_l, &conditions, SW_CARBONATE_KEPT, &out, &error),
        SW_OK);
    return out;
}

static void assert_near(const printed *p, double value, double tolerance)
{
    ck_assert_msg(fabs(value - p->value) <= tolerance * p->value,
                  "%s %s: %s is %.5g, printed %.5g", p->set, p->stage,
                  p->parameter, value, p->value);
}

static void assert_printed(const printed *p)
{
    sw_target *target = read_set(p->set, p->stage);
    sw_chemistry chemistry = chemistry_of(target);
    if (!strcmp(p->parameter, "cations"))
        assert_near(p, chemistry.cations_meq_per_l, TOL_PRINTED_CHARGES);
    else if (!strcmp(p->parameter, "anions"))
        assert_near(p, chemistry.anions_meq_per_l, TOL_PRINTED_CHARGES);
    else if (!strcmp(p->parameter, "EC"))
        assert_near(p, chemistry.ec_ms_per_cm, TOL_NOMINAL_EC);
    else
        assert_near(p, content_of(target, p->parameter), TOL_PRINTED_CONTENT);
    sw_target_free(target);
}

START_TEST(sets_hold_what_their_sources_print)
{
    for (int i = 0; i < sw_crop_values_count; i++)
        assert_printed(&sw_crop_values_table[i]);
}
END_TEST

/* 4 me/L of phosphate in these tables are 1.333 mmol/L; with one charge the
 * anions would outweigh the cations by an eighth. */
START_TEST(phosphate_in_japanese_tables_counts_three_charges)
{
    sw_target *enshi = read_set("enshi-standard", NULL);
    sw_target *lettuce = read_set("yamazaki-lettuce", NULL);
    const double p_mg_per_mmol = 30.974;
    ck_assert_double_eq_tol(content_of(enshi, "P") / p_mg_per_mmol, 4.0 / 3,
                            1e-3);
    ck_assert_double_eq_tol(content_of(lettuce, "P") / p_mg_per_mmol, 0.5,
                            1e-3);
    sw_chemistry chemistry = chemistry_of(enshi);
    ck_assert_double_eq_tol(chemistry.anions_meq_per_l,
                            chemistry.cations_meq_per_l, 0.05);
    sw_target_free(enshi);
    sw_target_free(lettuce);
}
END_TEST

/* ---- Each in purified water ---------------------------------------------- */

static const char straights[] =
    "product\ncalcium nitrate tetrahydrate\npotassium nitrate\n"
    "magnesium nitrate hexahydrate\nammonium nitrate\nammonium sulfate\n"
    "monopotassium phosphate\nmonoammonium phosphate\npotassium sulfate\n"
    "magnesium sulfate heptahydrate\ncalcium chloride dihydrate\n"
    "potassium hydroxide\nnitric acid 60 %\nphosphoric acid 85 %\n"
    "iron DTPA 11 %\nmanganese sulfate monohydrate\n"
    "zinc sulfate heptahydrate\ncopper sulfate pentahydrate\nboric acid\n"
    "sodium molybdate dihydrate\n";

/* Of which the printed anions are more than the cations, by so much of N. */
static double allowed_percent(const char *set, const char *stage)
{
    bool other = strcmp(set, "udagawa-strawberry") != 0 || !stage;
    if (!other && !strcmp(stage, "planting"))
        return 6;
    if (!other && !strcmp(stage, "after week 1"))
        return 2.5;
    if (!other && !strcmp(stage, "harvest"))
        return 1.3;
    return 1;
}

/* The base assumed is a bicarbonate, milder than a hydroxide, of which more is
 * needed for the same pH, with its potassium. */
static const double bicarbonate_percent = 0.3;

/* With `shelf`, or where it is NULL with what is assumed of who names none. */
static void formulate(sw_solver *solver, const sw_shelf *shelf, const char *set,
                      const char *stage)
{
    sw_shelf *assumed = NULL;
    double allowed = allowed_percent(set, stage);
    sw_error error = {0};
    sw_content water = {{0}};
    sw_solution *solution = NULL;
    sw_assessment *judged = NULL;
    sw_target *target = read_set(set, stage);
    sw_conditions conditions = sw_conditions_default();
    if (!shelf) {
        ck_assert_int_eq(sw_shelf_common(target, false, &assumed, &error),
                         SW_OK);
        shelf = assumed;
        allowed += bicarbonate_percent;
    }
    sw_problem problem = {.waters = &water,
                          .water_count = 1,
                          .target = target,
                          .shelf = shelf,
                          .conditions = conditions};
    ck_assert_msg(sw_formulate(solver, &problem, &solution, &error) == SW_OK &&
                      solution->outcome == SW_OPTIMAL,
                  "%s: %s", set, error.message);
    sw_mix mix = {.water = &water,
                  .target = target,
                  .shelf = shelf,
                  .recipe = &solution->recipe,
                  .conditions = conditions};
    ck_assert_int_eq(sw_assess(&mix, &judged, &error), SW_OK);
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT)
            continue;
        double found = judged->rows[row->component].finished_mg_per_l;
        double off = 100 * fabs(found - row->target) / row->target;
        ck_assert_msg(off <= allowed, "%s %s: %s is %.4g, target %.4g", set,
                      stage ? stage : "", row->name, found, row->target);
    }
    ck_assert_double_eq_tol(judged->mixed.ph, sw_target_ph(target)->target,
                            0.1);
    sw_assessment_free(judged);
    sw_solution_free(solution);
    sw_target_free(target);
    sw_shelf_free(assumed);
}

/* Whether the shelf assumed for a set holds `product`. */
static bool assumes(const char *set, const char *product)
{
    sw_error error = {0};
    sw_shelf *shelf = NULL;
    sw_target *target = *set ? read_set(set, NULL) : NULL;
    bool found = false;
    ck_assert_int_eq(sw_shelf_common(target, false, &shelf, &error), SW_OK);
    for (size_t j = 0; j < shelf->count; j++)
        found |= !strcmp(shelf->products[j].catalogue_name, product);
    sw_shelf_free(shelf);
    sw_target_free(target);
    return found;
}

/* The grade of the trade, but where its ammonium would be too much; an acid
 * where a pH is asked for. */
START_TEST(the_shelf_assumed_suits_its_target)
{
    const char grade[] = "calcium ammonium nitrate double salt";
    const char pure[] = "calcium nitrate tetrahydrate";
    const char acid[] = "nitric acid 38 %";
    ck_assert(assumes("yamazaki-lettuce", grade));
    ck_assert(!assumes("yamazaki-lettuce", pure));
    ck_assert(assumes("sonneveld-pepper", pure));
    ck_assert(!assumes("sonneveld-pepper", grade));
    ck_assert(assumes("yamazaki-lettuce", acid));
    ck_assert(assumes("", grade) && !assumes("", acid));
}
END_TEST

START_TEST(straights_in_purified_water_reach_every_set)
{
    sw_error error = {0};
    sw_solver *solver = NULL;
    sw_shelf *shelf = NULL;
    size_t stages = 0;
    FILE *stream = fmemopen((void *)straights, strlen(straights), "r");
    ck_assert_int_eq(sw_shelf_read(stream, "straights", &shelf, &error), SW_OK);
    fclose(stream);
    ck_assert_int_eq(sw_solver_new(&solver, &error), SW_OK);
    for (size_t i = 0; i < sw_target_set_count(); i++) {
        sw_target_set set = sw_target_set_at(i);
        if (!strcmp(set.name, "general"))
            continue;
        sw_target *all = read_set(set.name, NULL);
        const char *stage = sw_target_stage_name(all, 0);
        for (size_t k = 0; k == 0 || stage; k++) {
            formulate(solver, shelf, set.name, stage);
            formulate(solver, NULL, set.name, stage);
            stages++;
            stage = sw_target_stage_name(all, k + 1);
        }
        sw_target_free(all);
    }
    ck_assert_uint_ge(sw_target_set_count() - 1, 25);
    ck_assert_uint_gt(stages, sw_target_set_count());
    sw_solver_free(solver);
    sw_shelf_free(shelf);
}
END_TEST
