/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waters in blocks: the same as read at once, whatever the size of a block. */
#include "suite.h"

#include "records/gathered.h"
#include "records/lab_words.h"
#include "saltwright.h"
#include "table_lab_words.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

enum { MANY = 700, ROW_BYTES = 64 };

/* A file of `count` rows under `head`; row i as `format` has it, of i. */
static char *rows_of(const char *head, const char *format, size_t count)
{
    char *text = malloc(strlen(head) + 1 + count * ROW_BYTES);
    ck_assert_ptr_nonnull(text);
    size_t used = (size_t)sprintf(text, "%s", head);
    for (size_t i = 0; i < count; i++)
        used += (size_t)snprintf(text + used, ROW_BYTES, format, i, i % 97);
    return text;
}

/* The same with `late` behind the last of MANY rows. */
static char *rows_and(const char *head, const char *format, const char *late)
{
    char *text = rows_of(head, format, MANY);
    char *whole = realloc(text, strlen(text) + strlen(late) + 1);
    ck_assert_ptr_nonnull(whole);
    return strcat(whole, late);
}

typedef struct tally {
    size_t waters, defects, of_all, blocks;
    double ca;
    char samples[1 << 16];
    sw_error last;
    sw_status status;
} tally;

/* All of a text in blocks of `most`, each water's name in turn. */
static void take_all(const char *text, size_t most, tally *t)
{
    FILE *stream = stream_of(text);
    sw_water_stream *waters = NULL;
    sw_error error = {0};
    memset(t, 0, sizeof *t);
    ck_assert_int_eq(
        sw_water_stream_new(stream, "t.csv", NULL, &waters, &error), SW_OK);
    for (;;) {
        sw_waters *block;
        t->status = sw_water_stream_next(waters, most, &block, &error);
        if (t->status || !block)
            break;
        ck_assert_uint_le(block->count, most);
        for (size_t i = 0; i < block->count; i++) {
            if (strlen(t->samples) + 80 < sizeof t->samples)
                strcat(strcat(t->samples, block->items[i].sample), ";");
            t->ca += block->items[i].per_l.amount[SW_CA];
        }
        for (size_t i = 0; i < block->defect_count; i++) {
            bool of_all = block->defects[i].sample == SW_WHOLE_FILE;
            ck_assert(of_all || block->defects[i].sample < block->count);
            t->of_all += of_all;
            t->last = block->defects[i].error;
        }
        t->waters += block->count;
        t->defects += block->defect_count;
        t->blocks++;
        sw_waters_free(block);
    }
    if (t->status)
        t->last = error;
    sw_water_stream_free(waters);
    fclose(stream);
}

static tally one, other;

START_TEST(blocks_of_any_size_hold_the_same_waters)
{
    static const struct {
        const char *head, *format;
    } files[] = {
        {"sample,pH,Ca [mg/L]\n", "w%zu,7.2,%zu\n"},
        {"# by hand\nOur wells\nsample;pH;Ca\n;;mg/L\n", "w%zu;7,2;%zu\n"},
        {"Report,7\nsample,pH,Ca [mg/L]\n", "w%zu,7.2,%zu\n"},
        {"sample,parameter,value,unit\n", "w%zu,Ca,%zu,mg/L\n"},
        {"sample,Ca,Fe\nunit,mg/L,mg/L\nlimit of detection,1,0.02\n"
         "fraction,dissolved,total\n",
         "w%zu,%zu,3\n"},
        {"sample,pH,Ca [mg/L],\n", "w%zu,7,%zu,\n,,ND,\n"},
    };
    for (size_t f = 0; f < sizeof files / sizeof *files; f++) {
        char *text = rows_of(files[f].head, files[f].format, MANY);
        sw_waters *whole = gather(text, NULL);
        ck_assert_uint_eq(whole->count, MANY);
        take_all(text, 1000, &one);
        ck_assert_uint_eq(one.waters, MANY);
        ck_assert_uint_eq(one.defects, 0);
        double ca = 0.0;
        for (size_t i = 0; i < MANY; i++)
            ca += whole->items[i].per_l.amount[SW_CA];
        ck_assert_double_eq_tol(one.ca, ca, 1e-9 * (1.0 + ca));
        static const size_t sizes[] = {1, 7, 255, 256};
        for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
            take_all(text, sizes[k], &other);
            ck_assert_uint_eq(other.waters, MANY);
            ck_assert_str_eq(other.samples, one.samples);
        }
        sw_waters_free(whole);
        free(text);
    }
}
END_TEST

/* Iron that was not found lies below what the head of the file says. */
START_TEST(a_limit_at_the_head_is_that_of_every_block)
{
    char *text = rows_of("sample,Ca [mg/L],Fe [mg/L]\n"
                         "MDL,1,0.02\n",
                         "w%zu,%zu,ND\n", MANY);
    FILE *stream = stream_of(text);
    sw_water_stream *waters = NULL;
    size_t count = 0;
    sw_waters *block;
    ck_assert_int_eq(sw_water_stream_new(stream, "t.csv", NULL, &waters, NULL),
                     SW_OK);
    while (sw_water_stream_next(waters, 64, &block, NULL) == SW_OK && block) {
        ck_assert_uint_eq(block->defect_count, 0);
        for (size_t i = 0; i < block->count; i++, count++) {
            const sw_reading *iron = &block->items[i].readings[1];
            ck_assert(iron->below_detection);
            ck_assert_double_eq_tol(iron->value, 0.02, 1e-12);
        }
        sw_waters_free(block);
    }
    ck_assert_uint_eq(count, MANY);
    sw_water_stream_free(waters);
    fclose(stream);
    free(text);
}
END_TEST

START_TEST(a_bad_row_is_its_own_and_more_than_the_bound_are_told)
{
    char *text = rows_of("sample,pH,Ca [mg/L]\n", "w%zu,7.2,x%zu\n", MANY);
    take_all(text, 64, &one);
    ck_assert_uint_eq(one.waters, MANY);
    ck_assert_uint_eq(one.defects, MANY);
    ck_assert_uint_eq(one.of_all, 0);
    ck_assert_uint_eq(one.last.line, MANY + 1);
    ck_assert_uint_eq(one.last.column, 10);
    free(text);
}
END_TEST

START_TEST(a_row_that_breaks_off_is_a_defect)
{
    static const char *const rows[] = {"late,7.2\n", "late;7.2;40\n"};
    for (size_t i = 0; i < 2; i++) {
        char *whole =
            rows_and("sample,pH,Ca [mg/L]\n", "w%zu,7.2,%zu\n", rows[i]);
        take_all(whole, 64, &one);
        ck_assert_uint_eq(one.waters, MANY + 1);
        ck_assert_uint_eq(one.defects, 1);
        ck_assert_uint_eq(one.last.line, MANY + 2);
        free(whole);
    }
}
END_TEST

START_TEST(rows_of_one_name_are_each_a_sample)
{
    char *text = rows_of("sample,pH,Ca [mg/L]\n", "well,7.2,%zu%zu\n", MANY);
    take_all(text, 64, &one);
    ck_assert_uint_eq(one.waters, MANY);
    ck_assert_uint_eq(one.defects, 0);
    free(text);
}
END_TEST

START_TEST(a_row_without_a_reading_is_told_as_its_own)
{
    static tally t;
    take_all("sample,Ca [mg/L],K [mg/L]\njan,98,2\nmay,,\njun,88,1\n", 1, &t);
    ck_assert_uint_eq(t.waters, 3);
    ck_assert_uint_eq(t.defects, 1);
    ck_assert_uint_eq(t.last.line, 3);
    ck_assert_ptr_nonnull(strstr(t.last.message, "'may'"));
}
END_TEST

static void told_as_bare(const char *text, const char *name)
{
    sw_waters *w = NULL;
    FILE *stream = stream_of(text);
    ck_assert_int_eq(sw_waters_gather(stream, "w.csv", NULL, &w, NULL), SW_OK);
    fclose(stream);
    ck_assert_uint_eq(w->defect_count, 0);
    bool told = false;
    for (size_t i = 0; i < w->notes.count; i++)
        told |= !strcmp(w->notes.items[i].code, "no-reading") &&
                (!name || strstr(w->notes.items[i].text, name));
    ck_assert_int_eq(told, name != NULL);
    sw_waters_free(w);
}

START_TEST(a_sample_without_a_reading_is_left_out_with_a_note)
{
    told_as_bare("sample,Ca [mg/L],K [mg/L]\njan,98,2\nmay,,\n", ": may (");
    told_as_bare("well,date,Ca [mg/L]\nP1,2026-01-01,98\nP4,2026-01-01,\n",
                 ": P4 2026-01-01 (");
    told_as_bare("sample,Ca [mg/L],K [mg/L]\nwell,98,2\nmay,NM,not measured\n",
                 ": may (");
}
END_TEST

START_TEST(a_footnote_or_a_title_is_no_sample_without_a_reading)
{
    told_as_bare("sample,Ca [mg/L],K [mg/L]\njan,98,2\n"
                 "Taken by the grower at the pump,,\nRemarks: none,,\nend\n",
                 NULL);
}
END_TEST

/* A misspelt head whose column is empty at first, a second header, a number
 * that reads two ways: known only where they stand. */
START_TEST(what_shows_late_ends_what_follows)
{
    static const struct {
        const char *head, *format, *late, *says;
    } cases[] = {
        {"sample,Ca [mg/L],Magnesum [mg/L]\n", "w%zu,%zu,\n", "late,7,30\n",
         "Magnesum"},
        {"sample,Ca [mg/L],K [mg/L]\n", "w%zu,%zu,3\n",
         "sample,Mg [mg/L],Na [mg/L]\nw1,3,4\n", "second header"},
        {"sample;Ca [mg/L]\n", "w%zu;%zu\n", "late;1.200\n", "could be"},
        {"sample,Ca [mg/L]\n", "w%zu,%zu\n", ",ND\n", "no sample but"},
        {"sample,Ca [mg/L]\n", "w%zu,%zu\n", "fraction,total\n",
         "no sample but"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *whole = rows_and(cases[i].head, cases[i].format, cases[i].late);
        take_all(whole, 64, &one);
        ck_assert(one.of_all == 1 || (one.status && one.waters == MANY));
        ck_assert_msg(strstr(one.last.message, cases[i].says) != NULL, "%s",
                      one.last.message);
        ck_assert_uint_eq(one.last.line == MANY + 2 || one.last.line == 1, 1);
        free(whole);
    }
}
END_TEST

/* A line a part of the file that says what is known, and one that does not. */
START_TEST(a_remark_is_heard_however_many_stood_before_it)
{
    enum { ROWS = 20 * 256 };
    const char *head = "sample,Ca [mg/L]\n";
    const char *said[] = {"all results in mg/L\n", "all values as CaCO3\n"};
    for (size_t k = 0; k < 2; k++) {
        char *text = malloc(ROWS * ROW_BYTES), *at = text;
        ck_assert_ptr_nonnull(text);
        at += sprintf(at, "%s", head);
        for (int i = 0; i < ROWS; i++)
            at += i % 256 == 100 ? sprintf(at, "%s", said[0])
                                 : sprintf(at, "w%d,%d\n", i, i % 7);
        (void)sprintf(at, "%sw,2\n", said[k]);
        take_all(text, 1000, &one);
        ck_assert_int_eq(one.status, SW_OK);
        ck_assert_uint_eq(one.defects, k);
        free(text);
    }
}
END_TEST

/* A column that is empty at first may turn out to be marks of readings. */
START_TEST(a_mark_counts_that_stands_late)
{
    char *text = rows_of("sample,Ca [mg/L],\n", "w%zu,%zu,\n", MANY);
    char *whole =
        rows_and("sample,Ca [mg/L],\n", "w%zu,%zu,\n", "late,40,ND\n");
    take_all(text, 64, &one);
    take_all(whole, 64, &other);
    ck_assert_uint_eq(other.waters, MANY + 1);
    ck_assert_double_eq_tol(other.ca, one.ca, 1e-9);
    free(whole);
    free(text);
}
END_TEST

START_TEST(what_stands_before_a_broken_line_is_read)
{
    char *whole = rows_and("sample,Ca [mg/L]\n", "w%zu,%zu\n", "late,\"7\n");
    take_all(whole, 64, &one);
    ck_assert_uint_eq(one.waters, MANY);
    ck_assert_int_eq(one.status, SW_ERR_SYNTAX);
    ck_assert_uint_eq(one.last.line, MANY + 2);
    free(whole);
}
END_TEST

/* Who asks for no reason gets none, at the first rows as at later ones. */
START_TEST(a_broken_file_need_not_tell_why)
{
    char *late = rows_and("sample,Ca [mg/L]\n", "w%zu,%zu\n", "late,\"7\n");
    const char *const texts[] = {late, "sample,Ca [mg/L]\nw,\"7\n",
                                 "parameter,value,unit\nCa,\"7\n"};
    for (size_t i = 0; i < 3; i++) {
        FILE *stream = stream_of(texts[i]);
        sw_water_stream *waters;
        sw_waters *block = NULL;
        sw_status status =
            sw_water_stream_new(stream, "t", NULL, &waters, NULL);
        ck_assert_int_eq(status, SW_OK);
        while (!(status = sw_water_stream_next(waters, 64, &block, NULL)) &&
               block)
            sw_waters_free(block);
        ck_assert_int_eq(status, SW_ERR_SYNTAX);
        sw_water_stream_free(waters);
        fclose(stream);
    }
    free(late);
}
END_TEST

START_TEST(a_file_without_rows_is_a_defect)
{
    static const char *const texts[] = {"", "sample,Ca [mg/L]\n", "# x\n",
                                        "parameter,value,unit\n"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        take_all(texts[i], 64, &one);
        ck_assert_uint_eq(one.waters, 0);
        ck_assert_uint_eq(one.of_all, 1);
        ck_assert_uint_eq(one.blocks, 1);
    }
}
END_TEST

/* Bounds of what is held do not bound a stream. */
START_TEST(a_stream_may_have_more_rows_than_a_file_that_is_held)
{
    char *text = rows_of("sample,Ca [mg/L]\n", "w%zu,%zu\n", SW_MAX_ROWS + 10);
    take_all(text, 256, &one);
    ck_assert_uint_eq(one.waters, SW_MAX_ROWS + 10);
    ck_assert_uint_eq(one.defects, 0);
    free(text);
}
END_TEST

/* On which the search for a head relies. */
START_TEST(no_word_of_reports_has_a_digit_behind_a_letter)
{
    for (size_t i = 0; i < sw_lab_words_count; i++) {
        const char *words = sw_lab_words_table[i].words;
        if (sw_lab_words_table[i].role > SW_WORD_PART)
            continue;
        for (const char *at = words; *at; at++)
            ck_assert_msg(!isdigit((unsigned char)*at) || at == words ||
                              at[-1] == '|' || isdigit((unsigned char)at[-1]),
                          "%s", words);
    }
}
END_TEST
