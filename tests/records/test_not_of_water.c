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
        bool told = sw_notes_find(&w->notes, "not-of-water") != NULL;
        ck_assert(told == cases[i].left_out);
        sw_waters_free(w);
    }
}
END_TEST

/* A sample in each row, or in each column: that of `kind` is read, left out
 * with a note, or read with a note that it is no source water. */
START_TEST(a_sample_that_is_of_no_water_is_left_out_or_told)
{
    enum { READ, TOLD, LEFT_OUT };
    static const char *const codes[] = {"", "not-source-water", "not-of-water"};
    static const struct {
        const char *head, *kind;
        int how;
    } cases[] = {
        {"matrix", "Ground water", READ},
        {"matrix", "Soil", LEFT_OUT},
        {"Sample Type", "Leaf tissue", LEFT_OUT},
        {"sample matrix", "Saturated paste", LEFT_OUT},
        {"Sample type", "Field blank", LEFT_OUT},
        {"Probenart", "Boden", LEFT_OUT},
        {"tipo de muestra", "Suelo", LEFT_OUT},
        {"matrix", "Leachate", TOLD},
        {"Sample type", "Nutrient solution", TOLD},
        {"monstertype", "Drainwater", TOLD},
        {"Sample type", "Water treatment plant", READ},
        {"Status", "Within limits", READ},
        {"Status", "Rejected", LEFT_OUT},
        {"Crop", "leaf lettuce", READ},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        for (int turned = 0; turned < 2; turned++) {
            char text[400];
            (void)snprintf(text, sizeof text,
                           turned ? "Sample,first,second\n%s,Water,%s\n"
                                    "pH,7.1,6.5\nCa [mg/L],40,500\n"
                                    "Mg [mg/L],5,50\n"
                                  : "Sample,%s,pH,Ca [mg/L],Mg [mg/L]\n"
                                    "first,Water,7.1,40,5\n"
                                    "second,%s,6.5,500,50\n",
                           cases[i].head, cases[i].kind);
            sw_waters *w = gather(text, NULL);
            ck_assert_uint_eq(w->defect_count, 0);
            ck_assert_msg(w->count == 2u - (cases[i].how == LEFT_OUT), "%s",
                          text);
            ck_assert_str_eq(w->items[0].sample, "first");
            for (int how = TOLD; how <= LEFT_OUT; how++) {
                bool told = sw_notes_find(&w->notes, codes[how]) != NULL;
                ck_assert_msg(told == (cases[i].how == how), "%s: %s", text,
                              codes[how]);
            }
            sw_waters_free(w);
        }
}
END_TEST

/* What is known to be a solution is not told to be one; a sample, or a reading
 * in each row. */
START_TEST_EACH(a_leachate_that_is_read_as_a_solution_is_not_doubted, 2)
{
    static const char *const texts[] = {"Sample,matrix,pH,Ca [mg/L],Mg [mg/L]\n"
                                        "tray,leachate,6.5,500,50\n",
                                        "Sample,matrix,parameter,value,unit\n"
                                        "tray,leachate,pH,6.5,\n"
                                        "tray,leachate,Ca,500,mg/L\n"};
    sw_waters *w = gather(texts[_i], NULL);
    ck_assert_str_eq(w->items[0].fed, "leachate");
    for (int solution = 0; solution < 2; solution++) {
        sw_notes notes = {0};
        w->items[0].is_solution = solution;
        ck_assert_int_eq(sw_water_notes(&w->items[0], &notes, NULL), SW_OK);
        bool told = sw_notes_find(&notes, "not-source-water") != NULL;
        ck_assert_int_eq(told, !solution);
        sw_notes_free(&notes);
    }
    sw_waters_free(w);
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

/* Neither the water's calcium nor its manganese: told, and not read. */
START_TEST(a_limit_or_a_blank_in_brackets_is_not_of_the_water)
{
    sw_waters *w = gather("parameter,value,unit\nCa,80,mg/L\n"
                          "Calcium (limit),200,mg/L\nMn (MDL),0.05,mg/L\n"
                          "Copper (blank),0.02,mg/L\n",
                          NULL);
    ck_assert_uint_eq(w->defect_count, 0);
    ck_assert_uint_eq(w->items[0].reading_count, 1);
    const sw_note *last = &w->notes.items[w->notes.count - 1];
    ck_assert_str_eq(last->code, "not-read");
    ck_assert(strstr(last->text, "Calcium (limit), Mn (MDL), Copper (blank)"));
    sw_waters_free(w);
}
END_TEST
