/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A choice in words: what the chosen water does, what it does better than the
 * one that stayed in longest beside it, and what speaks against it.
 */
#include "decide/choice.h"

#include "quantity/text.h"
#include "table_words.h"

#include <math.h>

typedef struct sw_phrase {
    const char *less;
    const char *more;
    int decimals;
    const char *unit;
} sw_phrase;

static const sw_phrase phrases[SW_CRITERION_COUNT] = {
    [SW_BY_REPORT] = {"can be judged", "cannot be judged", 0, ""},
    [SW_BY_RECIPE] = {"has a recipe", "has no recipe", 0, ""},
    [SW_BY_MISSES] = {"clearly misses fewer targets",
                      "clearly misses more targets", 0, ""},
    [SW_BY_HARM] = {"exceeds fewer safety limits", "exceeds more safety limits",
                    0, ""},
    [SW_BY_DEPOSITS] = {"has fewer precipitates to expect",
                        "has more precipitates to expect", 0, ""},
    [SW_BY_DISTANCE] = {"comes closer to the target",
                        "stays further from the target", 1, " % off"},
    [SW_BY_DRIFT] = {"drifts less in pH after aeration",
                     "drifts more in pH after aeration", 1,
                     " outside its range"},
    [SW_BY_ACID] = {"takes less acid and base", "takes more acid and base", 1,
                    " meq/L"},
    [SW_BY_COST] = {"costs less", "costs more", 2, " per 1000 L"}};

enum { SIZE = sizeof((sw_choice *)0)->verdict };

/* ---- What parts two waters ---------------------------------------------- */

/* "takes less acid and base (0.4 meq/L against 6.0)" */
static void say_difference(char *text, size_t size, sw_criterion criterion,
                           double mine, double other)
{
    const sw_phrase *phrase = &phrases[criterion];
    sw_text_add(text, size, "%s", mine < other ? phrase->less : phrase->more);
    if (criterion != SW_BY_RECIPE && criterion != SW_BY_REPORT)
        sw_text_add(text, size, " (%.*f%s against %.*f)", phrase->decimals,
                    mine, phrase->unit, phrase->decimals, other);
}

/* In what one is behind the other, the weightiest first, into `by`; how many
 * things. */
static size_t behind_in(const sw_choice *choice, size_t one, size_t other,
                        sw_criterion by[SW_CRITERION_COUNT])
{
    size_t count = 0;
    const double *mine = choice->rankings[one].value;
    const double *theirs = choice->rankings[other].value;
    for (const sw_criterion *c = choice->order; *c != SW_CRITERION_COUNT; c++)
        if (sw_choice_behind(*c, mine[*c], theirs[*c]))
            by[count++] = *c;
    return count;
}

/*
 * The reason of one that was not chosen: where it is behind the chosen; else,
 * what put it out.
 */
static void tell_reason(sw_choice *choice, size_t index)
{
    sw_criterion by[SW_CRITERION_COUNT];
    sw_ranking *ranking = &choice->rankings[index];
    const sw_ranking *chosen = &choice->rankings[choice->chosen];
    size_t behind = behind_in(choice, index, choice->chosen, by);
    sw_criterion first = behind ? by[0] : ranking->out_by;
    if (ranking->dangerous && !chosen->dangerous)
        snprintf(ranking->reason, sizeof ranking->reason,
                 SW_SAY_CHOICE_DANGEROUS);
    else if (first == SW_CRITERION_COUNT)
        snprintf(ranking->reason, sizeof ranking->reason,
                 "no difference that matters");
    else
        say_difference(ranking->reason, sizeof ranking->reason, first,
                       ranking->value[first], chosen->value[first]);
}

/* ---- The one to compare with -------------------------------------------- */

static bool stays_longer(const sw_choice *choice, size_t one, size_t other)
{
    const sw_criterion *c = choice->order;
    while (*c != SW_CRITERION_COUNT && *c != choice->rankings[one].out_by &&
           *c != choice->rankings[other].out_by)
        c++;
    return *c == choice->rankings[other].out_by &&
           *c != choice->rankings[one].out_by;
}

/*
 * Of those that can be judged what takes no work first, then the one that
 * stayed in longest; the count if there is none.
 */
static size_t runner_up(const sw_candidate *candidates, const sw_choice *choice)
{
    size_t best = choice->count;
    for (size_t i = 0; i < choice->count; i++) {
        if (i == choice->chosen || !sw_is_judged(&choice->rankings[i]))
            continue;
        if (best == choice->count ||
            (candidates[best].takes_work && !candidates[i].takes_work) ||
            (candidates[best].takes_work == candidates[i].takes_work &&
             stays_longer(choice, i, best)))
            best = i;
    }
    return best;
}

/* What the chosen does better, or worse, than the other. */
static void say_all(sw_choice *choice, size_t second, const sw_criterion *by,
                    size_t count)
{
    const double *mine = choice->rankings[choice->chosen].value;
    const double *theirs = choice->rankings[second].value;
    for (size_t i = 0; i < count; i++) {
        sw_text_add(choice->verdict, SIZE, "%s", i ? ", " : "it ");
        say_difference(choice->verdict, SIZE, by[i], mine[by[i]],
                       theirs[by[i]]);
    }
    sw_text_add(choice->verdict, SIZE, ".");
}

static void compare(const sw_candidate *candidates, sw_choice *choice,
                    size_t second)
{
    sw_criterion by[SW_CRITERION_COUNT];
    char *text = choice->verdict;
    const char *name = candidates[second].name;
    if (!candidates[second].assessment) {
        sw_text_add(text, SIZE, " " SW_SAY_CHOICE_NO_RECIPE, name);
        return;
    }
    bool barred = choice->usable && choice->rankings[second].dangerous;
    if (barred)
        sw_text_add(text, SIZE, " Do not use %.60s as it stands.", name);
    size_t better = behind_in(choice, second, choice->chosen, by);
    if (better) {
        sw_text_add(text, SIZE, " Compared with %.60s, ", name);
        say_all(choice, second, by, better);
    } else if (!barred) {
        sw_text_add(text, SIZE, " " SW_SAY_CHOICE_NO_DIFFERENCE, name);
    }
    size_t worse = behind_in(choice, choice->chosen, second, by);
    if (worse) {
        sw_text_add(text, SIZE, " Against it: ");
        say_all(choice, second, by, worse);
    }
}

/* ---- The verdict -------------------------------------------------------- */

/* "closest mix (35 % well, 65 % town)" */
static void say_name(char *text, const sw_candidate *candidate)
{
    const char *detail = candidate->detail ? candidate->detail : "";
    sw_text_add(text, SIZE, "%.60s", candidate->name);
    if (detail[0])
        sw_text_add(text, SIZE, " (%.200s)", detail);
}

static void say_met(sw_choice *choice, const sw_candidate *chosen)
{
    char *text = choice->verdict;
    sw_tally tally = sw_choice_count(chosen->assessment);
    size_t unclear = tally.missed - tally.clear;
    sw_text_add(text, SIZE, "%s",
                choice->usable ? "Use " : SW_SAY_CHOICE_NONE_SAFE " ");
    say_name(text, chosen);
    if (choice->usable && choice->rankings[choice->chosen].doubtful)
        sw_text_add(text, SIZE, " " SW_SAY_CHOICE_DOUBTFUL);
    if (!tally.missed && !tally.open) {
        if (tally.all == 1)
            sw_text_add(text, SIZE, ": the target is met.");
        else
            sw_text_add(text, SIZE, ": all %zu targets are met.", tally.all);
        return;
    }
    sw_text_add(text, SIZE, ": %zu of %zu targets are met",
                tally.all - tally.missed - tally.open, tally.all);
    if (tally.open)
        sw_text_add(text, SIZE, SW_SAY_CHOICE_OPEN, tally.open);
    if (unclear)
        sw_text_add(text, SIZE, SW_SAY_CHOICE_UNCLEAR, unclear);
    sw_text_add(text, SIZE, ".");
}

/* That the mix, or the purified water, need not be made: where the work spent
 * buys nothing that counts. */
static void say_idle(const sw_candidate *candidates, sw_choice *choice,
                     size_t compared)
{
    size_t said = 0;
    sw_criterion by[SW_CRITERION_COUNT];
    char *text = choice->verdict;
    for (size_t i = 0; i < choice->count; i++) {
        if (i == choice->chosen || i == compared || !candidates[i].takes_work ||
            !candidates[i].assessment || !sw_is_judged(&choice->rankings[i]) ||
            behind_in(choice, choice->chosen, i, by))
            continue;
        sw_text_add(text, SIZE, "%s",
                    said++ ? ", nor in " : " " SW_SAY_CHOICE_IDLE " ");
        say_name(text, &candidates[i]);
    }
    if (said)
        sw_text_add(text, SIZE, ".");
}

/* What a water to be made may cost. */
static void say_break_even(const sw_candidate *candidates, sw_choice *choice,
                           size_t index)
{
    char *text = choice->verdict;
    double price = choice->rankings[index].pays_below_per_m3;
    size_t against = choice->rankings[index].pays_against;
    if (isnan(price))
        return;
    const char *name = candidates[index].name;
    const sw_candidate *other = &candidates[against];
    if (price > 0.0 && !isnan(other->water_price_per_m3))
        sw_text_add(text, SIZE, " " SW_SAY_CHOICE_PAYS_BELOW, name, price);
    else if (price > 0.0)
        sw_text_add(text, SIZE, " " SW_SAY_CHOICE_PAYS_BESIDE, name, price,
                    other->name);
    else
        sw_text_add(text, SIZE, " " SW_SAY_CHOICE_PAYS_NEVER, name, -price,
                    other->name);
}

static bool any_is_judged(const sw_choice *choice)
{
    for (size_t i = 0; i < choice->count; i++)
        if (sw_is_judged(&choice->rankings[i]))
            return true;
    return false;
}

static void say_unjudged(const sw_candidate *candidates, sw_choice *choice)
{
    size_t said = 0;
    for (size_t i = 0; i < choice->count; i++)
        if (!sw_is_judged(&choice->rankings[i]))
            sw_text_add(choice->verdict, SIZE, "%s%.60s",
                        said++ ? ", " : " " SW_SAY_CHOICE_UNJUDGED " ",
                        candidates[i].name);
    if (said)
        sw_text_add(choice->verdict, SIZE, ".");
}

static void say_doubtful(const sw_candidate *candidates, sw_choice *choice)
{
    for (size_t i = 0; i < choice->count; i++)
        if (i != choice->chosen && choice->rankings[i].doubtful)
            sw_text_add(choice->verdict, SIZE, " " SW_SAY_CHOICE_IF_RIGHT,
                        candidates[i].name);
}

void sw_choice_tell(const sw_candidate *candidates, sw_choice *choice)
{
    if (choice->chosen == choice->count) {
        sw_text_add(choice->verdict, SIZE, "%s",
                    any_is_judged(choice) ? SW_SAY_CHOICE_NONE
                                          : SW_SAY_CHOICE_NONE_JUDGED);
        say_unjudged(candidates, choice);
        return;
    }
    for (size_t i = 0; i < choice->count; i++)
        if (i != choice->chosen)
            tell_reason(choice, i);
    say_met(choice, &candidates[choice->chosen]);
    size_t second = runner_up(candidates, choice);
    if (second != choice->count)
        compare(candidates, choice, second);
    say_idle(candidates, choice, second);
    for (size_t i = 0; i < choice->count; i++)
        say_break_even(candidates, choice, i);
    say_doubtful(candidates, choice);
    say_unjudged(candidates, choice);
}
