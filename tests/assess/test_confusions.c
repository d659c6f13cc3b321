/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Does the audit find the mistake in a lab report, and none where there is
 * none?  Real analyses (sources in real_waters.csv) and invented ones, each
 * with one confusion that stops it agreeing with itself.  Prints its figures.
 */
#include "suite.h"
#include "tolerances.h"

#include "assess/rereadings.h"
#include "lab_reports.h"

#include <string.h>

enum { CASES = 500, TRIES = 400 };

static sw_audit_report *audit(const sw_water *water)
{
    sw_conditions conditions = sw_conditions_default();
    sw_audit_report *report;
    sw_error error;
    ck_assert_msg(sw_audit(water, NULL, &conditions, &report, &error) == SW_OK,
                  "%s", error.message);
    return report;
}

/* Does a check disagree in `report` that did not in the truth? */
static bool shows(const sw_audit_report *report, const sw_audit_report *truth)
{
    for (size_t i = 0; i < report->check_count; i++)
        if (report->checks[i].finding == SW_DISAGREES &&
            truth->checks[i].finding != SW_DISAGREES)
            return true;
    return false;
}

/* From this share on a misreading is told before a recipe. */
static const double told_share = 0.9;

typedef struct tally {
    int cases, first, listed, silent;
    int sure;    /* of first: with a share that is told before a recipe */
    int small;   /* too small a confusion to show in any check */
    int refused; /* by the reader */
    int sound;   /* reports as meant, audited beside */
    int accused; /* of those */
} tally;

/* Rank of the true re-reading, from 0; -1 when it is not listed. */
static int rank_of_truth(const sw_audit_report *report, const sw_water *misread,
                         const sw_water *truth)
{
    for (size_t i = 0; i < report->rereading_count; i++) {
        sw_water *reread;
        ck_assert_int_eq(sw_water_reread(misread, report->rereadings[i].read_as,
                                         &reread, NULL),
                         SW_OK);
        bool found = is_same_water(reread, truth);
        sw_water_free(reread);
        if (found)
            return (int)i;
    }
    return -1;
}

static void judge(const sw_audit_report *report, const sw_water *misread,
                  const sw_water *truth, const char *kind, tally *t)
{
    int rank = rank_of_truth(report, misread, truth);
    t->cases++;
    t->first += rank == 0;
    t->sure += rank == 0 && report->rereadings[0].share >= told_share;
    t->listed += rank >= 0;
    t->silent += report->rereading_count == 0;
    if (rank != 0 && getenv("SW_VERBOSE"))
        printf("  %s: %s, rank %d, score as given %.1f\n", kind,
               report->rereading_count ? report->rereadings[0].read_as
                                       : "nothing said",
               rank, report->score);
}

/* true: this was a case, and is counted. */
static bool try_case(const lab_report *truth, gsl_rng *rng, tally *t)
{
    lab_report misread = *truth;
    char kind[64];
    if (!misread_report(&misread, rng, kind))
        return false;
    sw_waters *as_meant = read_report(truth);
    sw_waters *as_misread = read_report(&misread);
    ck_assert_ptr_nonnull(as_meant);
    sw_audit_report *sound = audit(&as_meant->items[0]);
    sw_audit_report *report = as_misread ? audit(&as_misread->items[0]) : NULL;
    bool is_case = report && shows(report, sound);
    t->refused += !as_misread;
    t->sound++;
    t->accused += sound->rereading_count > 0;
    t->small += report && !is_case;
    if (is_case)
        judge(report, &as_misread->items[0], &as_meant->items[0], kind, t);
    sw_audit_report_free(sound);
    sw_audit_report_free(report);
    sw_waters_free(as_misread);
    sw_waters_free(as_meant);
    return is_case;
}

static void print_tally(const char *what, const tally *t)
{
    printf("%s: %d cases, true re-reading first in %d (%.1f %%), in %d with a "
           "share of 90 %%, listed in "
           "%d, nothing said in %d; besides: %d confusions too small to show, "
           "%d refused by the reader; %d of %d reports as meant accused\n",
           what, t->cases, t->first, 100.0 * t->first / t->cases, t->sure,
           t->listed, t->silent, t->small, t->refused, t->accused, t->sound);
}

START_TEST(the_true_rereading_comes_first_in_nine_of_ten)
{
    sw_waters *real = read_real_waters();
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    tally on_real = {0}, invented = {0};
    int cases = sw_cases(CASES);
    gsl_rng_set(rng, 20260101);
    for (size_t i = 0; i < real->count; i += (size_t)(CASES / cases)) {
        bool done = false;
        for (int k = 0; k < TRIES && !done; k++) {
            lab_report report = write_report(&real->items[i], rng);
            done = try_case(&report, rng, &on_real);
        }
    }
    while (on_real.cases + invented.cases < cases) {
        lab_report report = invent_report(real, rng);
        (void)try_case(&report, rng, &invented);
    }
    print_tally("real analyses", &on_real);
    print_tally("invented analyses", &invented);
    ck_assert_int_ge(
        on_real.first + invented.first,
        (int)(RATE_TRUTH_FIRST * (on_real.cases + invented.cases)));
    ck_assert_int_le(on_real.accused + invented.accused,
                     (int)(RATE_ACCUSED * (on_real.sound + invented.sound)));
    gsl_rng_free(rng);
    sw_waters_free(real);
}
END_TEST

/* ---- Slips of the pen ---------------------------------------------------- */

/* A digit of a figure is lost, doubled, exchanged with the next or another. */
static double mistype(double value, gsl_rng *rng)
{
    char text[32];
    snprintf(text, sizeof text, "%.3g", value);
    size_t at = gsl_rng_uniform_int(rng, strlen(text)), how = 0;
    char *c = &text[at], was = *c;
    if (was < '0' || was > '9' || strchr(text, 'e'))
        return value;
    how = gsl_rng_uniform_int(rng, 4);
    if (how == 0)
        memmove(c, c + 1, strlen(c));
    else if (how == 1)
        memmove(c + 1, c, strlen(c) + 1);
    else if (how == 2 && c[1] >= '0' && c[1] <= '9')
        c[0] = c[1], c[1] = was;
    else
        *c = (char)('0' + gsl_rng_uniform_int(rng, 10));
    return atof(text);
}

/* Whether it shows in a check; then it is counted. */
static bool try_slip(const lab_report *truth, gsl_rng *rng, tally *t)
{
    lab_report slip = *truth;
    report_line *line =
        &slip.lines[gsl_rng_uniform_int(rng, (size_t)slip.count)];
    line->value = mistype(line->value, rng);
    sw_waters *as_meant = read_report(truth);
    sw_waters *as_typed = read_report(&slip);
    sw_audit_report *sound = audit(&as_meant->items[0]);
    sw_audit_report *report = as_typed ? audit(&as_typed->items[0]) : NULL;
    bool is_case = report && shows(report, sound);
    bool told = is_case && report->rereading_count &&
                report->rereadings[0].share >= told_share;
    t->cases += is_case;
    t->listed += is_case && report->rereading_count > 0;
    t->accused += told;
    if (told && getenv("SW_VERBOSE"))
        printf("  %s %g %s: %s, %.0f %%\n", line->parameter, line->value,
               line->unit, report->rereadings[0].read_as,
               100.0 * report->rereadings[0].share);
    sw_audit_report_free(sound);
    sw_audit_report_free(report);
    sw_waters_free(as_typed);
    sw_waters_free(as_meant);
    return is_case;
}

START_TEST(a_slip_of_the_pen_is_seldom_called_a_misreading)
{
    sw_waters *real = read_real_waters();
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    tally t = {0};
    gsl_rng_set(rng, 20260102);
    for (int cases = sw_cases(CASES); t.cases < cases;) {
        lab_report report = invent_report(real, rng);
        (void)try_slip(&report, rng, &t);
    }
    printf("%d slips that show: a re-reading proposed in %d, with a share of "
           "90 %% in %d (%.1f %%)\n",
           t.cases, t.listed, t.accused, 100.0 * t.accused / t.cases);
    fflush(stdout);
    ck_assert_int_le(t.accused, (int)(RATE_SLIP_ACCUSED * t.cases));
    gsl_rng_free(rng);
    sw_waters_free(real);
}
END_TEST

START_TEST(no_real_analysis_that_balances_is_accused)
{
    sw_waters *real = read_real_waters();
    int balance = 0, accused = 0, accused_others = 0;
    for (size_t i = 0; i < real->count; i++) {
        sw_audit_report *report = audit(&real->items[i]);
        bool balances = report->checks[SW_CHECK_CHARGE].finding == SW_AGREES;
        balance += balances;
        if (report->rereading_count > 0) {
            accused += balances;
            accused_others += !balances;
        }
        sw_audit_report_free(report);
    }
    printf("%zu real analyses, %d balance by 1030 E: %d of them accused; of "
           "the others: %d\n",
           real->count, balance, accused, accused_others);
    ck_assert_int_eq(accused, 0);
    ck_assert_int_eq(accused_others, 0);
    sw_waters_free(real);
}
END_TEST
