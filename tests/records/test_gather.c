/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files of several waters read once, with what is wrong in them; units given
 * for a whole file. */
#include "suite.h"

#include "records/gathered.h"
#include "saltwright.h"

#include <math.h>
#include <string.h>

START_TEST(units_given_for_a_file_reach_what_has_none)
{
    sw_waters *w = gather("sample,pH,EC,Ca,Fe,Mg [mg/L]\nwell,7.1,0.8,2,10,9\n",
                          "mmol/L; EC mS/cm; Fe Mn umol/L");
    ck_assert_uint_eq(w->defect_count, 0);
    const sw_water *well = &w->items[0];
    ck_assert_double_eq_tol(well->per_l.amount[SW_CA], 80.156, 1e-3);
    ck_assert_double_eq_tol(well->per_l.amount[SW_FE], 0.55845, 1e-4);
    ck_assert_double_eq_tol(well->per_l.amount[SW_MG], 9.0, 1e-9);
    ck_assert_double_eq_tol(well->ec_ms_per_cm, 0.8, 1e-9);
    sw_waters_free(w);
}
END_TEST

START_TEST(a_unit_given_settles_an_open_name)
{
    sw_waters *w = gather("parameter,value\nnitrate,4\nalkalinity,120\n",
                          "nitrate mg/L as N; alkalinity mg/L CaCO3");
    ck_assert_uint_eq(w->defect_count, 0);
    ck_assert_double_eq_tol(w->items[0].per_l.amount[SW_NO3_N], 4.0, 1e-9);
    ck_assert_double_eq_tol(w->items[0].per_l.amount[SW_ALKALINITY], 2.398,
                            1e-3);
    sw_waters_free(w);
}
END_TEST

/* Invented; "diluted x10" in a sample's own cell is refused. */
START_TEST(the_name_of_a_file_says_nothing_of_its_values)
{
    FILE *stream = stream_of("pH;Ca [mg/L]\n7,3;104\n");
    sw_waters *w = NULL;
    ck_assert_int_eq(sw_waters_gather(stream, "well_x10.csv", "", &w, NULL),
                     SW_OK);
    fclose(stream);
    ck_assert_uint_eq(w->defect_count, 0);
    ck_assert_double_eq(w->items[0].per_l.amount[SW_CA], 104);
    sw_waters_free(w);
    w = gather("sample;pH;Ca [mg/L]\nwell x10;7,3;104\n", "");
    ck_assert_uint_eq(w->defect_count, 1);
    sw_waters_free(w);
}
END_TEST

START_TEST(units_given_wrongly_are_refused)
{
    static char meanings[1024];
    const struct {
        const char *units;
        sw_status status;
    } cases[] = {{"mg/bucket", SW_ERR_UNIT},
                 {"Ca Mg", SW_ERR_UNIT},
                 {"Calcum mg/L", SW_ERR_NAME},
                 {"mg/L; mmol/L", SW_ERR_DUPLICATE},
                 {"Ca, Mg mg/L; ; Mg ug/L", SW_ERR_DUPLICATE},
                 {"Ca, Calcum mg/L", SW_ERR_NAME},
                 {meanings, SW_ERR_LIMIT}};
    for (int i = 0; i < 65; i++)
        strcat(meanings, "x=Ca [mg/L];");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        FILE *stream = stream_of("parameter,value\nCa,4\n");
        sw_waters *waters = NULL;
        sw_error error = {0};
        ck_assert_int_eq(
            sw_waters_gather(stream, "w", cases[i].units, &waters, &error),
            cases[i].status);
        ck_assert_ptr_null(waters);
        ck_assert(*error.message && !*error.file);
        fclose(stream);
    }
}
END_TEST

/* A laboratory's sheet: titles, headings, two units, a footnote. */
static const char sheet[] = "Laboratorio inventado;;;\n"
                            "Muestra;Pozo 3;;\n"
                            ";;;\n"
                            "Parámetro;mg/l;meq/l;Método\n"
                            "Cationes;;;\n"
                            "Calcio;80,2;4,0;ICP\n"
                            "Magnesio;12,1;1,0;ICP\n"
                            "Hierro;n.d.;;ICP\n"
                            "Aniones;;;\n"
                            "Nitratos;12,4;0,2;IC\n"
                            "pH;7,4;;\n"
                            "Bicarbonatos;200;3,28;\n"
                            "Muestra tomada por el cliente;;;\n";

START_TEST(samples_of_one_day_are_named_by_the_hour)
{
    sw_waters *w = gather("Sample,Date,Time,Ca mg/L\n"
                          "A,2021-03-02,8:00,50\nA,2021-03-02,9:30,52\n"
                          "B,2021-03-02,9:30,54\n",
                          NULL);
    ck_assert_str_eq(w->items[0].sample, "A 2021-03-02 8:00");
    ck_assert_str_eq(w->items[1].sample, "A 2021-03-02 9:30");
    ck_assert_uint_eq(w->count, 3);
    sw_waters_free(w);
    w = gather("Station,Date,Time,Parameter,Value,Unit\n"
               "N,2021-03-02,8:00,Ca,50,mg/L\nN,2021-03-02,9:30,Ca,52,mg/L\n",
               NULL);
    ck_assert_str_eq(w->items[0].sample, "N 2021-03-02 8:00");
    ck_assert_str_eq(w->items[1].sample, "N 2021-03-02 9:30");
    sw_waters_free(w);
}
END_TEST

START_TEST(a_sheet_is_read_as_it_arrives)
{
    sw_waters *w = gather(sheet, NULL);
    ck_assert_uint_eq(w->defect_count, 0);
    ck_assert_uint_eq(w->count, 1);
    const sw_water *well = &w->items[0];
    ck_assert_str_eq(well->sample, "Pozo 3");
    ck_assert_double_eq_tol(well->per_l.amount[SW_CA], 80.2, 1e-9);
    /* in mg/l it could be NO3 or NO3-N; in meq/l it is NO3 */
    ck_assert_double_eq_tol(well->per_l.amount[SW_NO3_N], 2.8014, 1e-4);
    ck_assert_uint_eq(w->remark_count, 7);
    ck_assert_str_eq(w->remarks[0].written, "Laboratorio inventado");
    ck_assert_uint_eq(w->remarks[6].line, 13);
    sw_waters_free(w);
}
END_TEST

START_TEST(what_is_not_detected_without_a_limit_has_a_usual_one)
{
    sw_waters *w = gather(sheet, NULL);
    const sw_reading *iron = &w->items[0].readings[2];
    ck_assert_str_eq(iron->parameter, "Hierro");
    ck_assert(iron->below_detection && iron->limit_assumed);
    ck_assert_double_eq_tol(iron->amount, 0.05, 1e-9);
    ck_assert_double_eq(w->items[0].per_l.amount[SW_FE], 0.0);
    const sw_note *last = &w->notes.items[w->notes.count - 1];
    ck_assert_str_eq(last->code, "limit-assumed");
    ck_assert(strstr(last->text, "Hierro 0.05 mg/l") != NULL);
    sw_waters_free(w);
}
END_TEST

START_TEST(a_limit_may_stand_with_the_value_or_beside_it)
{
    static const struct {
        const char *row;
        double limit;
        bool usual;
    } cases[] = {{"Fe,<0.2,,,mg/L", 0.2, false},
                 {"Fe,0.2 U,,,mg/L", 0.2, false},
                 {"Fe,<0.2 mg/L,,,", 0.2, false},
                 {"Fe,< 200 ug/l,,,", 0.2, false},
                 {"Fe,ND,,200 ug/L,mg/L", 0.2, false},
                 {"Fe,ND (0.2),,,mg/L", 0.2, false},
                 {"Fe,\xE2\x89\xA4 0.2,,,mg/L", 0.2, false},
                 {"Fe,0.2,<,,mg/L", 0.2, false},
                 {"Fe,ND,,0.2,mg/L", 0.2, false},
                 {"Fe,0.1,U,0.2,mg/L", 0.2, false},
                 {"Fe,0.2,\"J,U\",,mg/L", 0.2, false},
                 {"Fe,<LOD,,,mg/L", 0.05, true},
                 {"Fe,trace,,,ug/L", 0.05, true},
                 {"Fe,,ND,,mg/L", 0.05, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[200];
        (void)snprintf(text, sizeof text,
                       "parameter,value,qualifier,MDL,unit\n%s\n",
                       cases[i].row);
        sw_waters *w = gather(text, NULL);
        ck_assert_msg(w->count == 1 && w->defect_count == 0, "%s", text);
        const sw_reading *r = &w->items[0].readings[0];
        ck_assert_msg(r->below_detection &&
                          r->limit_assumed == cases[i].usual &&
                          fabs(r->amount - cases[i].limit) < 1e-9,
                      "%s: %g", text, r->amount);
        sw_waters_free(w);
    }
}
END_TEST

/* Files of one water, or which are refused. */
typedef struct one_reading {
    const char *text;
    double amount; /* mg/L of the last reading; 0: refused */
    bool below;
} one_reading;

static void check_readings(const one_reading *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *text = cases[i].text;
        sw_waters *w = gather(text, NULL);
        bool read = w->count == 1 && w->defect_count == 0;
        ck_assert_msg(read == (cases[i].amount > 0), "%s: %zu, %zu", text,
                      w->count, w->defect_count);
        const sw_reading *r =
            read ? &w->items[0].readings[w->items[0].reading_count - 1] : NULL;
        ck_assert_msg(!r || (fabs(r->amount - cases[i].amount) < 1e-6 &&
                             r->below_detection == cases[i].below),
                      "%s: %g", text, r ? r->amount : 0.0);
        sw_waters_free(w);
    }
}
#define CHECK_READINGS(cases)                                                  \
    check_readings((cases), sizeof(cases) / sizeof *(cases))

START_TEST(a_unit_in_a_cell_must_fit_its_column)
{
    static const one_reading cases[] = {
        {"parameter,value,unit\nB,500 ug/L,mg/L\n", 0, false},
        {"parameter,value,unit\nB,<500 ug/L,mg/L\n", 0, false},
        {"parameter,value,unit\nB,500 ug/L,\n", 0.5, false},
        {"parameter,value,unit\nB,0.5 mg/l,mg/L\n", 0.5, false},
        {"parameter,value,unit\nnitrate,4 mg/L as N,mg/L\n", 4, false},
        {"parameter,value,unit\nnitrate,4 mg/L as N,mg/L as NO3\n", 0, false},
        {"parameter,result (mg/L)\nB,500 ug/L\n", 0, false},
        {"sample,Ca [mg/L],B [mg/L]\nwell,80,500 ug/L\n", 0, false}};
    CHECK_READINGS(cases);
}
END_TEST

START_TEST(a_mark_counts_whatever_heads_its_column)
{
    static const char *const heads[] = {
        "result flag", "lab qualifiers", "remark", "comment",   "note",
        "code",        "symbol",         "LT",     "detection", "odd"};
    static const char *const marks[] = {"<", "ND", "\xE2\x89\xA4"};
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        for (size_t k = 0; k < 3; k++) {
            char text[200];
            const one_reading one = {text, 0.5, true};
            (void)snprintf(text, sizeof text,
                           "parameter,%s,value,unit\nCa,,80,mg/L\n"
                           "B,%s,0.5,mg/L\n",
                           heads[i], marks[k]);
            check_readings(&one, 1);
        }
    static const one_reading cases[] = {
        {"parameter,odd,value,unit\nCa,J,80,mg/L\nB,U,0.5,mg/L\n", 0.5, true},
        {"parameter,remark,value,unit\nCa,cloudy,80,mg/L\nB,<,0.5,mg/L\n", 0.5,
         true},
        {"parameter,group,value,unit\nCa,A,80,mg/L\nB,U,0.5,mg/L\n", 0.5,
         false},
        {"parameter,exceeds,value,unit\nCa,true,80,mg/L\nB,false,0.5,mg/L\n",
         0.5, false},
        {"parameter,flag,remark,value,unit\nCa,J,,80,mg/L\nB,J,<,0.5,mg/L\n",
         0.5, true},
        {"sample,Ca mg/L,B mg/L,B flag\nA,80,0.5,<\n", 0.5, true},
        {"sample,Ca mg/L,B mg/L,Ca flag,B_flag\nA,80,0.5,,U\n", 0.5, true},
        {"sample,Ca mg/L,B mg/L,Ca flag,B flag\nA,80,0.5,<,\n", 0.5, false},
        {"sample,Ca mg/L,B mg/L,odd\nA,80,0.5,<\n", 0.5, true}};
    CHECK_READINGS(cases);
}
END_TEST

START_TEST(what_a_mark_or_a_limit_leaves_open_is_noted)
{
    static const struct {
        const char *text, *code;
    } cases[] = {
        {"parameter,flag,value,unit\nCa,G,80,mg/L\n", "mark-unknown"},
        {"parameter,flag,value,unit\nCa,J,80,mg/L\n", NULL},
        {"parameter,value,LOD,unit\nB,0.5,0.5,mg/L\n", "at-limit"},
        {"parameter,value,LOD,unit\nB,0.6,0.5,mg/L\n", NULL},
        {"parameter,value,unit,LOD,unit\nB,0.5,mg/L,600,ug/L\n", "at-limit"},
        {"parameter,value,LOD,unit\nB,<0.5,0.5,mg/L\n", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_waters *w = gather(cases[i].text, NULL);
        bool noted = false;
        ck_assert_msg(w->count == 1 && w->defect_count == 0, "%s",
                      cases[i].text);
        for (size_t k = 0; k < w->notes.count; k++) {
            const char *code = w->notes.items[k].code;
            noted |= cases[i].code && !strcmp(code, cases[i].code);
            ck_assert_msg(cases[i].code || (strcmp(code, "at-limit") != 0 &&
                                            strcmp(code, "mark-unknown") != 0),
                          "%s: %s", cases[i].text, code);
        }
        ck_assert_msg(noted == (cases[i].code != NULL), "%s", cases[i].text);
        sw_waters_free(w);
    }
}
END_TEST

/* Which column holds the value, which its unit: said, or refused. */
START_TEST(the_value_is_told_from_what_stands_beside_it)
{
    static const one_reading cases[] = {
        {"parameter,unit,average,MCL\nCa,mg/L,80,200\n", 80, false},
        {"parameter,unit,MCL,mean,SD,count\nCa,mg/L,200,80,3,9\n", 80, false},
        {"parameter,unit,average,LOD\nCa,mg/L,<1,1\n", 1, true},
        {"parameter,unit,well 1,MCL\nCa,mg/L,80,200\nNa,mg/L,3,9\n", 3, false},
        {"parameter,unit,average,other\nCa,mg/L,80,200\nNa,mg/L,3,9\n", 0,
         false},
        {"parameter,unit,mean,median\nCa,mg/L,80,81\nNa,mg/L,3,3\n", 0, false},
        {"parameter,result,corrected result,unit\nCa,40,80,mg/L\n", 0, false},
        {"parameter,value,new value,unit\nCa,40,80,mg/L\n", 0, false},
        {"parameter,result,previous result,unit\nCa,40,80,mg/L\n", 40, false},
        {"parameter,result,result ID,unit\nCa,40,80,mg/L\n", 40, false},
        {"parameter,result,average,unit\nCa,40,80,mg/L\n", 40, false},
        {"parameter,RL,unit,result,unit\nCa,500,ug/L,80,mg/L\n", 80, false},
        {"parameter,result,unit,RL,unit\nCa,ND,mg/L,500,ug/L\n", 0.5, true},
        {"parameter,RL,unit,result,unit\nCa,500,ug/L,ND,mg/L\n", 0.5, true},
        {"parameter,MCL,unit,result,unit\nCa,500,ug/L,80,mg/L\n", 80, false},
        {"parameter,RL,unit,result\nCa,1,mg/L,80\n", 80, false},
        {"parameter,unit,result,unit\nCa,mg/L,80,mg/L\n", 80, false},
        {"parameter,unit,result,unit\nCa,ug/L,80,mg/L\n", 0, false},
        {"ion,ppm,meq/L\nCa,80,3.99\nB,1.4,\n", 1.4, false},
        {"ion,meq/L,ppm\nCa,3.99,80\nB,,1.4\n", 1.4, false},
        {"ion,ppm,meq/L\nCa,80,5\n", 0, false}};
    CHECK_READINGS(cases);
}
END_TEST

/* What a bracket or a unit says a reading is of decides it, or it is refused.
 */
START_TEST(a_name_may_say_what_it_is_of)
{
    static const struct {
        const char *name, *unit;
        double amount; /* of 10; 0: refused */
    } cases[] = {{"Silica (as Si)", "mg/L", 10},
                 {"Silica", "mg/L", 10 * 28.085 / 60.083},
                 {"Silica (as SiO2)", "mg/L", 10 * 28.085 / 60.083},
                 {"Sulfate (as SO4-S)", "mg/L", 10},
                 {"Sulfate (as S)", "mg/L", 10},
                 {"Calcium (ppm CaCO3)", "mg/L", 10 * 40.078 / 100.086},
                 {"Boron (boric acid)", "mg/L", 10 * 10.81 / 61.831},
                 {"Phosphate (as P2O5)", "mg/L", 10 * 61.948 / 141.943},
                 {"Chloride (as CaCO3)", "mg/L", 0},
                 {"Chloride (as NaCl)", "mg/L", 10 * 35.45 / 58.44},
                 {"Sodium (as CaCO3)", "mg/L", 0},
                 {"Nitrate Nitrogen (NO3)", "mg/L", 0},
                 {"Nitrate (as CaCO3)", "mg/L", 0},
                 {"Calcium (como CaCO3)", "mg/L", 10 * 40.078 / 100.086},
                 {"Calcium (CaCO3 equivalent)", "mg/L", 10 * 40.078 / 100.086},
                 {"Calcium (eq. CaCO3)", "mg/L", 10 * 40.078 / 100.086},
                 {"Potassium (expressed as K2O)", "mg/L", 10 * 78.196 / 94.195},
                 {"Sulfate (als S)", "mg/L", 10},
                 {"Sulphate (S-SO4)", "mg/L", 10},
                 {"Nitrate (en N)", "mg/L", 10},
                 {"Boron (in ppb)", "", 0.01},
                 {"Boron (EPA 200.7)", "mg/L", 10},
                 {"Boron (ICP 7440-42-8)", "mg/L", 10},
                 {"Calcium (gel\xC3\xB6st)", "mg/L", 10},
                 {"TDS (180 \xC2\xB0"
                  "C)",
                  "mg/L", 10},
                 {"Conductivity (20 C)", "dS/m", 11.16}, /* ISO 7888 */
                 {"EC [20\xC2\xB0"
                  "C]",
                  "dS/m", 11.16},
                 {"EC (field)", "dS/m", 10},
                 {"EC (field, 15 C)", "dS/m", 0},
                 {"EC (1:5)", "dS/m", 0},
                 {"Conductivity (ref. temp. 20 \xC2\xB0"
                  "C)",
                  "dS/m", 0},
                 {"Boron by ICP", "mg/L", 10},
                 {"\"Calcium, EPA 200.7\"", "mg/L", 10},
                 {"Calcium 7440-70-2", "mg/L", 10},
                 {"NO3 expressed as N", "mg/L", 10},
                 {"\"Iron, Total Recoverable\"", "mg/L", 10},
                 {"BORON EXTRACTABLE", "mg/L", 10},
                 {"Stickstoff Nitrat NO3-N", "mg/L", 10},
                 {"Boron in leaves", "mg/L", 0},
                 {"Sulfate/S", "mg/L", 0},
                 {"Calcium (x10)", "mg/L", 0},
                 {"Calcium (per 100 mL)", "mg/L", 0},
                 {"Sulfate (SO4/S)", "mg/L", 0},
                 {"Boron (in ppb)", "mg/L", 0},
                 {"Calcium (mg/L)", "meq/L", 0},
                 {"Nitrate (as N)", "mg/L as NO3", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[200];
        (void)snprintf(text, sizeof text, "parameter,value,unit\n%s,10,%s\n",
                       cases[i].name, cases[i].unit);
        sw_waters *w = gather(text, NULL);
        bool read = w->count == 1 && w->items[0].reading_count == 1;
        ck_assert_msg(read == (cases[i].amount > 0), "%s", text);
        ck_assert_msg(w->defect_count == !read, "%s", text);
        ck_assert_msg(!read || fabs(w->items[0].readings[0].amount -
                                    cases[i].amount) < 1e-3,
                      "%s: %g", text, w->items[0].readings[0].amount);
        sw_waters_free(w);
    }
}
END_TEST

/* Nitrate of 4 mg/L, as a column of its own says. */
START_TEST(a_basis_in_a_column_is_understood_or_refused)
{
    static const struct {
        const char *basis;
        double no3_n; /* NaN: refused */
    } cases[] = {
        {"as N", 4},        {"como N", 4},  {"expressed as NO3", 0.904},
        {"als NO3", 0.904}, {"weird", NAN}, {"-", NAN}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[200];
        (void)snprintf(text, sizeof text,
                       "parameter,value,unit,basis\nCa,40,mg/L,-\n"
                       "Nitrate,4,mg/L,%s\n",
                       cases[i].basis);
        sw_waters *w = gather(text, NULL);
        ck_assert_msg(!isnan(cases[i].no3_n) == (w->defect_count == 0), "%s",
                      text);
        if (!isnan(cases[i].no3_n))
            ck_assert_double_eq_tol(w->items[0].per_l.amount[SW_NO3_N],
                                    cases[i].no3_n, 1e-3);
        sw_waters_free(w);
    }
}
END_TEST

static const char archive[] = "station,date,parameter,value,unit\n"
                              "N-1,2020-05-01,Ca,40,mg/L\n"
                              "N-1,2021-05-01,Ca,41,mg/L\n"
                              "N-2,2021-05-01,Ca,42x,mg/L\n"
                              "N-2,2021-05-01,Mg,4,mg/L\n";

/* The total stands beside it, in whatever language either is said. */
START_TEST(what_is_dissolved_is_what_counts)
{
    static const char *const pairs[][2] = {
        {"Eisen gel\xC3\xB6st", "Eisen gesamt"},
        {"Fer dissous", "Fer total"},
        {"Hierro disuelto", "Hierro total"},
        {"IJzer opgelost", "IJzer totaal"},
        {"Iron dissolved", "Iron"},
        {"Iron (filtered)", "Iron, total recoverable"}};
    for (size_t i = 0; i < 2 * sizeof pairs / sizeof *pairs; i++) {
        char text[200];
        const char *const *pair = pairs[i / 2];
        (void)snprintf(text, sizeof text,
                       "parameter,value,unit\n\"%s\",%d,mg/L\n"
                       "\"%s\",%d,mg/L\n",
                       pair[i % 2], i % 2 ? 20 : 10, pair[!(i % 2)],
                       i % 2 ? 10 : 20);
        sw_waters *w = gather(text, NULL);
        ck_assert_msg(w->defect_count == 0 && w->remark_count == 1, "%s", text);
        ck_assert_double_eq(w->items[0].per_l.amount[SW_FE], 10);
        sw_waters_free(w);
    }
}
END_TEST

START_TEST(a_sample_is_chosen_by_station_and_date)
{
    sw_waters *w = gather(archive, NULL);
    ck_assert_uint_eq(w->count, 3);
    ck_assert_ptr_eq(sw_waters_find(w, "N-1 2021-05-01"), &w->items[1]);
    ck_assert_ptr_eq(sw_waters_find(w, "n-1 2020-05-01"), &w->items[0]);
    ck_assert_ptr_eq(sw_waters_find(w, "N-2"), &w->items[2]);
    ck_assert_ptr_eq(sw_waters_find(w, "2020-05-01"), &w->items[0]);
    ck_assert_ptr_null(sw_waters_find(w, "N-1"));
    ck_assert_ptr_null(sw_waters_find(w, NULL));
    sw_waters_free(w);
}
END_TEST

START_TEST(a_defect_is_that_of_its_sample)
{
    sw_waters *w = gather(archive, NULL);
    ck_assert_uint_eq(w->defect_count, 1);
    ck_assert_uint_eq(w->defects[0].sample, 2);
    ck_assert_uint_eq(w->defects[0].error.line, 4);
    ck_assert_uint_eq(w->defects[0].error.column, 19);
    ck_assert(sw_waters_sound(w, &w->items[0]));
    ck_assert(!sw_waters_sound(w, &w->items[2]));
    sw_waters_free(w);
}
END_TEST

START_TEST(defects_are_bounded_and_the_last_says_so)
{
    FILE *stream = tmpfile();
    sw_waters *w = NULL;
    fputs("parameter,value,unit\n", stream);
    for (int i = 0; i < 300; i++)
        fputs("Ca,x,mg/L\n", stream);
    rewind(stream);
    ck_assert_int_eq(sw_waters_gather(stream, "w", NULL, &w, NULL), SW_OK);
    ck_assert_uint_eq(w->defect_count, SW_MAX_DEFECTS);
    ck_assert(strstr(w->defects[SW_MAX_DEFECTS - 1].error.message,
                     "101 further defects") != NULL);
    sw_waters_free(w);
    fclose(stream);
}
END_TEST

/* Each name or unit that says too little, what may be stated of it, and what
 * one of that makes of it. */
static const struct {
    const char *row, *choices, *stated;
    sw_component component;
    double per_l; /* mg, meq of alkalinity */
} too_little[] = {
    {"Nitrat,62.0,mg/L", "Nitrat=NO3|Nitrat=NO3-N", "Nitrat=NO3", SW_NO3_N,
     14.006},
    {"Nitrat,62.0,mg/L", "Nitrat=NO3|Nitrat=NO3-N", "Nitrat=NO3-N", SW_NO3_N,
     62.0},
    {"Phosphat,9.5,", "Phosphat=PO4|Phosphat=P|Phosphat=P2O5",
     "mg/L; phosphat = PO4", SW_P, 3.098},
    {"NOx,3,mg/L", "NOx=NO3-N|NOx=NO3-N + NO2-N", "NOx=NO3-N", SW_NO3_N, 3.0},
    {"N,3,mg/L", "N=NO3-N|N=NH4-N|N=urea-N", "N=NH4-N", SW_NH4_N, 3.0},
    {"Chlor,35,mg/L", "Chlor=Cl|Chlor=free chlorine|Chlor=total chlorine",
     "Chlor=Cl", SW_CL, 35.0},
    {"alkalinity,100,mg/L",
     "alkalinity=[meq/L]|alkalinity=[mg/L CaCO3]|alkalinity=[mg/L HCO3]|"
     "alkalinity=[dH]|alkalinity=[fH]",
     "alkalinity=[mg/L CaCO3]", SW_ALKALINITY, 1.998},
    {"NaCl,3,mg/L", "", NULL, SW_NA, 0.0}, /* two lines are meant */
};

START_TEST_EACH(what_says_too_little_is_asked_and_then_taken_as_stated,
                sizeof too_little / sizeof *too_little)
{
    char text[120];
    sw_waters *w;
    (void)snprintf(text, sizeof text, "parameter,value,unit\nCa,80,mg/L\n%s\n",
                   too_little[_i].row);
    w = gather(text, NULL);
    ck_assert_uint_eq(w->defect_count, 1);
    ck_assert_str_eq(w->defects[0].choices, too_little[_i].choices);
    sw_waters_free(w);
    if (!too_little[_i].stated)
        return;
    w = gather(text, too_little[_i].stated);
    ck_assert_uint_eq(w->defect_count, 0);
    ck_assert_double_eq_tol(w->items[0].per_l.amount[too_little[_i].component],
                            too_little[_i].per_l, 0.01);
    sw_waters_free(w);
}
END_TEST

START_TEST(a_meaning_that_is_none_settles_nothing)
{
    sw_waters *w = gather("parameter,value,unit\nNitrat,6,mg/L\nCa,80,mg/L\n",
                          "Nitrat=turnips; Ca=[mmol/L]; Mg=Ca");
    ck_assert_uint_eq(w->defect_count, 1);
    sw_waters_free(w);
}
END_TEST

/* The 150 bytes there are for a name end within a character of two. */
START_TEST(a_long_name_is_cut_between_characters)
{
    for (int count = 60; count < 300; count += 80) {
        char name[1024] = "x", text[2048];
        for (int k = 0; k < count; k++)
            strcat(name, "\xC3\xA9");
        (void)snprintf(text, sizeof text,
                       "Sample,Parameter,Value,Unit\n%s,Calcium,50,mg/L\n",
                       name);
        sw_waters *w = gather(text, NULL);
        ck_assert_uint_eq(w->count, 1);
        name[149] = '\0';
        ck_assert_str_eq(w->items[0].sample, name);
        sw_waters_free(w);
    }
}
END_TEST
