/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Any part of what holds together holds, so that a way to part them is ruled
 * out by a set that does not hold within one group.  A branch and bound over
 * ways to part finds the best one that the sets found so far allow; a group of
 * it that does not hold gives another such set, thinned until each of it is
 * needed (Chinneck & Dravnieks 1991), and the search is repeated: combinatorial
 * Benders cuts (Codato & Fischetti 2006).
 */
#include "decide/cover.h"

#include <string.h>

enum { MOST_NODES = 3000000, MOST_HOLDING = 512 };

typedef struct search {
    sw_cover *cover;
    sw_water_set group[SW_MOST_JOINT];
    sw_water_set best[SW_MOST_JOINT];
    size_t best_groups, best_changes;
    size_t least;                     /* groups: so many are apart by twos */
    size_t forced[SW_MOST_JOINT + 1]; /* changes from each one on */
    long nodes;                       /* left */
    sw_water_set holding[MOST_HOLDING];
    size_t holding_count;
} search;

/* One way on: what stands so far. */
typedef struct way {
    size_t next, groups, changes, last; /* group of the one before */
} way;

static sw_water_set bit(size_t at)
{
    return (sw_water_set)1 << at;
}

static bool is_apart(const sw_cover *cover, sw_water_set set)
{
    for (size_t i = 0; i < cover->apart_count; i++)
        if ((cover->apart[i] & ~set) == 0)
            return true;
    return false;
}

static bool is_worse(const search *s, const way *w)
{
    size_t groups = w->groups > s->least ? w->groups : s->least;
    size_t changes = w->changes + s->forced[w->next];
    return groups > s->best_groups ||
           (groups == s->best_groups && changes >= s->best_changes);
}

/* As many as are apart by twos need a group each: the largest such set that
 * is found from any one on, in order; and neighbours apart are a change. */
static void bound(search *s)
{
    const sw_cover *cover = s->cover;
    s->least = s->forced[cover->count] = 0;
    for (size_t k = cover->count; k-- > 0;) {
        sw_water_set clique = bit(k);
        size_t size = 1;
        for (size_t i = 0; i < cover->count; i++) {
            bool apart = !(clique & bit(i));
            for (size_t c = 0; c < cover->count && apart; c++)
                if (clique & bit(c))
                    apart = is_apart(cover, bit(i) | bit(c));
            clique |= apart ? bit(i) : 0;
            size += apart;
        }
        s->least = size > s->least ? size : s->least;
        s->forced[k] =
            s->forced[k + 1] + (k > 0 && is_apart(cover, bit(k) | bit(k - 1)));
    }
}

static void part(search *s, way w);

static void put(search *s, way w, size_t group)
{
    size_t at = w.next++;
    sw_water_set was = s->group[group];
    if (is_apart(s->cover, was | bit(at)))
        return;
    w.changes += at > 0 && group != w.last;
    w.groups += group == w.groups;
    w.last = group;
    s->group[group] = was | bit(at);
    part(s, w);
    s->group[group] = was;
}

/* The group of the one before comes first, a new one last. */
static void part(search *s, way w)
{
    if (is_worse(s, &w) || s->nodes-- <= 0)
        return;
    if (w.next == s->cover->count) {
        s->best_groups = w.groups;
        s->best_changes = w.changes;
        memcpy(s->best, s->group, sizeof s->best);
        return;
    }
    if (w.groups > 0)
        put(s, w, w.last);
    for (size_t g = 0; g < w.groups; g++)
        if (g != w.last)
            put(s, w, g);
    put(s, w, w.groups);
}

/* The best way that the sets found so far allow; false where the search was
 * cut short. */
static bool part_best(search *s)
{
    s->best_groups = s->cover->count;
    s->best_changes = s->cover->count;
    memset(s->group, 0, sizeof s->group);
    for (size_t k = 0; k < s->cover->count; k++)
        s->best[k] = bit(k);
    s->nodes = MOST_NODES;
    bound(s);
    part(s, (way){0});
    return s->nodes > 0;
}

static bool is_known(const search *s, sw_water_set set)
{
    for (size_t i = 0; i < s->holding_count; i++)
        if ((set & ~s->holding[i]) == 0)
            return true;
    return (set & (set - 1)) == 0; /* one alone */
}

static sw_status ask(search *s, sw_water_set set, bool *together)
{
    *together = is_known(s, set);
    if (*together)
        return SW_OK;
    if (is_apart(s->cover, set))
        return SW_OK;
    sw_status status = s->cover->together(s->cover->context, set, together);
    if (status == SW_OK && *together && s->holding_count < MOST_HOLDING)
        s->holding[s->holding_count++] = set;
    return status;
}

/* Takes out what the set does not need so as not to hold. */
static sw_status thin(search *s, sw_water_set *set)
{
    sw_status status = SW_OK;
    for (size_t k = 0; k < s->cover->count && status == SW_OK; k++) {
        bool together;
        if (!(*set & bit(k)))
            continue;
        status = ask(s, *set & ~bit(k), &together);
        if (status == SW_OK && !together)
            *set &= ~bit(k);
    }
    return status;
}

/* Asks for each group; *all: they all hold. */
static sw_status ask_groups(search *s, bool *all)
{
    sw_cover *cover = s->cover;
    sw_status status = SW_OK;
    *all = true;
    for (size_t g = 0; g < s->best_groups && status == SW_OK; g++) {
        bool together;
        sw_water_set set = s->best[g];
        status = ask(s, set, &together);
        if (status != SW_OK || together)
            continue;
        *all = false;
        status = thin(s, &set);
        if (cover->apart_count < SW_MOST_APART)
            cover->apart[cover->apart_count++] = set;
    }
    return status;
}

/* Where the search is cut short: each to the first group it holds with. */
static sw_status fill_groups(search *s)
{
    sw_status status = SW_OK;
    memset(s->best, 0, sizeof s->best);
    s->best_groups = 0;
    for (size_t k = 0; k < s->cover->count && status == SW_OK; k++) {
        bool together = false;
        size_t g = 0;
        for (; g < s->best_groups && status == SW_OK; g++) {
            status = ask(s, s->best[g] | bit(k), &together);
            if (together)
                break;
        }
        s->best[g] |= bit(k);
        s->best_groups += g == s->best_groups;
    }
    return status;
}

static size_t group_of(const search *s, size_t at)
{
    size_t g = 0;
    while (!(s->best[g] & bit(at)))
        g++;
    return g;
}

sw_status sw_cover_find(sw_cover *cover)
{
    search s = {.cover = cover};
    bool all = false;
    sw_status status = SW_OK;
    cover->apart_count = cover->changes = 0;
    cover->proved = true;
    while (status == SW_OK && !all && cover->proved) {
        cover->proved = part_best(&s) && cover->apart_count < SW_MOST_APART;
        if (cover->proved)
            status = ask_groups(&s, &all);
    }
    if (status == SW_OK && !all)
        status = fill_groups(&s);
    memcpy(cover->group, s.best, sizeof cover->group);
    cover->groups = s.best_groups;
    for (size_t k = 1; k < cover->count && status == SW_OK; k++)
        cover->changes += group_of(&s, k) != group_of(&s, k - 1);
    return status;
}
