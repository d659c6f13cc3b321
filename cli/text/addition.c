/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A product that closes a gap can open another: what it brings that the target
 * does not name counts for nothing in the solve, and is said.
 */
#include "text/addition.h"

#include <stdio.h>
#include <string.h>

#include "text/figure.h"

/* Less of it in the finished solution is not worth a word. */
static const double least_mg_per_l = 1.0, least_trace_mg_per_l = 0.02;

static bool is_named(const sw_target *target, sw_component component)
{
    bool nitrogen = component <= SW_UREA_N;
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT &&
            (row->component == component ||
             (nitrogen && row->component == SW_N)))
            return true;
    }
    return false;
}

static double least_of(sw_component component)
{
    return component >= SW_FE && component <= SW_MO ? least_trace_mg_per_l
                                                    : least_mg_per_l;
}

static void join(char *words, size_t size, const char *between,
                 const char *word)
{
    size_t used = strlen(words);
    snprintf(words + used, size - used, "%s%s", used ? between : "", word);
}

static void list_open(const sw_addition *addition, const sw_product *product,
                      const sw_target *target, char *list, size_t size)
{
    for (int c = 0; c < SW_N; c++) {
        char word[64];
        double brings = addition->g_per_l * product->per_g.amount[c];
        if (brings < least_of((sw_component)c) ||
            is_named(target, (sw_component)c))
            continue;
        snprintf(word, sizeof word, "%s %s mg/L",
                 sw_component_name((sw_component)c), figure_plain(brings).text);
        join(list, size, ", ", word);
    }
}

void addition_words(const sw_addition *addition, const sw_target *target,
                    char *words, size_t size)
{
    sw_product *product;
    char list[256] = "";
    char open[320];
    words[0] = '\0';
    if (sw_catalogue_get(addition->index, &product, NULL) != SW_OK)
        return;
    if (addition->corrosive)
        join(words, size, "; ", "corrosive");
    if (sw_has_hazard(product, "H272"))
        join(words, size, "; ", "an oxidiser");
    list_open(addition, product, target, list, sizeof list);
    snprintf(open, sizeof open, "brings %s, which the target leaves open",
             list);
    if (list[0])
        join(words, size, "; ", open);
    sw_product_free(product);
}
