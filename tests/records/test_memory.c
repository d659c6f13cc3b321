/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every reader with its first, second, third ... request for memory refused,
 * until one read gets through: each must say so, hand out nothing and lose
 * nothing.  The linker puts the calls below before those of the C library.
 */
#include "suite.h"

#include "quantity/status.h"
#include "records/stream.h"
#include "records/water.h"

#include <stdlib.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
char *__real_strdup(const char *text);
void __real_free(void *block);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);
char *__wrap_strdup(const char *text);
void __wrap_free(void *block);

static long until_refusal = -1; /* requests still granted; -1: all */
static long held;               /* blocks handed out and not returned */

static bool refused(void)
{
    if (until_refusal < 0)
        return false;
    return until_refusal == 0 || until_refusal-- == 0;
}

static void *count(void *block)
{
    held += block ? 1 : 0;
    return block;
}

void *__wrap_malloc(size_t size)
{
    return refused() ? NULL : count(__real_malloc(size));
}

void *__wrap_calloc(size_t items, size_t size)
{
    return refused() ? NULL : count(__real_calloc(items, size));
}

void *__wrap_realloc(void *block, size_t size)
{
    if (refused())
        return NULL;
    void *moved = __real_realloc(block, size);
    return block ? moved : count(moved);
}

char *__wrap_strdup(const char *text)
{
    return refused() ? NULL : count(__real_strdup(text));
}

void __wrap_free(void *block)
{
    held -= block ? 1 : 0;
    __real_free(block);
}

/*
 * Whether records and statuses agreed so far; Check wants memory itself, so
 * nothing is asserted while it is refused.
 */
static bool sound = true;

/* ---- The readers ------------------------------------------------------- */

static sw_status read_waters(FILE *stream, sw_error *error)
{
    sw_waters *waters = NULL;
    sw_status status = sw_waters_read(stream, "w.csv", &waters, error);
    sound &= (status == SW_OK) == (waters != NULL);
    sw_waters_free(waters);
    return status;
}

static sw_status read_blocks(FILE *stream, sw_error *error)
{
    sw_water_stream *waters = NULL;
    sw_waters *block = NULL;
    sw_status status =
        sw_water_stream_new(stream, "w.csv", NULL, &waters, error);
    sound &= (status == SW_OK) == (waters != NULL);
    while (!status) {
        status = sw_water_stream_next(waters, 1, &block, error);
        sound &= !status || !block;
        if (!block)
            break;
        sw_waters_free(block);
    }
    sw_water_stream_free(waters);
    return status;
}

static sw_status read_target(FILE *stream, sw_error *error)
{
    sw_target *target = NULL;
    sw_status status = sw_target_read(stream, "t.csv", &target, error);
    sound &= (status == SW_OK) == (target != NULL);
    sw_target_free(target);
    return status;
}

static sw_status read_shelf(FILE *stream, sw_error *error)
{
    sw_shelf *shelf = NULL;
    sw_status status = sw_shelf_read(stream, "s.csv", &shelf, error);
    sound &= (status == SW_OK) == (shelf != NULL);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_label(FILE *stream, sw_error *error)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    if (!shelf)
        return sw_fail_memory(error);
    sw_status status =
        sw_shelf_add_label(shelf, "leaf", stream, "l.txt", error);
    sound &= shelf->count == (status == SW_OK);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_recipe(FILE *stream, sw_error *error)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_recipe *recipe = NULL;
    if (!shelf)
        return sw_fail_memory(error);
    sw_status status = sw_recipe_read(stream, "r.csv", shelf, &recipe, error);
    sound &= (status == SW_OK) == (recipe != NULL);
    sound &= shelf->count == (recipe ? 3 : 0);
    sw_recipe_free(recipe);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_tanks(FILE *stream, sw_error *error)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_placement *mixed = NULL;
    if (!shelf)
        return sw_fail_memory(error);
    sw_status status =
        sw_placements_read(stream, "m.csv", shelf, &mixed, error);
    sound &= (status == SW_OK) == (mixed != NULL);
    sound &= shelf->count == (mixed ? 2 : 0);
    sound &= !mixed || mixed[1].g[SW_TANK_B] == 2000;
    sw_placements_free(mixed);
    sw_shelf_free(shelf);
    return status;
}

static sw_status read_and_copy(FILE *stream, sw_error *error)
{
    sw_waters *waters = NULL;
    sw_water copy = {0};
    sw_notes notes = {0};
    sw_status status = sw_waters_read(stream, "w.csv", &waters, error);
    if (!status)
        status = sw_water_copy(&waters->items[0], &copy, error);
    if (!status)
        status = sw_water_from_readings(&copy, &notes, error);
    sw_notes_free(&notes);
    sw_water_clear(&copy);
    sw_waters_free(waters);
    return status;
}

typedef struct reader {
    sw_status (*read)(FILE *stream, sw_error *error);
    const char *text;
} reader;

static const char long_water[] =
    "parameter,value,unit\npH,9,\nEC,788,mS/cm\nTDS,47,mg/L\nHCO3,3,meq/L\n"
    "NO3-N,62,mg/L\nNO3,274,mg/L\nhardness,8,meq/L\nCa,80,mg/L\nK,90,mg/L\n"
    "Na,1,mg/L\nNO2,1,mg/L\nCa hardness,4,meq/L\n";
static const char wide_water[] =
    "sample,pH,alkalinity [meq/L],HCO3 [meq/L],hardness [dH]\nwell,1,2,2,3\n"
    "spring,7.2,,3,\ntown,7,1,,\nriver,7,1,,\nlake,7,1,,\n";

START_TEST_EACH(no_reader_loses_anything_when_memory_runs_out, 8)
{
    static const reader readers[] = {
        {read_waters, long_water},
        {read_waters, wide_water},
        {read_blocks, long_water},
        {read_blocks, wide_water},
        {read_and_copy, long_water},
        {read_target, "parameter,target,max,weight\nFe,200,,\nK:Ca,1.4,,\n"
                      "Na,,50,2\npH,8.2,,\n"},
        {read_target, "parameter,target,stage\nbase,lettuce,\nK,200,late\n"
                      "Ca,50,late\nCa,30,early\nMo,none,\n"},
        {read_shelf,
         "product;formula;purity;label;density;price;tank\n"
         "nitre;KNO3;1 %;;;2;a\nblend;NaCl;;K2O 33;;;acid\naqua ammonia"
         ";;20 %;;0.92;;\nurea;;;;;;\nice;H2O;;;;;\n"},
        {read_label, "Leaf\nTotal Nitrogen (N) 13.7 %\nSoluble Potash (K2O) 46 "
                     "%\nChelated iron 0.1 %\nDerived from: potassium "
                     "nitrate, iron chelate"},
        {read_recipe, "product,amount\nurea,1\nboric acid,2\nKNO3,3\n"},
        {read_tanks, "tank,product,amount,unit\nA,urea,1,kg\nB,boric "
                     "acid,2,kg\nacid,urea,3,g\n"},
    };
    const reader *r = &readers[_i];
    sw_status status = SW_ERR_MEMORY;
    long requests = 0;
    for (; status != SW_OK; requests++) {
        sw_error error = {0};
        FILE *stream = stream_of(r->text);
        long before = held;
        until_refusal = requests;
        status = r->read(stream, &error);
        until_refusal = -1;
        long after = held;
        ck_assert_int_eq(after, before);
        ck_assert(sound);
        ck_assert_int_eq(status, error.status);
        ck_assert_msg(status == SW_OK || status == SW_ERR_MEMORY, "%ld: %s",
                      requests, error.message);
        fclose(stream);
    }
    ck_assert_int_gt(requests, 5);
}
END_TEST

START_TEST(the_catalogue_as_a_shelf_may_lack_memory_too)
{
    static const long requests[] = {0, 1, 2, 3, 5, 8, 13, 100};
    for (size_t i = 0; i < sizeof requests / sizeof *requests; i++) {
        sw_shelf *shelf = NULL;
        long before = held;
        until_refusal = requests[i];
        sw_status status = sw_shelf_catalogue(&shelf, NULL);
        until_refusal = -1;
        long after = held;
        ck_assert_int_eq(after, before);
        ck_assert_int_eq(status, SW_ERR_MEMORY);
        ck_assert_ptr_null(shelf);
    }
}
END_TEST
