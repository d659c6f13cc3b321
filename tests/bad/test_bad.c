/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One defect a file, and the very sentence it must be refused with.  A file is
 * named KIND-DEFECT.csv; expected.txt has a line for each: name, status,
 * line:column and message, parted by tabs.  Defects too large to keep as a file
 * are made here.
 *
 *     test_bad --write > expected.txt      to review what changed
 */
#define _GNU_SOURCE /* fopencookie: streams too large to write */
#include "suite.h"

#include "saltwright.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

#define FOLDER SW_SOURCE_DIR "/tests/bad"

enum { MOST_FILES = 400, LEAST_FILES = 80 };

/* ---- Reading a file of any kind ---------------------------------------- */

static sw_status read_water(FILE *stream, const char *name, sw_error *error)
{
    sw_waters *waters = NULL;
    sw_status status = sw_waters_read(stream, name, &waters, error);
    ck_assert((status == SW_OK) == (waters != NULL));
    sw_waters_free(waters);
    return status;
}

static sw_status read_target(FILE *stream, const char *name, sw_error *error)
{
    sw_target *target = NULL;
    sw_status status = sw_target_read(stream, name, &target, error);
    ck_assert((status == SW_OK) == (target != NULL));
    sw_target_free(target);
    return status;
}

static sw_status read_shelf(FILE *stream, const char *name, sw_error *error)
{
    sw_shelf *shelf = NULL;
    sw_status status = sw_shelf_read(stream, name, &shelf, error);
    ck_assert((status == SW_OK) == (shelf != NULL));
    sw_shelf_free(shelf);
    return status;
}

/* Over a shelf of the whole catalogue, which must stay as it was. */
static sw_status read_recipe(FILE *stream, const char *name, sw_error *error)
{
    sw_shelf *shelf = NULL;
    sw_recipe *recipe = NULL;
    ck_assert_int_eq(sw_shelf_catalogue(&shelf, NULL), SW_OK);
    size_t count = shelf->count;
    sw_status status = sw_recipe_read(stream, name, shelf, &recipe, error);
    ck_assert((status == SW_OK) == (recipe != NULL));
    ck_assert_uint_eq(shelf->count, count);
    sw_recipe_free(recipe);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_stocks(FILE *stream, const char *name, sw_error *error)
{
    sw_shelf *shelf = NULL;
    sw_placement *mixed = NULL;
    ck_assert_int_eq(sw_shelf_catalogue(&shelf, NULL), SW_OK);
    size_t count = shelf->count;
    sw_status status = sw_placements_read(stream, name, shelf, &mixed, error);
    ck_assert((status == SW_OK) == (mixed != NULL));
    ck_assert_uint_eq(shelf->count, count);
    sw_placements_free(mixed);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_stream(FILE *stream, const char *name, sw_error *error)
{
    static const struct {
        const char *kind;
        sw_status (*read)(FILE *, const char *, sw_error *);
    } kinds[] = {{"water-", read_water},
                 {"target-", read_target},
                 {"shelf-", read_shelf},
                 {"recipe-", read_recipe},
                 {"stocks-", read_stocks}};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        if (!strncmp(name, kinds[i].kind, strlen(kinds[i].kind)))
            return kinds[i].read(stream, name, error);
    ck_abort_msg("%s: of no kind", name);
    return SW_OK;
}

static sw_error read_bad(const char *name)
{
    char path[1024];
    sw_error error = {0};
    (void)snprintf(path, sizeof path, "%s/%s", FOLDER, name);
    FILE *stream = fopen(path, "rb");
    ck_assert_msg(stream != NULL, "%s", path);
    sw_status status = read_stream(stream, name, &error);
    fclose(stream);
    ck_assert_int_eq(status, error.status);
    return error;
}

/* One line of expected.txt, without its end. */
static void describe(const char *name, const sw_error *e, char *to, size_t size)
{
    (void)snprintf(to, size, "%s\t%s\t%lu:%lu\t%s", name,
                   sw_status_text(e->status), e->line, e->column, e->message);
}

/* ---- The files --------------------------------------------------------- */

typedef struct names {
    char items[MOST_FILES][128];
    size_t count;
} names;

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

static void list_files(names *files)
{
    files->count = 0;
    DIR *folder = opendir(FOLDER);
    ck_assert_ptr_nonnull(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        size_t length = strlen(entry->d_name);
        if (length < 4 || strcmp(entry->d_name + length - 4, ".csv") != 0)
            continue;
        ck_assert_uint_lt(files->count, MOST_FILES);
        (void)snprintf(files->items[files->count++], 128, "%.127s",
                       entry->d_name);
    }
    closedir(folder);
    qsort(files->items, files->count, sizeof files->items[0], by_name);
}

/* The next line without its end; false at the end of the file. */
static bool next_line(FILE *stream, char *line, int size)
{
    if (!fgets(line, size, stream))
        return false;
    line[strcspn(line, "\n")] = '\0';
    return true;
}

START_TEST(every_file_is_refused_with_its_sentence)
{
    static names files;
    char line[2048];
    char got[2048];
    list_files(&files);
    ck_assert_uint_ge(files.count, LEAST_FILES);
    FILE *expected = fopen(FOLDER "/expected.txt", "r");
    ck_assert_ptr_nonnull(expected);
    for (size_t i = 0; i < files.count; i++) {
        sw_error error = read_bad(files.items[i]);
        describe(files.items[i], &error, got, sizeof got);
        ck_assert_msg(next_line(expected, line, sizeof line),
                      "expected.txt lacks %s", got);
        ck_assert_str_eq(got, line);
    }
    ck_assert_msg(!next_line(expected, line, sizeof line), "no file for %s",
                  line);
    fclose(expected);
}
END_TEST

START_TEST(every_error_names_the_file_and_fits_its_room)
{
    static names files;
    list_files(&files);
    for (size_t i = 0; i < files.count; i++) {
        sw_error error = read_bad(files.items[i]);
        ck_assert_str_eq(error.file, files.items[i]);
        ck_assert_uint_lt(strlen(error.message), sizeof error.message - 1);
    }
}
END_TEST

START_TEST(no_file_needs_an_error_to_be_refused)
{
    static names files;
    list_files(&files);
    for (size_t i = 0; i < files.count; i++) {
        FILE *stream = NULL;
        char path[1024];
        (void)snprintf(path, sizeof path, "%s/%s", FOLDER, files.items[i]);
        stream = fopen(path, "rb");
        ck_assert_ptr_nonnull(stream);
        ck_assert_int_ne(read_stream(stream, files.items[i], NULL), SW_OK);
        fclose(stream);
    }
}
END_TEST

/* ---- Too large for a file ---------------------------------------------- */

/* What a stream without end repeats after its head. */
typedef struct endless {
    const char *head;
    const char *unit;
    size_t at;
    size_t taken;
} endless;

static ssize_t read_endless(void *cookie, char *buffer, size_t size)
{
    endless *e = cookie;
    size_t head = strlen(e->head);
    size_t unit = strlen(e->unit);
    for (size_t i = 0; i < size; i++, e->at++)
        buffer[i] =
            e->at < head ? e->head[e->at] : e->unit[(e->at - head) % unit];
    e->taken += size;
    return (ssize_t)size;
}

typedef struct large {
    const char *name;
    const char *head;
    const char *unit;
    size_t most_taken; /* bytes of the stream that may be read */
    const char *says;
} large;

START_TEST_EACH(a_stream_without_end_is_refused_at_a_bound, 9)
{
    static const large cases[] = {
        {"water-line", "parameter,value,unit\nCa,48,", "m", 200000,
         "longer than 65536 bytes"},
        {"water-header", "", "p", 200000, "longer than 65536 bytes"},
        {"water-comment", "# ", "x", 200000, "longer than 65536 bytes"},
        {"water-quote", "parameter,value,unit\nCa,\"", "48,mg/L\n", 200000,
         "does not close within 4096 bytes"},
        {"water-readings", "parameter,value,unit\n", "Al,1,mg/L\n", 2000000,
         "more than 100000 rows"},
        {"water-samples", "sample,pH\n", "well,7\n", 2000000,
         "more than 100000 rows"},
        {"target-row", "parameter,target\n", "Ca,1", 200000,
         "longer than 65536"},
        {"shelf-zeros", "product\n", "\x01", 200000, "control character"},
        {"recipe-quotes", "product,amount\n", "\"\"", 200000,
         "longer than 65536 bytes"},
    };
    const large *c = &cases[_i];
    endless e = {.head = c->head, .unit = c->unit};
    cookie_io_functions_t calls = {.read = read_endless};
    sw_error error = {0};
    FILE *stream = fopencookie(&e, "r", calls);
    ck_assert_int_ne(read_stream(stream, c->name, &error), SW_OK);
    ck_assert_msg(strstr(error.message, c->says) != NULL, "%s", error.message);
    ck_assert_uint_le(e.taken, c->most_taken);
    fclose(stream);
}
END_TEST

START_TEST(a_shelf_of_too_many_products_is_refused)
{
    FILE *stream = tmpfile();
    sw_error error = {0};
    fputs("product,formula\n", stream);
    for (int i = 0; i <= SW_MAX_PRODUCTS; i++)
        fprintf(stream, "salt %d,KNO3\n", i);
    rewind(stream);
    ck_assert_int_ne(read_stream(stream, "shelf-many", &error), SW_OK);
    ck_assert_msg(strstr(error.message, "more than 256 products") != NULL, "%s",
                  error.message);
    ck_assert_uint_eq(error.line, SW_MAX_PRODUCTS + 2);
    fclose(stream);
}
END_TEST

START_TEST_APART(write_expected)
{
    static names files;
    char got[2048];
    list_files(&files);
    for (size_t i = 0; i < files.count; i++) {
        sw_error error = read_bad(files.items[i]);
        describe(files.items[i], &error, got, sizeof got);
        puts(got);
    }
    fflush(stdout);
}
END_TEST

/* Check's assertions want a runner around them. */
static int write_all(void)
{
    Suite *suite = suite_create("write");
    TCase *tcase = tcase_create("write");
    tcase_add_test(tcase, write_expected);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_SILENT);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

int main(int argc, char **argv)
{
    if (argc > 1 && !strcmp(argv[1], "--write"))
        return write_all();
    return run_suite(suite_of_all());
}
