/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What rests on no source is said once, and only where it was used. */
#include "suite.h"

#include <math.h>
#include <string.h>

#include "assess/advice.h"

static const char *text_of(const sw_notes *notes, const char *code)
{
    const sw_note *found = sw_notes_find(notes, code);
    return found ? found->text : "";
}

/* An assessment with nothing but its target. */
typedef struct bench {
    sw_target_row row;
    sw_target target;
    sw_mix mix;
    sw_assessment a;
} bench;

static void set_up(bench *b, double min)
{
    memset(b, 0, sizeof *b);
    b->row = (sw_target_row){
        .component = SW_K, .target = 100, .min = min, .max = NAN};
    b->target = (sw_target){.rows = &b->row, .count = 1};
    b->mix.target = &b->target;
}

START_TEST(a_target_without_limits_rests_on_a_range_of_the_trade)
{
    bench b;
    set_up(&b, NAN);
    sw_say_basis(&b.mix, &b.a);
    ck_assert_ptr_nonnull(
        strstr(text_of(&b.a.notes, "common-practice"), "within 10 %"));
    sw_notes_free(&b.a.notes);
    set_up(&b, 90);
    sw_say_basis(&b.mix, &b.a);
    ck_assert_ptr_null(
        strstr(text_of(&b.a.notes, "common-practice"), "within 10 %"));
    sw_notes_free(&b.a.notes);
}
END_TEST

START_TEST(values_from_memory_are_told_where_they_judged)
{
    bench b;
    set_up(&b, 90);
    sw_say_basis(&b.mix, &b.a);
    ck_assert_str_eq(text_of(&b.a.notes, "from-memory"), "");
    sw_notes_free(&b.a.notes);
    b.a.mixed.saturation[SW_ACP].defined = true;
    sw_say_basis(&b.mix, &b.a);
    ck_assert_ptr_nonnull(
        strstr(text_of(&b.a.notes, "from-memory"), "phosphate"));
    sw_notes_free(&b.a.notes);
}
END_TEST
