/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whatever holds together gives up something of each conflict.  So the fewest
 * that have to be given up hit every minimal conflict; the conflicts found so
 * far give a lower bound, and where what is left of that bound holds, it is the
 * largest set.  Where it does not, it contains another conflict.
 */
#include "solve/largest.h"

#include <string.h>

enum { MOST_NODES = 200000 };

typedef struct search {
    size_t count;
    const sw_largest *of;
    bool *given_up;
    bool *conflicts; /* rows of `count` */
    size_t found;
    size_t fewest[2]; /* to be given up, of the first ones and of the others, by
                         the conflicts found */
    size_t left[2];   /* that may be, at this point of the search */
    long nodes;       /* left of the search for it */
} search;

static bool is_hit(const search *s, const bool *conflict)
{
    for (size_t i = 0; i < s->count; i++)
        if (conflict[i] && s->given_up[i])
            return true;
    return false;
}

/* Whether giving up as many more as are left hits every conflict; the last
 * ones of a conflict are tried first. */
static bool hit_all(search *s)
{
    size_t c = 0;
    while (c < s->found && is_hit(s, &s->conflicts[c * s->count]))
        c++;
    if (c == s->found)
        return true;
    if (s->nodes-- <= 0)
        return false;
    for (size_t i = s->count; i-- > 0;) {
        size_t *left = &s->left[i >= s->of->first];
        if (!s->conflicts[c * s->count + i] || *left == 0)
            continue;
        s->given_up[i] = true;
        --*left;
        if (hit_all(s))
            return true;
        s->given_up[i] = false;
        ++*left;
    }
    return false;
}

static bool hit(search *s, size_t first, size_t others)
{
    memset(s->given_up, 0, s->count * sizeof *s->given_up);
    s->left[0] = first;
    s->left[1] = others;
    return hit_all(s);
}

/* The fewest to give up; false where the search takes too long. */
static bool give_up_fewest(search *s)
{
    s->nodes = MOST_NODES;
    while (!hit(s, s->fewest[0], s->count)) {
        if (s->nodes <= 0 || s->fewest[0]++ == s->count)
            return false;
        s->fewest[1] = 0;
    }
    while (!hit(s, s->fewest[0], s->fewest[1])) {
        if (s->nodes <= 0)
            return false;
        s->fewest[1]++;
    }
    return true;
}

/* Thins a set that does not hold until each of it is needed for that. */
static sw_status thin(search *s, bool *conflict)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < s->count && status == SW_OK; i++) {
        bool holds;
        if (!conflict[i])
            continue;
        conflict[i] = false;
        status = s->of->holds(s->of->context, conflict, &holds);
        conflict[i] = holds;
    }
    return status;
}

/* One by one, each that holds with those before. */
static sw_status keep_in_order(search *s, bool *kept)
{
    sw_status status = SW_OK;
    memset(kept, 0, s->count * sizeof *kept);
    for (size_t i = 0; i < s->count && status == SW_OK; i++) {
        bool holds;
        kept[i] = true;
        status = s->of->holds(s->of->context, kept, &holds);
        kept[i] = holds;
    }
    return status;
}

static sw_status find(search *s, bool *kept, bool *proved)
{
    while (s->found < SW_MOST_CONFLICTS && give_up_fewest(s)) {
        bool *conflict = &s->conflicts[s->found * s->count];
        for (size_t i = 0; i < s->count; i++)
            kept[i] = conflict[i] = !s->given_up[i];
        sw_status status = s->of->holds(s->of->context, kept, proved);
        if (status != SW_OK || *proved)
            return status;
        status = thin(s, conflict);
        if (status != SW_OK)
            return status;
        s->found++;
    }
    *proved = false;
    return keep_in_order(s, kept);
}

sw_status sw_largest_set(const sw_largest *of, bool *kept, bool *proved)
{
    search s = {.count = of->count,
                .of = of,
                .given_up = of->room,
                .conflicts = of->room + of->count};
    *proved = false;
    return find(&s, kept, proved);
}
