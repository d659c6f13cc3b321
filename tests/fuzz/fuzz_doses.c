/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * libFuzzer's way into doses given on the command line: each line of the input
 * is one.  Of any doses: a recipe of amounts that can be, or a complaint and
 * neither recipe nor products.
 */
#include <math.h>

#include "run/inputs.h"
#include "fuzz/require.h"

enum { MOST_DOSES = 8 };

/* Lines of `text`, which is cut up. */
static cli_options split(char *text)
{
    cli_options options = {0};
    options.given = calloc(MOST_DOSES, sizeof *options.given);
    REQUIRE(options.given);
    for (char *line = text; line && options.given_count < MOST_DOSES;) {
        char *end = strchr(line, '\n');
        options.given[options.given_count].id = OPT_DOSE;
        options.given[options.given_count++].value = line;
        if (end)
            *end++ = '\0';
        line = end;
    }
    return options;
}

static void check_recipe(const sw_recipe *recipe, const sw_shelf *shelf,
                         const size_t *best_set)
{
    REQUIRE(recipe->count == shelf->count);
    for (size_t i = 0; i < recipe->count; i++) {
        REQUIRE(isfinite(recipe->g_per_l[i]) && recipe->g_per_l[i] >= 0.0);
        REQUIRE(!best_set || best_set[i] <= recipe->count);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = text_of(data, size);
    sw_shelf *shelf = calloc(1, sizeof *shelf);
    sw_recipe *recipe = NULL;
    size_t *best_set = NULL;
    cli_options options = split(text);
    REQUIRE(shelf);
    if (doses_read(&options, shelf, &recipe, &best_set) == EXIT_DONE)
        check_recipe(recipe, shelf, best_set);
    else
        REQUIRE(!recipe);
    free(best_set);
    sw_recipe_free(recipe);
    sw_shelf_free(shelf);
    free(options.given);
    free(text);
    return 0;
}
