/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reports that cannot be true are told before anything is mixed of them; one
 * whose alkalinity is only doubtful with the acid that hangs on it.  Limits
 * worked out by hand from 1030 E's percentage and the weights of the ions.
 */
#include "assess/evidence.h"
#include "feed.h"

#include "assess/evidence.h"
#include "saltwright.h"

#include <string.h>

/* Invented: cations 8.39 meq/L, anions but the alkalinity 2.47. */
#define CATIONS "Ca,104,mg/L\nMg,27,mg/L\nNa,21,mg/L\nK,2.4,mg/L\n"
#define ANIONS "SO4,62,mg/L\nCl,31,mg/L\nF,0.2,mg/L\n"
#define NEARLY_PURE                                                            \
    "Ca,10,mg/L\nMg,1,mg/L\nNa,1,mg/L\nK,0.5,mg/L\nCl,1,mg/L\nSO4,2,mg/L\n"    \
    "NO3-N,0.5,mg/L\npH,7.3,\n" ALKALINITY("26")
#define IONS CATIONS ANIONS "NO3-N,4.07,mg/L\npH,7.3,\n"
#define ALKALINITY(mg) "alkalinity," mg ",mg/L CaCO3\n"

static sw_waters *read_lines(const char *lines)
{
    char text[512];
    sw_waters *waters;
    sw_error error;
    snprintf(text, sizeof text, "parameter,value,unit\n%s", lines);
    FILE *stream = fmemopen(text, strlen(text), "r");
    ck_assert_msg(sw_waters_read(stream, "well", &waters, &error) == SW_OK,
                  "%s", error.message);
    fclose(stream);
    return waters;
}

/* The note by which it is not to be mixed yet; "" where there is none. */
static sw_note doubt_of_any(const char *lines, bool is_solution)
{
    sw_waters *waters = read_lines(lines);
    sw_conditions conditions = sw_conditions_default();
    sw_content per_l;
    sw_notes notes = {0};
    sw_note found = {.code = ""};
    waters->items[0].is_solution = is_solution;
    ck_assert_int_eq(
        sw_water_complete(&waters->items[0], &conditions, &per_l, &notes, NULL),
        SW_OK);
    for (size_t i = 0; i < notes.count; i++)
        if (notes.items[i].about & SW_ABOUT_REPORT) {
            ck_assert_str_eq(found.code, ""); /* one is enough */
            found = notes.items[i];
        }
    ck_assert_int_eq(sw_alkalinity_is_known(&per_l), !*found.code);
    sw_notes_free(&notes);
    sw_waters_free(waters);
    return found;
}

static sw_note doubt_of(const char *lines)
{
    return doubt_of_any(lines, false);
}

/* 10 % are reached at an alkalinity of 220.0 and of 389.7 mg/L CaCO3. */
START_TEST(charges_far_out_of_balance_make_a_report_false)
{
    static const struct {
        const char *lines, *code, *says;
    } cases[] = {
        {IONS ALKALINITY("296"), "", ""},
        {IONS ALKALINITY("222"), "", ""},
        {IONS ALKALINITY("218"), "charge-contradicts", "not 218 but 296 mg/L"},
        {IONS ALKALINITY("60"), "charge-contradicts",
         "4.72 meq/L of acid more"},
        {IONS ALKALINITY("388"), "", ""},
        {IONS ALKALINITY("392"), "charge-contradicts", "not 392 but 296 mg/L"},
        {IONS ALKALINITY("600"), "charge-contradicts",
         "6.07 meq/L of acid less"},
        {IONS "Al,0.1,mg/L\n" ALKALINITY("60"), "charge-contradicts",
         "else another ion is wrong. Have"},
        {CATIONS ANIONS ALKALINITY("60"), "charge-contradicts",
         "or nitrate, not reported, is there"},
        {CATIONS ANIONS ALKALINITY("200"), "nitrate-lacking",
         "31.0 mg/L of NO3-N would close them, so ask"},
        {CATIONS "SO4,62,mg/L\n"
                 "NO3-N,4.07,mg/L\npH,7.3,\n" ALKALINITY("600"),
         "charge-contradicts", "not 600 but at most 341 mg/L"},
        {CATIONS "SO4,62,mg/L\nCl,230,mg/L\npH,7.3,\n" ALKALINITY("300"),
         "charge-contradicts", "not 300 but 30 mg/L"},
        {CATIONS "SO4,62,mg/L\nCl,500,mg/L\npH,7.3,\n" ALKALINITY("300"),
         "charge-contradicts", "by more than all of its alkalinity"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_note note = doubt_of(cases[i].lines);
        ck_assert_msg(!strcmp(note.code, cases[i].code), "%s: '%s'",
                      cases[i].lines, note.text);
        ck_assert_msg(strstr(note.text, cases[i].says) != NULL, "%s: '%s'",
                      cases[i].lines, note.text);
    }
}
END_TEST

/* Invented: nitrate, phosphate and sulfate are 10.9 meq/L, all but calcium 6.0;
 * at pH 6 alkalinity is none. */
START_TEST(a_kept_solution_far_out_of_balance_is_false)
{
    static const struct {
        const char *lines, *says;
    } cases[] = {
        {"Ca,98,mg/L\n", ""},
        {"Ca,60,mg/L\n", ""},
        {"Ca,50,mg/L\n", "meq/L of cations lack"},
        {"Ca,180,mg/L\n", "meq/L of anions lack"},
        {"", ""}, /* nobody looked for calcium */
        /* What closes it may be the alkalinity, but at pH 6 not so much. */
        {"Ca,180,mg/L\npH,7.4,\n", ""},
        {"Ca,180,mg/L\npH,7.4,\nalkalinity,20,mg/L CaCO3\n",
         "meq/L of anions lack"},
        {"Ca,50,mg/L\npH,7.4,\n", "meq/L of cations lack"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char lines[256];
        snprintf(lines, sizeof lines,
                 "%sNO3-N,98,mg/L\nP,22,mg/L\nS,51,mg/L\nK,96,mg/L\n"
                 "Mg,43,mg/L\n%s",
                 cases[i].lines, strstr(cases[i].lines, "pH") ? "" : "pH,6,\n");
        sw_note note = doubt_of_any(lines, true);
        ck_assert_msg(strstr(note.text, cases[i].says) != NULL &&
                          !*note.code == !*cases[i].says,
                      "%s: '%s'", lines, note.text);
    }
}
END_TEST

/* What is not reported, or below its limit, may close the gap; in a water of
 * few ions it is no acid; an acid one has no alkalinity. */
START_TEST(a_gap_that_the_report_leaves_open_makes_none_false)
{
    static const char *const cases[] = {
        CATIONS "SO4,62,mg/L\npH,7.3,\n" ALKALINITY("60"),
        CATIONS "Cl,31,mg/L\npH,7.3,\n" ALKALINITY("60"),
        CATIONS "SO4,62,mg/L\nCl,<220,mg/L\npH,7.3,\n" ALKALINITY("60"),
        "Ca,104,mg/L\nMg,27,mg/L\n" ANIONS "pH,7.3,\n" ALKALINITY("600"),
        "Mg,27,mg/L\nNa,21,mg/L\n" ANIONS "pH,7.3,\n" ALKALINITY("300"),
        "Ca,11,mg/L\nMg,2,mg/L\nNa,2,mg/L\nSO4,2,mg/L\nCl,3,mg/L\n"
        "pH,7.3,\n" ALKALINITY("10"),
        "Ca,104,mg/L\nMg,27,mg/L\nNa,21,mg/L\nSO4,62,mg/L\nCl,31,mg/L\n"
        "pH,4.2,\n" ALKALINITY("5"),
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_note note = doubt_of(cases[i]);
        ck_assert_msg(!*note.code, "%s: '%s'", cases[i], note.text);
    }
}
END_TEST

START_TEST(of_what_cannot_be_true_the_worst_is_told)
{
    static const struct {
        const char *lines, *code;
        bool leaves_ec_out;
    } cases[] = {
        {IONS ALKALINITY("296") "EC,780,uS/cm\n", "", false},
        {IONS ALKALINITY("296") "EC,1800,uS/cm\n", "ec-contradicts", true},
        {IONS ALKALINITY("235") "EC,1800,uS/cm\n", "ec-contradicts", false},
        {CATIONS "EC,1800,uS/cm\npH,7.3,\n" ALKALINITY("296"), "ec-contradicts",
         false},
        {IONS ALKALINITY("60") "EC,1800,uS/cm\n", "charge-contradicts", false},
        {NEARLY_PURE "EC,140,uS/cm\n", "",
         false}, /* off by less than 0.1 mS/cm */
        {NEARLY_PURE "EC,190,uS/cm\n", "ec-contradicts", true},
        {CATIONS ANIONS "pH,4.6,\n" ALKALINITY("600"), "ph-impossible", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_note note = doubt_of(cases[i].lines);
        ck_assert_msg(!strcmp(note.code, cases[i].code), "%s: '%s'",
                      cases[i].lines, note.text);
        ck_assert_msg((strstr(note.text, "leave its row out") != NULL) ==
                          cases[i].leaves_ec_out,
                      "%s: '%s'", cases[i].lines, note.text);
    }
}
END_TEST

/* ---- Doubtful only ------------------------------------------------------- */

/* What is said so, or by that code, of a feed that is half of the water, with
 * an acid. */
static void find_note(const char *lines, double acid_mg_per_l, const char *code,
                      char text[512])
{
    bench b;
    set_up(&b);
    sw_waters *waters = read_lines(lines);
    sw_conditions conditions = sw_conditions_default();
    sw_content per_l;
    sw_notes notes = {0};
    const sw_water *reports[] = {&waters->items[0]};
    const double half[] = {0.5};
    sw_assessment *a;
    add(&b, "HNO3", acid_mg_per_l)->density_g_per_ml = 1.5;
    add(&b, "KNO3", 300);
    ck_assert_int_eq(
        sw_water_complete(reports[0], &conditions, &per_l, &notes, NULL),
        SW_OK);
    sw_content_add(&b.water, 0.5, &per_l);
    sw_mix mix = {.water = &b.water,
                  .target = &b.target,
                  .shelf = &b.shelf,
                  .recipe = &b.recipe,
                  .reports = reports,
                  .shares = half,
                  .report_count = 1,
                  .conditions = conditions};
    ck_assert_int_eq(sw_assess(&mix, &a, NULL), SW_OK);
    *text = '\0';
    for (size_t i = 0; i < a->notes.count; i++)
        if (!strcmp(a->notes.items[i].code, code))
            snprintf(text, 512, "%s", a->notes.items[i].text);
    sw_assessment_free(a);
    sw_notes_free(&notes);
    sw_waters_free(waters);
}

/* 5 % are reached at 256 and 338 mg/L CaCO3.  Half of 1.223 meq/L, at 235, is
 * 0.612 mmol of HNO3 (63.01 g/mol, 1.5 g/mL): 25.7 mL for 1000 L. */
START_TEST(a_doubtful_alkalinity_is_told_with_the_acid_that_hangs_on_it)
{
    static const struct {
        const char *lines;
        double acid;
        const char *says;
    } cases[] = {
        {IONS ALKALINITY("258"), 100, ""},
        {IONS ALKALINITY("335"), 100, ""},
        {IONS ALKALINITY("235"), 100, "alkalinity is 296 mg/L CaCO3, not the"},
        {IONS ALKALINITY("235"), 100, "take 25.7 mL of HNO3 per 1000 L more"},
        {IONS ALKALINITY("235"), 0, "take 0.612 meq/L of acid more"},
        {IONS ALKALINITY("357.5"), 100, "take 25.7 mL of HNO3 per 1000 L less"},
        {IONS ALKALINITY("357.5"), 20,
         "take 0.612 meq/L of acid less or of base more. Have"},
        {IONS ALKALINITY("60"), 100, ""}, /* told already, and worse */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[512];
        find_note(cases[i].lines, cases[i].acid, "alkalinity-doubtful", text);
        ck_assert_msg(strstr(text, cases[i].says) != NULL &&
                          !*text == !*cases[i].says,
                      "%s: '%s'", cases[i].lines, text);
    }
}
END_TEST

/* Without Na (22.99 g/mol) cations are 7.47 meq/L, anions 11.46 at 450 mg/L
 * CaCO3, of which 8.99: 3.986 meq/L are 91.6 mg/L of Na or 199.5 mg/L CaCO3
 * less; half of that is 83.7 mL of HNO3.  */
#define NO_SODIUM                                                              \
    "Ca,104,mg/L\nMg,27,mg/L\nK,2.4,mg/L\n" ANIONS "NO3-N,4.07,mg/"            \
    "L\npH,7.3,\n"
START_TEST(what_lacks_or_the_alkalinity_is_asked_for_before_acid)
{
    static const struct {
        const char *lines;
        double acid;
        const char *says;
    } cases[] = {
        {NO_SODIUM ALKALINITY("450"), 200, "91.6 mg/L of Na is in it, which"},
        {NO_SODIUM ALKALINITY("450"), 200, "its alkalinity is 251 mg/L CaCO3"},
        {NO_SODIUM ALKALINITY("450"), 200, "83.7 mL of HNO3 per 1000 L less"},
        {NO_SODIUM ALKALINITY("450"), 10, "take 1.99 meq/L of acid less"},
        {NO_SODIUM ALKALINITY("270"), 200, ""},
        {"Ca,104,mg/L\n" ANIONS "pH,7.3,\n" ALKALINITY("450"), 200,
         "have Mg, Na or the alkalinity of well measured"},
        {"Ca,104,mg/L\npH,7.3,\n" ALKALINITY("450"), 200, ""}, /* of a kit */
        {CATIONS ANIONS "pH,7.3,\n" ALKALINITY("235"), 200,
         "mg/L of NO3-N is in it, which"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[512];
        find_note(cases[i].lines, cases[i].acid, "lacking-by-charge", text);
        ck_assert_msg(strstr(text, cases[i].says) != NULL &&
                          !*text == !*cases[i].says,
                      "%s: '%s'", cases[i].lines, text);
    }
}
END_TEST

/* ---- In an audit --------------------------------------------------------- */

static sw_audit_report *audit(const char *lines)
{
    sw_waters *waters = read_lines(lines);
    sw_conditions conditions = sw_conditions_default();
    sw_audit_report *report;
    ck_assert_int_eq(
        sw_audit(&waters->items[0], NULL, &conditions, &report, NULL), SW_OK);
    sw_waters_free(waters);
    return report;
}

static bool is_doubtful_in_an_archive(const char *lines)
{
    sw_waters *waters = read_lines(lines);
    const sw_water *water = &waters->items[0];
    sw_conditions conditions = sw_conditions_default();
    sw_archive *archive;
    ck_assert_int_eq(sw_audit_many(&water, 1, &conditions, &archive, NULL),
                     SW_OK);
    bool doubtful = archive->samples[0].doubtful;
    sw_archive_free(archive);
    sw_waters_free(waters);
    return doubtful;
}

/* In none of the cases is there another note for which nothing is mixed. */
START_TEST(an_audit_tells_what_keeps_the_acid_from_being_poured)
{
    static const struct {
        const char *lines, *code, *says;
    } cases[] = {
        {IONS ALKALINITY("296"), "", ""},
        {NO_SODIUM ALKALINITY("450"), "lacking-by-charge",
         "take 3.99 meq/L of acid less"},
        {IONS ALKALINITY("235"), "alkalinity-doubtful",
         "take 1.22 meq/L of acid more"},
        {IONS ALKALINITY("60"), "charge-contradicts", "Do not mix this yet"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_audit_report *report = audit(cases[i].lines);
        const char *code = "", *text = "";
        for (size_t k = 0; k < report->notes.count; k++) {
            const sw_note *note = &report->notes.items[k];
            if (!(note->about & (SW_ABOUT_REPORT | SW_ABOUT_DOUBT)))
                continue;
            ck_assert_str_eq(code, "");
            code = note->code;
            text = note->text;
        }
        ck_assert_str_eq(code, cases[i].code);
        ck_assert_msg(strstr(text, cases[i].says) != NULL, "%s", text);
        ck_assert_int_eq(is_doubtful_in_an_archive(cases[i].lines), !!*code);
        sw_audit_report_free(report);
    }
}
END_TEST

/* Sulfate that is sulfur brings 2.6 meq/L more; 31 mg/L of nitrate nitrogen
 * close the gap as well, unless it is in the report. */
START_TEST(nitrate_that_lacks_is_asked_for_before_a_misreading_is_told)
{
    static const struct {
        const char *lines;
        bool asks;
    } cases[] = {
        {CATIONS ANIONS "pH,7.3,\nEC,788,uS/cm\n" ALKALINITY("200"), true},
        {IONS "EC,788,uS/cm\n" ALKALINITY("185"), false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_audit_report *report = audit(cases[i].lines);
        const sw_check_row *charge = &report->checks[SW_CHECK_CHARGE];
        ck_assert_int_eq(charge->finding, SW_DISAGREES);
        ck_assert_msg((report->rereading_count == 0) == cases[i].asks, "%s",
                      cases[i].lines);
        sw_audit_report_free(report);
    }
}
END_TEST

/* Cations are 8.39 meq/L, SAR 21/22.99 / sqrt(3.706) = 0.474. */
START_TEST(what_the_laboratory_adds_up_checks_what_is_read)
{
    static const struct {
        const char *line, *name;
        sw_finding finding;
    } cases[] = {
        {"sum of cations,8.4,meq/L\n", "cations against", SW_AGREES},
        {"sum of cations,9.1,me/L\n", "cations against", SW_DOUBTFUL},
        {"sum of cations,12.4,meq/L\n", "cations against", SW_DISAGREES},
        {"sum of anions,8.4,meq/L\n", "anions against", SW_AGREES},
        {"sum of anions,4.2,meq/L\n", "anions against", SW_DISAGREES},
        {"SAR,0.47,\n", "SAR against", SW_AGREES},
        {"SAR,1.5,\n", "SAR against", SW_DISAGREES},
        {"sum of cations,154,mg/L\n", "", SW_NOT_CHECKED},
        {"adjusted SAR,1.5,\n", "", SW_NOT_CHECKED},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char lines[512];
        snprintf(lines, sizeof lines, IONS ALKALINITY("296") "%s",
                 cases[i].line);
        sw_audit_report *report = audit(lines);
        const sw_check_row *last = &report->checks[report->check_count - 1];
        bool is_there = report->check_count > SW_CHECK_CATIONS;
        ck_assert_msg(is_there == (*cases[i].name != 0), "%s", cases[i].line);
        if (is_there) {
            ck_assert_ptr_nonnull(strstr(last->name, cases[i].name));
            ck_assert_msg(last->finding == cases[i].finding, "%s %g",
                          cases[i].line, last->value);
        }
        sw_audit_report_free(report);
    }
}
END_TEST

/* ---- What is short, or hidden -------------------------------------------- */

/* 20 mg/L CaCO3 are 0.400 meq/L, half of them 0.200 mmol of HNO3: 8.39 mL. */
START_TEST(a_limit_of_detection_decides_no_acid_silently)
{
    static const struct {
        const char *lines, *says;
    } cases[] = {
        {"Ca,2,mg/L\npH,6.4,\n" ALKALINITY("<20"), "only as below 20 mg/L"},
        {"Ca,2,mg/L\npH,6.4,\n" ALKALINITY("<20"), "8.39 mL of HNO3 per 1000"},
        {"Ca,2,mg/L\npH,6.4,\n" ALKALINITY("<5"), ""},
        {"Ca,8,mg/L\npH,6.4,\n" ALKALINITY("20"), ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[512];
        find_note(cases[i].lines, 100, "alkalinity-below", text);
        ck_assert_msg(strstr(text, cases[i].says) != NULL &&
                          !*text == !*cases[i].says,
                      "%s: '%s'", cases[i].lines, text);
    }
}
END_TEST

/* Nobody is told that an alkalinity is not known that stands in the report. */
START_TEST(a_ph_is_open_for_what_its_report_lacks_or_for_the_report)
{
    static const struct {
        const char *lines, *says;
    } cases[] = {
        {IONS ALKALINITY("296"), ""},
        {IONS ALKALINITY("60"), "report cannot be true"},
        {IONS ALKALINITY("296") "EC,1800,uS/cm\n", "report cannot be true"},
        {CATIONS "EC,780,uS/cm\npH,7.3,\n", "which is not known"},
        {CATIONS "EC,780,uS/cm\npH,7.3,\n" ALKALINITY("<150"),
         "which is not known"},
        {IONS ALKALINITY("0"), "report cannot be true"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[512];
        find_note(cases[i].lines, 50, "ph-unknown", text);
        ck_assert_msg(strstr(text, cases[i].says) != NULL &&
                          !*text == !*cases[i].says,
                      "%s: '%s'", cases[i].lines, text);
    }
}
END_TEST

/* Whether the completion tells it, as a doubt of the acid, and what an audit
 * finds. */
static bool is_told(const char *lines, const char *code, sw_check check,
                    sw_finding *finding)
{
    sw_waters *waters = read_lines(lines);
    sw_conditions conditions = sw_conditions_default();
    sw_content per_l;
    sw_notes notes = {0};
    sw_evidence found;
    const sw_water *water = &waters->items[0];
    ck_assert_int_eq(
        sw_water_complete(water, &conditions, &per_l, &notes, NULL), SW_OK);
    const sw_note *told = sw_notes_find(&notes, code);
    if (told && strcmp(code, "charges-apart") != 0) /* no acid worth one */
        ck_assert_msg(told->about & SW_ABOUT_DOUBT, "%s", code);
    ck_assert_int_eq(sw_evidence_weigh(water, &conditions, &found, NULL),
                     SW_OK);
    *finding = found.rows[check].finding;
    sw_evidence_free(&found);
    sw_notes_free(&notes);
    sw_waters_free(waters);
    return told;
}

/* Invented: a soft upland water, in air at a pH of about 7.9. */
#define SOFT                                                                   \
    "Ca,11.8,mg/L\nMg,2.1,mg/L\nNa,9.6,mg/L\nCl,14,mg/L\n"                     \
    "SO4,9.5,mg/L\nNO3-N,0.5,mg/L\n" ALKALINITY("28")

/* An electrode drifts in a water without a buffer, and base that no titration
 * tells moves its pH: 0.14 meq/L stand at 7.4 in air (pK1 6.35, CO2 10^-1.47
 * mol/L/atm x 10^-3.4 atm: Stumm & Morgan), and one more is no more than
 * doubted. */
START_TEST(a_ph_of_nearly_pure_water_is_doubted_only_where_it_cannot_be)
{
    static const struct {
        const char *ph, *alkalinity;
        sw_finding finding;
    } cases[] = {
        {"pH,6.8,", "2", SW_AGREES},    {"pH,8.0,", "2", SW_DOUBTFUL},
        {"pH,8.7,", "2", SW_DISAGREES}, {"pH,7.0,", "0", SW_AGREES},
        {"pH,7.0,", "<2", SW_AGREES},   {"pH,9.5,", "0", SW_DISAGREES}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char lines[200];
        sw_finding finding;
        snprintf(lines, sizeof lines,
                 "EC,15,uS/cm\nCa,0.5,mg/L\nNa,0.8,mg/L\nCl,0.4,mg/L\n"
                 "alkalinity,%s,mg/L CaCO3\n%s\n",
                 cases[i].alkalinity, cases[i].ph);
        bool told = is_told(lines, "ph-over-air", SW_CHECK_PH, &finding);
        ck_assert_msg(finding == cases[i].finding, "%s", cases[i].ph);
        ck_assert_msg(told == (finding == SW_DISAGREES), "%s", cases[i].ph);
    }
}
END_TEST

START_TEST(what_an_audit_finds_wrong_is_told_before_acid_is_poured)
{
    static const struct {
        const char *line, *code;
        sw_check check;
        bool told;
    } cases[] = {
        {"pH,7.8,", "ph-over-air", SW_CHECK_PH, false},
        {"pH,8.7,", "ph-over-air", SW_CHECK_PH, false}, /* doubtful */
        {"pH,9.4,", "ph-over-air", SW_CHECK_PH, true},
        {"TDS,76,mg/L", "report-inconsistent", SW_CHECK_TDS_IONS, false},
        {"sum of cations,1.2,meq/L", "report-inconsistent", SW_CHECK_CATIONS,
         false},
        {"sum of cations,3,meq/L", "report-inconsistent", SW_CHECK_CATIONS,
         true},
        {"sum of anions,3,meq/L", "report-inconsistent", SW_CHECK_ANIONS, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char lines[400];
        sw_finding finding;
        snprintf(lines, sizeof lines, SOFT "%s\n%s", cases[i].line,
                 cases[i].check == SW_CHECK_PH ? "" : "pH,7.8,\n");
        bool told = is_told(lines, cases[i].code, cases[i].check, &finding);
        ck_assert_msg(told == cases[i].told, "%s", cases[i].line);
        ck_assert_msg((finding == SW_DISAGREES) == told, "%s", cases[i].line);
    }
}
END_TEST

/* Invented, with much nitrate: its residue by hand is 164 mg/L (bicarbonate as
 * carbonate); 0.7 of its EC would be 240, all ions 200. */
START_TEST(solids_by_whatever_rule_are_no_doubt_of_the_acid)
{
    static const int tds[] = {166, 170, 200, 240, 300};
    for (size_t i = 0; i < sizeof tds / sizeof *tds; i++) {
        char lines[400];
        sw_finding finding;
        snprintf(lines, sizeof lines,
                 "Ca,35,mg/L\nMg,6,mg/L\nNa,10,mg/L\nK,2,mg/L\n"
                 "Cl,15,mg/L\nSO4,15,mg/L\nNO3,45,mg/L\n" ALKALINITY(
                     "60") "pH,7.0,\nTDS,%d,mg/L\n",
                 tds[i]);
        ck_assert(!is_told(lines, "report-inconsistent", SW_CHECK_TDS_IONS,
                           &finding));
        if (tds[i] <= 170) /* which nitrate as N would have over 1.2 */
            ck_assert_int_eq(finding, SW_AGREES);
    }
}
END_TEST

/* With an EC, which has the chemistry made anyway, and without. */
START_TEST(a_ph_that_calcium_does_not_allow_is_told_where_an_audit_tells_it)
{
    int told = 0;
    for (int tenths = 84; tenths <= 100; tenths++)
        for (int ec = 0; ec < 2; ec++) {
            char lines[300];
            sw_finding finding;
            snprintf(lines, sizeof lines,
                     CATIONS ANIONS
                     "NO3-N,4.07,mg/L\n%s" ALKALINITY("296") "pH,%.1f,\n",
                     ec ? "EC,700,uS/cm\n" : "", tenths / 10.0);
            bool said = is_told(lines, "calcite-contradicts", SW_CHECK_CALCITE,
                                &finding);
            ck_assert_int_eq(said, finding == SW_DISAGREES);
            told += said;
        }
    ck_assert_int_gt(told, 0);
    ck_assert_int_lt(told, 34);
}
END_TEST

/* Invented: cations 1.20, anions but the alkalinity 0.63 meq/L; 0.2 meq/L, all
 * that 1030 E allows of so little, are reached at 18 and 38 mg/L CaCO3. */
START_TEST(charges_a_little_apart_are_told_where_an_audit_tells_them)
{
    int told = 0;
    for (int alkalinity = 6; alkalinity <= 50; alkalinity += 4) {
        char lines[300];
        sw_finding finding;
        snprintf(lines, sizeof lines,
                 "Ca,14,mg/L\nMg,2.4,mg/L\nNa,7,mg/L\nCl,12,mg/L\n"
                 "SO4,14,mg/L\npH,7.3,\nalkalinity,%d,mg/L CaCO3\n",
                 alkalinity);
        bool said = is_told(lines, "charges-apart", SW_CHECK_CHARGE, &finding);
        ck_assert_msg(said == (finding != SW_AGREES), "%d", alkalinity);
        told += said;
    }
    ck_assert_int_gt(told, 2);
    ck_assert_int_lt(told, 11);
}
END_TEST
