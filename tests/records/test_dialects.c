/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One invented well written in every dialect reads as the same water. */
#include "suite.h"

#include "saltwright.h"

static const char *const dialects[] = {
    "byte-order-mark",
    "columns-in-another-order",
    "comments-and-blank-lines",
    "cr",
    "crlf",
    "empty-cells-at-the-end",
    "header-in-capitals",
    "laboratory-header",
    "newlines-in-quotes",
    "no-break-spaces",
    "no-newline-at-the-end",
    "quoted",
    "quoted-decimal-comma",
    "semicolon",
    "semicolon-decimal-comma",
    "short-rows",
    "spaces-around-cells",
    "spanish-header",
    "tab",
    "tab-decimal-comma",
    "unicode",
    "wide",
    "wide-decimal-comma",
    "wide-in-another-order",
};

enum { DIALECTS = sizeof dialects / sizeof *dialects };

static sw_waters *read_dialect(const char *name)
{
    char path[512];
    sw_waters *waters = NULL;
    sw_error error = {0};
    (void)snprintf(path, sizeof path, "%s/tests/records/dialects/%s.csv",
                   SW_SOURCE_DIR, name);
    FILE *stream = fopen(path, "rb");
    ck_assert_msg(stream != NULL, "%s", path);
    ck_assert_msg(sw_waters_read(stream, path, &waters, &error) == SW_OK,
                  "%s:%lu:%lu %s", name, error.line, error.column,
                  error.message);
    fclose(stream);
    ck_assert_uint_eq(waters->count, 1);
    return waters;
}

START_TEST_EACH(every_dialect_gives_the_same_water, DIALECTS)
{
    sw_waters *plain = read_dialect("plain");
    sw_waters *other = read_dialect(dialects[_i]);
    const sw_water *a = &plain->items[0];
    const sw_water *b = &other->items[0];
    ck_assert_uint_eq(a->reading_count, 10);
    ck_assert_uint_eq(b->reading_count, 10);
    ck_assert_mem_eq(&a->per_l, &b->per_l, sizeof a->per_l);
    ck_assert_mem_eq(a->reported, b->reported, sizeof a->reported);
    ck_assert_mem_eq(a->below_detection, b->below_detection,
                     sizeof a->below_detection);
    ck_assert_double_eq(a->ph, b->ph);
    ck_assert_double_eq(a->ec_ms_per_cm, b->ec_ms_per_cm);
    ck_assert_uint_eq(plain->notes.count, other->notes.count);
    sw_waters_free(plain);
    sw_waters_free(other);
}
END_TEST

START_TEST(the_plain_one_is_what_it_says)
{
    sw_waters *plain = read_dialect("plain");
    const sw_water *w = &plain->items[0];
    ck_assert_str_eq(w->sample, "plain");
    ck_assert_double_eq(w->ph, 7.3);
    ck_assert_double_eq(w->per_l.amount[SW_CA], 104.5);
    ck_assert_double_eq(w->per_l.amount[SW_NA], 21.25);
    ck_assert(w->below_detection[SW_FE]);
    ck_assert_uint_eq(plain->notes.count, 0);
    sw_waters_free(plain);
}
END_TEST
