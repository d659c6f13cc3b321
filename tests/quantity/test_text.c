/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Folding, keys, numbers and near names. */
#include "suite.h"

#include "quantity/text.h"
#include "records/lab_words.h"

#include "table_lab_words.h"

#include <string.h>

static void folds_to(const char *text, const char *expected)
{
    char out[64];
    ck_assert(sw_text_fold(text, out, sizeof out));
    ck_assert_str_eq(out, expected);
}

START_TEST(every_character_folds_to_one)
{
    folds_to("H₂PO₄⁻", "H2PO4-");
    folds_to("Ca²⁺", "Ca2+");
    folds_to("x¹⁴³", "x143");
    folds_to("µg μg", "ug ug");
    folds_to("–—−‐", "----");
    folds_to("a·b•c∙d⋅e×f", "a*b*c*d*e*f");
    folds_to("°dH", "~dH");
    folds_to("Härte Éàçñß", "Harte Eacns");
    folds_to("a\u00a0b\u202fc\td", "a b c d");
    folds_to("€", "E");
    folds_to("☃𝄞", "??");
}
END_TEST

START_TEST(broken_utf8_is_a_question_mark_and_never_runs_past_the_end)
{
    folds_to("\x80z", "?z");
    folds_to("\xc3", "?");
    folds_to("\xe2\x82", "?");
    folds_to("\xf0\x9f", "?");
    folds_to("\xc0\xaf", "??");
    folds_to("\xffz", "?z");
}
END_TEST

START_TEST(folding_says_when_there_is_no_room)
{
    char out[4];
    ck_assert(sw_text_fold("abc", out, sizeof out));
    ck_assert(!sw_text_fold("abcd", out, sizeof out));
}
END_TEST

START_TEST(keys_hold_letters_and_digits_in_lower_case)
{
    char key[SW_KEY_SIZE];
    sw_text_key(" Nitric Acid, 61.4 % ", key);
    ck_assert_str_eq(key, "nitricacid614");
    char endless[300];
    memset(endless, 'a', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    sw_text_key(endless, key);
    ck_assert_str_eq(key, "");
}
END_TEST

START_TEST(lists_are_searched_name_by_name)
{
    ck_assert(sw_text_listed("MKP|0-52-34|Härte", "05234"));
    ck_assert(sw_text_listed("MKP|0-52-34|Härte", "harte"));
    ck_assert(!sw_text_listed("MKP|%|Härte", ""));
    ck_assert(sw_text_listed("MKP|0-52-34|Härte", "mkp"));
    ck_assert(!sw_text_listed("MKP|0-52-34", "mk"));
    ck_assert(!sw_text_listed("MKP|0-52-34", "mkp0"));
    ck_assert(!sw_text_listed("", ""));
    ck_assert(!sw_text_listed("-|--", ""));
}
END_TEST

static bool has_row(const sw_names *names, const char *key, int row)
{
    int at = 0;
    for (size_t nth = 0; (at = sw_names_row(names, key, nth)) >= 0; nth++)
        if (at == row)
            return true;
    return false;
}

START_TEST(every_name_of_a_table_has_its_row)
{
    char key[SW_KEY_SIZE];
    for (int i = 0; i < (int)sw_lab_words_count; i++) {
        char words[8192];
        strcpy(words, sw_lab_words_table[i].words);
        for (char *save, *word = strtok_r(words, "|", &save); word;
             word = strtok_r(NULL, "|", &save)) {
            sw_text_key(word, key);
            ck_assert_msg(has_row(&sw_lab_words_names, key, i), "%s", word);
        }
    }
    for (size_t i = 0; i < sw_lab_words_names.count; i++) {
        const sw_name *name = &sw_lab_words_names.name[i];
        const sw_lab_words_row *row = &sw_lab_words_table[name->row];
        ck_assert(
            sw_text_listed(row->words, sw_lab_words_names.keys + name->key));
    }
    ck_assert_int_eq(sw_names_row(&sw_lab_words_names, "", 0), -1);
    ck_assert_int_eq(sw_names_row(&sw_lab_words_names, "zzzz", 0), -1);
}
END_TEST

START_TEST(keys_of_units_keep_strokes_and_powers)
{
    char key[SW_KEY_SIZE];
    sw_unit_key("mg L-1", key);
    ck_assert_str_eq(key, "mgl-1");
    sw_unit_key("\u00b5S / cm", key);
    ck_assert_str_eq(key, "us/cm");
    sw_unit_key("\u00b0C", key);
    ck_assert_str_eq(key, "degc");
    sw_unit_key("mg-N (-)", key);
    ck_assert_str_eq(key, "mgn-");
    char endless[300];
    memset(endless, 'a', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    sw_unit_key(endless, key);
    ck_assert_str_eq(key, "");
}
END_TEST

START_TEST(a_number_ends_where_it_ends)
{
    double value = 0;
    ck_assert_uint_eq(sw_text_number("25kg", &value), 2);
    ck_assert_double_eq(value, 25);
    ck_assert_uint_eq(sw_text_number("1e3L", &value), 3);
    ck_assert_uint_eq(sw_text_number("-.5", &value), 3);
    ck_assert_uint_eq(sw_text_number("0x10", &value), 1);
    ck_assert_uint_eq(sw_text_number("infinity", &value), 0);
    ck_assert_uint_eq(sw_text_number("nan", &value), 0);
    ck_assert_uint_eq(sw_text_number("-", &value), 0);
    ck_assert_uint_eq(sw_text_number(".", &value), 0);
    ck_assert_uint_eq(sw_text_number("", &value), 0);
}
END_TEST

static void near_to(const char *key, const char *list, const char *expected)
{
    char said[200];
    sw_near near = {.key = key};
    for (const char *at = list; *at; at += strlen(at) + 1)
        sw_near_consider(&near, at, at);
    sw_near_say(&near, said, sizeof said);
    ck_assert_str_eq(said, expected);
}

START_TEST(the_temperature_of_a_conductivity_is_a_number_of_its_own)
{
    static const struct {
        const char *text, *left;
    } cases[] = {{"us/cm at 25 c", "us/cm        "},
                 {"25c", "   "},
                 {"us/cm 125 c", NULL},
                 {"us/cm 1.25 c", NULL},
                 {"us/cm .25 c", NULL},
                 {"us/cm 25 cm", NULL},
                 {"mg/l 25", NULL},
                 {"mg/l 25 deg", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        /* No longer than it is: nothing behind its end is looked at. */
        char *text = strdup(cases[i].text);
        const char *left = cases[i].left;
        ck_assert_ptr_nonnull(text);
        ck_assert_int_eq(sw_text_blank_25_c(text), left != NULL);
        ck_assert_str_eq(text, left ? left : cases[i].text);
        free(text);
    }
}
END_TEST

START_TEST(near_names_come_closest_first_and_at_most_three)
{
    near_to("magnezium", "calcium\0magnesium\0", "; did you mean magnesium?");
    near_to("aaaaaaaa", "aaaaaabb\0aaaaaaab\0aaaaaaba\0aaaaabaa\0",
            "; did you mean aaaaaaab, aaaaaaba or aaaaabaa?");
    near_to("aaaaaaaa", "aaaaaaab\0aaaaaaba\0aaaaabaa\0aaaaaabb\0",
            "; did you mean aaaaaaab, aaaaaaba or aaaaabaa?");
    near_to("potash", "muriate of potash\0",
            "; did you mean muriate of "
            "potash?");
    near_to("same", "samr\0samr\0", "; did you mean samr?");
    near_to("xyz", "calcium\0\0", "");
}
END_TEST

START_TEST(near_names_of_a_list_show_what_they_stand_for)
{
    char said[200];
    sw_near near = {.key = "calcum"};
    sw_near_consider_list(&near, "kalzium|calcium||", "Ca");
    sw_near_say(&near, said, sizeof said);
    ck_assert_str_eq(said, "; did you mean Ca?");
}
END_TEST

START_TEST(a_short_buffer_cuts_what_is_said)
{
    char said[10];
    sw_near near = {.key = "calcum"};
    sw_near_consider(&near, "calcium", "calcium");
    sw_near_consider(&near, "calcun", "calcun");
    sw_near_say(&near, said, sizeof said);
    ck_assert_str_eq(said, "; did you");
}
END_TEST

START_TEST(what_cuts_have_left_of_a_character_is_dropped)
{
    static const struct {
        const char *cut, *mended;
    } cases[] = {{"", ""},
                 {"plain", "plain"},
                 {"\u00e9t\u00e9", "\u00e9t\u00e9"},
                 {"caf\xC3 max", "caf max"},
                 {"\xE6\xB0 \u6c34", " \u6c34"},
                 {"\xF0\x9F\x8C", ""},
                 {"a\x80\xBFz", "az"},
                 {"\xC3\xC3\xA9", "\u00e9"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[32];
        strcpy(text, cases[i].cut);
        sw_text_mend(text);
        ck_assert_str_eq(text, cases[i].mended);
    }
}
END_TEST
