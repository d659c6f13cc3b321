/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets of several stages of a crop in one file. */
#include "suite.h"

#include "records/stream.h"
#include "records/targets.h"
#include "saltwright.h"

#include <string.h>

static const char two_stages[] = "parameter,target,max,stage\n"
                                 "Ca,120,,young\n"
                                 "Na,,50,\n"
                                 "Ca,180,,Harvest\n"
                                 "K,250,,harvest\n"
                                 "pH,5.8,,\n";

static sw_status read_text(const char *text, sw_target **target,
                           sw_error *error)
{
    FILE *stream = stream_of(text);
    sw_status status = sw_target_read(stream, "t.csv", target, error);
    fclose(stream);
    return status;
}

static sw_target *read_stages(void)
{
    sw_target *target;
    ck_assert_int_eq(read_text(two_stages, &target, NULL), SW_OK);
    return target;
}

START_TEST(stages_are_named_in_the_order_of_the_file)
{
    sw_target *target = read_stages();
    ck_assert_uint_eq(target->count, 5);
    ck_assert_str_eq(sw_target_stage_name(target, 0), "young");
    ck_assert_str_eq(sw_target_stage_name(target, 1), "Harvest");
    ck_assert_ptr_null(sw_target_stage_name(target, 2));
    ck_assert_ptr_null(target->rows[1].stage);
    sw_target_free(target);
}
END_TEST

START_TEST(a_stage_holds_its_rows_and_those_of_every_stage)
{
    sw_target *target = read_stages();
    sw_target *one;
    ck_assert_int_eq(sw_target_stage(target, "HARVEST", &one, NULL), SW_OK);
    ck_assert_uint_eq(one->count, 4);
    ck_assert_str_eq(one->rows[0].name, "Na");
    ck_assert_double_eq(one->rows[1].target, 180);
    ck_assert_str_eq(one->rows[2].name, "K");
    ck_assert_uint_eq(one->rows[2].line, 5);
    ck_assert_str_eq(one->name, "t.csv");
    ck_assert_ptr_null(sw_target_stage_name(one, 0));
    sw_target_free(target);
    sw_target_free(one);
}
END_TEST

START_TEST(a_stage_that_is_not_there_is_refused_with_the_choices)
{
    sw_target *target = read_stages();
    sw_target *one;
    sw_error error;
    ck_assert_int_eq(sw_target_stage(target, "seedling", &one, &error),
                     SW_ERR_NAME);
    ck_assert_ptr_null(one);
    ck_assert_ptr_nonnull(strstr(error.message, "young, Harvest"));
    sw_target_free(target);
}
END_TEST

START_TEST(a_target_without_stages_says_so)
{
    sw_target *target;
    sw_target *one;
    sw_error error;
    ck_assert_int_eq(read_text("parameter,target\nCa,1\n", &target, NULL),
                     SW_OK);
    ck_assert_ptr_null(sw_target_stage_name(target, 0));
    ck_assert_int_eq(sw_target_stage(target, "young", &one, &error),
                     SW_ERR_NAME);
    ck_assert_ptr_nonnull(strstr(error.message, "expected none"));
    sw_target_free(target);
}
END_TEST

START_TEST(the_same_parameter_may_come_once_a_stage)
{
    sw_target *target;
    sw_error error;
    ck_assert_int_eq(read_text("parameter,target,stage\n"
                               "Ca,120,young\nCa,150,Young\n",
                               &target, &error),
                     SW_ERR_DUPLICATE);
    ck_assert_ptr_null(target);
    ck_assert_uint_eq(error.line, 3);
    ck_assert_int_eq(read_text("parameter,target,stage\n"
                               "Ca,120,young\nCa,150,\n",
                               &target, &error),
                     SW_ERR_DUPLICATE);
}
END_TEST

START_TEST(several_stages_at_once_cannot_be_solved_for)
{
    sw_target *target = read_stages();
    sw_shelf *shelf;
    sw_solver *solver;
    sw_solution *solution;
    sw_error error;
    sw_content water = {{0}};
    ck_assert_int_eq(sw_shelf_catalogue(&shelf, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    sw_problem problem = {.waters = &water,
                          .water_count = 1,
                          .target = target,
                          .shelf = shelf,
                          .conditions = sw_conditions_default()};
    ck_assert_int_eq(sw_formulate(solver, &problem, &solution, &error),
                     SW_ERR_VALUE);
    ck_assert_ptr_nonnull(strstr(error.message, "the stage young"));
    sw_solver_free(solver);
    sw_shelf_free(shelf);
    sw_target_free(target);
}
END_TEST

/* `count` ratios, no two of the same elements. */
static void put_ratios(FILE *stream, int count, int stage)
{
    static const char *const names[] = {"P",  "K",  "Ca", "Mg", "S",  "Cl",
                                        "Na", "Fe", "Mn", "Zn", "Cu", "B"};
    for (int a = 0; a < 12; a++)
        for (int b = a + 1; b < 12 && count > 0; b++, count--)
            fprintf(stream, "%s:%s,9,s%d\n", names[a], names[b], stage);
}

/* Stages of `each` rows; `line` is that of the one too many, 0: there is
 * none. */
static void expect_bound(int stages, int each, unsigned long line)
{
    sw_target *target;
    sw_error error = {0};
    FILE *stream = tmpfile();
    ck_assert_ptr_nonnull(stream);
    fputs("parameter,max,stage\n", stream);
    for (int i = 0; i < stages; i++)
        put_ratios(stream, each, i);
    rewind(stream);
    ck_assert_int_eq(sw_target_read(stream, "t.csv", &target, &error),
                     line ? SW_ERR_LIMIT : SW_OK);
    ck_assert_uint_eq(error.line, line);
    fclose(stream);
    sw_target_free(target);
}

START_TEST(stages_and_rows_are_bounded)
{
    expect_bound(SW_MAX_STAGES, 2, 0);
    expect_bound(SW_MAX_STAGES + 1, 2, 2 * SW_MAX_STAGES + 2);
    expect_bound(SW_MAX_TARGET_ROWS / 64, 64, 0);
    expect_bound(SW_MAX_TARGET_ROWS / 64, 65, SW_MAX_TARGET_ROWS + 2);
}
END_TEST

START_TEST(a_copy_of_the_whole_keeps_its_stages)
{
    sw_target *target = read_stages();
    sw_target *copy = sw_target_copy(target);
    ck_assert_uint_eq(copy->count, target->count);
    ck_assert_str_eq(sw_target_stage_name(copy, 1), "Harvest");
    ck_assert_ptr_ne(copy->rows[0].name, target->rows[0].name);
    sw_target_free(target);
    sw_target_free(copy);
}
END_TEST
