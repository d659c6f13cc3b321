/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What waters are chosen by: a few figures of each, and by how much one must be
 * behind another before it counts (margins: reference/methods.md, Decide).
 */
#include "decide/choice.h"

#include "assess/agent.h"
#include "chemistry/ph_row.h"
#include "quantity/notes.h"
#include "records/targets.h"

#include <math.h>

static const double margins[] = {
#define MARGIN(code, text, margin) margin,
    SW_CRITERION_LIST(MARGIN)
#undef MARGIN
};

SW_TEXTS(sw_criterion_text, sw_criterion, NULL, SW_CRITERION_LIST(SW_LIST_TEXT))

double sw_criterion_margin(sw_criterion criterion)
{
    return criterion < SW_CRITERION_COUNT ? margins[criterion] : (double)NAN;
}

/* Money decides among waters that harm nothing, miss the same targets and stay
 * clear, where all of it is known; who asked for the cheapest did not ask for
 * the closest. */
static const sw_criterion usual_order[] = {
    SW_BY_REPORT,   SW_BY_RECIPE, SW_BY_HARM, SW_BY_MISSES, SW_BY_DEPOSITS,
    SW_BY_DISTANCE, SW_BY_DRIFT,  SW_BY_ACID, SW_BY_COST,   SW_CRITERION_COUNT};
static const sw_criterion priced_order[] = {
    SW_BY_REPORT,   SW_BY_RECIPE,      SW_BY_HARM,     SW_BY_MISSES,
    SW_BY_DEPOSITS, SW_BY_COST,        SW_BY_DISTANCE, SW_BY_DRIFT,
    SW_BY_ACID,     SW_CRITERION_COUNT};
static const sw_criterion cheap_order[] = {
    SW_BY_REPORT, SW_BY_RECIPE, SW_BY_HARM, SW_BY_MISSES,      SW_BY_DEPOSITS,
    SW_BY_COST,   SW_BY_DRIFT,  SW_BY_ACID, SW_CRITERION_COUNT};

const sw_criterion *sw_criterion_order(sw_objective objective, bool priced)
{
    return objective == SW_CHEAPEST ? cheap_order
           : priced                 ? priced_order
                                    : usual_order;
}

bool sw_choice_behind(sw_criterion criterion, double value, double best)
{
    double margin = margins[criterion];
    if (criterion == SW_BY_COST)
        margin *= fabs(best);
    return value > best + margin;
}

static bool is_clear(const sw_row *missed)
{
    double by =
        fmax(missed->low - missed->finished, missed->finished - missed->high);
    if (missed->kind == SW_TARGET_PH)
        return by > SW_UNCLEAR_PH;
    if (missed->kind == SW_TARGET_EC)
        return by > SW_UNCLEAR_EC * missed->finished;
    return true;
}

sw_tally sw_choice_count(const sw_assessment *assessment)
{
    sw_tally tally = {0};
    for (size_t i = 0; i < sw_row_count(assessment); i++) {
        sw_row row = sw_row_at(assessment, i);
        bool missed = sw_is_missed(row.verdict);
        tally.all += row.verdict != SW_VERDICT_NONE;
        tally.missed += missed;
        tally.open += row.verdict == SW_OPEN;
        tally.clear += missed && is_clear(&row);
    }
    return tally;
}

/* Limits exceeded, and what no crop should be given. */
static double count_harm(const sw_assessment *assessment)
{
    size_t unfit = sw_notes_dangers(&assessment->notes);
    for (size_t i = 0; i < assessment->guideline_count; i++)
        unfit += assessment->guidelines[i].fitness == SW_UNFIT;
    return (double)unfit;
}

/* But for the two that every feed is saturated in, and that seldom form. */
static double count_deposits(const sw_chemistry *mixed)
{
    size_t count = 0;
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        count += !sw_seldom_forms((sw_solid)i) &&
                 mixed->saturation[i].defined &&
                 mixed->saturation[i].index > SW_SATURATION_MARGIN;
    return (double)count;
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
    bool asked = false; /* a pH aired, which counts before one as mixed */
    for (size_t i = 0; i < assessment->measure_count; i++)
        if (assessment->measures[i].kind == SW_TARGET_PH && !asked) {
            low = assessment->measures[i].low;
            high = assessment->measures[i].high;
            asked = assessment->measures[i].aired;
        }
    double ph = assessment->aired.ph;
    return fmax(0.0, fmax(low - ph, ph - high));
}

/* What acids take; of citric acid it follows from the pH: its charges there. */
static sw_status take(const sw_candidate *candidate, const sw_content *acids,
                      double *meq_per_l, sw_error *error)
{
    const sw_assessment *assessment = candidate->assessment;
    const sw_conditions conditions = sw_conditions_default();
    sw_ph_row row;
    *meq_per_l = fabs(acids->amount[SW_ALKALINITY]);
    if (!(acids->amount[SW_CITRATE] > 0.0))
        return SW_OK;
    double ph = assessment->mixed.ph;
    sw_status status =
        sw_ph_row_at(isnan(ph) ? assessment->aired.ph : ph,
                     &assessment->finished, &conditions, &row, error);
    if (status == SW_OK)
        *meq_per_l -= row.coefficient[SW_CITRATE] * acids->amount[SW_CITRATE];
    return status;
}

/* Whether the acid is also a source of what the target asks for. */
static bool feeds(const sw_product *acid, const sw_target *target)
{
    static const sw_component nutrients[] = {SW_N, SW_NO3_N, SW_P, SW_S};
    for (size_t i = 0; i < sizeof nutrients / sizeof *nutrients; i++)
        if (sw_is_source(acid, nutrients[i]) &&
            sw_target_asks(target, nutrients[i]))
            return true;
    return false;
}

/* What acids take and what bases give: both are handled. */
static sw_status find_acid(const sw_candidate *candidate, sw_ranking *ranking,
                           sw_error *error)
{
    sw_content all = {{0.0}}, idle = {{0.0}};
    double bases = 0.0;
    double *meq_per_l = &ranking->value[SW_BY_ACID];
    for (size_t j = 0; j < candidate->shelf->count; j++) {
        const sw_product *product = &candidate->shelf->products[j];
        double g_per_l = candidate->solution->recipe.g_per_l[j];
        if (sw_is_acid(product))
            sw_content_add(&all, g_per_l, &product->per_g);
        else if (sw_is_agent(product) && !sw_is_trace_source(product))
            bases += g_per_l * product->per_g.amount[SW_ALKALINITY];
        if (sw_is_acid(product) && !feeds(product, candidate->target))
            sw_content_add(&idle, g_per_l, &product->per_g);
    }
    sw_status status = take(candidate, &all, meq_per_l, error);
    *meq_per_l += bases;
    return status == SW_OK
               ? take(candidate, &idle, &ranking->idle_acid_meq_per_l, error)
               : status;
}

/* Whether its water can be judged at all. */
static bool has_report(const sw_candidate *candidate)
{
    const sw_assessment *a = candidate->assessment;
    return a ? sw_alkalinity_is_known(&a->finished)
             : candidate->solution->outcome != SW_UNDETERMINED;
}

static bool is_doubtful(const sw_candidate *candidate)
{
    return candidate->doubtful ||
           sw_notes_are_about(&candidate->assessment->notes, 0, SW_ABOUT_DOUBT);
}

sw_status sw_candidate_measure(const sw_candidate *candidate,
                               sw_ranking *ranking, sw_error *error)
{
    double *value = ranking->value;
    const sw_assessment *assessment = candidate->assessment;
    ranking->out_by = SW_CRITERION_COUNT;
    ranking->idle_acid_meq_per_l = NAN;
    for (int c = 0; c < SW_CRITERION_COUNT; c++)
        value[c] = NAN;
    value[SW_BY_REPORT] = has_report(candidate) ? 0.0 : 1.0;
    value[SW_BY_RECIPE] = assessment ? 0.0 : 1.0;
    if (!assessment)
        return SW_OK;
    ranking->dangerous = sw_notes_dangers(&assessment->notes) +
                             sw_notes_dangers(&candidate->solution->notes) >
                         0;
    ranking->doubtful = is_doubtful(candidate);
    value[SW_BY_MISSES] = (double)sw_choice_count(assessment).clear;
    value[SW_BY_HARM] = count_harm(assessment);
    value[SW_BY_DEPOSITS] = count_deposits(&assessment->mixed);
    value[SW_BY_DISTANCE] = distance_of(candidate);
    value[SW_BY_DRIFT] = drift_of(assessment);
    value[SW_BY_COST] = assessment->cost_per_m3;
    if (!isnan(candidate->water_price_per_m3))
        value[SW_BY_COST] += candidate->water_price_per_m3;
    return find_acid(candidate, ranking, error);
}
