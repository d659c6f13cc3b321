/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include <stdlib.h>
#include <string.h>

#include "write/escape.h"
#include "io/safe.h"

/* What `put` writes of `text`; the caller frees it. */
static char *written(void (*put)(FILE *, const char *), const char *text)
{
    char *out = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&out, &size);
    text_use_utf8();
    put(stream, text);
    fclose(stream);
    return out;
}

static void assert_escaped(const char *text, const char *expected)
{
    char *out = written(escape_text, text);
    ck_assert_str_eq(out, expected);
    free(out);
}

START_TEST(plain_text_and_other_scripts_stay_as_they_are)
{
    assert_escaped("MgSO4·7H2O é 中 =cmd 10 %s", "MgSO4·7H2O é 中 =cmd 10 %s");
    assert_escaped("", "");
}
END_TEST

START_TEST(markup_becomes_text)
{
    assert_escaped("<script>alert(1)</script>",
                   "&lt;script&gt;alert(1)&lt;/script&gt;");
    assert_escaped("\"' onload=x & &lt;",
                   "&quot;&#39; onload=x &amp; &amp;lt;");
}
END_TEST

START_TEST(marks_that_turn_or_hide_are_spelled_out)
{
    assert_escaped("10\xE2\x80\xAE", "10&lt;U+202E&gt;");
    assert_escaped("a\xE2\x80\x8B\x1B", "a&lt;U+200B&gt;&lt;U+001B&gt;");
    assert_escaped("\xFF", "&lt;FF&gt;");
}
END_TEST

START_TEST(a_name_that_runs_from_right_to_left_is_kept_apart)
{
    const char *const names[] = {"\u05d0", "\u0648<", "x\U0001E900", "\uFB50"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *out = written(escape_name, names[i]);
        ck_assert_ptr_eq(strstr(out, "<bdi>"), out);
        ck_assert_ptr_nonnull(strstr(out, "</bdi>"));
        free(out);
    }
    char *out = written(escape_name, "K2SO4·7 °C – 中");
    ck_assert_str_eq(out, "K2SO4·7 °C – 中");
    free(out);
}
END_TEST

START_TEST(nothing_leaves_a_string_of_css)
{
    char *out = written(escape_css, "a\"\\}</style>é");
    ck_assert_str_eq(out, "a\\22 \\5C \\7D \\3C \\2F style\\3E é");
    free(out);
}
END_TEST

START_TEST(a_name_is_kept_whole)
{
    char name[4097];
    memset(name, '<', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    char *out = written(escape_name, name);
    ck_assert_uint_eq(strlen(out), 4 * 4096);
    ck_assert_ptr_null(strstr(out, "<<"));
    free(out);
}
END_TEST

static void print_both(FILE *out, const char *text)
{
    escape_print(out, "%s is %d", text, 7);
}

START_TEST(what_is_formatted_is_escaped_after)
{
    char *out = written(print_both, "<b>");
    ck_assert_str_eq(out, "&lt;b&gt; is 7");
    free(out);
}
END_TEST
