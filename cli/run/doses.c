/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A dose is a line of a recipe: it is written as one and read by the same
 * reader, so that names and units mean the same in both places.
 */
#include <ctype.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "run/inputs.h"
#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "sentences_text.h"

static exit_code refuse_dose(const char *dose)
{
    return complain_usage("check", SAY_DOSE_FORM, dose);
}

static const char best[] = "best";

/* What follows "=best", "" or ":2mL/L"; NULL where that is not asked for. */
static const char *best_of(const char *dose)
{
    const char *equals = strrchr(dose, '=');
    size_t length = sizeof best - 1;
    if (!equals || strncmp(equals + 1, best, length) != 0)
        return NULL;
    const char *rest = equals + 1 + length;
    return *rest == '\0' || *rest == ':' ? rest : NULL;
}

/* The mark in "1.000 mg/L" and "1,000 mg/L" may part thousands, as in a volume;
 * any other comma is a decimal one. */
static bool may_part_thousands(const char *rate)
{
    size_t whole = strspn(rate, "0123456789");
    return whole &&
           (rate[whole] == ',' || (rate[whole] == '.' && *rate != '0')) &&
           strspn(rate + whole + 1, "0123456789") == 3;
}

static void take_comma(char *rate)
{
    size_t whole = strspn(rate, "0123456789");
    if (whole && rate[whole] == ',' && isdigit((unsigned char)rate[whole + 1]))
        rate[whole] = '.';
}

/* Of "premix=best" alone any amount will do, since one is found. */
static exit_code put_number(FILE *out, const char *dose, const char *rate)
{
    char *unit;
    strtod(rate, &unit);
    bool counted = unit != rate;
    int digits = (int)(unit - rate);
    while (isspace((unsigned char)*unit))
        unit++;
    if (!counted || !*unit)
        return refuse_dose(dose);
    fprintf(out, ",%.*s,", digits, rate);
    file_put_cell(out, unit, strlen(unit));
    fputc('\n', out);
    return EXIT_DONE;
}

static exit_code put_rate(FILE *out, const char *dose, const char *rate)
{
    if (may_part_thousands(rate))
        return complain_usage("check", SAY_DOSE_MARK, dose);
    char *number = memory_text(rate);
    take_comma(number);
    exit_code code = put_number(out, dose, number);
    free(number);
    return code;
}

/* "premix=0.6 g/L" as a line of a recipe. */
static exit_code put_dose(FILE *out, const char *dose)
{
    const char *equals = strrchr(dose, '=');
    if (!equals || equals == dose || strchr(dose, '\n') || strchr(dose, '\r'))
        return refuse_dose(dose);
    const char *after = best_of(dose);
    file_put_cell(out, dose, (size_t)(equals - dose));
    return put_rate(out, dose,
                    !after   ? equals + 1
                    : *after ? after + 1
                             : "1 g/L");
}

/* All doses as a recipe, or one alone. */
static exit_code write_doses(const cli_options *options, size_t first,
                             size_t end, char **text, size_t *size)
{
    exit_code code = EXIT_DONE;
    FILE *out = memory_stream(text, size);
    fputs("product,amount,unit\n", out);
    for (size_t i = first; code == EXIT_DONE && i < end; i++)
        code = put_dose(out, options_value(options, OPT_DOSE, i));
    memory_close(out, text);
    return code;
}

static exit_code read_doses(char *text, size_t size, sw_shelf *shelf,
                            sw_recipe **recipe)
{
    sw_error error = {0};
    FILE *in = fmemopen(text, size, "r");
    if (!in)
        return complain_memory();
    sw_status status = sw_recipe_read(in, "--dose", shelf, recipe, &error);
    fclose(in);
    return status == SW_OK ? EXIT_DONE : complain_option("dose", &error);
}

static exit_code read_some(const cli_options *options, size_t first, size_t end,
                           sw_shelf *shelf, sw_recipe **recipe)
{
    char *text = NULL;
    size_t size = 0;
    exit_code code = write_doses(options, first, end, &text, &size);
    if (code == EXIT_DONE)
        code = read_doses(text, size, shelf, recipe);
    free(text);
    return code;
}

/* The set of a dose whose rate is to be found goes to its product, whatever
 * name that goes by. */
static exit_code mark_best(const cli_options *options, size_t dose,
                           sw_shelf *shelf, size_t set, size_t *best_set)
{
    sw_recipe *alone = NULL;
    exit_code code = read_some(options, dose, dose + 1, shelf, &alone);
    for (size_t j = 0; alone && j < alone->count; j++)
        if (alone->g_per_l[j] > 0.0)
            best_set[j] = set;
    sw_recipe_free(alone);
    return code;
}

/* Those in proportion are one set, each other one of its own. */
static exit_code find_best(const cli_options *options, sw_shelf *shelf,
                           size_t *best_set)
{
    size_t sets = 0, together = 0;
    exit_code code = EXIT_DONE;
    for (size_t i = 0;
         code == EXIT_DONE && i < options_count(options, OPT_DOSE); i++) {
        const char *after = best_of(options_value(options, OPT_DOSE, i));
        if (!after)
            continue;
        if (*after && !together)
            together = ++sets;
        code =
            mark_best(options, i, shelf, *after ? together : ++sets, best_set);
    }
    return code;
}

exit_code doses_read(const cli_options *options, sw_shelf *shelf,
                     sw_recipe **recipe, size_t **best_set)
{
    size_t count = options_count(options, OPT_DOSE);
    if (!options_has(options, OPT_DOSE))
        return EXIT_DONE;
    if (*recipe)
        return complain_usage("check", SAY_RECIPE_OR_DOSE);
    exit_code code = read_some(options, 0, count, shelf, recipe);
    if (code != EXIT_DONE || !*recipe)
        return code;
    *best_set = memory_array((*recipe)->count, sizeof **best_set);
    code = find_best(options, shelf, *best_set);
    if (code != EXIT_DONE) {
        sw_recipe_free(*recipe);
        *recipe = NULL;
    }
    return code;
}
