/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Is a column that is misread in a whole archive found, and none where there is
 * none?  Invented archives of one laboratory each: one style of names and
 * units, an error of its own in each column (3 %), errors of each analysis, and
 * a slip of the pen in one sample of twenty.  Prints its figures; more of them:
 * SW_ARCHIVES=400, with SW_VERBOSE=1 by kind.
 */
#include "suite.h"
#include "tolerances.h"

#include "lab_reports.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

enum { ARCHIVES = 8, SAMPLES = 40, MOST_KINDS = 64 };

static const double column_error = 0.03;
static const double slips = 0.05;

typedef struct archive {
    lab_report meant[SAMPLES]; /* as the laboratory means it */
    sw_waters *files[SAMPLES];
    const sw_water *waters[SAMPLES];
    sw_archive *audit;
} archive;

typedef struct kind_tally {
    char kind[64];
    int tried, shown, first;
} kind_tally;

typedef struct tally {
    int archives, accused;     /* as meant; of those with a proposal */
    int misread, shown, first; /* shown: one sample in twenty disagrees anew */
    int wrong, refused;        /* proposals that are not the truth */
    kind_tally kinds[MOST_KINDS];
} tally;

static int archives_asked_for(void)
{
    const char *asked = getenv("SW_ARCHIVES");
    return asked ? atoi(asked) : sw_cases(ARCHIVES);
}

/* Each column off by its own, the same in every sample. */
static void add_errors(lab_report *report, const gsl_rng *style, gsl_rng *rng)
{
    gsl_rng *own = gsl_rng_clone(style);
    for (int i = 0; i < report->count; i++)
        if (strcmp(report->lines[i].parameter, "pH") != 0)
            report->lines[i].value *= 1 + gsl_ran_gaussian(own, column_error);
    gsl_rng_free(own);
    if (gsl_rng_uniform(rng) < slips)
        report->lines[gsl_rng_uniform_int(rng, (unsigned long)report->count)]
            .value *= gsl_ran_lognormal(rng, 0.0, 1.0);
}

static void invent(archive *a, const sw_waters *real, gsl_rng *rng)
{
    gsl_rng *style = gsl_rng_clone(rng);
    gsl_rng_set(style, gsl_rng_get(rng));
    for (int i = 0; i < SAMPLES; i++) {
        gsl_rng *same = gsl_rng_clone(style); /* names and units alike */
        sw_water water = invent_water(real, rng);
        a->meant[i] = write_report(&water, same);
        add_errors(&a->meant[i], style, rng);
        gsl_rng_free(same);
    }
    gsl_rng_free(style);
}

/* false where the reader refuses one of them. */
static bool audit(archive *a, const misreading *m)
{
    sw_conditions conditions = sw_conditions_default();
    bool all = true;
    a->audit = NULL;
    for (int i = 0; i < SAMPLES; i++) {
        lab_report report = a->meant[i];
        if (m)
            misread(&report, m);
        a->files[i] = read_report(&report);
        a->waters[i] = a->files[i] ? &a->files[i]->items[0] : NULL;
        all = all && a->files[i];
    }
    ck_assert(!all || sw_audit_many(a->waters, SAMPLES, &conditions, &a->audit,
                                    NULL) == SW_OK);
    return all;
}

static void release(archive *a)
{
    for (int i = 0; i < SAMPLES; i++)
        sw_waters_free(a->files[i]);
    sw_archive_free(a->audit);
}

static int disagreeing(const sw_archive *audit)
{
    int count = 0;
    for (size_t i = 0; i < audit->count; i++)
        count += audit->samples[i].finding == SW_DISAGREES;
    return count;
}

/* Does what is proposed make of every sample what was meant? */
static bool is_truth(const archive *misread, const archive *meant,
                     const sw_rereading *row)
{
    for (int i = 0; i < SAMPLES; i++) {
        sw_water *reread = NULL;
        bool reads = sw_water_reread(misread->waters[i], row->read_as, &reread,
                                     NULL) == SW_OK;
        bool same = is_same_water(reads ? reread : misread->waters[i],
                                  meant->waters[i]);
        sw_water_free(reread);
        if (!same)
            return false;
    }
    return true;
}

static kind_tally *tally_of(tally *t, const char *kind)
{
    kind_tally *k = t->kinds;
    while (k->kind[0] && strcmp(k->kind, kind) != 0)
        k++;
    snprintf(k->kind, sizeof k->kind, "%s", kind);
    return k;
}

static void judge(const archive *meant, const archive *misread,
                  const misreading *m, tally *t)
{
    const sw_archive *found = misread->audit;
    kind_tally *k = tally_of(t, m->kind);
    bool shown =
        20 * (disagreeing(found) - disagreeing(meant->audit)) >= SAMPLES;
    bool first = found->rereading_count > 0 &&
                 is_truth(misread, meant, &found->rereadings[0]);
    t->misread++, k->tried++;
    t->shown += shown, k->shown += shown;
    t->first += first && shown, k->first += first && shown;
    t->wrong += found->rereading_count > 0 && !first;
    if (getenv("SW_VERBOSE") && shown && !first)
        printf("  %s: %s\n", m->kind,
               found->rereading_count ? found->rereadings[0].read_as
                                      : "nothing said");
}

static void accuse(const archive *meant, tally *t)
{
    t->accused++;
    if (getenv("SW_VERBOSE"))
        printf("  accused: %s, %d of %d disagree, %zu of %zu balance, so read "
               "%zu\n",
               meant->audit->rereadings[0].read_as, disagreeing(meant->audit),
               SAMPLES, meant->audit->balanced, meant->audit->checked,
               meant->audit->rereadings[0].balanced_read);
}

static void try_archive(const sw_waters *real, gsl_rng *rng, tally *t)
{
    archive meant, wrong;
    misreading m;
    invent(&meant, real, rng);
    bool all = audit(&meant, NULL);
    t->archives += all;
    if (all && meant.audit->rereading_count > 0)
        accuse(&meant, t);
    while (!pick_misreading(&meant.meant[0], rng, &m))
        ;
    wrong = meant;
    bool reads = audit(&wrong, &m);
    t->refused += !reads;
    if (all && reads)
        judge(&meant, &wrong, &m, t);
    release(&meant);
    release(&wrong);
}

static void print_tally(const tally *t)
{
    printf("%d archives as meant, %d accused; %d with one column misread, in "
           "%d of which it shows: the true one proposed first in %d (%.1f %%), "
           "another in %d; %d refused by the reader\n",
           t->archives, t->accused, t->misread, t->shown, t->first,
           100.0 * t->first / t->shown, t->wrong, t->refused);
    for (const kind_tally *k = t->kinds; getenv("SW_VERBOSE") && k->kind[0];
         k++)
        printf("  %-40s %3d tried, shows in %3d, first in %3d\n", k->kind,
               k->tried, k->shown, k->first);
}

START_TEST(a_misread_column_is_found_and_a_sound_archive_left_alone)
{
    sw_waters *real = read_real_waters();
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    tally t = {0};
    int asked = archives_asked_for();
    gsl_rng_set(rng, 20260201);
    for (int i = 0; i < asked; i++)
        try_archive(real, rng, &t);
    print_tally(&t);
    ck_assert_int_ge(t.first, (int)(RATE_TRUTH_FIRST * t.shown));
    ck_assert_int_le(t.accused, (int)ceil(RATE_ACCUSED * t.archives));
    gsl_rng_free(rng);
    sw_waters_free(real);
}
END_TEST

/* An invented archive whose bicarbonate is calcium carbonate, as no single
 * sample of it shows: carbonate stands beside it, so it is no alkalinity. */
START_TEST(carbonate_under_bicarbonate_shows_in_all_together_only)
{
    enum { WELLS = 30 };
    static const char header[] =
        "well,pH,EC [uS/cm],CO3 [mg/L],HCO3 [mg/L],Cl [mg/L],SO4 [mg/L],"
        "NO3 [mg/L],Na [mg/L],K [mg/L],Ca [mg/L],Mg [mg/L]\n";
    char text[WELLS * 128 + sizeof header];
    size_t used = (size_t)sprintf(text, "%s", header);
    sw_conditions conditions = sw_conditions_default();
    const sw_water *waters[WELLS];
    sw_waters *file;
    sw_archive *audit;
    int single = 0;
    for (int i = 0; i < WELLS; i++) {
        double hco3 = 3.0 + 0.15 * i, cl = 2.0 + 0.3 * (i * 7 % 11);
        double ca = 2.0 + 0.13 * (i * 5 % 9), mg = 1.0 + 0.1 * (i % 7);
        double na = hco3 + cl + 1.5 - ca - mg; /* SO4 1.0, NO3 0.5 meq/L */
        double ec = 95.0 * (hco3 + cl + 1.5) + 60.0;
        used += (size_t)sprintf(text + used,
                                "w%d,7.6,%.0f,0,%.1f,%.1f,48,31,%.1f,2,%.1f,"
                                "%.1f\n",
                                i, ec, 50.04 * hco3, 35.45 * cl, 22.99 * na,
                                20.04 * ca, 12.15 * mg);
    }
    FILE *stream = fmemopen(text, used, "r");
    ck_assert_int_eq(sw_waters_read(stream, "wells", &file, NULL), SW_OK);
    fclose(stream);
    for (int i = 0; i < WELLS; i++) {
        sw_audit_report *report;
        waters[i] = &file->items[i];
        ck_assert_int_eq(sw_audit(waters[i], NULL, &conditions, &report, NULL),
                         SW_OK);
        single += report->rereading_count > 0 &&
                  !strcmp(report->rereadings[0].read_as, "HCO3=[mg/L CaCO3]");
        sw_audit_report_free(report);
    }
    ck_assert_int_eq(sw_audit_many(waters, WELLS, &conditions, &audit, NULL),
                     SW_OK);
    ck_assert_int_lt(single, WELLS / 2);
    ck_assert_uint_ge(audit->rereading_count, 1);
    const sw_rereading *best = &audit->rereadings[0];
    ck_assert_str_eq(best->read_as, "HCO3=[mg/L CaCO3]");
    ck_assert_uint_eq(best->checked, WELLS);
    ck_assert_uint_eq(best->balanced_read, WELLS);
    ck_assert_uint_lt(best->balanced_given, WELLS);
    ck_assert(best->median_read_percent < 1.0);
    ck_assert(best->median_given_percent > 3.0);
    sw_archive_free(audit);
    sw_waters_free(file);
}
END_TEST
