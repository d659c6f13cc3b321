/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Built-in targets by name, and files that start from one. */
#include "suite.h"

#include "records/stream.h"
#include "saltwright.h"

#include <string.h>

DEFINE_READ_TEXT(sw_target, sw_target_read, "t.csv")

/* The only row of that name in a stage, NULL: in none. */
static const sw_target_row *row_of(const sw_target *target, const char *name,
                                   const char *stage)
{
    const sw_target_row *found = NULL;
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        bool same =
            stage ? row->stage && !strcmp(row->stage, stage) : !row->stage;
        if (!same || strcmp(row->name, name) != 0)
            continue;
        ck_assert_ptr_null(found);
        found = row;
    }
    return found;
}

START_TEST(sets_are_found_by_name_and_by_crop)
{
    static const char *const calls[] = {"yamazaki-lettuce", "Yamazaki Lettuce",
                                        "lettuce"};
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        sw_target *target;
        ck_assert_int_eq(sw_target_named(calls[i], &target, NULL), SW_OK);
        ck_assert_str_eq(target->name, "yamazaki-lettuce (Takatsuji 1997)");
        ck_assert_double_eq_tol(row_of(target, "NO3-N", NULL)->target, 84.04,
                                0.01);
        sw_target_free(target);
    }
}
END_TEST

START_TEST(a_set_is_called_by_its_crop_and_other_names_too)
{
    size_t lettuce = 0, peppers = 0, none = 0;
    for (size_t i = 0; i < sw_target_set_count(); i++) {
        sw_target_set set = sw_target_set_at(i);
        lettuce += sw_target_set_is(&set, "Lettuce");
        peppers += sw_target_set_is(&set, "bell pepper");
        none += sw_target_set_is(&set, "") || sw_target_set_is(&set, "lett");
    }
    ck_assert_uint_eq(lettuce, 1);
    ck_assert_uint_eq(peppers, 2);
    ck_assert_uint_eq(none, 0);
}
END_TEST

START_TEST(what_a_source_does_not_state_is_of_the_general_set)
{
    sw_target *target;
    ck_assert_int_eq(sw_target_named("hoagland-1", &target, NULL), SW_OK);
    ck_assert_str_eq(row_of(target, "Mn", NULL)->set, "hoagland-1");
    ck_assert_str_eq(row_of(target, "Fe", NULL)->set, "general");
    ck_assert_str_eq(row_of(target, "pH", NULL)->set, "general");
    ck_assert_uint_eq(target->notes.count, 2);
    ck_assert_ptr_nonnull(strstr(target->notes.items[1].text, "no Fe, pH"));
    sw_target_free(target);
}
END_TEST

START_TEST(several_sets_of_a_crop_are_listed)
{
    sw_error error = {0};
    sw_target *target;
    ck_assert_int_eq(sw_target_named("tomato", &target, &error), SW_ERR_NAME);
    ck_assert_ptr_null(target);
    ck_assert_ptr_nonnull(strstr(error.message, "yamazaki-tomato"));
    ck_assert_ptr_nonnull(strstr(error.message, "hs796-tomato"));
    ck_assert_int_eq(sw_target_named("letuce", &target, &error), SW_ERR_NAME);
    ck_assert_ptr_nonnull(strstr(error.message, "did you mean lettuce"));
    ck_assert_int_eq(sw_target_named("", &target, &error), SW_ERR_NAME);
    ck_assert_int_eq(sw_target_named("  ", &target, NULL), SW_ERR_NAME);
}
END_TEST

START_TEST(the_file_replaces_and_takes_away)
{
    sw_target *target = read_text("parameter,target,max,unit\n"
                                  "K,200,,mg/L\n"
                                  "base,yamazaki-lettuce,,\n"
                                  "PO4-P,1,,mmol/L\n"
                                  "Mo,none,,\n"
                                  "Cl,,100,mg/L\n");
    ck_assert_str_eq(target->name, "t.csv");
    ck_assert_double_eq(row_of(target, "K", NULL)->target, 200);
    ck_assert_ptr_null(row_of(target, "K", NULL)->set);
    ck_assert_uint_eq(row_of(target, "K", NULL)->line, 2);
    ck_assert_ptr_null(row_of(target, "P", NULL));
    ck_assert_double_eq_tol(row_of(target, "PO4-P", NULL)->target, 30.97, 0.01);
    ck_assert_ptr_null(row_of(target, "Mo", NULL));
    ck_assert_double_eq(row_of(target, "Cl", NULL)->max, 100);
    ck_assert_str_eq(row_of(target, "Ca", NULL)->set, "yamazaki-lettuce");
    /* 7 macronutrients, 5 traces, pH and chloride */
    ck_assert_uint_eq(target->count, 14);
    sw_target_free(target);
}
END_TEST

START_TEST(a_stage_of_the_file_leaves_the_base_to_the_others)
{
    sw_target *target = read_text("parameter,target,stage\n"
                                  "base,yamazaki-lettuce,\n"
                                  "K,200,late\n"
                                  "Ca,30,early\n"
                                  "Ca,50,late\n"
                                  "Mg,none,early\n");
    ck_assert_double_eq(row_of(target, "K", "late")->target, 200);
    ck_assert_str_eq(row_of(target, "K", "early")->set, "yamazaki-lettuce");
    ck_assert_ptr_null(row_of(target, "K", NULL));
    ck_assert_double_eq(row_of(target, "Ca", "early")->target, 30);
    ck_assert_ptr_null(row_of(target, "Ca", NULL));
    ck_assert_ptr_null(row_of(target, "Mg", "early"));
    ck_assert_str_eq(row_of(target, "Mg", "late")->set, "yamazaki-lettuce");
    ck_assert_ptr_nonnull(row_of(target, "S", NULL));
    sw_target_free(target);
}
END_TEST

START_TEST(a_change_without_a_stage_is_of_all_stages_of_the_base)
{
    sw_target *target = read_text("parameter,target,stage\n"
                                  "base,hs796-tomato,\n"
                                  "K,200,\n"
                                  "Fe,3,transplant\n");
    ck_assert_double_eq(row_of(target, "K", NULL)->target, 200);
    ck_assert_ptr_null(row_of(target, "K", "transplant"));
    ck_assert_double_eq(row_of(target, "Fe", "transplant")->target, 3);
    ck_assert_double_eq(row_of(target, "Fe", "5th cluster")->target, 2.8);
    ck_assert_double_eq(row_of(target, "N", "5th cluster")->target, 150);
    ck_assert_str_eq(sw_target_stage_name(target, 0), "transplant");
    ck_assert_ptr_nonnull(sw_target_stage_name(target, 4));
    ck_assert_ptr_null(sw_target_stage_name(target, 5));
    sw_target_free(target);
}
END_TEST

/* As many cells as there are columns, or one more: that is no row of ours. */
START_TEST(a_file_without_its_header_is_told_so)
{
    static const char *const texts[] = {"K,200,100,300,1,mg/L,late\n",
                                        "K,200,100,300,1,mg/L,late,x\n"};
    for (size_t i = 0; i < 2; i++) {
        sw_error error = {0};
        sw_target *target;
        FILE *stream = stream_of(texts[i]);
        ck_assert_int_ne(sw_target_read(stream, "t.csv", &target, &error),
                         SW_OK);
        fclose(stream);
        ck_assert((strstr(error.message, "names no column") != NULL) ==
                  (i == 0));
    }
}
END_TEST

/* Beside either form of the base, in the same stage, N is a second number. */
START_TEST(nitrogen_is_set_in_all_or_by_its_forms)
{
    static const struct {
        const char *rows;
        bool stands;
    } cases[] = {
        {"N,150,\n", false},
        {"N,150,\nNO3-N,none,\n", false}, /* the ammonium stands */
        {"N,150,\nNO3-N,none,\nNH4-N,none,\n", true},
        {"N,150,\nNO3-N,140,\nNH4-N,10,\n", true}, /* of the file itself */
        {"K:N,1.5,\nNO3-N,90,\n", true},
        {"K,200,\n", true},
        {"N,150,late\nK,200,early\n", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[160];
        sw_error error = {0};
        sw_target *target = NULL;
        snprintf(text, sizeof text,
                 "parameter,target,stage\n"
                 "base,yamazaki-lettuce,\n%s",
                 cases[i].rows);
        FILE *stream = stream_of(text);
        sw_status status = sw_target_read(stream, "t.csv", &target, &error);
        fclose(stream);
        ck_assert_msg((status == SW_OK) == cases[i].stands, "%s: %s",
                      cases[i].rows, error.message);
        ck_assert(cases[i].stands ||
                  strstr(error.message, "forms of nitrogen"));
        sw_target_free(target);
    }
}
END_TEST

START_TEST(each_stage_may_have_a_base_of_its_own)
{
    sw_target *target = read_text("parameter,target,stage\n"
                                  "base,udagawa-strawberry,planting\n"
                                  "base,yamazaki-strawberry,fruit\n");
    ck_assert_double_eq_tol(row_of(target, "NO3-N", "planting")->target, 44.82,
                            0.01);
    ck_assert_double_eq_tol(row_of(target, "NO3-N", "fruit")->target, 70.03,
                            0.01);
    ck_assert_ptr_null(sw_target_stage_name(target, 2));
    sw_target_free(target);
}
END_TEST
