/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waters to choose from, set by their figures. */
#include "suite.h"

#include "saltwright.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

enum { MOST = 3 };

/* Each candidate has one target, K 100 mg/L, and one acid. */
typedef struct sw_field {
    sw_target_row row;
    sw_target target;
    sw_product acid;
    sw_shelf shelf;
    double amount[MOST];
    sw_solution solution[MOST];
    sw_guideline_row limit[MOST];
    sw_assessment assessment[MOST];
    sw_candidate candidate[MOST];
} sw_field;

static void open_field(sw_field *field)
{
    static const char *const names[MOST] = {"well", "town", "mix"};
    memset(field, 0, sizeof *field);
    field->row = (sw_target_row){.kind = SW_TARGET_COMPONENT,
                                 .component = SW_K,
                                 .target = 100,
                                 .weight = 1};
    field->target = (sw_target){.rows = &field->row, .count = 1};
    field->acid.per_g.amount[SW_ALKALINITY] = -10;
    field->shelf = (sw_shelf){.products = &field->acid, .count = 1};
    for (int i = 0; i < MOST; i++) {
        sw_assessment *assessment = &field->assessment[i];
        field->solution[i].recipe =
            (sw_recipe){.g_per_l = &field->amount[i], .count = 1};
        assessment->rows[SW_K].verdict = SW_MET;
        assessment->finished.amount[SW_K] = 100;
        assessment->cost_per_m3 = 2;
        assessment->guidelines = &field->limit[i];
        assessment->guideline_count = 1;
        field->candidate[i] = (sw_candidate){.name = names[i],
                                             .target = &field->target,
                                             .shelf = &field->shelf,
                                             .solution = &field->solution[i],
                                             .assessment = assessment,
                                             .water_price_per_m3 = NAN,
                                             .takes_work = i == 2};
    }
}

static sw_choice *choose(const sw_field *field, size_t count)
{
    sw_choice *choice;
    ck_assert_int_eq(sw_choose(field->candidate, count, &choice, NULL), SW_OK);
    return choice;
}

/* Chooses among `count`, expecting one and words in the verdict. */
static void expect(const sw_field *field, size_t count, size_t chosen,
                   const char *words)
{
    sw_choice *choice = choose(field, count);
    ck_assert_uint_eq(choice->chosen, chosen);
    ck_assert_msg(strstr(choice->verdict, words) != NULL, "%s",
                  choice->verdict);
    sw_choice_free(choice);
}

#define START_FIELD_TEST(name)                                                 \
    START_TEST_WITH(name, sw_field, field, open_field(field), (void)0)

START_FIELD_TEST(fewer_misses_go_before_acid_and_cost)
{
    field->assessment[0].rows[SW_K].verdict = SW_OVER;
    field->amount[1] = 1.0;
    field->assessment[1].cost_per_m3 = 9;
    expect(field, 2, 1,
           "Use town: the target is met. Compared with well, it clearly "
           "misses fewer targets (0 against 1). Against it: it takes more acid "
           "and base (10.0 meq/L against 0.0), costs more (9.00 per 1000 L "
           "against 2.00).");
}
END_TEST

START_FIELD_TEST(a_measure_that_is_missed_counts_as_a_target)
{
    sw_row measure = {.verdict = SW_SHORT};
    field->assessment[1].measures = &measure;
    field->assessment[1].measure_count = 1;
    expect(field, 2, 0, "Use well");
    expect(field, 1, 0, "Use well: the target is met.");
}
END_TEST

START_FIELD_TEST(the_chosen_may_miss_targets_and_says_so)
{
    field->assessment[0].rows[SW_K].verdict = SW_SHORT;
    expect(field, 1, 0, "Use well: 0 of 1 targets are met.");
    field->assessment[0].rows[SW_K].verdict = SW_OPEN;
    expect(field, 1, 0, "Use well: 0 of 1 targets are met, 1 not known.");
}
END_TEST

START_FIELD_TEST(harm_goes_before_deposits_and_those_before_acid)
{
    sw_saturation *calcite;
    field->limit[0].fitness = SW_UNFIT;
    field->amount[1] = 1.0;
    calcite = &field->assessment[1].mixed.saturation[SW_CALCITE];
    *calcite = (sw_saturation){.defined = true, .index = 1};
    expect(field, 2, 1, "exceeds fewer safety limits (0 against 1)");
    field->limit[0].fitness = SW_CARE;
    expect(field, 2, 0, "has fewer precipitates to expect (0 against 1)");
    calcite->index = 0.2;
    expect(field, 2, 0, "takes less acid and base (0.0 meq/L against 10.0)");
}
END_TEST

START_FIELD_TEST(what_no_crop_should_be_given_counts_as_harm)
{
    sw_note danger = {SW_DANGER, SW_ABOUT_UNASKED, "unasked",
                      "The solution holds 6 mg/L of B."};
    field->assessment[0].notes = (sw_notes){&danger, 1};
    field->assessment[1].cost_per_m3 = 9;
    expect(field, 2, 1, "exceeds fewer safety limits (0 against 1)");
    danger.severity = SW_WARNING;
    expect(field, 2, 0, "costs less");
}
END_TEST

START_FIELD_TEST(where_each_is_dangerous_none_is_to_be_used)
{
    sw_note danger = {SW_DANGER, SW_ABOUT_PH, "ph-extreme",
                      "A pH of 3.4 harms roots."};
    field->assessment[0].notes = (sw_notes){&danger, 1};
    field->assessment[1].notes = (sw_notes){&danger, 1};
    field->limit[0].fitness = SW_UNFIT;
    sw_choice *choice = choose(field, 2);
    ck_assert(!choice->usable);
    ck_assert(choice->rankings[0].dangerous && choice->rankings[1].dangerous);
    ck_assert_uint_eq(choice->chosen, 1);
    ck_assert_ptr_nonnull(strstr(choice->verdict, "The least harmful is town"));
    ck_assert_int_eq(strncmp(choice->verdict, "None may be used", 16), 0);
    ck_assert_ptr_null(strstr(choice->verdict, "Use "));
    sw_choice_free(choice);
}
END_TEST

/* Town is worse in all that is counted, and passes as many limits. */
START_FIELD_TEST(nothing_makes_up_for_a_danger)
{
    sw_note danger = {SW_DANGER, SW_ABOUT_PH, "ph-extreme",
                      "A pH of 3.4 harms roots."};
    field->assessment[0].notes = (sw_notes){&danger, 1};
    field->limit[1].fitness = SW_UNFIT;
    field->assessment[1].rows[SW_K].verdict = SW_SHORT;
    field->assessment[1].cost_per_m3 = 9;
    sw_choice *choice = choose(field, 2);
    ck_assert(choice->usable);
    ck_assert_uint_eq(choice->chosen, 1);
    ck_assert_int_eq(choice->rankings[0].out_by, SW_BY_HARM);
    ck_assert_str_eq(choice->rankings[0].reason, "not to be used as it stands");
    ck_assert_ptr_nonnull(
        strstr(choice->verdict, "Do not use well as it stands."));
    sw_choice_free(choice);
    field->assessment[0].notes = (sw_notes){0};
    field->solution[0].notes = (sw_notes){&danger, 1};
    expect(field, 2, 1, "Use town");
}
END_TEST

START_FIELD_TEST(solids_that_seldom_form_do_not_count)
{
    sw_saturation *rows = field->assessment[0].mixed.saturation;
    rows[SW_HYDROXYAPATITE] = (sw_saturation){.defined = true, .index = 5};
    rows[SW_MANGANESE_PHOSPHATE] = rows[SW_HYDROXYAPATITE];
    expect(field, 2, 0, "Between it and town no difference matters.");
}
END_TEST

START_FIELD_TEST(within_a_margin_there_is_no_difference)
{
    field->assessment[0].finished.amount[SW_K] = 96;
    field->amount[0] = 0.04;
    field->assessment[0].cost_per_m3 = 2.05;
    sw_choice *choice = choose(field, 2);
    ck_assert_uint_eq(choice->chosen, 1); /* the closest of the two */
    ck_assert_int_eq(choice->rankings[0].out_by, SW_CRITERION_COUNT);
    ck_assert_str_eq(choice->rankings[0].reason, "no difference that matters");
    ck_assert_str_eq(choice->rankings[1].reason, "");
    sw_choice_free(choice);
}
END_TEST

START_FIELD_TEST(the_distance_is_the_weighted_root_mean_square)
{
    sw_target_row rows[4];
    for (int i = 0; i < 4; i++)
        rows[i] = field->row;
    rows[1].weight = 3;
    rows[1].component = SW_CA;
    rows[2].kind = SW_TARGET_PH;
    rows[3].target = 0; /* there is no share of none */
    field->target = (sw_target){.rows = rows, .count = 4};
    field->assessment[0].finished.amount[SW_K] = 90;
    field->assessment[0].finished.amount[SW_CA] = 120;
    sw_choice *choice = choose(field, 1);
    ck_assert_double_eq_tol(choice->rankings[0].value[SW_BY_DISTANCE],
                            100 * sqrt((0.01 + 3 * 0.04) / 4), TOL_HAND_SOLVED);
    sw_choice_free(choice);
}
END_TEST

START_FIELD_TEST(a_mix_is_chosen_only_where_it_is_better)
{
    field->assessment[0].finished.amount[SW_K] = 97;
    field->assessment[1].finished.amount[SW_K] = 80;
    expect(field, 3, 0, "Compared with town, it comes closer");
    field->assessment[0].finished.amount[SW_K] = 80;
    expect(field, 3, 2, "Use mix");
}
END_TEST

START_FIELD_TEST(a_mix_of_one_water_alone_is_that_water)
{
    double shares[] = {0.001, 0.999};
    field->assessment[0].rows[SW_K].verdict = SW_OVER;
    field->candidate[1].takes_work = true;
    field->assessment[1].finished.amount[SW_K] = 99;
    field->solution[2].fractions = shares;
    field->solution[2].water_count = 2;
    expect(field, 3, 1, "no practical advantage in mix");
    shares[0] = 0.1;
    shares[1] = 0.9;
    expect(field, 3, 2, "Use mix");
}
END_TEST

START_FIELD_TEST(a_single_water_is_what_the_chosen_is_compared_with)
{
    field->candidate[0].takes_work = true;
    field->candidate[2].takes_work = false;
    field->amount[2] = 1;
    expect(field, 3, 1, "Compared with mix, it takes less acid and base");
}
END_TEST

START_FIELD_TEST(the_rival_that_stayed_longest_is_compared_with)
{
    field->candidate[2].takes_work = false;
    field->assessment[1].rows[SW_K].verdict = SW_SHORT;
    field->amount[2] = 1;
    expect(field, 3, 0, "Compared with mix, it takes less acid and base");
}
END_TEST

START_FIELD_TEST(a_water_without_a_recipe_is_out_first)
{
    field->candidate[0].assessment = NULL;
    sw_choice *choice = choose(field, 2);
    ck_assert_uint_eq(choice->chosen, 1);
    ck_assert_int_eq(choice->rankings[0].out_by, SW_BY_RECIPE);
    ck_assert_str_eq(choice->rankings[0].reason, "has no recipe");
    ck_assert(isnan(choice->rankings[0].value[SW_BY_COST]));
    ck_assert_ptr_nonnull(
        strstr(choice->verdict, "No recipe keeps the limits in well."));
    sw_choice_free(choice);
}
END_TEST

START_FIELD_TEST(without_any_recipe_nothing_is_chosen)
{
    field->candidate[0].assessment = field->candidate[1].assessment = NULL;
    expect(field, 2, 2, "None can be used");
}
END_TEST

START_FIELD_TEST(a_ph_or_ec_missed_by_less_than_can_be_told_decides_nothing)
{
    sw_row ph = {.kind = SW_TARGET_PH,
                 .finished = 5.41,
                 .low = 5.5,
                 .high = 6.2,
                 .verdict = SW_SHORT};
    sw_row ec = {.kind = SW_TARGET_EC,
                 .finished = 2.07,
                 .low = NAN,
                 .high = 2,
                 .verdict = SW_OVER};
    field->assessment[0].measures = &ph;
    field->assessment[0].measure_count = 1;
    field->assessment[1].aired.ph = 5.6;
    field->assessment[0].aired.ph = 5.6;
    field->amount[1] = 1;
    expect(field, 2, 0,
           "Use well: 1 of 2 targets are met, 1 missed by less than a meter "
           "can tell. Compared with town, it takes less acid and base");
    ph.finished = 5.39;
    expect(field, 2, 1, "clearly misses fewer targets (0 against 1)");
    field->assessment[0].measures = &ec;
    expect(field, 2, 0, "1 missed by less than a meter can tell");
    ec.finished = 2.1;
    expect(field, 2, 1, "clearly misses fewer targets (0 against 1)");
}
END_TEST

START_FIELD_TEST(the_ph_in_the_air_goes_before_the_acid)
{
    sw_row ph = {.kind = SW_TARGET_PH, .low = 5, .high = 8, .verdict = SW_MET};
    field->assessment[0].aired.ph = 7.8;
    field->assessment[1].aired.ph = 6.2;
    field->amount[1] = 1;
    sw_choice *choice = choose(field, 2);
    ck_assert_uint_eq(choice->chosen, 1);
    ck_assert_double_eq_tol(choice->rankings[0].value[SW_BY_DRIFT], 1.3,
                            TOL_HAND_SOLVED);
    ck_assert_str_eq(choice->rankings[0].reason,
                     "drifts more in pH after aeration (1.3 outside its range "
                     "against 0.0)");
    sw_choice_free(choice);
    for (int i = 0; i < 2; i++) {
        field->assessment[i].measures = &ph;
        field->assessment[i].measure_count = 1;
    }
    expect(field, 2, 0, "takes less acid and base");
    field->assessment[0].aired.ph = 4.4;
    expect(field, 2, 1,
           "drifts less in pH after aeration (0.0 outside its range against "
           "0.6)");
}
END_TEST

START_FIELD_TEST(work_that_buys_nothing_is_said_to_buy_nothing)
{
    field->candidate[1].takes_work = true;
    field->candidate[2].detail = "30 % well, 70 % town";
    expect(field, 3, 0,
           "Between it and town no difference matters. There is no practical "
           "advantage in mix (30 % well, 70 % town).");
    field->amount[0] = 1;
    field->candidate[1].takes_work = false;
    field->assessment[1].cost_per_m3 = 1;
    field->amount[1] = 2;
    expect(field, 3, 2, "Use mix (30 % well, 70 % town): the target is met");
}
END_TEST

START_FIELD_TEST(who_asks_for_the_cheapest_is_told_the_cheapest)
{
    for (int i = 0; i < MOST; i++)
        field->solution[i].objective = SW_CHEAPEST;
    field->candidate[1].water_price_per_m3 = 1;
    field->amount[0] = 1;
    field->assessment[0].finished.amount[SW_K] = 50;
    expect(field, 2, 0, "costs less (2.00 per 1000 L against 3.00)");
}
END_TEST

/* Dearer water that needs no acid and comes closer is not worth its price; on
 * both sides of what the other costs, and of the 3 % that do not matter. */
START_TEST(money_decides_among_waters_that_are_as_sound)
{
    static const struct {
        double price;
        size_t chosen;
    } rows[] = {{60, 0}, {2.05, 0}, {1.95, 1}, {1.85, 1}, {1.75, 1}, {0, 1}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_field field;
        open_field(&field);
        field.amount[0] = 0.09;
        field.assessment[0].finished.amount[SW_K] = 90;
        field.candidate[0].water_price_per_m3 = 1.9;
        field.candidate[1].water_price_per_m3 = rows[i].price;
        field.candidate[1].takes_work = true;
        sw_choice *choice = choose(&field, 2);
        ck_assert(choice->priced);
        ck_assert_uint_eq(choice->chosen, rows[i].chosen);
        ck_assert_double_eq_tol(choice->rankings[1].pays_below_per_m3, 1.9,
                                TOL_HAND_SOLVED);
        ck_assert_ptr_nonnull(
            strstr(choice->verdict, "Break-even: town pays below 1.90"));
        sw_choice_free(choice);
    }
}
END_TEST

START_TEST(money_makes_up_for_no_harm_miss_or_cloud)
{
    for (int worse = 0; worse < 4; worse++) {
        sw_field field;
        sw_note danger = {SW_DANGER, SW_ABOUT_PH, "ph-extreme",
                          "A pH of 3.4 harms roots."};
        open_field(&field);
        field.candidate[0].water_price_per_m3 = 1;
        field.candidate[1].water_price_per_m3 = 60;
        field.candidate[1].takes_work = true;
        if (worse == 0)
            field.limit[0].fitness = SW_UNFIT;
        else if (worse == 1)
            field.assessment[0].rows[SW_K].verdict = SW_SHORT;
        else if (worse == 2)
            field.assessment[0].mixed.saturation[SW_CALCITE] =
                (sw_saturation){.defined = true, .index = 1};
        else
            field.assessment[0].notes = (sw_notes){&danger, 1};
        sw_choice *choice = choose(&field, 2);
        ck_assert_uint_eq(choice->chosen, 1);
        ck_assert_double_nan(choice->rankings[1].pays_below_per_m3);
        ck_assert_ptr_null(strstr(choice->verdict, "Break-even"));
        sw_choice_free(choice);
    }
}
END_TEST

/* Without prices: 2 meq/L of acid are a reason to purify only where the target
 * does not ask for what the acid brings. */
START_TEST(acid_that_is_a_nutrient_is_no_reason_to_purify)
{
    for (int wanted = 0; wanted < 2; wanted++) {
        sw_field field;
        sw_target_row rows[2];
        open_field(&field);
        rows[0] = rows[1] = field.row;
        rows[1].component = SW_P;
        field.target = (sw_target){.rows = rows, .count = wanted ? 2 : 1};
        field.acid.per_g.amount[SW_P] = 300;
        for (int i = 0; i < 2; i++)
            field.assessment[i].finished.amount[SW_P] = 100;
        field.amount[0] = 0.2;
        field.assessment[0].cost_per_m3 = 5;
        field.candidate[1].takes_work = true;
        sw_choice *choice = choose(&field, 2);
        ck_assert(!choice->priced);
        ck_assert_uint_eq(choice->chosen, wanted ? 0 : 1);
        ck_assert_double_eq_tol(choice->rankings[0].value[SW_BY_ACID], 2,
                                TOL_HAND_SOLVED);
        ck_assert_ptr_nonnull(strstr(
            choice->verdict,
            "town pays if 1000 L of it cost less than 3.00 more than of well"));
        sw_choice_free(choice);
    }
}
END_TEST

START_FIELD_TEST(a_base_counts_as_an_acid_does)
{
    field->acid.per_g.amount[SW_ALKALINITY] = 10;
    field->amount[0] = 0.2;
    sw_choice *choice = choose(field, 2);
    ck_assert_uint_eq(choice->chosen, 1);
    ck_assert_double_eq_tol(choice->rankings[0].value[SW_BY_ACID], 2,
                            TOL_HAND_SOLVED);
    sw_choice_free(choice);
}
END_TEST

START_FIELD_TEST(a_cost_that_is_not_known_decides_nothing)
{
    field->assessment[0].cost_per_m3 = NAN;
    field->assessment[1].cost_per_m3 = 9;
    sw_choice *choice = choose(field, 2);
    ck_assert_int_eq(choice->rankings[1].out_by, SW_CRITERION_COUNT);
    sw_choice_free(choice);
}
END_TEST

START_TEST(there_must_be_something_to_choose)
{
    sw_choice *choice;
    ck_assert_int_eq(sw_choose(NULL, 0, &choice, NULL), SW_ERR_MISSING);
    ck_assert_ptr_null(choice);
    sw_choice_free(NULL);
    sw_blend_free(NULL);
    ck_assert_ptr_null(sw_criterion_text(SW_CRITERION_COUNT));
    ck_assert_str_eq(sw_criterion_text(SW_BY_ACID), "acid and base");
    ck_assert_double_nan(sw_criterion_margin(SW_CRITERION_COUNT));
    ck_assert_double_eq_tol(sw_criterion_margin(SW_BY_ACID), 0.5,
                            TOL_HAND_SOLVED);
}
END_TEST

/* At pH 5.8 citric acid has given 2.1 of its 3 charges, more among salts. */
START_FIELD_TEST(citric_acid_counts_by_its_charges_at_the_ph)
{
    field->acid.per_g.amount[SW_ALKALINITY] = 0;
    field->acid.per_g.amount[SW_CITRATE] = 1000.0 / 192.12;
    field->amount[0] = 0.19212;
    for (int i = 0; i < 2; i++) {
        field->assessment[i].mixed.ph = 5.8;
        field->assessment[i].aired.ph = 5.8;
        field->assessment[i].finished.amount[SW_CITRATE] = 1;
    }
    sw_choice *choice = choose(field, 2);
    ck_assert_uint_eq(choice->chosen, 1);
    ck_assert_double_ge(choice->rankings[0].value[SW_BY_ACID], 2.1);
    ck_assert_double_le(choice->rankings[0].value[SW_BY_ACID], 2.4);
    ck_assert_double_eq(choice->rankings[1].value[SW_BY_ACID], 0);
    sw_choice_free(choice);
}
END_TEST

/* However good it looks: its figures rest on what nobody knows. */
START_FIELD_TEST(what_cannot_be_judged_is_never_chosen)
{
    field->assessment[0].finished.amount[SW_UNKNOWN_WATER] = 1;
    expect(field, 2, 1, "report cannot be true: well.");
    field->assessment[1].finished.amount[SW_UNKNOWN_WATER] = 0.5;
    field->solution[2].outcome = SW_UNDETERMINED;
    field->candidate[2].assessment = NULL;
    expect(field, 3, 3, "None can be chosen yet. Not judged, as ");
    sw_choice *choice = choose(field, 3);
    ck_assert_int_eq(choice->usable, false);
    sw_choice_free(choice);
}
END_TEST
