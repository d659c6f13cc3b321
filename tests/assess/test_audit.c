/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Audits of single reports: the checks, what is missing, and fit for use. */
#include "suite.h"

#include "assess/evidence.h"
#include "lab_reports.h"

#include <math.h>
#include <string.h>

/* An invented well water that agrees with itself. */
static const char sound[] = "parameter,value,unit\n"
                            "Ca,80,mg/L\nMg,12,mg/L\nNa,46,mg/L\nK,4,mg/L\n"
                            "HCO3,244,mg/L\nCl,53,mg/L\nSO4,62,mg/L\n"
                            "NO3,9,mg/L\npH,7.4,\nEC,690,uS/cm\nTDS,430,mg/L\n"
                            "hardness,249,mg/L CaCO3\n"
                            "Ca hardness,200,mg/L CaCO3\n";

static sw_waters *read_text(const char *text)
{
    FILE *stream = fmemopen((void *)text, strlen(text), "r");
    sw_waters *waters;
    sw_error error;
    ck_assert_msg(sw_waters_read(stream, "report", &waters, &error) == SW_OK,
                  "%s", error.message);
    fclose(stream);
    return waters;
}

/* The sound report with one line changed (or left out, when `by` is ""). */
static sw_waters *read_changed(const char *line, const char *by)
{
    char text[1024];
    const char *place = strstr(sound, line);
    ck_assert_ptr_nonnull(place);
    size_t before = (size_t)(place - sound);
    snprintf(text, sizeof text, "%.*s%s%s", (int)before, sound, by,
             place + strlen(line));
    return read_text(text);
}

static sw_audit_report *audit(const sw_waters *waters)
{
    sw_conditions conditions = sw_conditions_default();
    sw_audit_report *report;
    sw_error error;
    ck_assert_msg(sw_audit(&waters->items[0], NULL, &conditions, &report,
                           &error) == SW_OK,
                  "%s", error.message);
    return report;
}

static sw_check_row check_after(const char *line, const char *by,
                                sw_check check)
{
    sw_waters *waters = read_changed(line, by);
    sw_audit_report *report = audit(waters);
    sw_check_row row = report->checks[check];
    sw_audit_report_free(report);
    sw_waters_free(waters);
    return row;
}

static const sw_note *note(const sw_notes *notes, const char *code,
                           const char *word)
{
    for (size_t i = 0; i < notes->count; i++)
        if (!strcmp(notes->items[i].code, code) &&
            strstr(notes->items[i].text, word))
            return &notes->items[i];
    return NULL;
}

START_TEST(a_sound_report_agrees_in_every_check)
{
    sw_waters *waters = read_text(sound);
    sw_audit_report *report = audit(waters);
    ck_assert_uint_eq(report->check_count, SW_CHECK_CATIONS);
    for (size_t i = 0; i < report->check_count; i++)
        ck_assert_msg(report->checks[i].finding == SW_AGREES, "%s: %g",
                      report->checks[i].name, report->checks[i].value);
    ck_assert_uint_eq(report->rereading_count, 0);
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

START_TEST(each_check_disagrees_when_its_number_is_far_off)
{
    static const struct {
        const char *line, *by;
        sw_check check;
    } cases[] = {{"Cl,53,", "Cl,153,", SW_CHECK_CHARGE},
                 {"EC,690,", "EC,1400,", SW_CHECK_EC},
                 {"EC,690,", "EC,300,", SW_CHECK_EC},
                 {"TDS,430,", "TDS,900,", SW_CHECK_TDS_EC},
                 {"TDS,430,", "TDS,200,", SW_CHECK_TDS_IONS},
                 {"hardness,249,", "hardness,149,", SW_CHECK_HARDNESS},
                 {"Ca hardness,200,", "Ca hardness,100,", SW_CHECK_CA_HARDNESS},
                 {"pH,7.4,", "pH,10.5,", SW_CHECK_PH},
                 {"pH,7.4,", "pH,4.6,", SW_CHECK_PH},
                 {"pH,7.4,", "pH,4.2,", SW_CHECK_PH}, /* and an alkalinity */
                 {"pH,7.4,", "pH,9.8,", SW_CHECK_CALCITE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_check_row row =
            check_after(cases[i].line, cases[i].by, cases[i].check);
        ck_assert_msg(row.finding == SW_DISAGREES ||
                          (cases[i].check == SW_CHECK_CALCITE &&
                           row.finding == SW_DOUBTFUL),
                      "%s with %s: %s, %g", row.name, cases[i].by,
                      sw_finding_text(row.finding), row.value);
    }
}
END_TEST

START_TEST(a_check_that_lacks_a_number_says_which)
{
    static const struct {
        const char *line;
        sw_check check;
        const char *reason;
    } cases[] = {
        {"EC,690,uS/cm\n", SW_CHECK_EC, "EC not reported"},
        {"EC,690,uS/cm\n", SW_CHECK_TDS_EC, "EC not reported"},
        {"TDS,430,mg/L\n", SW_CHECK_TDS_EC, "TDS not reported"},
        {"TDS,430,mg/L\n", SW_CHECK_TDS_IONS, "TDS not reported"},
        {"Cl,53,mg/L\n", SW_CHECK_TDS_IONS, "Cl not reported"},
        {"hardness,249,mg/L CaCO3\n", SW_CHECK_HARDNESS,
         "hardness not reported"},
        {"Mg,12,mg/L\n", SW_CHECK_CHARGE, "Mg not reported"},
        {"Ca hardness,200,mg/L CaCO3\n", SW_CHECK_CA_HARDNESS,
         "calcium hardness not reported"},
        {"pH,7.4,\n", SW_CHECK_PH, "pH not reported"},
        {"HCO3,244,mg/L\n", SW_CHECK_CALCITE, "alkalinity not reported"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_check_row row = check_after(cases[i].line, "", cases[i].check);
        bool is_derived = cases[i].check == SW_CHECK_CHARGE &&
                          row.finding != SW_NOT_CHECKED; /* Mg from hardness */
        if (!is_derived) {
            ck_assert_int_eq(row.finding, SW_NOT_CHECKED);
            ck_assert_ptr_nonnull(strstr(row.reason, cases[i].reason));
            ck_assert_double_nan(row.value);
        }
    }
}
END_TEST

/* 46 mg/L of sodium were left out. */
START_TEST(a_missing_ion_is_estimated_by_difference)
{
    sw_check_row row = check_after("Na,46,mg/L\n", "", SW_CHECK_CHARGE);
    ck_assert_int_eq(row.finding, SW_NOT_CHECKED);
    double estimate = 0;
    ck_assert_int_eq(sscanf(row.reason, "Na not reported; %lf mg/L", &estimate),
                     1);
    ck_assert_double_eq_tol(estimate, 46, 5);
}
END_TEST

/* Nobody measured the EC: it is calculated where a tenth of either side at most
 * is below detection. */
START_TEST(an_ec_is_judged_by_ions_that_are_known)
{
    static const struct {
        const char *sulfate, *magnesium; /* 96 and 24.3 mg/L are 2 meq/L */
        bool known;
    } rows[] = {{"<9", "0", true},
                {"<11", "0", false},
                {"0", "<2.2", true},
                {"0", "<2.7", false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[300];
        bool known = false;
        snprintf(text, sizeof text,
                 "parameter,value,unit\npH,7,\nCa,0,mg/L\nK,0,mg/L\n"
                 "Na,2,meq/L\nCl,1.5,meq/L\nNO3,0,mg/L\nalkalinity,0.5,meq/L\n"
                 "SO4,%s,mg/L\nMg,%s,mg/L\n",
                 rows[i].sulfate, rows[i].magnesium);
        sw_waters *waters = read_text(text);
        sw_audit_report *report = audit(waters);
        for (size_t k = 0; k < report->fitness_count; k++)
            known |= !strcmp(report->fitness[k].name, "EC") &&
                     !isnan(report->fitness[k].value);
        ck_assert_msg(known == rows[i].known, "%zu", i);
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

START_TEST(an_archive_names_the_worst_check_of_a_report)
{
    static const char *const lines[][2] = {{"hardness,249,", "hardness,149,"},
                                           {"pH,7.4,", "pH,10.5,"},
                                           {"TDS,430,", "TDS,900,"}};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        sw_waters *waters = read_changed(lines[i][0], lines[i][1]);
        const sw_water *one = &waters->items[0];
        sw_conditions conditions = sw_conditions_default();
        sw_audit_report *report = audit(waters);
        sw_archive *archive;
        ck_assert_int_eq(sw_audit_many(&one, 1, &conditions, &archive, NULL),
                         SW_OK);
        ck_assert_int_eq(report->checks[SW_CHECK_CHARGE].finding, SW_AGREES);
        ck_assert_int_eq(archive->samples[0].finding, SW_DISAGREES);
        for (int k = 0; k < SW_CHECK_CATIONS; k++)
            if (!strcmp(archive->samples[0].check, sw_check_text((sw_check)k)))
                ck_assert_int_eq(report->checks[k].finding, SW_DISAGREES);
        sw_archive_free(archive);
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

/* How far the charges of a water of so many meq/L of anions may be apart. */
START_TEST(charges_agree_are_doubtful_or_disagree)
{
    static const struct {
        double anions, percent[4];
    } rows[] = {{2, {4, 6.2, 8.5, 12}}, /* 0.2 and 0.4 meq/L */
                {5, {1.6, 2.4, 4.6, 5.4}},
                {20, {4.6, 5.4, 9.6, 10.4}}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        for (int side = -1; side <= 1; side += 2) {
            static const sw_finding found[] = {SW_AGREES, SW_DOUBTFUL,
                                               SW_DOUBTFUL, SW_DISAGREES};
            for (int k = 0; k < 4; k++) {
                char text[300];
                double share = side * rows[i].percent[k] / 100;
                double cations = rows[i].anions * (1 + share) / (1 - share);
                snprintf(text, sizeof text,
                         "parameter,value,unit\nCa,0,mg/L\nMg,0,mg/L\n"
                         "K,0,mg/L\nNa,%.5f,meq/L\nCl,%.5f,meq/L\n"
                         "SO4,0,mg/L\nNO3,0,mg/L\nalkalinity,0.5,meq/L\n",
                         cations, rows[i].anions - 0.5);
                sw_waters *waters = read_text(text);
                sw_audit_report *report = audit(waters);
                ck_assert_msg(report->checks[SW_CHECK_CHARGE].finding ==
                                  found[k],
                              "%g meq/L, %g %%", rows[i].anions, 100 * share);
                sw_audit_report_free(report);
                sw_waters_free(waters);
            }
        }
}
END_TEST

/* Invented purified water: what its detection limits hide is most of it. */
START_TEST(what_detection_limits_hide_is_allowed_for)
{
    static const char format[] =
        "parameter,value,unit\npH,%s,\nEC,%s,mS/cm\n"
        "alkalinity,%s,mg/L CaCO3\nCa,%s,mg/L\nMg,%s,mg/L\nNa,9,mg/L\n"
        "Cl,11,mg/L\nSO4,%s,mg/L\n";
    static const struct {
        const char *ph, *ec, *ca, *less;
        sw_finding ec_finding, ph_finding;
    } rows[] = {{"6.2", "0.06", "<10", "<5", SW_AGREES, SW_AGREES},
                {"8.0", "0.06", "<20", "<5", SW_AGREES, SW_AGREES},
                {"8.0", "0.06", "0", "0", SW_DISAGREES, SW_DOUBTFUL},
                {"6.2", "0.6", "<10", "<5", SW_DISAGREES, SW_AGREES},
                {"6.2", "0.02", "<10", "<5", SW_DISAGREES, SW_AGREES},
                {"9.9", "0.06", "<10", "<5", SW_AGREES, SW_DISAGREES}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[400];
        snprintf(text, sizeof text, format, rows[i].ph, rows[i].ec, rows[i].ca,
                 rows[i].ca, rows[i].less, rows[i].less);
        sw_waters *waters = read_text(text);
        sw_audit_report *report = audit(waters);
        ck_assert_int_eq(report->checks[SW_CHECK_EC].finding,
                         rows[i].ec_finding);
        ck_assert_int_eq(report->checks[SW_CHECK_PH].finding,
                         rows[i].ph_finding);
        ck_assert_int_eq(strstr(report->checks[SW_CHECK_EC].reason, "hide") !=
                             NULL,
                         rows[i].ec_finding == SW_AGREES);
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

/* 12 mg/L of Mg are a meq: with "<15" each check may be 1.2 meq/L short. */
START_TEST(what_is_below_detection_may_close_the_other_checks)
{
    static const sw_check checks[] = {SW_CHECK_CHARGE, SW_CHECK_HARDNESS,
                                      SW_CHECK_TDS_IONS};
    for (size_t i = 0; i < sizeof checks / sizeof *checks; i++) {
        sw_check_row row =
            check_after("Mg,12,mg/L\n", "Mg,<15,mg/L\n", checks[i]);
        ck_assert_msg(row.finding == SW_AGREES, "%s %g", row.name, row.value);
        row = check_after("Mg,12,mg/L\n", "Mg,<2,mg/L\n", checks[i]);
        ck_assert_msg(row.finding != SW_AGREES ||
                          checks[i] == SW_CHECK_TDS_IONS,
                      "%s %g", row.name, row.value);
    }
    sw_check_row row =
        check_after("hardness,249", "hardness,<260", SW_CHECK_HARDNESS);
    ck_assert_int_eq(row.finding, SW_AGREES);
    row = check_after("hardness,249", "hardness,<150", SW_CHECK_HARDNESS);
    ck_assert_int_eq(row.finding, SW_DISAGREES);
    row = check_after("TDS,430", "TDS,520", SW_CHECK_TDS_IONS);
    ck_assert_int_ne(row.finding, SW_AGREES);
}
END_TEST

/* An EC worked out of half the ions would call any water fit. */
START_TEST(no_ec_is_held_against_limits_where_ions_are_not_known)
{
    static const char *const without[][2] = {
        {"Na,46,mg/L\n", ""}, {"Na,46,mg/L\n", "Na,<200,mg/L\n"}};
    for (size_t i = 0; i < 3; i++) {
        char text[1024];
        const char *ec = strstr(sound, "EC,690,uS/cm\n");
        (void)snprintf(text, sizeof text, "%.*s%s", (int)(ec - sound), sound,
                       ec + strlen("EC,690,uS/cm\n"));
        if (i < 2) {
            char *at = strstr(text, without[i][0]);
            char rest[1024];
            (void)snprintf(rest, sizeof rest, "%s", at + strlen(without[i][0]));
            (void)snprintf(at, sizeof text - (size_t)(at - text), "%s%s",
                           without[i][1], rest);
        }
        sw_waters *waters = read_text(text);
        sw_audit_report *report = audit(waters);
        bool held = false;
        for (size_t k = 0; k < report->fitness_count; k++)
            held |= !strcmp(report->fitness[k].name, "EC");
        ck_assert(held == (i == 2));
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

START_TEST(iron_and_manganese_can_be_filtered_out)
{
    sw_waters *waters = read_changed("K,4,mg/L\n", "K,4,mg/L\nFe,7,mg/L\n");
    sw_audit_report *report = audit(waters);
    const sw_note *said =
        note(&report->notes, "aerate-and-filter", "filtering");
    ck_assert_ptr_nonnull(said);
    ck_assert_ptr_null(strstr(said->text, "manganese"));
    sw_audit_report_free(report);
    sw_waters_free(waters);
    /* manganese within its limit, beside iron that is not */
    waters = read_changed("K,4,mg/L\n", "K,4,mg/L\nFe,7,mg/L\nMn,0.1,mg/L\n");
    report = audit(waters);
    ck_assert_ptr_nonnull(
        note(&report->notes, "aerate-and-filter", "manganese"));
    sw_audit_report_free(report);
    sw_waters_free(waters);
    waters = read_text(sound);
    report = audit(waters);
    ck_assert_ptr_null(note(&report->notes, "aerate-and-filter", ""));
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

START_TEST(zero_for_ec_or_solids_is_no_measurement)
{
    sw_check_row row = check_after("EC,690,", "EC,0,", SW_CHECK_EC);
    ck_assert_int_eq(row.finding, SW_NOT_CHECKED);
    row = check_after("TDS,430,", "TDS,0,", SW_CHECK_TDS_IONS);
    ck_assert_int_eq(row.finding, SW_NOT_CHECKED);
}
END_TEST

/* However little is dissolved; only of nothing there is nothing to check. */
START_TEST(solids_of_nearly_nothing_are_checked_too)
{
    for (int some = 0; some < 2; some++) {
        char text[256];
        snprintf(text, sizeof text,
                 "parameter,value,unit\nCa,%g,mg/L\nMg,0,mg/L\nNa,0,mg/L\n"
                 "K,0,mg/L\nCl,0,mg/L\nSO4,0,mg/L\nNO3-N,0,mg/L\n"
                 "alkalinity,0,mg/L CaCO3\npH,6,\nTDS,0.9,mg/L\n",
                 some ? 0.8 : 0.0);
        sw_waters *waters = read_text(text);
        sw_audit_report *report = audit(waters);
        const sw_check_row *row = &report->checks[SW_CHECK_TDS_IONS];
        ck_assert_int_eq(row->finding != SW_NOT_CHECKED, some);
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

START_TEST(a_soft_water_may_round_its_hardness)
{
    sw_waters *waters = read_text("parameter,value,unit\nCa,1.4,mg/L\n"
                                  "Mg,0.4,mg/L\nhardness,6,mg/L CaCO3\n");
    sw_audit_report *report = audit(waters);
    ck_assert_int_eq(report->checks[SW_CHECK_HARDNESS].finding, SW_AGREES);
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

START_TEST(sulfur_under_the_name_of_sulfate_is_found)
{
    /* 186 mg/L of sulfate, of which the report gives the sulfur, as SO4 */
    sw_waters *waters = read_text(
        "parameter,value,unit\nCa,120,mg/L\nMg,20,mg/L\nNa,66,mg/L\n"
        "HCO3,305,mg/L\nCl,53,mg/L\nSO4,62.1,mg/L\nNO3,8,mg/L\npH,7.2,\n"
        "EC,1010,uS/cm\n");
    sw_audit_report *report = audit(waters);
    ck_assert_uint_ge(report->rereading_count, 1);
    ck_assert_str_eq(report->rereadings[0].read_as, "SO4=SO4-S");
    ck_assert_double_gt(report->rereadings[0].share, 0.5);
    ck_assert_double_le(report->rereadings[0].share, 1.0);
    ck_assert_double_lt(report->rereadings[0].score, report->score);
    ck_assert_ptr_nonnull(strstr(report->rereadings[0].text, "SO4 62.1 mg/L"));
    /* it is only proposed: the report stands as given */
    ck_assert_double_eq_tol(report->per_l.amount[SW_S], 62.1 / 2.9963, 0.01);
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

START_TEST(a_report_all_in_meq_is_found_even_beyond_the_chemistry)
{
    sw_waters *waters = read_text(
        "parameter,value,unit\nCa,120,meq/L\nMg,20,meq/L\nNa,46,meq/L\n"
        "HCO3,305,meq/L\nCl,53,meq/L\nSO4,186,meq/L\nNO3,8,meq/L\npH,7.2,\n"
        "EC,965,uS/cm\n");
    sw_audit_report *report = audit(waters);
    ck_assert_uint_ge(report->rereading_count, 1);
    ck_assert_str_eq(report->rereadings[0].read_as, "[meq/L]=[mg/L]");
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

/* 0.48 mS/cm is the least that 6 meq/L of any salt conduct: 0.8 times Richards'
 * tenth; of a part that explains too little it is above 1.25 and 2 times. */
START_TEST(an_ec_is_held_against_the_part_of_the_ions_reported)
{
    static const struct {
        const char *ec;
        sw_finding finding;
    } cases[] = {{"0.1", SW_DISAGREES},    {"0.38", SW_DISAGREES},
                 {"0.39", SW_NOT_CHECKED}, {"0.7", SW_NOT_CHECKED},
                 {"0.8", SW_DOUBTFUL},     {"1.3", SW_DISAGREES}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[160];
        snprintf(text, sizeof text,
                 "parameter,value,unit\nalkalinity,300.26,mg/L CaCO3\n"
                 "pH,7.5,\nEC,%s,mS/cm\n",
                 cases[i].ec);
        sw_waters *waters = read_text(text);
        sw_audit_report *report = audit(waters);
        ck_assert_int_eq(report->checks[SW_CHECK_EC].finding, cases[i].finding);
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

START_TEST(a_brine_beyond_the_chemistry_is_checked_without_it)
{
    sw_waters *waters = read_text(
        "parameter,value,unit\nCa,9000,mg/L\nMg,9000,mg/L\nNa,90000,mg/L\n"
        "HCO3,1000,mg/L\nCl,180000,mg/L\nSO4,900,mg/L\npH,7,\nEC,1,mS/cm\n");
    sw_audit_report *report = audit(waters);
    ck_assert_double_nan(report->chemistry.ph);
    ck_assert_int_eq(report->checks[SW_CHECK_EC].finding, SW_DISAGREES);
    ck_assert_int_eq(report->checks[SW_CHECK_PH].finding, SW_NOT_CHECKED);
    ck_assert_int_eq(report->checks[SW_CHECK_CALCITE].finding, SW_NOT_CHECKED);
    ck_assert_ptr_nonnull(note(&report->notes, "no-equilibrium", "beyond"));
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

START_TEST(an_empty_report_is_missing_everything_that_matters)
{
    sw_waters *waters = read_text("parameter,value,unit\nB,0.1,mg/L\n");
    sw_audit_report *report = audit(waters);
    const char *words[] = {"Alkalinity", "Ca ",   "Mg ", "Na ", "Cl ",
                           "S ",         "NO3-N", "K ",  "pH",  "EC"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        ck_assert_msg(note(&report->notes, "not-reported", words[i]) != NULL,
                      "%s", words[i]);
    ck_assert_ptr_null(note(&report->notes, "not-reported", "B "));
    for (size_t i = 0; i < report->check_count; i++)
        ck_assert_int_eq(report->checks[i].finding, SW_NOT_CHECKED);
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

/* Of less than 100 uS/cm there is little left to be missed. */
START_TEST(what_a_nearly_pure_water_does_not_report_is_no_reason_to_doubt)
{
    static const char *const reports[] = {
        "parameter,value,unit\nEC,99,uS/cm\n",
        "parameter,value,unit\nEC,100,uS/cm\n"};
    for (size_t i = 0; i < 2; i++) {
        sw_waters *waters = read_text(reports[i]);
        sw_audit_report *report = audit(waters);
        const sw_note *calcium = note(&report->notes, "not-reported", "Ca ");
        ck_assert_ptr_nonnull(calcium);
        ck_assert((calcium->severity == SW_INFO) == (i == 0));
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

START_TEST(every_use_that_is_closed_gets_its_share_of_purified_water)
{
    sw_waters *waters = read_text(sound);
    sw_audit_report *report = audit(waters);
    const sw_note *share =
        note(&report->notes, "purified-share", "For recirculation");
    ck_assert_ptr_nonnull(share);
    ck_assert_ptr_nonnull(strstr(share->text, "taken to carry nothing"));
    ck_assert_ptr_nonnull(note(&report->notes, "purified-share", "acid"));
    for (size_t i = 0; i < report->fitness_count; i++)
        ck_assert(report->fitness[i].fitness != SW_FIT ||
                  isnan(report->fitness[i].purified_share));
    sw_audit_report_free(report);
    sw_waters_free(waters);
}
END_TEST

/* It would drive hydrogen sulfide out. */
START_TEST(acid_is_offered_for_alkalinity_only_once_no_gas_comes_of_it)
{
    static const char *const by[] = {"H2S,0.02,mg/L\nNO3", "H2S,1,mg/L\nNO3"};
    static const char *const said[] = {"; so does acid",
                                       "once the water no longer gives off"};
    for (int i = 0; i < 2; i++) {
        sw_waters *waters = read_changed("NO3", by[i]);
        sw_audit_report *report = audit(waters);
        ck_assert_ptr_nonnull(note(&report->notes, "purified-share", said[i]));
        ck_assert_ptr_null(note(&report->notes, "purified-share", said[1 - i]));
        sw_audit_report_free(report);
        sw_waters_free(waters);
    }
}
END_TEST

START_TEST(purified_water_of_a_given_analysis_needs_a_larger_share)
{
    sw_waters *waters = read_text(sound);
    sw_conditions conditions = sw_conditions_default();
    sw_content permeate = {{0}};
    sw_audit_report *with, *without = audit(waters);
    permeate.amount[SW_CL] = 5;
    permeate.amount[SW_NA] = 3;
    ck_assert_int_eq(
        sw_audit(&waters->items[0], &permeate, &conditions, &with, NULL),
        SW_OK);
    ck_assert_ptr_null(note(&with->notes, "purified-share", "carry nothing"));
    ck_assert_uint_eq(with->fitness_count, without->fitness_count);
    int larger = 0;
    for (size_t i = 0; i < with->fitness_count; i++)
        if (!isnan(with->fitness[i].purified_share)) {
            ck_assert_double_ge(with->fitness[i].purified_share,
                                without->fitness[i].purified_share - 1e-9);
            larger += with->fitness[i].purified_share >
                      without->fitness[i].purified_share + 1e-6;
        }
    ck_assert_int_gt(larger, 0);
    sw_audit_report_free(with);
    sw_audit_report_free(without);
    sw_waters_free(waters);
}
END_TEST

START_TEST(conditions_out_of_domain_are_refused)
{
    sw_waters *waters = read_text(sound);
    sw_conditions conditions = {.temperature_c = 90, .co2_atm = 4e-4};
    sw_audit_report *report;
    ck_assert_int_eq(
        sw_audit(&waters->items[0], NULL, &conditions, &report, NULL),
        SW_ERR_VALUE);
    ck_assert_ptr_null(report);
    sw_audit_report_free(NULL);
    sw_waters_free(waters);
}
END_TEST

START_TEST(every_finding_has_a_word)
{
    ck_assert_str_eq(sw_finding_text(SW_NOT_CHECKED), "not checked");
    ck_assert_str_eq(sw_finding_text(SW_AGREES), "agrees");
    ck_assert_str_eq(sw_finding_text(SW_DOUBTFUL), "doubtful");
    ck_assert_str_eq(sw_finding_text(SW_DISAGREES), "disagrees");
    ck_assert_str_eq(sw_finding_text((sw_finding)9), "unknown");
}
END_TEST
