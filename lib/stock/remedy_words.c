/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stock/remedy_words.h"

#include "stock/classes.h"

#include <stdarg.h>
#include <stdio.h>

const char *sw_remedy_text(sw_remedy_kind kind)
{
    static const char *const names[] = {"move",  "factor", "tank",
                                        "apart", "water",  "shelf"};
    return names[kind];
}

sw_remedy sw_remedy_of(sw_remedy_kind kind, double factor, size_t product,
                       sw_tank tank)
{
    return (sw_remedy){
        .kind = kind, .factor = factor, .product = product, .tank = tank};
}

void sw_remedy_add(sw_stock *stock, sw_remedy remedy, const char *format, ...)
{
    va_list arguments;
    if (stock->remedy_count == SW_REMEDIES_MAX)
        return;
    sw_remedy *r = &stock->remedies[stock->remedy_count++];
    *r = remedy;
    va_start(arguments, format);
    vsnprintf(r->text, sizeof r->text, format, arguments);
    va_end(arguments);
}

/* What a tank brings of a product, as a share of what all bring. */
static double share_of(const sw_stock *stock, size_t product, sw_tank tank)
{
    const double *g = stock->placements[product].g;
    double all = 0;
    for (int t = 0; t < SW_TANKS; t++)
        if (g[t] > 0)
            all += g[t] / (stock->tanks[t].volume_l * stock->tanks[t].ratio);
    const sw_tank_report *r = &stock->tanks[tank];
    return g[tank] > 0 ? g[tank] / (r->volume_l * r->ratio) / all : 0;
}

void sw_remedy_names(const sw_shelf *shelf, const sw_stock *stock, sw_tank tank,
                     char *text, size_t size)
{
    size_t left = 0, used = 0;
    text[0] = '\0';
    for (size_t j = 0; j < stock->count; j++)
        left += stock->placements[j].g[tank] > 0;
    for (size_t j = 0, said = 0; j < stock->count && used < size; j++) {
        double share = share_of(stock, j, tank);
        char part[16] = "";
        if (!(share > 0))
            continue;
        if (share < 0.999)
            snprintf(part, sizeof part, " (%.0f %%)", 100 * share);
        const char *link = !said ? "" : said + 1 == left ? " and " : ", ";
        used += (size_t)snprintf(text + used, size - used, "%s%.40s%s", link,
                                 shelf->products[j].name, part);
        said++;
    }
}

bool sw_remedy_may_leave(const sw_mix *mix, size_t product)
{
    const sw_shelf *shelf = mix->shelf;
    unsigned classes = sw_classes_of(&shelf->products[product]);
    bool acid = false;
    for (size_t j = 0; j < shelf->count; j++)
        acid = acid || (mix->recipe->g_per_l[j] > 0 &&
                        sw_classes_of(&shelf->products[j]) & SW_CLASS_ACID);
    if (classes & SW_CLASS_ACID)
        return false;
    if (classes & SW_CLASS_BASE && !(classes & SW_CLASS_SILICATE))
        return false;
    return !(classes & SW_CLASS_ALKALINE && acid);
}

const char *sw_remedy_apart(const sw_product *product)
{
    return sw_classes_of(product) & SW_CLASS_ALKALINE
               ? "give it by itself, diluted to feed strength and brought to "
                 "the crop's pH, at another time"
               : "give it by itself, diluted to feed strength, at another time";
}
