/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Feed, drain and tank samples: judged as solutions, and against their feed. */
#include "suite.h"

#include "saltwright.h"

#include <math.h>
#include <string.h>

/* Invented; alkalinity not reported, as of a solution it often is. */
static const char header[] = "sample,pH,EC [mS/cm],NO3-N [mg/L],NH4-N [mg/L],"
                             "P [mg/L],K [mg/L],Ca [mg/L],Mg [mg/L],S [mg/L],"
                             "Na [mg/L],Cl [mg/L],Fe [mg/L]\n";
static const char feed_row[] =
    "feed,5.6,2.4,210,12,45,300,180,48,80,25,35,1.9\n";
static const char drain_row[] =
    "drain,6.7,3.3,230,<0.5,22,250,290,80,150,72,100,1.1\n";
/* The same drain, its nitrate as NO3 under NO3-N. */
static const char misread_row[] =
    "drain,6.7,3.3,1018,<0.5,22,250,290,80,150,72,100,1.1\n";

typedef struct samples {
    sw_waters *waters;
    sw_sampling sampling;
    sw_audit_report *report;
} samples;

static void read_rows(samples *s, const char *first, const char *second)
{
    char text[1024];
    sw_error error;
    snprintf(text, sizeof text, "%s%s%s", header, first, second);
    FILE *stream = fmemopen(text, strlen(text), "r");
    ck_assert_msg(sw_waters_read(stream, "samples", &s->waters, &error) ==
                      SW_OK,
                  "%s", error.message);
    fclose(stream);
    s->sampling = (sw_sampling){.sample = &s->waters->items[0], .drained = NAN};
    s->report = NULL;
}

static void audit(samples *s)
{
    sw_conditions conditions = sw_conditions_default();
    sw_error error;
    sw_audit_report_free(s->report);
    ck_assert_msg(sw_audit_solution(&s->sampling, &conditions, &s->report,
                                    &error) == SW_OK,
                  "%s", error.message);
    ck_assert_ptr_nonnull(s->report);
}

static void set_up(samples *s)
{
    read_rows(s, drain_row, feed_row);
    s->sampling.feed = &s->waters->items[1];
    audit(s);
}

static void tear_down(samples *s)
{
    sw_audit_report_free(s->report);
    sw_waters_free(s->waters);
}

static const sw_sample_row *row(const samples *s, const char *name)
{
    for (size_t i = 0; i < s->report->row_count; i++)
        if (!strcmp(s->report->rows[i].name, name))
            return &s->report->rows[i];
    return NULL;
}

static const sw_check_row *check(const samples *s, const char *name)
{
    for (size_t i = 0; i < s->report->check_count; i++)
        if (!strcmp(s->report->checks[i].name, name))
            return &s->report->checks[i];
    return NULL;
}

#define START_SAMPLE_TEST(name, set_up)                                        \
    START_TEST_WITH(name, samples, s, set_up, tear_down(s))

START_SAMPLE_TEST(what_the_drain_holds_more_of_is_taken_up_slower, set_up(s))
{
    ck_assert_int_eq(row(s, "Ca")->uptake, SW_SLOWER_THAN_WATER);
    ck_assert_int_eq(row(s, "P")->uptake, SW_FASTER_THAN_WATER);
    ck_assert_int_eq(row(s, "NO3-N")->uptake, SW_AS_FAST_AS_WATER);
    ck_assert_int_eq(row(s, "EC")->uptake, SW_SLOWER_THAN_WATER);
    ck_assert_int_eq(row(s, "pH")->uptake, SW_UPTAKE_OPEN);
    ck_assert_double_eq_tol(row(s, "Ca")->at_feed_ec, 290 * 2.4 / 3.3, 1e-9);
    ck_assert_int_eq(s->report->most_drained_by, SW_NA);
    ck_assert_double_eq_tol(s->report->most_drained, 25.0 / 72.0, 1e-12);
}
END_TEST

/* Of what nobody found in the feed no share is known to drain. */
START_SAMPLE_TEST(
    what_only_the_drain_holds_tells_no_share,
    read_rows(s, "drain,6.7,3.0,230,<0.5,22,250,290,80,150,72,,1.1\n",
              "feed,5.9,2.4,230,12,45,250,190,50,95,<5,,1.1\n"))
{
    s->sampling.feed = &s->waters->items[1];
    audit(s);
    ck_assert_double_gt(row(s, "Na")->ratio_low, 1.1);
    ck_assert_double_nan(s->report->most_drained);
}
END_TEST

/* The other way round the drain lacks what it had too much of. */
START_SAMPLE_TEST(what_may_have_precipitated_is_phosphate_iron_and_manganese,
                  set_up(s))
{
    s->sampling.sample = &s->waters->items[1];
    s->sampling.feed = &s->waters->items[0];
    for (int alkaline = 0; alkaline < 2; alkaline++) {
        int other = 0;
        s->waters->items[1].ph = alkaline ? 7.6 : 6.0;
        audit(s);
        for (size_t i = 0; i < s->report->row_count; i++) {
            const sw_sample_row *r = &s->report->rows[i];
            bool solid = r->component == SW_P || r->component == SW_FE ||
                         r->component == SW_MN;
            if (r->kind != SW_TARGET_COMPONENT ||
                r->uptake != SW_FASTER_THAN_WATER)
                continue;
            ck_assert_msg((strstr(r->remark, "precipitated") != NULL) ==
                              (solid && alkaline),
                          "%s: %s", r->name, r->remark);
            other += !solid;
        }
        ck_assert_int_gt(other, 0);
    }
}
END_TEST

/* From pH 6.5 on; of iron as of phosphate, and of nothing else that lacks. */
START_SAMPLE_TEST(what_lacks_may_have_precipitated_from_a_ph_on, set_up(s))
{
    ck_assert_int_eq(row(s, "Fe")->uptake, SW_FASTER_THAN_WATER);
    for (int above = 0; above < 2; above++) {
        s->waters->items[0].ph = above ? 6.5 : 6.4999;
        audit(s);
        const char *of_p = row(s, "P")->remark, *of_fe = row(s, "Fe")->remark;
        ck_assert_int_eq(strstr(of_p, "precipitat") != NULL, above);
        ck_assert_str_eq(of_fe, of_p);
        ck_assert_ptr_null(strstr(row(s, "K")->remark, "precipitat"));
        ck_assert_ptr_null(strstr(row(s, "Mg")->remark, "precipitat"));
    }
}
END_TEST

/* What is mixed is advised on, what is sampled only judged: its charges have a
 * check of their own, and its pH is what it is. */
START_SAMPLE_TEST(a_sample_is_not_advised_on_as_a_mix, set_up(s))
{
    static const char *const of_mixes[] = {"ph-drifts", "charge-balance",
                                           "no-price", "common-practice",
                                           "from-memory"};
    s->waters->items[0].alkalinity_reported = true;
    s->waters->items[0].per_l.amount[SW_ALKALINITY] = 6;
    audit(s);
    for (size_t i = 0; i < s->report->notes.count; i++)
        for (size_t k = 0; k < sizeof of_mixes / sizeof *of_mixes; k++)
            ck_assert_str_ne(s->report->notes.items[i].code, of_mixes[k]);
}
END_TEST

START_SAMPLE_TEST(what_is_below_detection_bounds_the_ratio, set_up(s))
{
    const sw_sample_row *ammonium = row(s, "NH4-N");
    ck_assert_double_eq(ammonium->ratio_low, 0.0);
    ck_assert_double_eq_tol(ammonium->ratio_high, 0.5 / 12.0, 1e-12);
    ck_assert_int_eq(ammonium->uptake, SW_FASTER_THAN_WATER);
    ck_assert_str_ne(ammonium->remark, "");
    /* the other way round nobody can tell how much more there is */
    s->sampling.sample = &s->waters->items[1];
    s->sampling.feed = &s->waters->items[0];
    audit(s);
    ck_assert_double_eq_tol(row(s, "NH4-N")->ratio_low, 24.0, 1e-9);
    ck_assert(isinf(row(s, "NH4-N")->ratio_high));
    ck_assert_int_eq(row(s, "NH4-N")->uptake, SW_SLOWER_THAN_WATER);
}
END_TEST

/* What is fed is taken up with the water, or drains. */
START_SAMPLE_TEST(uptake_with_each_litre_closes_the_balance, set_up(s))
{
    for (int percent = 5; percent <= 60; percent += 5) {
        double d = s->sampling.drained = percent / 100.0;
        audit(s);
        for (size_t i = 0; i < s->report->row_count; i++) {
            const sw_sample_row *r = &s->report->rows[i];
            if (r->kind != SW_TARGET_COMPONENT)
                continue;
            ck_assert_double_eq_tol((1 - d) * r->taken_up + d * r->found,
                                    r->fed, 1e-9 * r->fed);
            if (r->found > 0.0)
                ck_assert(!(r->uptake == SW_SLOWER_THAN_WATER &&
                            r->taken_up > r->fed) &&
                          !(r->uptake == SW_FASTER_THAN_WATER &&
                            r->taken_up < r->fed));
        }
        ck_assert_int_eq(
            row(s, "Na")->taken_up<0.0, d> s->report->most_drained);
    }
}
END_TEST

START_SAMPLE_TEST(a_share_that_cannot_drain_is_refused, set_up(s))
{
    sw_conditions conditions = sw_conditions_default();
    sw_audit_report *report;
    sw_error error;
    static const double shares[] = {1.0, -0.1};
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        s->sampling.drained = shares[i];
        ck_assert_int_eq(
            sw_audit_solution(&s->sampling, &conditions, &report, &error),
            SW_ERR_VALUE);
        ck_assert_ptr_null(report);
    }
    ck_assert_str_eq(sw_uptake_text((sw_uptake)9), "");
}
END_TEST

START_SAMPLE_TEST(a_solution_is_checked_as_one, set_up(s))
{
    ck_assert_ptr_null(check(s, "dissolved solids against EC"));
    ck_assert_ptr_null(check(s, "hardness against Ca and Mg"));
    ck_assert_int_eq(check(s, "charge balance")->finding, SW_AGREES);
    ck_assert_int_eq(check(s, "EC against the ions")->finding, SW_AGREES);
    /* sw_audit of a water that is said to be a solution is the same */
    sw_conditions conditions = sw_conditions_default();
    sw_audit_report *same;
    s->waters->items[0].is_solution = true;
    ck_assert_int_eq(
        sw_audit(&s->waters->items[0], NULL, &conditions, &same, NULL), SW_OK);
    ck_assert_uint_eq(same->check_count, s->report->check_count);
    ck_assert_double_eq(same->score, s->report->score);
    ck_assert_uint_eq(same->row_count, s->report->row_count);
    sw_audit_report_free(same);
}
END_TEST

START_TEST(without_an_ion_of_feeds_the_charge_is_not_checked)
{
    samples s;
    read_rows(&s, "drain,6.7,3.3,230,<0.5,22,250,290,80,150,72,,1.1\n", "");
    audit(&s);
    ck_assert_int_eq(check(&s, "charge balance")->finding, SW_NOT_CHECKED);
    ck_assert_ptr_nonnull(strstr(check(&s, "charge balance")->reason, "Cl"));
    tear_down(&s);
    /* sodium and chloride come together: neither is needed */
    read_rows(&s, "drain,6.7,3.0,230,<0.5,22,250,290,80,150,,,1.1\n", "");
    audit(&s);
    ck_assert_int_eq(check(&s, "charge balance")->finding, SW_AGREES);
    tear_down(&s);
}
END_TEST

START_SAMPLE_TEST(a_misread_column_of_a_solution_is_proposed,
                  read_rows(s, misread_row, ""))
{
    audit(s);
    ck_assert_int_eq(check(s, "charge balance")->finding, SW_DISAGREES);
    ck_assert_uint_ge(s->report->rereading_count, 1);
    ck_assert_str_eq(s->report->rereadings[0].read_as, "NO3-N=NO3");
}
END_TEST

/* An archive of solutions: the same in each. */
START_SAMPLE_TEST(a_misread_column_of_many_solutions_is_proposed,
                  read_rows(s, misread_row, ""))
{
    enum { MANY = 5 };
    sw_water items[MANY];
    const sw_water *all[MANY];
    sw_archive *archive;
    const sw_conditions conditions = sw_conditions_default();
    for (int i = 0; i < MANY; i++) {
        items[i] = s->waters->items[0];
        items[i].is_solution = true;
        all[i] = &items[i];
    }
    ck_assert_int_eq(sw_audit_many(all, MANY, &conditions, &archive, NULL),
                     SW_OK);
    ck_assert_uint_eq(archive->checked, MANY);
    ck_assert_uint_eq(archive->balanced, 0);
    ck_assert_uint_ge(archive->rereading_count, 1);
    ck_assert_str_eq(archive->rereadings[0].read_as, "NO3-N=NO3");
    ck_assert_uint_eq(archive->rereadings[0].balanced_read, MANY);
    sw_archive_free(archive);
}
END_TEST

START_SAMPLE_TEST(a_target_judges_what_was_measured, set_up(s))
{
    sw_target *target;
    const char *text = "parameter,target,min,max\nEC,2.4,,\npH,5.8,,\n"
                       "Ca,180,,\nNH4-N,,0.1,\nK:Ca,1.6,,\nMo,0.05,,\n";
    FILE *stream = fmemopen((void *)text, strlen(text), "r");
    ck_assert_int_eq(sw_target_read(stream, "target", &target, NULL), SW_OK);
    fclose(stream);
    s->sampling.target = target;
    audit(s);
    ck_assert_int_eq(row(s, "EC")->verdict, SW_OVER);
    ck_assert_int_eq(row(s, "pH")->verdict, SW_OVER);
    ck_assert_int_eq(row(s, "Ca")->verdict, SW_OVER);
    ck_assert_int_eq(row(s, "NH4-N")->verdict, SW_OPEN);
    ck_assert_int_eq(row(s, "K:Ca")->verdict, SW_SHORT);
    ck_assert_int_eq(row(s, "Mo")->verdict, SW_VERDICT_NONE);
    /* without an analysis of the feed the target is what was fed */
    s->sampling.feed = NULL;
    ck_assert(isnan(row(s, "Mo")->found));
    s->sampling.drained = 0.3;
    audit(s);
    ck_assert_double_eq(row(s, "Ca")->fed, 180);
    ck_assert_double_eq(row(s, "Ca")->fed_most, 180);
    sw_target_free(target);
}
END_TEST
