/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whatever holds together gives up something of each conflict.  So the fewest
 * that have to be given up hit every minimal conflict; the conflicts found so
 * far give a lower bound, and where what is left of that bound holds, it is the
 * largest set.  Where it does not, it contains another conflict.
 */
#include "decide/largest.h"

#include "quantity/status.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_CONFLICTS = 256, MOST_NODES = 200000 };

typedef struct search {
    size_t count;
    sw_holds *holds;
    void *context;
    bool *conflicts; /* MOST_CONFLICTS rows of `count` */
    size_t found;
    bool *given_up;
    size_t fewest; /* to be given up, by the conflicts found */
    long nodes;    /* left of the search for it */
} search;

static bool is_hit(const search *s, const bool *conflict)
{
    for (size_t i = 0; i < s->count; i++)
        if (conflict[i] && s->given_up[i])
            return true;
    return false;
}

/* Whether giving up `more` conditions hits every conflict; the last ones of a
 * conflict are tried first. */
static bool hit_all(search *s, size_t more)
{
    size_t c = 0;
    while (c < s->found && is_hit(s, &s->conflicts[c * s->count]))
        c++;
    if (c == s->found)
        return true;
    if (more == 0 || s->nodes-- <= 0)
        return false;
    for (size_t i = s->count; i-- > 0;) {
        if (!s->conflicts[c * s->count + i])
            continue;
        s->given_up[i] = true;
        if (hit_all(s, more - 1))
            return true;
        s->given_up[i] = false;
    }
    return false;
}

/* The fewest to give up; false where the search takes too long. */
static bool give_up_fewest(search *s)
{
    memset(s->given_up, 0, s->count * sizeof *s->given_up);
    for (s->nodes = MOST_NODES; s->fewest <= s->count; s->fewest++) {
        if (hit_all(s, s->fewest))
            return true;
        if (s->nodes <= 0)
            return false;
    }
    return false;
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
        status = s->holds(s->context, conflict, &holds);
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
        status = s->holds(s->context, kept, &holds);
        kept[i] = holds;
    }
    return status;
}

static sw_status find(search *s, bool *kept, bool *proved)
{
    while (s->found < MOST_CONFLICTS && give_up_fewest(s)) {
        bool *conflict = &s->conflicts[s->found * s->count];
        for (size_t i = 0; i < s->count; i++)
            kept[i] = conflict[i] = !s->given_up[i];
        sw_status status = s->holds(s->context, kept, proved);
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

sw_status sw_largest_set(size_t count, sw_holds *holds, void *context,
                         bool *kept, bool *proved, sw_error *error)
{
    search s = {.count = count, .holds = holds, .context = context};
    sw_status status;
    *proved = false;
    s.conflicts = calloc(MOST_CONFLICTS * count + 1, sizeof *s.conflicts);
    s.given_up = calloc(count + 1, sizeof *s.given_up);
    if (s.conflicts && s.given_up)
        status = find(&s, kept, proved);
    else
        status = sw_fail_memory(error);
    free(s.given_up);
    free(s.conflicts);
    return status;
}
