/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a report or an archive has that is not of the water: left out, and told;
 * what stands for a reading there. */
#include "suite.h"

#include "records/gathered.h"
#include "saltwright.h"

#include <math.h>
#include <string.h>

/* Zinc in a row beside calcium: read, or left out with a note. */
START_TEST(what_is_not_of_the_water_is_left_out_and_told)
{
    static const struct {
        const char *head, *calcium, *zinc;
        bool left_out;
    } cases[] = {
        {"ResultStatusIdentifier", "Final", "Rejected", true},
        {"ResultStatusIdentifier", "Final", "Accepted", false},
        {"ActivityTypeCode", "Sample-Routine",
         "Quality Control Sample-Field Blank", true},
        {"ActivityTypeCode", "Sample-Routine",
         "Quality Control Sample-Field Replicate", true},
        {"ActivityTypeCode", "Sample-Routine", "Sample-Integrated", false},
        {"ActivityMediaName", "Water", "Sediment", true},
        {"ResultSampleFractionText", "Dissolved", "Bed Sediment", true},
        {"ResultSampleFractionText", "Dissolved", "Suspended", true},
        {"ResultSampleFractionText", "Dissolved", "Total", false},
        {"procedureAnalysedMatrix", "W-DIS", "W-SPM", true},
        {"Matrix", "Aqueous", "Soil", true},
        {"Status", "Final", "Rejected", true},
        {"Status", "Within limits", "Above limit", false},
        {"Sample type", "Probe", "Blindwert", true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[300];
        (void)snprintf(text, sizeof text,
                       "parameter,value,unit,%s\nCa,40,mg/L,%s\n"
                       "Zn,0.5,mg/L,%s\n",
                       cases[i].head, cases[i].calcium, cases[i].zinc);
        sw_waters *w = gather(text, NULL);
        ck_assert_uint_eq(w->defect_count, 0);
        ck_assert_msg((w->items[0].per_l.amount[SW_ZN] == 0.0) ==
                          cases[i].left_out,
                      "%s", text);
        bool told = false;
        for (size_t k = 0; k < w->notes.count; k++)
            told |= !strcmp(w->notes.items[k].code, "not-of-water");
        ck_assert(told == cases[i].left_out);
        sw_waters_free(w);
    }
}
END_TEST

START_TEST(rows_under_a_heading_of_limits_are_not_of_the_water)
{
    static const struct {
        const char *heading;
        bool left_out;
    } cases[] = {{"Drinking water limits", true},
                 {"QC blank", true},
                 {"Grenzwerte", true},
                 {"Previous results", true},
                 {"Maximum", true},
                 {"Trace elements", false},
                 {"Anions (mg/L)", false},
                 {"ND = below the limit of detection", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[300];
        (void)snprintf(text, sizeof text,
                       "parameter,value,unit\nCa,40,mg/L\n%s,,\nZn,1,mg/L\n"
                       "Cations,,\nMg,5,mg/L\n",
                       cases[i].heading);
        sw_waters *w = gather(text, NULL);
        const double *amount = w->items[0].per_l.amount;
        ck_assert_uint_eq(w->defect_count, 0);
        ck_assert_msg((amount[SW_ZN] == 0.0) == cases[i].left_out, "%s", text);
        ck_assert(amount[SW_MG] > 4.9); /* the next heading ends it */
        sw_waters_free(w);
    }
}
END_TEST

START_TEST(what_is_not_detected_may_have_the_unit_of_its_limit)
{
    static const char head[] =
        "CharacteristicName,ResultMeasureValue,ResultMeasure/MeasureUnitCode,"
        "ResultDetectionConditionText,"
        "DetectionQuantitationLimitMeasure/MeasureValue,"
        "DetectionQuantitationLimitMeasure/MeasureUnitCode\nCalcium,40,mg/l,"
        ",,\n";
    static const struct {
        const char *row;
        bool read;
    } cases[] = {{"Iron,,,Not Detected,10,ug/l", true},
                 {"Iron,,mg/l,Not Detected,10,ug/l", true},
                 {"Iron,5,,,10,ug/l", false}, /* a value needs its own */
                 {"Iron,,,Present Above Quantification Limit,10,ug/l", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[500];
        (void)snprintf(text, sizeof text, "%s%s\n", head, cases[i].row);
        sw_waters *w = gather(text, NULL);
        ck_assert_msg((w->defect_count == 0) == cases[i].read, "%s", text);
        ck_assert(!cases[i].read ||
                  (w->items[0].below_detection[SW_FE] &&
                   fabs(w->items[0].readings[1].amount - 0.01) < 1e-9));
        sw_waters_free(w);
    }
}
END_TEST

START_TEST(what_is_dissolved_goes_before_the_whole)
{
    static const struct {
        const char *dissolved, *other;
        bool read;
    } cases[] = {{"Iron, dissolved", "Iron, total", true},
                 {"Iron, dissolved", "Iron", true},
                 {"Eisen gel\xC3\xB6st", "Eisen gesamt", true},
                 {"Fer dissous", "Fer total", true},
                 {"Hierro disuelto", "Hierro total", true},
                 {"Total dissolved iron", "Iron, acid soluble", true},
                 {"Iron", "Iron, total", false}, /* neither says so */
                 {"Iron, dissolved", "Fe dissolved", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        for (int turned = 0; turned < 2; turned++) {
            char text[300];
            (void)snprintf(text, sizeof text,
                           "parameter,value,unit\n\"%s\",%s,mg/L\n"
                           "\"%s\",%s,mg/L\n",
                           turned ? cases[i].other : cases[i].dissolved,
                           turned ? "0.5" : "0.1",
                           turned ? cases[i].dissolved : cases[i].other,
                           turned ? "0.1" : "0.5");
            sw_waters *w = gather(text, NULL);
            ck_assert_msg((w->defect_count == 0) == cases[i].read, "%s", text);
            ck_assert(!cases[i].read ||
                      fabs(w->items[0].readings[0].amount - 0.1) < 1e-9);
            ck_assert(!cases[i].read || w->remark_count == 1);
            sw_waters_free(w);
        }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("not_of_water");
    TCase *t = tcase_create("not_of_water");
    tcase_add_test(t, what_is_not_of_the_water_is_left_out_and_told);
    tcase_add_test(t, rows_under_a_heading_of_limits_are_not_of_the_water);
    tcase_add_test(t, what_is_not_detected_may_have_the_unit_of_its_limit);
    tcase_add_test(t, what_is_dissolved_goes_before_the_whole);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
