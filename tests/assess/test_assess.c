/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole assessments of recipes made from formulas.  Published figures: the
 * cucumber feed of Sonneveld & Straver 1994 and solution 1 of Hoagland & Arnon
 * 1950 (California Agric. Exp. Stn. Circular 347); values from memory.
 */
#include "feed.h"
#include "tolerances.h"

#include "chemistry/conductivity.h"

/* NH4 1.25, K 8, Ca 4, Mg 1.375, NO3 16, SO4 1.375, H2PO4 1.25 mmol/L. */
static void cucumber(bench *b)
{
    set_up(b);
    add(b, "KH2PO4", 170.1);
    add(b, "Ca(NO3)2.4H2O", 944.6);
    add(b, "MgSO4.7H2O", 338.9);
    add(b, "NH4NO3", 100.1);
    add(b, "KNO3", 682.4);
    aim_at(b, SW_N, 241.6);
    aim_at(b, SW_NO3_N, 224.1);
    aim_at(b, SW_NH4_N, 17.5);
    aim_at(b, SW_P, 38.7);
    aim_at(b, SW_K, 312.8);
    aim_at(b, SW_CA, 160.3);
    aim_at(b, SW_MG, 33.4);
    aim_at(b, SW_S, 44.1);
}

#define START_BENCH_TEST(name, set_up)                                         \
    START_TEST_WITH(name, bench, b, set_up, (void)0)

START_BENCH_TEST(the_published_cucumber_feed_is_met_in_every_component,
                 cucumber(b))
{
    sw_assessment *a = assess(b);
    ck_assert(a->all_met);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (!isnan(a->rows[i].target_mg_per_l))
            ck_assert_double_le(fabs(a->rows[i].residual_mg_per_l),
                                TOL_PUBLISHED_PPM * a->rows[i].target_mg_per_l);
    ck_assert_double_eq_tol(a->mixed.cations_meq_per_l, 20, 0.02);
    ck_assert_double_eq_tol(a->mixed.anions_meq_per_l, 20, 0.02);
    sw_assessment_free(a);
}
END_TEST

/* N 210, K 235, Ca 200, P 31, S 64, Mg 48.6. */
START_BENCH_TEST(hoagland_and_arnon_solution_1_has_its_quoted_ppm, set_up(b))
{
    add(b, "KH2PO4", 136.08);
    add(b, "KNO3", 505.5);
    add(b, "Ca(NO3)2.4H2O", 1180.7);
    add(b, "MgSO4.7H2O", 492.9);
    sw_assessment *a = assess(b);
    const sw_component components[] = {SW_N, SW_K, SW_CA, SW_P, SW_S, SW_MG};
    const double quoted[] = {210, 235, 200, 31, 64, 48.6};
    for (int i = 0; i < 6; i++)
        ck_assert_double_eq_tol(a->rows[components[i]].finished_mg_per_l,
                                quoted[i], TOL_QUOTED_PPM * quoted[i]);
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(finished_is_water_plus_what_is_added, cucumber(b))
{
    b->water.amount[SW_CA] = 50;
    b->water.amount[SW_ALKALINITY] = 2.5;
    b->water.amount[SW_CARBON] = 2.7;
    sw_assessment *a = assess(b);
    const sw_component_row *ca = &a->rows[SW_CA];
    ck_assert_double_eq(ca->water_mg_per_l, 50);
    ck_assert_double_eq_tol(ca->added_mg_per_l, 160.3, 0.3);
    ck_assert_double_eq_tol(ca->finished_mg_per_l,
                            ca->water_mg_per_l + ca->added_mg_per_l, 1e-9);
    ck_assert_int_eq(ca->verdict, SW_OVER);
    ck_assert_str_eq(ca->reason, "");
    ck_assert(!a->all_met);
    ck_assert_double_eq_tol(a->mixed.alkalinity_meq_per_l, 2.5, 1e-6);
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(where_the_water_alone_decides_it_the_reason_says_so,
                 cucumber(b))
{
    b->water.amount[SW_CA] = 212.3;
    sw_assessment *a = assess(b);
    ck_assert_int_eq(a->rows[SW_CA].verdict, SW_OVER);
    ck_assert_str_eq(a->rows[SW_CA].reason, "water alone brings 212 mg/L");
    sw_assessment_free(a);
}
END_TEST

/* A solution that is kept brings what it holds, as far as any of it is. */
START_TEST(where_what_is_kept_decides_it_the_reason_says_so)
{
    static const struct {
        double solution, water; /* shares */
        bool kept;
    } rows[] = {{1, 0, true}, {0.3, 0.7, true}, {0, 1, false}};
    for (size_t i = 0; i < 2 * sizeof rows / sizeof *rows; i++) {
        bench b;
        cucumber(&b);
        b.water.amount[SW_CA] = 212.3;
        char name[] = "tank";
        bool first = i % 2 == 0;
        const sw_water tank = {
            .sample = name, .is_solution = true, .ph = 6, .ec_ms_per_cm = NAN};
        const sw_water well = {.sample = name, .ph = 7, .ec_ms_per_cm = NAN};
        sw_mix mix = mix_of(&b);
        mix.reports =
            (const sw_water *[]){first ? &tank : &well, first ? &well : &tank};
        mix.shares =
            (double[]){first ? rows[i / 2].solution : rows[i / 2].water,
                       first ? rows[i / 2].water : rows[i / 2].solution};
        mix.report_count = 2;
        sw_assessment *a;
        ck_assert_int_eq(sw_assess(&mix, &a, NULL), SW_OK);
        ck_assert_str_eq(a->rows[SW_CA].reason,
                         rows[i / 2].kept
                             ? "what is kept and the water bring 212 mg/L"
                             : "water alone brings 212 mg/L");
        sw_assessment_free(a);
    }
}
END_TEST

START_BENCH_TEST(what_no_product_brings_is_short_with_the_reason, cucumber(b))
{
    aim_at(b, SW_MO, 0.05);
    sw_assessment *a = assess(b);
    ck_assert_int_eq(a->rows[SW_MO].verdict, SW_SHORT);
    ck_assert_str_eq(a->rows[SW_MO].reason,
                     "no product in the recipe brings Mo");
    sw_assessment_free(a);
}
END_TEST

/* Sodium with a max alone, of two waters of which one half each is in it. */
START_TEST(a_max_is_met_as_far_as_the_waters_say)
{
    static const struct {
        double na; /* mg/L in what the two make */
        bool reported[2];
        double below; /* the limit of detection of the second */
        const char *reason;
    } rows[] = {
        {0, {false, false}, 0, "not reported of the water, and taken as 0"},
        {0.5, {true, false}, 0, "not reported of part of the water, and"},
        {0.5, {true, true}, 0, NULL},
        {0.5, {true, true}, 38, NULL},
        {0.5,
         {true, true},
         42,
         "the water may bring up to 21.0 mg/L more, bel"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bench b;
        cucumber(&b);
        b.water.amount[SW_NA] = rows[i].na;
        sw_target_row *row = aim(&b, SW_TARGET_COMPONENT, NAN);
        row->component = SW_NA;
        row->max = 20;
        sw_reading limit = {.kind = SW_READS_COMPONENT,
                            .component = SW_NA,
                            .below_detection = true,
                            .amount = rows[i].below};
        sw_water waters[2] = {{.ph = 7}, {.ph = 7}};
        for (int k = 0; k < 2; k++)
            for (int c = 0; c < SW_COMPONENT_COUNT; c++)
                waters[k].reported[c] = c != SW_NA || rows[i].reported[k];
        if (rows[i].below > 0.0) {
            waters[1].readings = &limit;
            waters[1].reading_count = 1;
            waters[1].below_detection[SW_NA] = true;
        }
        sw_mix mix = mix_of(&b);
        mix.reports = (const sw_water *[]){&waters[0], &waters[1]};
        mix.shares = (double[]){0.5, 0.5};
        mix.report_count = 2;
        sw_assessment *a;
        ck_assert_int_eq(sw_assess(&mix, &a, NULL), SW_OK);
        ck_assert_int_eq(a->rows[SW_NA].verdict, SW_MET);
        const char *reason = a->rows[SW_NA].reason;
        ck_assert_msg(rows[i].reason ? strstr(reason, rows[i].reason) == reason
                                     : !*reason,
                      "%zu: %s", i, reason);
        sw_assessment_free(a);
    }
}
END_TEST

/* As mixed where nobody knows the CO2, nor aired without the alkalinity. */
START_TEST(of_a_ph_nobody_knows_no_solid_is_said_to_form)
{
    for (int unknown = 0; unknown < 3; unknown++) {
        bench b;
        cucumber(&b);
        b.water.amount[SW_UNKNOWN_CO2] = unknown == 1;
        b.water.amount[SW_UNKNOWN_WATER] = unknown == 2;
        sw_assessment *a = assess(&b);
        ck_assert_int_eq(isnan(a->mixed.ph), unknown > 0);
        ck_assert_int_eq(isnan(a->aired.ph), unknown == 2);
        size_t mixed = 0, aired = 0;
        for (int i = 0; i < SW_SOLID_COUNT; i++) {
            mixed += a->mixed.saturation[i].defined;
            aired += a->aired.saturation[i].defined;
        }
        ck_assert_int_eq(mixed > 0, unknown == 0);
        ck_assert_int_eq(aired > 0, unknown < 2);
        sw_assessment_free(a);
    }
}
END_TEST

/* A pH aired lacks no CO2, as long as none as mixed is asked for beside it. */
START_TEST(an_unknown_co2_is_told_unless_the_ph_aired_alone_is_asked_for)
{
    for (int aims = 0; aims < 4; aims++) {
        bench b;
        cucumber(&b);
        b.water.amount[SW_UNKNOWN_CO2] = 1;
        if (aims & 1)
            aim(&b, SW_TARGET_PH, 6);
        if (aims & 2)
            aim(&b, SW_TARGET_PH, 6.5)->aired = true;
        sw_assessment *a = assess(&b);
        ck_assert_int_eq(note(a, "ph-unknown") != NULL, aims != 2);
        sw_assessment_free(a);
    }
}
END_TEST

/* Said from a twentieth of what counts on. */
START_TEST(iron_that_does_not_count_is_said_where_it_is_much)
{
    for (int much = 0; much < 2; much++) {
        bench b;
        cucumber(&b);
        add(&b, "FeSO4.7H2O", 10); /* 2.01 mg/L Fe */
        b.water.amount[SW_WATER_FE] = much ? 0.11 : 0.09;
        aim_at(&b, SW_FE, 2);
        sw_assessment *a = assess(&b);
        ck_assert_str_eq(a->rows[SW_FE].reason,
                         much ? "0.110 mg/L of it is the water's own and does "
                                "not count"
                              : "");
        sw_assessment_free(a);
    }
}
END_TEST

START_BENCH_TEST(a_component_without_a_target_has_no_verdict, cucumber(b))
{
    sw_assessment *a = assess(b);
    ck_assert_int_eq(a->rows[SW_NA].verdict, SW_VERDICT_NONE);
    ck_assert_double_nan(a->rows[SW_NA].target_mg_per_l);
    ck_assert_double_nan(a->rows[SW_NA].residual_mg_per_l);
    ck_assert(a->all_met);
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(ratios_ph_and_ec_are_measured_and_judged, cucumber(b))
{
    sw_target_row *ratio = aim(b, SW_TARGET_RATIO, NAN);
    ratio->component = SW_NH4_N;
    ratio->other = SW_N;
    ratio->max = 0.05;
    aim(b, SW_TARGET_EC, 2.2);
    aim(b, SW_TARGET_PH, 7.5);
    aim(b, SW_TARGET_PH, 7.5)->aired = true;
    sw_assessment *a = assess(b);
    ck_assert_uint_eq(a->measure_count, 4);
    ck_assert_double_eq(a->measures[3].finished, a->aired.ph);
    ck_assert_double_gt(fabs(a->aired.ph - a->mixed.ph), 0.001);
    ck_assert_double_eq_tol(a->measures[0].finished, 17.5 / 241.6, 1e-4);
    ck_assert_int_eq(a->measures[0].verdict, SW_OVER);
    ck_assert_double_eq(a->measures[1].finished, a->mixed.ec_ms_per_cm);
    ck_assert_int_eq(a->measures[1].verdict, SW_MET);
    ck_assert_double_eq(a->measures[2].finished, a->mixed.ph);
    ck_assert_int_eq(a->measures[2].verdict, SW_SHORT);
    ck_assert(!a->all_met);
    sw_assessment_free(a);
}
END_TEST

/* That none of it is too much needs no word; that there is none does. */
START_TEST(a_ratio_of_nothing_to_nothing_is_open_where_one_is_asked_for)
{
    for (int asked = 0; asked < 2; asked++) {
        bench b;
        cucumber(&b);
        sw_target_row *ratio = aim(&b, SW_TARGET_RATIO, asked ? 1 : NAN);
        ratio->component = SW_NA;
        ratio->other = SW_CL;
        ratio->max = 2;
        sw_assessment *a = assess(&b);
        ck_assert_double_nan(a->measures[0].finished);
        ck_assert_int_eq(a->measures[0].verdict,
                         asked ? SW_OPEN : SW_VERDICT_NONE);
        ck_assert_int_eq(a->all_met, !asked);
        ck_assert_int_eq(note(a, "ratio-of-nothing") != NULL, asked);
        sw_assessment_free(a);
    }
}
END_TEST

/* Both routes speciate; the aired one must sit at the air's CO2. */
START_BENCH_TEST(a_hard_water_rises_in_ph_when_it_meets_the_air, set_up(b))
{
    b->water.amount[SW_CA] = 80;
    b->water.amount[SW_ALKALINITY] = 4;
    b->water.amount[SW_CARBON] = 4.8;
    sw_assessment *a = assess(b);
    ck_assert_double_gt(a->aired.ph, a->mixed.ph + 0.3);
    ck_assert_double_lt(a->aired.carbon_mmol_per_l, a->mixed.carbon_mmol_per_l);
    ck_assert_ptr_nonnull(note(a, "ph-drifts"));
    ck_assert_ptr_nonnull(note(a, "may-precipitate")); /* calcite */
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(cost_per_cubic_metre_sums_what_is_used, cucumber(b))
{
    for (size_t i = 0; i < b->shelf.count; i++)
        b->products[i].price_per_kg = 2.0;
    add(b, "KCl", 0)->price_per_kg = NAN;
    sw_assessment *a = assess(b);
    ck_assert_double_eq_tol(a->cost_per_m3,
                            2.0 * (0.1701 + 0.9446 + 0.3389 + 0.1001 + 0.6824),
                            1e-9);
    ck_assert_ptr_null(note(a, "no-price"));
    sw_assessment_free(a);
    b->products[4].price_per_kg = NAN;
    a = assess(b);
    ck_assert_double_nan(a->cost_per_m3);
    ck_assert_ptr_nonnull(note(a, "no-price"));
    sw_assessment_free(a);
    for (size_t i = 0; i < b->shelf.count; i++)
        b->products[i].price_per_kg = NAN;
    a = assess(b);
    ck_assert_ptr_null(note(a, "no-price")); /* nobody asks what it costs */
    sw_assessment_free(a);
}
END_TEST

static void chelated_iron(bench *b, sw_chelator chelator)
{
    sw_product *iron = &b->products[b->shelf.count];
    iron->name = "iron";
    iron->price_per_kg = NAN;
    iron->per_g.amount[SW_FE] = iron->per_g.amount[SW_CHELATED_FE] = 60;
    iron->chelator = chelator;
    b->g_per_l[b->shelf.count] = 0.05;
    b->recipe.count = ++b->shelf.count;
}

START_TEST(a_chelate_out_of_its_ph_is_warned_about)
{
    bench b;
    const sw_chelator chelators[] = {SW_EDTA, SW_DTPA, SW_EDDHA};
    const bool weak[] = {true, true, false};
    for (int i = 0; i < 3; i++) {
        set_up(&b);
        b.water.amount[SW_ALKALINITY] = 3;
        b.water.amount[SW_NA] = 69;
        b.water.amount[SW_CARBON] = 3.1; /* pH about 8 */
        chelated_iron(&b, chelators[i]);
        sw_assessment *a = assess(&b);
        ck_assert_int_eq(note(a, "chelate-weak") != NULL, weak[i]);
        sw_assessment_free(a);
    }
}
END_TEST

/* reference/chelates.csv: of iron in EDTA 6.0, 6.5 at most, of manganese 8.0.
 */
START_TEST(a_chelate_may_have_a_second_limit_of_its_ph)
{
    for (int two = 0; two < 2; two++) {
        bench b;
        set_up(&b);
        b.water.amount[SW_ALKALINITY] = 3;
        b.water.amount[SW_NA] = 69;
        b.water.amount[SW_CARBON] = 2.7; /* pH about 9 */
        chelated_iron(&b, SW_EDTA);
        double *amount = b.products[b.shelf.count - 1].per_g.amount;
        if (!two) {
            amount[SW_FE] = amount[SW_CHELATED_FE] = 0;
            amount[SW_MN] = amount[SW_CHELATED_MN] = 60;
        }
        sw_assessment *a = assess(&b);
        const char *text = note(a, "chelate-weak")->text;
        ck_assert_ptr_nonnull(strstr(text, two ? "6.0" : "8.0"));
        ck_assert_int_eq(strstr(text, "at most") != NULL, two);
        sw_assessment_free(a);
    }
}
END_TEST

START_BENCH_TEST(acid_takes_a_chelate_apart, set_up(b))
{
    add(b, "HNO3", 100);
    chelated_iron(b, SW_EDTA);
    sw_assessment *a = assess(b);
    ck_assert_double_lt(a->mixed.ph, 4);
    ck_assert_ptr_nonnull(strstr(note(a, "chelate-weak")->text, "comes loose"));
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(a_chelate_that_fails_only_in_air_is_told_without_alarm,
                 set_up(b))
{
    b->water.amount[SW_NA] = 23;
    b->water.amount[SW_ALKALINITY] = 1;
    b->water.amount[SW_CARBON] = 5; /* pH about 5.7, in air above 8 */
    chelated_iron(b, SW_EDTA);
    sw_assessment *a = assess(b);
    ck_assert_double_lt(a->mixed.ph, 6);
    ck_assert_int_eq(note(a, "chelate-weak")->severity, SW_INFO);
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(iron_without_a_chelator_is_warned_about, cucumber(b))
{
    add(b, "FeSO4.7H2O", 10);
    b->water.amount[SW_ALKALINITY] = 2;
    b->water.amount[SW_NA] = 46;
    b->water.amount[SW_CARBON] = 2.2;
    sw_assessment *a = assess(b);
    ck_assert_ptr_nonnull(note(a, "iron-unchelated"));
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(calcium_with_phosphate_at_high_ph_clouds, cucumber(b))
{
    b->water.amount[SW_ALKALINITY] = 5;
    b->water.amount[SW_NA] = 115;
    b->water.amount[SW_CARBON] = 5.2;
    sw_assessment *a = assess(b);
    const sw_note *clouds = note(a, "calcium-phosphate");
    ck_assert_ptr_nonnull(clouds);
    ck_assert_int_eq(clouds->severity, SW_WARNING);
    ck_assert_ptr_nonnull(strstr(clouds->text, "clear below pH"));
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(urea_and_much_ammonium_are_told, set_up(b))
{
    add(b, "CO(NH2)2", 100);
    add(b, "NH4NO3", 100);
    sw_assessment *a = assess(b);
    /* 46.6 of 81.6 mg/L of N, and 17.5 more of ammonium */
    ck_assert_ptr_nonnull(strstr(note(a, "urea")->text, "57 %"));
    ck_assert_ptr_nonnull(strstr(note(a, "ammonium-high")->text, "79 %"));
    sw_assessment_free(a);
    cucumber(b);
    a = assess(b);
    ck_assert_ptr_null(note(a, "urea"));
    ck_assert_ptr_null(note(a, "ammonium-high"));
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(sodium_and_chloride_are_held_against_published_limits,
                 set_up(b))
{
    add(b, "NaCl", 800); /* Na 315, Cl 485 mg/L */
    add(b, "Ca(NO3)2.4H2O", 200);
    sw_assessment *a = assess(b);
    const sw_note *salt = note(a, "sodium-chloride");
    ck_assert_ptr_nonnull(salt);
    ck_assert_ptr_nonnull(strstr(salt->text, "FAO 29"));
    ck_assert_uint_gt(a->guideline_count, 2);
    sw_assessment_free(a);
}
END_TEST

START_TEST(a_target_that_has_a_ph_is_not_told_to_ask_for_one)
{
    for (int asked = 0; asked < 2; asked++) {
        bench b;
        set_up(&b);
        add(&b, "HNO3", 100);
        if (asked)
            aim(&b, SW_TARGET_PH, 5.8);
        sw_assessment *a = assess(&b);
        const sw_note *said = note(a, "ph-extreme");
        ck_assert_ptr_nonnull(said);
        ck_assert_int_eq(strstr(said->text, "Ask for a pH") != NULL, !asked);
        sw_assessment_free(a);
    }
}
END_TEST

START_BENCH_TEST(charge_that_does_not_balance_is_told, cucumber(b))
{
    b->water.amount[SW_NA] = 200;
    sw_assessment *a = assess(b);
    ck_assert_ptr_nonnull(note(a, "charge-balance"));
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(a_sound_feed_without_water_needs_few_words, cucumber(b))
{
    sw_assessment *a = assess(b);
    for (size_t i = 0; i < a->notes.count; i++)
        ck_assert_msg(a->notes.items[i].severity == SW_INFO, "%s",
                      a->notes.items[i].text);
    sw_assessment_free(a);
}
END_TEST

START_BENCH_TEST(a_recipe_of_another_shelf_is_refused, cucumber(b))
{
    sw_mix mix = mix_of(b);
    sw_assessment *a = (sw_assessment *)b;
    sw_error error;
    b->recipe.count--;
    ck_assert_int_eq(sw_assess(&mix, &a, &error), SW_ERR_VALUE);
    ck_assert_ptr_null(a);
    ck_assert_ptr_nonnull(strstr(error.message, "4 amounts"));
}
END_TEST

START_BENCH_TEST(chemistry_that_fails_fails_the_assessment, cucumber(b))
{
    sw_mix mix = mix_of(b);
    sw_assessment *a;
    mix.conditions.temperature_c = NAN;
    ck_assert_int_ne(sw_assess(&mix, &a, NULL), SW_OK);
    ck_assert_ptr_null(a);
    sw_assessment_free(NULL);
}
END_TEST

/* The doubt about an EC is of the water's ions and of what is weighed, each by
 * its share. */
START_TEST(an_ec_is_as_doubtful_as_what_its_ions_come_from)
{
    for (int quarters = 0; quarters <= 4; quarters++) {
        bench b;
        double share = quarters / 4.0, low, high;
        set_up(&b);
        b.water.amount[SW_K] = 10 * 39.098 * share;
        b.water.amount[SW_CL] = 10 * 35.453 * share;
        add(&b, "KCl", 10 * 74.551 * (1 - share));
        sw_assessment *a = assess(&b);
        sw_conductivity_interval(a->mixed.ec_ms_per_cm, share, 0.02, &low,
                                 &high);
        ck_assert_double_eq_tol(a->mixed.ec_low_ms_per_cm, low, 1e-5);
        ck_assert_double_eq_tol(a->mixed.ec_high_ms_per_cm, high, 1e-5);
        sw_assessment_free(a);
    }
}
END_TEST
