/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A choice in words: what the chosen water does, what it does better than the
 * one that stayed in longest beside it, and what speaks against it.
 */
#include "decide/choice_words.h"
#include "decide/criteria.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

typedef struct sw_phrase {
    const char *less;
    const char *more;
    int decimals;
    const char *unit;
} sw_phrase;

static const sw_phrase phrases[SW_CRITERION_COUNT] = {
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

/* Appends what fits. */
static void say(char *text, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void say(char *text, size_t size, const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text + used, size - used, format, arguments);
    va_end(arguments);
}

/* "takes less acid and base (0.4 meq/L against 6.0)" */
static void say_difference(char *text, size_t size, sw_criterion criterion,
                           double mine, double other)
{
    const sw_phrase *phrase = &phrases[criterion];
    say(text, size, "%s", mine < other ? phrase->less : phrase->more);
    if (criterion != SW_BY_RECIPE)
        say(text, size, " (%.*f%s against %.*f)", phrase->decimals, mine,
            phrase->unit, phrase->decimals, other);
}

/* The weightiest thing in which one is behind the other. */
static sw_criterion first_behind(const sw_choice *choice, const sw_ranking *one,
                                 const sw_ranking *other)
{
    const sw_criterion *c = choice->order;
    while (*c != SW_CRITERION_COUNT &&
           !sw_choice_behind(*c, one->value[*c], other->value[*c]))
        c++;
    return *c;
}

/*
 * The reason of one that was not chosen: where it is behind the chosen; else,
 * what put it out.
 */
static void tell_reason(const sw_choice *choice, sw_ranking *ranking)
{
    const sw_ranking *chosen = &choice->rankings[choice->chosen];
    if (ranking->dangerous && !chosen->dangerous) {
        say(ranking->reason, sizeof ranking->reason,
            "not to be used as it stands");
        return;
    }
    sw_criterion by = first_behind(choice, ranking, chosen);
    if (by == SW_CRITERION_COUNT)
        by = ranking->out_by;
    if (by == SW_CRITERION_COUNT)
        say(ranking->reason, sizeof ranking->reason,
            "no difference that matters");
    else
        say_difference(ranking->reason, sizeof ranking->reason, by,
                       ranking->value[by], chosen->value[by]);
}

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
 * The one to compare with: what takes no work first, then the one that stayed
 * in longest; the count if there is none.
 */
static size_t runner_up(const sw_candidate *candidates, const sw_choice *choice)
{
    size_t best = choice->count;
    for (size_t i = 0; i < choice->count; i++) {
        if (i == choice->chosen)
            continue;
        if (best == choice->count ||
            (candidates[best].takes_work && !candidates[i].takes_work) ||
            (candidates[best].takes_work == candidates[i].takes_work &&
             stays_longer(choice, i, best)))
            best = i;
    }
    return best;
}

/* What the chosen does better (or worse) than the other; how many. */
static size_t say_all(char *text, size_t size, const sw_choice *choice,
                      size_t second, bool better)
{
    size_t said = 0;
    const double *mine = choice->rankings[choice->chosen].value;
    const double *theirs = choice->rankings[second].value;
    for (const sw_criterion *c = choice->order; *c != SW_CRITERION_COUNT; c++) {
        bool differs = better ? sw_choice_behind(*c, theirs[*c], mine[*c])
                              : sw_choice_behind(*c, mine[*c], theirs[*c]);
        if (!differs)
            continue;
        say(text, size, "%s", said++ ? ", " : "it ");
        say_difference(text, size, *c, mine[*c], theirs[*c]);
    }
    return said;
}

/* "closest mix (35 % well, 65 % town)" */
static void say_name(char *text, size_t size, const sw_candidate *candidate)
{
    const char *detail = candidate->detail ? candidate->detail : "";
    say(text, size, "%.60s", candidate->name);
    if (detail[0])
        say(text, size, " (%.200s)", detail);
}

static void compare(const sw_candidate *candidates, sw_choice *choice,
                    size_t second)
{
    char *text = choice->verdict;
    size_t size = sizeof choice->verdict;
    char words[320] = "";
    const char *name = candidates[second].name;
    if (!candidates[second].assessment) {
        say(text, size, " No recipe keeps the limits in %.60s.", name);
        return;
    }
    bool barred = choice->usable && choice->rankings[second].dangerous;
    if (barred)
        say(text, size, " Do not use %.60s as it stands.", name);
    if (say_all(words, sizeof words, choice, second, true))
        say(text, size, " Compared with %.60s, %s.", name, words);
    else if (!barred)
        say(text, size, " Between it and %.60s no difference matters.", name);
    words[0] = '\0';
    if (say_all(words, sizeof words, choice, second, false))
        say(text, size, " Against it: %s.", words);
}

/* Whether work spent on `other` buys nothing that counts. */
static bool is_idle(const sw_candidate *candidates, const sw_choice *choice,
                    size_t other)
{
    char words[320] = "";
    return candidates[other].takes_work && candidates[other].assessment &&
           !say_all(words, sizeof words, choice, other, false);
}

/* That the mix, or the purified water, need not be made. */
static void say_idle(const sw_candidate *candidates, sw_choice *choice,
                     size_t compared)
{
    char *text = choice->verdict;
    size_t size = sizeof choice->verdict;
    size_t said = 0;
    for (size_t i = 0; i < choice->count; i++) {
        if (i == choice->chosen || i == compared ||
            !is_idle(candidates, choice, i))
            continue;
        say(text, size, "%s",
            said++ ? ", nor in "
                   : " There is no practical "
                     "advantage in ");
        say_name(text, size, &candidates[i]);
    }
    if (said)
        say(text, size, ".");
}

static void say_met(sw_choice *choice, const sw_candidate *chosen)
{
    char *text = choice->verdict;
    size_t size = sizeof choice->verdict;
    sw_tally tally = sw_choice_count(chosen->assessment);
    size_t unclear = tally.missed - tally.clear;
    say(text, size, "%s",
        choice->usable ? "Use "
                       : "None may be used as it stands: what the crop would "
                         "get from each is dangerous. The least harmful is ");
    say_name(text, size, chosen);
    if (!tally.missed) {
        say(text, size, ": all %zu targets are met.", tally.all);
        return;
    }
    say(text, size, ": %zu of %zu targets are met", tally.all - tally.missed,
        tally.all);
    if (unclear)
        say(text, size, ", %zu missed by less than a meter can tell", unclear);
    say(text, size, ".");
}

/* What a water to be made may cost. */
static void say_break_even(const sw_candidate *candidates, sw_choice *choice,
                           size_t index)
{
    char *text = choice->verdict;
    size_t size = sizeof choice->verdict;
    double price = choice->rankings[index].pays_below_per_m3;
    size_t against = choice->rankings[index].pays_against;
    bool known = against < choice->count &&
                 !isnan(candidates[against].water_price_per_m3);
    if (isnan(price))
        return;
    const char *name = candidates[index].name;
    if (known && price > 0.0)
        say(text, size, " Break-even: %.60s pays below %.2f per 1000 L.", name,
            price);
    else if (price > 0.0)
        say(text, size,
            " Break-even: %.60s pays if 1000 L of it cost less than %.2f more "
            "than of %.60s.",
            name, price, candidates[against].name);
    else
        say(text, size,
            " Break-even: %.60s saves nothing on products, which cost %.2f "
            "more per 1000 L than with %.60s.",
            name, -price, candidates[against].name);
}

void sw_choice_tell(const sw_candidate *candidates, sw_choice *choice)
{
    if (choice->chosen == choice->count) {
        say(choice->verdict, sizeof choice->verdict,
            "None can be used: in no water can the limits of "
            "target and shelf all hold.");
        return;
    }
    for (size_t i = 0; i < choice->count; i++)
        if (i != choice->chosen)
            tell_reason(choice, &choice->rankings[i]);
    say_met(choice, &candidates[choice->chosen]);
    size_t second = runner_up(candidates, choice);
    if (second != choice->count)
        compare(candidates, choice, second);
    say_idle(candidates, choice, second);
    for (size_t i = 0; i < choice->count; i++)
        say_break_even(candidates, choice, i);
}
