/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * libFuzzer's way into the readers: every input is read as a file of each
 * kind.  What must hold of any input: a record or an error with a message and
 * the file's name, never both; and a water can be rebuilt from its own readings
 * to the same amounts.
 */
#include <math.h>

#include "fuzz/require.h"
#include "records/water.h"
#include "saltwright.h"

static void check_outcome(sw_status status, const void *record,
                          const sw_error *error)
{
    REQUIRE((status == SW_OK) == (record != NULL));
    if (status == SW_OK)
        return;
    REQUIRE(status == error->status);
    REQUIRE(error->message[0] != '\0');
    REQUIRE(strcmp(error->file, "fuzz") == 0);
}

static void check_water(const sw_water *water)
{
    sw_water copy;
    sw_notes notes = {0};
    sw_error error = {0};
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        REQUIRE(isfinite(water->per_l.amount[i]) &&
                water->per_l.amount[i] >= 0.0);
    REQUIRE(sw_water_copy(water, &copy, &error) == SW_OK);
    REQUIRE(sw_water_from_readings(&copy, &notes, &error) == SW_OK);
    REQUIRE(!memcmp(&copy.per_l, &water->per_l, sizeof copy.per_l));
    sw_notes_free(&notes);
    sw_water_clear(&copy);
}

static void fuzz_waters(FILE *stream)
{
    sw_waters *waters = NULL;
    sw_error error = {0};
    sw_status status = sw_waters_read(stream, "fuzz", &waters, &error);
    check_outcome(status, waters, &error);
    for (size_t i = 0; waters && i < waters->count; i++)
        check_water(&waters->items[i]);
    sw_waters_free(waters);
}

static void fuzz_target(FILE *stream)
{
    sw_target *target = NULL;
    sw_error error = {0};
    sw_status status = sw_target_read(stream, "fuzz", &target, &error);
    check_outcome(status, target, &error);
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        REQUIRE(!(row->min > row->max) && row->weight >= 0.0);
        REQUIRE(!isinf(row->target) && !isinf(row->min) && !isinf(row->max));
    }
    sw_target_free(target);
}

static void fuzz_shelf(FILE *stream)
{
    sw_shelf *shelf = NULL;
    sw_error error = {0};
    sw_status status = sw_shelf_read(stream, "fuzz", &shelf, &error);
    check_outcome(status, shelf, &error);
    for (size_t i = 0; shelf && i < shelf->count; i++) {
        const sw_product *p = &shelf->products[i];
        REQUIRE(p->name && *p->name);
        for (int k = 0; k < SW_COMPONENT_COUNT; k++)
            REQUIRE(p->per_g.amount[k] >= 0.0 && p->per_g.amount[k] <= 1001.0);
    }
    sw_shelf_free(shelf);
}

static void fuzz_recipe(FILE *stream)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_recipe *recipe = NULL;
    sw_error error = {0};
    REQUIRE(shelf);
    sw_status status = sw_recipe_read(stream, "fuzz", shelf, &recipe, &error);
    check_outcome(status, recipe, &error);
    REQUIRE(recipe ? recipe->count == shelf->count : shelf->count == 0);
    sw_recipe_free(recipe);
    sw_shelf_free(shelf);
}

static void check_placement(const sw_placement *placement)
{
    bool somewhere = false;
    for (int t = 0; t < SW_TANKS; t++) {
        REQUIRE(placement->g[t] >= 0.0 && isfinite(placement->g[t]));
        somewhere = somewhere || placement->line[t] > 0;
    }
    REQUIRE(somewhere);
}

static void fuzz_placements(FILE *stream)
{
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_placement *placements = NULL;
    sw_error error = {0};
    REQUIRE(shelf);
    sw_status status =
        sw_placements_read(stream, "fuzz", shelf, &placements, &error);
    check_outcome(status, placements, &error);
    REQUIRE(placements ? shelf->count > 0 : shelf->count == 0);
    for (size_t i = 0; placements && i < shelf->count; i++)
        check_placement(&placements[i]);
    sw_placements_free(placements);
    sw_shelf_free(shelf);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static void (*const readers[])(FILE *) = {
        fuzz_waters, fuzz_target, fuzz_shelf, fuzz_recipe, fuzz_placements};
    FILE *stream = size ? fmemopen((void *)data, size, "rb") : tmpfile();
    REQUIRE(stream);
    for (size_t i = 0; i < sizeof readers / sizeof *readers; i++) {
        rewind(stream);
        readers[i](stream);
    }
    fclose(stream);
    return 0;
}
