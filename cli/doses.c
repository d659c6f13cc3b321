/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dose is a line of a recipe: it is written as one and read by the same
 * reader, so that names and units mean the same in both places.
 */
#include "doses.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "memory.h"

/* A quoted cell. */
static void put_cell(FILE *out, const char *text, size_t length)
{
    fputc('"', out);
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '"')
            fputc('"', out);
        fputc(text[i], out);
    }
    fputc('"', out);
}

static exit_code refuse_dose(const char *dose)
{
    return complain_usage("check",
                          "--dose %.80s: expected a product, its rate and the "
                          "unit, such as \"Base=2.5g/gal\", or \"Base=best\"",
                          dose);
}

static bool is_best(const char *dose)
{
    const char *equals = strrchr(dose, '=');
    return equals && strcmp(equals + 1, "best") == 0;
}

/*
 * "Base=2.5 g/gal" as a line of a recipe.  "Base=best" is 0 for now; probing
 * for it, it is 1 and all others are 0.
 */
static exit_code put_dose(FILE *out, const char *dose, bool probing)
{
    const char *equals = strrchr(dose, '=');
    if (!equals || equals == dose || strchr(dose, '\n') || strchr(dose, '\r'))
        return refuse_dose(dose);
    if (is_best(dose) || probing) {
        put_cell(out, dose, (size_t)(equals - dose));
        fprintf(out, ",%d,g/L\n", probing && is_best(dose));
        return EXIT_DONE;
    }
    char *unit;
    strtod(equals + 1, &unit);
    bool counted = unit != equals + 1;
    int digits = (int)(unit - equals - 1);
    while (isspace((unsigned char)*unit))
        unit++;
    if (!counted || !*unit)
        return refuse_dose(dose);
    put_cell(out, dose, (size_t)(equals - dose));
    fprintf(out, ",%.*s,", digits, equals + 1);
    put_cell(out, unit, strlen(unit));
    fputc('\n', out);
    return EXIT_DONE;
}

static exit_code write_doses(const cli_options *options, bool probing,
                             char **text, size_t *size)
{
    exit_code code = EXIT_DONE;
    FILE *out = open_memstream(text, size);
    if (!out)
        return complain_memory();
    fputs("product,amount,unit\n", out);
    for (size_t i = 0;
         code == EXIT_DONE && i < options_count(options, OPT_DOSE); i++)
        code = put_dose(out, options_value(options, OPT_DOSE, i), probing);
    if (fclose(out) != 0)
        return complain_memory();
    return code;
}

static exit_code read_doses(char *text, size_t size, sw_shelf *shelf,
                            sw_recipe **recipe)
{
    sw_error error;
    FILE *in = fmemopen(text, size, "r");
    if (!in)
        return complain_memory();
    sw_status status = sw_recipe_read(in, "--dose", shelf, recipe, &error);
    fclose(in);
    return status == SW_OK ? EXIT_DONE : complain_option("dose", &error);
}

static exit_code read_all(const cli_options *options, bool probing,
                          sw_shelf *shelf, sw_recipe **recipe)
{
    char *text = NULL;
    size_t size = 0;
    exit_code code = write_doses(options, probing, &text, &size);
    if (code == EXIT_DONE)
        code = read_doses(text, size, shelf, recipe);
    free(text);
    return code;
}

/* The product of "Base=best", whatever name it goes by. */
static exit_code find_best(const cli_options *options, sw_shelf *shelf,
                           size_t *best)
{
    sw_recipe *probe = NULL;
    size_t count = 0;
    for (size_t i = 0; i < options_count(options, OPT_DOSE); i++)
        count += is_best(options_value(options, OPT_DOSE, i));
    if (count > 1)
        return complain_usage("check", "--dose: one product can be =best, the "
                                       "others need a rate");
    exit_code code = count ? read_all(options, true, shelf, &probe) : EXIT_DONE;
    for (size_t i = 0; probe && i < probe->count; i++)
        if (probe->g_per_l[i] > 0.0)
            *best = i;
    sw_recipe_free(probe);
    return code;
}

exit_code doses_read(const cli_options *options, sw_shelf *shelf,
                     sw_recipe **recipe, size_t *best)
{
    *best = DOSES_NO_BEST;
    if (!options_has(options, OPT_DOSE))
        return EXIT_DONE;
    if (*recipe)
        return complain_usage("check", "--recipe and --dose exclude each "
                                       "other; add the dose to the recipe");
    exit_code code = read_all(options, false, shelf, recipe);
    return code == EXIT_DONE ? find_best(options, shelf, best) : code;
}
