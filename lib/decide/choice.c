/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which water: a few figures of each, the weightiest first, and whoever is
 * behind by more than counts is out (elimination by aspects; method and
 * margins: reference/methods.md, Decide).
 */
#include "decide/choice.h"

#include "assess/agent.h"
#include "chemistry/ph_row.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>

static const double margins[] = {
#define MARGIN(code, text, margin) margin,
    SW_CRITERION_LIST(MARGIN)
#undef MARGIN
};

const char *sw_criterion_text(sw_criterion criterion)
{
    static const char *const texts[] = {
#define CRITERION_TEXT(code, text, margin) text,
        SW_CRITERION_LIST(CRITERION_TEXT)
#undef CRITERION_TEXT
    };
    return criterion < SW_CRITERION_COUNT ? texts[criterion] : NULL;
}

double sw_criterion_margin(sw_criterion criterion)
{
    return criterion < SW_CRITERION_COUNT ? margins[criterion] : (double)NAN;
}

/* Who asked for the cheapest did not ask for the closest. */
static const sw_criterion usual_order[] = {
    SW_BY_RECIPE, SW_BY_HARM, SW_BY_MISSES, SW_BY_DEPOSITS,    SW_BY_DISTANCE,
    SW_BY_DRIFT,  SW_BY_ACID, SW_BY_COST,   SW_CRITERION_COUNT};
static const sw_criterion cheap_order[] = {
    SW_BY_RECIPE, SW_BY_HARM,  SW_BY_MISSES, SW_BY_DEPOSITS,
    SW_BY_COST,   SW_BY_DRIFT, SW_BY_ACID,   SW_CRITERION_COUNT};

const sw_criterion *sw_criterion_order(sw_objective objective)
{
    return objective == SW_CHEAPEST ? cheap_order : usual_order;
}

bool sw_choice_behind(sw_criterion criterion, double value, double best)
{
    double margin = margins[criterion];
    if (criterion == SW_BY_COST)
        margin *= fabs(best);
    return value > best + margin;
}

bool sw_is_clear(const sw_measure_row *missed)
{
    double past =
        fmax(missed->low - missed->finished, missed->finished - missed->high);
    if (missed->kind == SW_TARGET_PH)
        return past > SW_UNCLEAR_PH;
    if (missed->kind == SW_TARGET_EC)
        return past > SW_UNCLEAR_EC * missed->finished;
    return true;
}

static void count(sw_verdict verdict, bool clear, sw_tally *tally)
{
    bool missed = verdict == SW_SHORT || verdict == SW_OVER;
    tally->all += verdict != SW_VERDICT_NONE;
    tally->missed += missed;
    tally->clear += missed && clear;
}

sw_tally sw_choice_count(const sw_assessment *assessment)
{
    sw_tally tally = {0};
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        count(assessment->rows[i].verdict, true, &tally);
    for (size_t i = 0; i < assessment->measure_count; i++)
        count(assessment->measures[i].verdict,
              sw_is_clear(&assessment->measures[i]), &tally);
    return tally;
}

/* Limits passed, and what no crop should be given. */
static double count_harm(const sw_assessment *assessment)
{
    size_t unfit = 0;
    for (size_t i = 0; i < assessment->guideline_count; i++)
        unfit += assessment->guidelines[i].fitness == SW_UNFIT;
    for (size_t i = 0; i < assessment->notes.count; i++)
        unfit += assessment->notes.items[i].severity == SW_DANGER;
    return (double)unfit;
}

static bool warns_of_danger(const sw_notes *notes)
{
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].severity == SW_DANGER)
            return true;
    return false;
}

/* But for the two that every feed is past, and that seldom form. */
static double count_deposits(const sw_chemistry *mixed)
{
    size_t past = 0;
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        past += !sw_seldom_forms((sw_solid)i) && mixed->saturation[i].defined &&
                mixed->saturation[i].index > SW_SATURATION_MARGIN;
    return (double)past;
}

/* Root mean square of the weighted relative deviations, in percent. */
static double distance_of(const sw_candidate *candidate)
{
    double sum = 0.0;
    double weights = 0.0;
    for (size_t i = 0; i < candidate->target->count; i++) {
        const sw_target_row *row = &candidate->target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || !(row->target > 0.0))
            continue;
        double finished =
            candidate->assessment->finished.amount[row->component];
        double off = (finished - row->target) / row->target;
        sum += row->weight * off * off;
        weights += row->weight;
    }
    return weights > 0.0 ? 100.0 * sqrt(sum / weights) : NAN;
}

/* How far the pH goes past its band once CO2 has left. */
static double drift_of(const sw_assessment *assessment)
{
    double low = SW_USUAL_PH_LOW;
    double high = SW_USUAL_PH_HIGH;
    for (size_t i = 0; i < assessment->measure_count; i++)
        if (assessment->measures[i].kind == SW_TARGET_PH) {
            low = assessment->measures[i].low;
            high = assessment->measures[i].high;
        }
    double ph = assessment->aired.ph;
    return fmax(0.0, fmax(low - ph, ph - high));
}

/* What citric acid takes follows from the pH: its charges there. */
static sw_status take_citric(const sw_candidate *candidate,
                             const sw_content *acids, double *meq_per_l,
                             sw_error *error)
{
    const sw_assessment *assessment = candidate->assessment;
    const sw_conditions conditions = sw_conditions_default();
    sw_ph_row row;
    if (!(acids->amount[SW_CITRATE] > 0.0))
        return SW_OK;
    sw_status status = sw_ph_row_at(assessment->mixed.ph, &assessment->finished,
                                    &conditions, &row, error);
    if (status == SW_OK)
        *meq_per_l -= row.coefficient[SW_CITRATE] * acids->amount[SW_CITRATE];
    return status;
}

static sw_status find_acid(const sw_candidate *candidate, double *meq_per_l,
                           sw_error *error)
{
    sw_content acids = {{0.0}};
    for (size_t j = 0; j < candidate->shelf->count; j++) {
        const sw_product *product = &candidate->shelf->products[j];
        if (sw_is_acid(product))
            sw_content_add(&acids, candidate->solution->recipe.g_per_l[j],
                           &product->per_g);
    }
    *meq_per_l = fabs(acids.amount[SW_ALKALINITY]);
    return take_citric(candidate, &acids, meq_per_l, error);
}

static sw_status measure(const sw_candidate *candidate, sw_ranking *ranking,
                         sw_error *error)
{
    double *value = ranking->value;
    const sw_assessment *assessment = candidate->assessment;
    ranking->out_by = SW_CRITERION_COUNT;
    for (int c = 0; c < SW_CRITERION_COUNT; c++)
        value[c] = NAN;
    value[SW_BY_RECIPE] = assessment ? 0.0 : 1.0;
    if (!assessment)
        return SW_OK;
    ranking->dangerous = warns_of_danger(&assessment->notes) ||
                         warns_of_danger(&candidate->solution->notes);
    value[SW_BY_MISSES] = (double)sw_choice_count(assessment).clear;
    value[SW_BY_HARM] = count_harm(assessment);
    value[SW_BY_DEPOSITS] = count_deposits(&assessment->mixed);
    value[SW_BY_DISTANCE] = distance_of(candidate);
    value[SW_BY_DRIFT] = drift_of(assessment);
    value[SW_BY_COST] = assessment->cost_per_m3 + candidate->water_price_per_m3;
    return find_acid(candidate, &value[SW_BY_ACID], error);
}

static bool is_in(const sw_ranking *ranking)
{
    return ranking->out_by == SW_CRITERION_COUNT;
}

/* The least value of those left in; NaN where one of them has none. */
static double least_of(const sw_choice *choice, sw_criterion criterion)
{
    double least = INFINITY;
    for (size_t i = 0; i < choice->count; i++) {
        double value = choice->rankings[i].value[criterion];
        if (!is_in(&choice->rankings[i]))
            continue;
        if (isnan(value))
            return NAN;
        least = fmin(least, value);
    }
    return least;
}

/* Whether one of those left in may be given to a crop. */
static bool any_is_safe(const sw_choice *choice)
{
    for (size_t i = 0; i < choice->count; i++)
        if (is_in(&choice->rankings[i]) && !choice->rankings[i].dangerous)
            return true;
    return false;
}

/* Nothing that another does worse makes up for a danger. */
static void put_out_dangerous(sw_choice *choice)
{
    if (!any_is_safe(choice))
        return;
    for (size_t i = 0; i < choice->count; i++)
        if (is_in(&choice->rankings[i]) && choice->rankings[i].dangerous)
            choice->rankings[i].out_by = SW_BY_HARM;
}

static void put_out(sw_choice *choice, sw_criterion criterion)
{
    double least = least_of(choice, criterion);
    for (size_t i = 0; i < choice->count && !isnan(least); i++)
        if (is_in(&choice->rankings[i]) &&
            sw_choice_behind(criterion, choice->rankings[i].value[criterion],
                             least))
            choice->rankings[i].out_by = criterion;
}

/* What takes no work before what does, then the closest, then the first. */
static bool is_better(const sw_candidate *candidates, const sw_choice *choice,
                      size_t i)
{
    size_t than = choice->chosen;
    if (!is_in(&choice->rankings[i]))
        return false;
    if (than == choice->count)
        return true;
    if (candidates[i].takes_work != candidates[than].takes_work)
        return candidates[than].takes_work;
    return choice->rankings[i].value[SW_BY_DISTANCE] <
           choice->rankings[than].value[SW_BY_DISTANCE];
}

static void choose(const sw_candidate *candidates, sw_choice *choice)
{
    choice->chosen = choice->count;
    if (least_of(choice, SW_BY_RECIPE) > 0.0)
        return;
    for (const sw_criterion *c = choice->order; *c != SW_CRITERION_COUNT; c++) {
        if (*c == SW_BY_HARM)
            put_out_dangerous(choice);
        put_out(choice, *c);
    }
    choice->usable = any_is_safe(choice);
    for (size_t i = 0; i < choice->count; i++)
        if (is_better(candidates, choice, i))
            choice->chosen = i;
}

sw_status sw_choose(const sw_candidate *candidates, size_t count,
                    sw_choice **choice, sw_error *error)
{
    *choice = NULL;
    if (count == 0)
        return sw_fail(error, SW_ERR_VALUE, "there is no water to choose");
    sw_choice *made = calloc(1, sizeof *made);
    if (made)
        made->rankings = calloc(count, sizeof *made->rankings);
    if (!made || !made->rankings) {
        free(made);
        return sw_fail_memory(error);
    }
    made->count = count;
    made->order = sw_criterion_order(candidates[0].solution->objective);
    sw_status status = SW_OK;
    for (size_t i = 0; i < count && status == SW_OK; i++)
        status = measure(&candidates[i], &made->rankings[i], error);
    if (status != SW_OK) {
        sw_choice_free(made);
        return status;
    }
    choose(candidates, made);
    sw_choice_tell(candidates, made);
    *choice = made;
    return SW_OK;
}

void sw_choice_free(sw_choice *choice)
{
    if (!choice)
        return;
    free(choice->rankings);
    free(choice);
}
