/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes the catalogue, then invented problems with what the library says
 * their shelf lacks, as raw doubles for verify_gaps.py:
 *     gaps FIRST COUNT FILE
 * COUNT problems with a misfit to close, from seed FIRST on.
 */
#include "write.h"
#include "solver.h"

#include <math.h>
#include <stdlib.h>

/* A product brings this much alkalinity or is no acid and no base. */
static const double agent_meq_per_g = 2.0;

static bool moves_ph(const sw_product *product)
{
    for (int c = 0; c < SW_N; c++)
        if (sw_component_is((sw_component)c, SW_IS_TRACE) &&
            product->per_g.amount[c] > 0)
            return false;
    return fabs(product->per_g.amount[SW_ALKALINITY]) >= agent_meq_per_g ||
           product->per_g.amount[SW_CITRATE] >= agent_meq_per_g;
}

static void write_catalogue(FILE *file)
{
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_record record = {.count = 0};
        sw_product *product;
        if (sw_catalogue_get(i, &product, NULL) != SW_OK)
            abort();
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            record_put(&record, product->per_g.amount[c]);
        record_put(&record, moves_ph(product));
        record_write(&record, file);
        sw_product_free(product);
    }
}

static bool is_agent(const sw_addition *addition)
{
    sw_product *product;
    if (sw_catalogue_get(addition->index, &product, NULL) != SW_OK)
        abort();
    bool is = moves_ph(product);
    sw_product_free(product);
    return is;
}

/* The best that is no acid and no base; -1 when there is none. */
static void put_best(sw_record *to, const sw_why *why)
{
    for (size_t i = 0; i < why->addition_count; i++) {
        const sw_addition *addition = &why->additions[i];
        if (is_agent(addition))
            continue;
        record_put(to, (double)addition->index);
        record_put(to, addition->objective);
        record_put(to, addition->price);
        return;
    }
    record_put(to, -1);
    record_put(to, why->objective);
    record_put(to, NAN);
}

/* Acids and bases of the invented shelf would be priced as they stand. */
static bool has_agent(const invention *problem)
{
    for (size_t j = 0; j < problem->shelf.count; j++)
        if (moves_ph(&problem->product[j]))
            return true;
    return false;
}

static bool answer(void *unused, unsigned long seed, sw_record *to)
{
    (void)unused;
    static invention problem;
    sw_why *why;
    invent(&problem, seed, SW_CLOSEST);
    if (has_agent(&problem))
        return false;
    record_put(to, (double)seed);
    record_problem(to, &problem);
    if (sw_why_find(one_solver(), &problem.problem, &why, NULL) != SW_OK)
        abort();
    bool found = why && why->objective > 1e-6;
    if (found) {
        record_put(to, why->objective);
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            record_put(to, why->price[c]);
        put_best(to, why);
    }
    sw_why_free(why);
    return found;
}

int main(int argc, char **argv)
{
    const sw_writer writer = {.answer = answer, .preface = write_catalogue};
    return argc == 4 ? write_answers(&writer, argv + 1) : EXIT_FAILURE;
}
