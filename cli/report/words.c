/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words that text and sheet share, so that neither includes the other. */
#include "report/words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/figure.h"
#include "io/safe.h"
#include "sentences_text.h"

/* Beyond as many, what each is of how much is for a table. */
enum { MOST_WITH_AMOUNTS = 4 };

static size_t count_verdict(const sw_assessment *assessment, sw_verdict verdict)
{
    size_t count = 0;
    for (size_t i = 0; i < sw_row_count(assessment); i++)
        count += sw_row_at(assessment, i).verdict == verdict;
    return count;
}

/* Whether these digits show that it is missed. */
static bool shows_miss(const sw_row *row, const char *is, const char *limit)
{
    double by = strtod(is, NULL) - strtod(limit, NULL);
    return row->verdict == SW_OVER ? by > 0.0 : by < 0.0;
}

/* As many digits as show on which side of the limit it is. */
static cli_figure missed_at(const sw_row *row, const char *limit)
{
    enum { MOST_MORE = 3 };
    bool measured = row->kind == SW_TARGET_PH || row->kind == SW_TARGET_EC;
    int decimals = measured ? FIGURE_MEASURE : figure_decimals(row->finished);
    cli_figure is = measured ? figure_fixed(row->finished, decimals)
                             : figure_short(row->finished);
    for (int more = 0; more < MOST_MORE && !shows_miss(row, is.text, limit);
         more++)
        is = figure_fixed(row->finished, decimals + more);
    return is;
}

/* " with no NH4-N" of "Ca:NH4-N": it is beyond any limit. */
static cli_figure missed_by_all(const sw_row *row)
{
    cli_figure out = {""};
    const char *mark = strchr(row->name, ':');
    snprintf(out.text, sizeof out.text, " with no %.16s",
             mark ? mark + 1 : row->name);
    return out;
}

/* " 62.0 of at most 40 mg/L", " just above 40 mg/L". */
static cli_figure missed_by(const sw_row *row)
{
    cli_figure out = {""};
    bool over = row->verdict == SW_OVER;
    cli_figure limit = figure_short(over ? row->high : row->low);
    cli_figure is = missed_at(row, limit.text);
    const char *gap = *row->unit ? " " : "";
    if (row->verdict == SW_OPEN)
        return out;
    if (isnan(row->finished))
        return missed_by_all(row);
    if (shows_miss(row, is.text, limit.text))
        snprintf(out.text, sizeof out.text, " %.12s of at %s %.12s%s%.8s",
                 is.text, over ? "most" : "least", limit.text, gap, row->unit);
    else
        snprintf(out.text, sizeof out.text, " just %s %.12s%s%.8s",
                 over ? "above" : "below", limit.text, gap, row->unit);
    return out;
}

static size_t list_verdict(const cli_report *report, sw_verdict verdict,
                           bool amounts, char *list, size_t size)
{
    const sw_assessment *assessment = report->assessment;
    size_t count = 0;
    list[0] = '\0';
    for (size_t i = 0; i < sw_row_count(assessment); i++) {
        sw_row row =
            sw_row_at(assessment, i < SW_COMPONENT_COUNT
                                      ? (size_t)report_row(report, i)->component
                                      : i);
        if (row.verdict != verdict)
            continue;
        text_join(list, size, ", ", "%s%s", row.name,
                  amounts ? missed_by(&row).text : "");
        count++;
    }
    return count;
}

/* "Ca, Mg, EC": what has this verdict; returns how many. */
static size_t words_of_verdict(const cli_report *report, sw_verdict verdict,
                               char *list, size_t size)
{
    return list_verdict(report, verdict, false, list, size);
}

size_t words_of_missed(const cli_report *report, sw_verdict verdict, char *list,
                       size_t size)
{
    return list_verdict(report, verdict,
                        count_verdict(report->assessment, verdict) <=
                            MOST_WITH_AMOUNTS,
                        list, size);
}

const struct words_unmet_kind words_unmet_kinds[WORDS_UNMET_KINDS] = {
    {SW_SHORT, "Short"}, {SW_OVER, "Over"}, {SW_OPEN, "Open"}};

typedef size_t list_of(const cli_report *report, sw_verdict verdict, char *list,
                       size_t size);

/* Each kind that there is, as "Over: Ca, Mg" and `end`, `mark` between them. */
static void join_kinds(const cli_report *report, list_of *list_kind,
                       const char *mark, const char *end, char *words,
                       size_t size)
{
    char list[1024];
    words[0] = '\0';
    for (size_t i = 0; i < WORDS_UNMET_KINDS; i++) {
        const struct words_unmet_kind *kind = &words_unmet_kinds[i];
        if (list_kind(report, kind->verdict, list, sizeof list))
            text_join(words, size, mark, "%s: %s%s", kind->word, list, end);
    }
}

/* Of what is in a tank already, the fresh water's own. */
static double fresh_mg_per_l(const cli_report *report,
                             const sw_component_row *row)
{
    return report->renewal ? report->inputs->contents[1].amount[row->component]
                           : row->water_mg_per_l;
}

/* What of the target is over by the water alone, or, `kept`, by what a renewal
 * keeps of the old solution in a water that is not. */
static void join_over_by_water(const cli_report *report, bool kept, char *names,
                               size_t size)
{
    names[0] = '\0';
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        const sw_component_row *row = &report->assessment->rows[i];
        bool fresh = fresh_mg_per_l(report, row) > row->high_mg_per_l;
        if (row->verdict == SW_OVER &&
            row->water_mg_per_l > row->high_mg_per_l && fresh != kept)
            text_join(names, size, ", ", "%s",
                      sw_component_name(row->component));
    }
}

/* A limit of nutrients, eased by this share of itself, takes that of the misfit
 * off: it is what keeps the recipe from the target. */
static const double eased = 0.1, weighty = 0.1;

void words_holding(const cli_report *report, char *names, size_t size)
{
    const sw_solution *solution = report->solution;
    names[0] = '\0';
    if (!solution || report->renewal ||
        sw_objective_facts_of(solution->objective)->kind == SW_OF_AMOUNTS)
        return;
    for (size_t i = 0; i < solution->limit_count; i++) {
        const sw_limit *limit = &solution->limits[i];
        bool of_nutrients =
            limit->kind == SW_SIDE_COMPONENT || limit->kind == SW_SIDE_RATIO;
        bool of_target =
            limit->origin == SW_GIVEN ||
            (limit->origin == SW_BY_RANGE && limit->kind == SW_SIDE_RATIO);
        if (of_nutrients && of_target &&
            fabs(limit->price) * eased * limit->bound >=
                weighty * solution->certificate.objective)
            text_join(names, size, "; ", "%s", limit->name);
    }
}

void words_missed(const cli_report *report, char *words, size_t size)
{
    char names[640];
    join_kinds(report, words_of_missed, " ", ".", words, size);
    words_holding(report, names, sizeof names);
    if (*names)
        text_join(words, size, " ", SAY_BEFORE_HOLDING, names);
    join_over_by_water(report, false, names, sizeof names);
    if (*names)
        text_join(words, size, " ", SAY_BEFORE_OVER_BY_WATER, names);
    join_over_by_water(report, true, names, sizeof names);
    if (*names)
        text_join(words, size, " ", SAY_BEFORE_OVER_BY_KEPT, names);
}

void words_unmet(const cli_report *report, char *words, size_t size)
{
    join_kinds(report, words_of_verdict, "; ", "", words, size);
}

/* The row of the target's pH, as mixed or aired; NULL without one. */
static const sw_row *ph_row(const sw_assessment *assessment, bool aired)
{
    for (size_t i = 0; i < assessment->measure_count; i++)
        if (assessment->measures[i].kind == SW_TARGET_PH &&
            assessment->measures[i].aired == aired)
            return &assessment->measures[i];
    return NULL;
}

const char *words_best_is_nothing(const cli_report *report)
{
    const cli_inputs *inputs = report->inputs;
    bool nothing = false;
    for (size_t j = 0; j < inputs->best_count; j++)
        nothing =
            nothing || (inputs->best_set[j] && inputs->best[j].g_per_l == 0.0);
    for (size_t i = 0; nothing && i < inputs->assumptions.count; i++) {
        const sw_note *note = &inputs->assumptions.items[i];
        if (note->about & SW_ABOUT_RATE)
            return note->text;
    }
    return NULL;
}

/* How the pH is outside its range in the air, met as mixed or not. */
typedef struct leaving {
    const char *because, *moves, *side; /* "escapes", "rise", "above" */
    double limit;
    bool above;
} leaving;

/* Less than the digits of a pH show is no drift: what is mixed is outside. */
static const double least_drift = 0.05;

static bool ph_leaves(const sw_assessment *assessment, leaving *out)
{
    const sw_row *row = ph_row(assessment, false);
    double margin = sw_criterion_margin(SW_BY_DRIFT);
    double aired = assessment->aired.ph;
    if (!row || ph_row(assessment, true) || report_ph_is_open(assessment))
        return false;
    bool above = aired > row->high + margin;
    bool rises = aired > assessment->mixed.ph;
    *out = (leaving){.because = rises ? "escapes" : "is taken up",
                     .moves = rises ? "rise" : "fall",
                     .side = above ? "above" : "below",
                     .limit = above ? row->high : row->low,
                     .above = above};
    bool moves = fabs(aired - assessment->mixed.ph) >= least_drift;
    return moves && (above || aired < row->low - margin);
}

/* A pH wanted in the air alone that the fresh mix has not. */
static bool needs_air(const sw_assessment *assessment)
{
    double mixed = assessment->mixed.ph;
    const sw_row *row = ph_row(assessment, true);
    return row && !ph_row(assessment, false) &&
           !report_ph_is_open(assessment) &&
           fabs(assessment->aired.ph - mixed) >= least_drift &&
           (mixed < row->low || mixed > row->high);
}

bool words_are_read_aired(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    const sw_row *row = ph_row(report->assessment, true);
    double read = report->settings->readings.ph;
    return d && d->aired && d->as_meant && row && read >= row->low &&
           read <= row->high;
}

void words_drift(const cli_report *report, char *text, size_t size)
{
    leaving how;
    const sw_assessment *assessment = report->assessment;
    text[0] = '\0';
    if (needs_air(assessment) && !words_are_read_aired(report))
        snprintf(text, size, SAY_AERATE_TO,
                 figure_fixed(assessment->mixed.ph, FIGURE_PH).text,
                 figure_fixed(assessment->aired.ph, FIGURE_PH).text);
    if (ph_leaves(assessment, &how))
        snprintf(text, size, SAY_AIR_FROM_TO, how.because, how.moves,
                 figure_fixed(assessment->mixed.ph, FIGURE_PH).text,
                 figure_fixed(assessment->aired.ph, FIGURE_PH).text, how.side,
                 figure_fixed(how.limit, FIGURE_PH).text);
}

/* In the recipe, or else on the shelf; NULL: neither. */
static const sw_product *find_agent(const cli_report *report, const char *side)
{
    const sw_shelf *shelf = report->inputs->shelf;
    const sw_product *found = NULL;
    for (size_t i = 0; i < shelf->count; i++)
        if (sw_meeting_side_is(side, &shelf->products[i]) &&
            (!found || report_uses(report, i)))
            found = &shelf->products[i];
    return found;
}

void words_standing(const cli_report *report, char *text, size_t size)
{
    leaving how;
    text[0] = '\0';
    if (!ph_leaves(report->assessment, &how))
        return;
    const char *side = how.above ? "acid" : "base";
    const sw_product *agent = find_agent(report, side);
    bool rises = report->assessment->aired.ph > report->assessment->mixed.ph;
    snprintf(text, size, SAY_STANDING, rises ? "Rises" : "Falls",
             figure_fixed(report->assessment->aired.ph, FIGURE_PH).text,
             how.above ? "lower" : "raise", agent ? agent->name : side);
}

bool words_airs_any(const cli_several *several)
{
    bool airs = false;
    for (size_t k = 0; k < several->count && !airs; k++)
        airs = several->reports[k]->assessment &&
               needs_air(several->reports[k]->assessment);
    return airs;
}

void words_drift_of_many(const cli_several *several, bool above, char *text,
                         size_t size)
{
    char list[1024] = "";
    leaving how, said = {0};
    double least = INFINITY, most = -INFINITY;
    size_t count = 0;
    for (size_t k = 0; k < several->count; k++) {
        const sw_assessment *found = several->reports[k]->assessment;
        if (!found)
            continue;
        if (!ph_leaves(found, &how) || how.above != above)
            continue;
        text_join(list, sizeof list, ", ", "%s", several->names[k]);
        least = fmin(least, found->aired.ph);
        most = fmax(most, found->aired.ph);
        said = how;
        count++;
    }
    snprintf(text, size, "%s",
             above && words_airs_any(several) ? SAY_AERATE_ALL : "");
    if (!count)
        return;
    cli_figure from = figure_fixed(least, FIGURE_PH);
    cli_figure to = figure_fixed(most, FIGURE_PH);
    bool one = !strcmp(from.text, to.text);
    int used = snprintf(text, size, SAY_AIR_TO, said.because, said.moves,
                        from.text, one ? "" : " to ", one ? "" : to.text,
                        said.side, figure_fixed(said.limit, FIGURE_PH).text);
    text += used;
    size -= (size_t)used;
    if (several->count == 1)
        snprintf(text, size, ".");
    else if (count == several->count)
        snprintf(text, size, ", in all %zu samples.", count);
    else
        snprintf(text, size, ", in %zu of them: %s.", count, list);
}

void words_strength(const cli_inputs *inputs, char *text, size_t size)
{
    const sw_strength *strength = inputs->strength;
    text[0] = '\0';
    if (strength)
        snprintf(text, size, "%s mS/cm: %s times the %s",
                 figure_fixed(strength->ec_ms_per_cm, FIGURE_EC).text,
                 figure_short(strength->factor).text,
                 inputs->recipe_scaled ? "amounts given" : "target");
}
