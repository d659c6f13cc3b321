/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What readings say together, and notes on what is improbable or missing. */
#include "suite.h"

#include "records/stream.h"
#include "records/water.h"
#include "tolerances.h"

#include <math.h>

/* What every report here has besides the rows of a case. */
#define COMPLETE                                                               \
    "Ca,104,mg/L\nMg,27,mg/L\nNa,21,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"           \
    "NO3-N,4.07,mg/L\nalkalinity,300,mg/L CaCO3\n"

DEFINE_READ_TEXT(sw_waters, sw_waters_read, "well.csv")

static sw_waters *read_rows(const char *rows)
{
    char text[4096];
    (void)snprintf(text, sizeof text, "parameter,value,unit\n%s", rows);
    return read_text(text);
}

static double amount(const sw_waters *waters, int component)
{
    return waters->items[0].per_l.amount[component];
}

static void expect_close(double value, double expected)
{
    ck_assert_double_le(fabs(value - expected),
                        TOL_LAB_DIGITS * fabs(expected));
}

/* The one note there is. */
static void expect_note(const sw_waters *w, const char *code, const char *says)
{
    for (size_t i = 0; i < w->notes.count; i++)
        if (w->notes.count > 1)
            fprintf(stderr, "%s\n", w->notes.items[i].text);
    ck_assert_uint_eq(w->notes.count, 1);
    ck_assert_str_eq(w->notes.items[0].code, code);
    ck_assert_msg(strstr(w->notes.items[0].text, says) != NULL, "%s",
                  w->notes.items[0].text);
    ck_assert_ptr_nonnull(strstr(w->notes.items[0].text, "well.csv"));
}

START_TEST(a_complete_and_ordinary_water_gets_no_note)
{
    sw_waters *w = read_rows(COMPLETE "pH,7.3,\nEC,788,uS/cm\nTDS,470,mg/L\n"
                                      "K,2.4,mg/L\n");
    ck_assert_uint_eq(w->notes.count, 0);
    sw_waters_free(w);
}
END_TEST

typedef struct case_of_note {
    const char *rows;
    const char *code;
    const char *says;
} case_of_note;

START_TEST_EACH(the_improbable_gets_a_note_with_its_place, 12)
{
    static const case_of_note cases[] = {
        {"Ca,4000,mg/L\nMg,27,mg/L\nNa,21,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
         "NO3-N,4.07,mg/L\nalkalinity,300,mg/L CaCO3\n",
         "improbable", "Ca 4000 mg/L (well.csv line 2, column 4)"},
        {"Ca,104,mg/L\nMg,27,mg/L\nNa,21,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
         "NO3-N,62,mg/L\nalkalinity,300,mg/L CaCO3\n",
         "improbable", "it is 274 mg/L of NO3; was NO3 reported"},
        {COMPLETE "pH,1,\n", "improbable", "pH 1 (well.csv line 9"},
        {COMPLETE "pH,11.5,\n", "improbable", "4.5 to 10"},
        {COMPLETE "K,45,mg/L\n", "improbable", "K 45 mg/L"},
        {"Ca,104,mg/L\nMg,27,mg/L\nNa,1.1,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
         "NO3-N,4.07,mg/L\nalkalinity,300,mg/L CaCO3\nK,21,mg/L\n",
         "improbable", "more than ten times Na"},
        {COMPLETE "EC,0.8,uS/cm\n", "ec-improbable",
         "does not go with the cat"},
        {COMPLETE "EC,0.788,mS/cm\nTDS,4700,mg/L\n", "improbable",
         "mg/L over uS/cm is 5.96"},
        {COMPLETE "NO2-N,0.5,mg/L\n", "nitrite", "not counted as N"},
        {COMPLETE "turbidity,3,NTU\nBr,0.1,mg/L\n", "not-used",
         "held against no limit: turbidity, Br"},
        {COMPLETE "Zn,50,mg/L\n", "improbable", "Is the unit right?"},
        {COMPLETE "SiO2,400,mg/L\n", "improbable", "usually up to 54.8"},
    };
    sw_waters *w = read_rows(cases[_i].rows);
    expect_note(w, cases[_i].code, cases[_i].says);
    sw_waters_free(w);
}
END_TEST

#define METALS "Ca,60.117,mg/L\nMg,12.1525,mg/L\n" /* 3 and 1 meq/L */

/* What is told of a value, and not of one a hair nearer to the usual. */
START_TEST_EACH(the_improbable_begins_at_its_bound, 10)
{
    static const struct {
        const char *rows, *quiet, *told, *says;
    } cases[] = {
        {COMPLETE "pH,%s,\n", "4.5", "4.49", "4.5 to 10"},
        {COMPLETE "pH,%s,\n", "10", "10.01", "4.5 to 10"},
        {COMPLETE "EC,0.788,mS/cm\nTDS,%s,mg/L\n", "315.3", "315.1",
         "mg/L over uS/cm is 0.4"},
        {COMPLETE "EC,0.788,mS/cm\nTDS,%s,mg/L\n", "945.5", "945.7",
         "mg/L over uS/cm is 1.2"},
        {METALS "Na,2,mg/L\nK,%s,mg/L\n", "20", "20.01",
         "more than ten times Na"},
        {METALS "Na,0.5,mg/L\nK,%s,mg/L\n", "10", "10.01",
         "more than ten times Na"},
        {METALS "Na,0,mg/L\nEC,%s,mS/cm\n", "1.999", "2.001",
         "does not go with the cat"},
        {METALS "Na,0,mg/L\nEC,%s,mS/cm\n", "0.0801", "0.0799",
         "does not go with the cat"},
        {METALS "hardness,%s,meq/L\n", "4.4440", "4.4455", "hardness"},
        {METALS "hardness,%s,meq/L\n", "3.6005", "3.5990", "hardness"},
    };
    for (int told = 0; told < 2; told++) {
        char rows[512];
        bool found = false;
        (void)snprintf(rows, sizeof rows, cases[_i].rows,
                       told ? cases[_i].told : cases[_i].quiet);
        sw_waters *w = read_rows(rows);
        for (size_t i = 0; i < w->notes.count; i++)
            found = found || strstr(w->notes.items[i].text, cases[_i].says);
        ck_assert_msg(found == (told == 1), "%s", rows);
        sw_waters_free(w);
    }
}
END_TEST

/* So many times what FAO 29 Rev. 1, Tables 2 and 21, calls usual or recommends
 * at most; of silicon, twice the solubility of silica. */
START_TEST(what_is_usual_ends_where_the_tables_say)
{
    static const struct {
        const char *name, *unit;
        double most;
    } cases[] = {{"Ca", "mg/L", 2000},        {"Mg", "mg/L", 300},
                 {"Na", "mg/L", 4600},        {"Cl", "mg/L", 5300},
                 {"S", "mg/L", 1600},         {"NO3-N", "mg/L", 50},
                 {"NH4-N", "mg/L", 25},       {"P", "mg/L", 10},
                 {"K", "mg/L", 40},           {"B", "mg/L", 10},
                 {"HCO3", "meq/L", 50},       {"CO3", "meq/L", 5},
                 {"alkalinity", "meq/L", 50}, {"EC", "mS/cm", 15},
                 {"TDS", "mg/L", 10000},      {"Fe", "mg/L", 25},
                 {"Mn", "mg/L", 4},           {"Zn", "mg/L", 10},
                 {"Cu", "mg/L", 2},           {"Mo", "mg/L", 0.5},
                 {"F", "mg/L", 10},           {"Si", "mg/L", 109.6}};
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++)
        for (int told = 0; told < 2; told++) {
            char rows[128];
            bool found = false;
            (void)snprintf(rows, sizeof rows, "%s,%.9g,%s\n", cases[c].name,
                           cases[c].most * (told ? 1.001 : 0.999),
                           cases[c].unit);
            sw_waters *w = read_rows(rows);
            for (size_t i = 0; i < w->notes.count; i++)
                found |=
                    strstr(w->notes.items[i].text, "usually up to") != NULL;
            ck_assert_msg(found == (told == 1), "%s", rows);
            sw_waters_free(w);
        }
}
END_TEST

/* Nitrite-N is 14.007/46.005 of nitrite. */
START_TEST(nitrate_with_nitrite_is_nitrate_less_the_nitrite)
{
    static const struct {
        const char *rows;
        double no3_n;
        const char *says;
    } cases[] = {
        {"NOx-N,4.0,mg/L\n", 4.0, "is taken as nitrate-N; nitrite"},
        {"Nitrate + nitrite,4.0,mg/L as N\n", 4.0, "is taken as nitrate-N;"},
        {"NO2+NO3,1.0,mmol/L\n", 14.007, "is taken as nitrate-N;"},
        {"NO2,1.0,mg/L\nNOx-N,4.0,mg/L\n", 3.6955, "less the nitrite"},
        {"NOx-N,4.0,mg/L\nNO2-N,<0.1,mg/L\n", 4.0, "less the nitrite"},
        {"NO3-N,3.9,mg/L\nNOx-N,4.0,mg/L\n", 3.9, ""},
        {"NOx-N,4.0,mg/L\nNO3,17.7,mg/L\n", 3.9983, ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_waters *w = read_rows(cases[i].rows);
        bool said = false;
        expect_close(amount(w, SW_NO3_N), cases[i].no3_n);
        ck_assert(w->items[0].reported[SW_NO3_N]);
        for (size_t k = 0; k < w->notes.count; k++)
            said = said || strstr(w->notes.items[k].text, cases[i].says);
        ck_assert_msg(said, "%s", cases[i].rows);
        sw_waters_free(w);
    }
}
END_TEST

/* 1.116: ISO 7888:1985 (value from memory).  A sample loses CO2 on its way;
 * laboratories have their meters at 25 degC. */
START_TEST(of_field_and_laboratory_the_better_place_counts)
{
    static const struct {
        const char *rows;
        double ph, ec;
    } cases[] = {
        {"EC at 20 C,500,uS/cm\n", NAN, 0.558},
        {"EC at 20 C,500,uS/cm\nEC,571,uS/cm\n", NAN, 0.571},
        {"Field EC,700,uS/cm\nLab EC,571,uS/cm\n", NAN, 0.571},
        {"EC,571,uS/cm\n\"Conductivity, field\",700,uS/cm\n", NAN, 0.571},
        {"Leitf\xC3\xA4higkeit (vor Ort),700,uS/cm\n", NAN, 0.7},
        {"pH,7.9,\npH (field),7.1,\n", 7.1, NAN},
        {"pH lab,7.9,\nfield pH,7.1,\n", 7.1, NAN},
        {"pH lab,7.9,\n", 7.9, NAN},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_waters *w = read_rows(cases[i].rows);
        const double found[] = {w->items[0].ph, w->items[0].ec_ms_per_cm};
        const double right[] = {cases[i].ph, cases[i].ec};
        for (int k = 0; k < 2; k++)
            ck_assert_msg(isnan(right[k]) ? isnan(found[k])
                                          : fabs(found[k] - right[k]) < 1e-9,
                          "%s: %g", cases[i].rows, found[k]);
        sw_waters_free(w);
    }
}
END_TEST

/* Of 1 meq/L of ions a tenth is less than the 0.2 that charges are held to. */
#define SOFT                                                                   \
    "Ca,10,mg/L\nMg,3,mg/L\nNa,6,mg/L\nCl,5,mg/L\nSO4,6,mg/L\n"                \
    "alkalinity,40,mg/L CaCO3\n"

START_TEST_EACH(a_limit_of_detection_that_hides_what_matters_gets_a_note, 20)
{
    static const struct {
        const char *rows, *says; /* NULL: no note */
    } cases[] = {
        {"Na,<100,mg/L\nCa,104,mg/L\nMg,27,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
         "NO3-N,4,mg/L\nalkalinity,300,mg/L CaCO3\n",
         "Na <100 mg/L (well.csv line 2, column 4) is taken as 0, but may "
         "be "
         "more than the 34.5 mg/L up to which a water suits recirculation"},
        {"Na,<1.4,mmol/L\nCa,104,mg/L\nMg,27,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
         "NO3-N,4,mg/L\nalkalinity,300,mg/L CaCO3\n",
         "up to 1.4 meq/L beside 8.4 meq/L of ions found"},
        {"Ca,<100,mg/L\nMg,27,mg/L\nNa,21,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
         "NO3-N,4,mg/L\nalkalinity,300,mg/L CaCO3\n",
         "Ca <100 mg/L (well.csv line 2, column 4) is taken as 0, but may "
         "be "
         "up to 5 meq/L beside 8.4"},
        {"alkalinity,<100,mg/L CaCO3\nCa,20,mg/L\nMg,5,mg/L\nNa,10,mg/L\n"
         "Cl,20,mg/L\nSO4,20,mg/L\nNO3-N,4,mg/L\n",
         "more than the 1.5 meq/L up to which a water suits wetted leaves"},
        {COMPLETE "Cu,<0.5,mg/L\n",
         "the 0.2 mg/L up to which a water suits irri"},
        {COMPLETE "Fe,<0.02,mg/L\nB,<0.1,mg/L\nK,<20,mg/L\n", NULL},
        {COMPLETE "K,<40,mg/L\n", "up to 1 meq/L"},
        {SOFT "NO3-N,<2,mg/L\n", NULL},
        {SOFT "NO3-N,<4,mg/L\n", "up to 0.29 meq/L beside 1"},
        {SOFT "NO3-N,1,mg/L\nSiO2,<100,mg/L\n", NULL}, /* carries no charge */
        {COMPLETE "sulfide,<1,mg/L\n",
         "sulfide <1 mg/L (well.csv line 9, column 9) is taken as 0, but may "
         "be "
         "more than the 0.03 mg/L up to which a water suits tanks with acid"},
        {COMPLETE "sulfide,<0.02,mg/L\nAs,<10,ug/L\n", NULL},
        {COMPLETE "As,<200,ug/L\n", "0.01 mg/L up to which a water suits food"},
        {COMPLETE "free chlorine,<2,mg/L\n", "the 0.5 mg/L up to which"},
        {COMPLETE "H2S,<0.5,mg/L\nsulfide,0.01,mg/L\n", NULL},
        {COMPLETE "NO2-N,<2,mg/L\n", "the 0.91 mg/L up to which"},
        {COMPLETE "NO2,<3,mg/L\n", "0.91 mg/L"}, /* 0.913 of N */
        {COMPLETE "NO2-N,<0.9,mg/L\n", NULL},
        {COMPLETE "V,<1,mg/L\n", "the 0.1 mg/L up to which"},
        {COMPLETE "V,<0.05,mg/L\n", NULL},
    };
    sw_waters *w = read_rows(cases[_i].rows);
    if (cases[_i].says) {
        expect_note(w, "coarse-detection", cases[_i].says);
        ck_assert_int_eq(w->notes.items[0].severity, SW_WARNING);
    } else {
        ck_assert_uint_eq(w->notes.count, 0);
    }
    sw_waters_free(w);
}
END_TEST

START_TEST(an_ec_in_the_wrong_unit_is_doubted_twice)
{
    sw_waters *w = read_rows(COMPLETE "EC,788,mS/cm\n");
    ck_assert_uint_eq(w->notes.count, 2);
    ck_assert_ptr_nonnull(
        strstr(w->notes.items[0].text, "788 uS/cm would be 0.788 mS/cm"));
    ck_assert_ptr_nonnull(strstr(w->notes.items[1].text, "about 0.83"));
    sw_waters_free(w);
}
END_TEST

START_TEST(what_is_needed_and_not_reported_is_named)
{
    sw_waters *w = read_rows("Ca,104,mg/L\nNO3-N,4,mg/L\nNa,,mg/L\n");
    expect_note(w, "not-reported", "Mg, Na, Cl, S, alkalinity");
    ck_assert_int_eq(w->notes.items[0].severity, SW_WARNING);
    sw_waters_free(w);
}
END_TEST

START_TEST(missing_salts_alone_are_no_warning)
{
    sw_waters *w = read_rows("Ca,104,mg/L\nMg,27,mg/L\n"
                             "alkalinity,300,mg/L CaCO3\n");
    ck_assert_int_eq(w->notes.items[0].severity, SW_INFO);
    sw_waters_free(w);
}
END_TEST

/* ---- Alkalinity and its parts ------------------------------------------ */

typedef struct parts_case {
    const char *rows;
    double meq_per_l;
    bool reported;
    const char *code; /* of the first note; NULL: not looked at */
} parts_case;

START_TEST_EACH(alkalinity_follows_from_what_is_reported, 10)
{
    static const parts_case cases[] = {
        {"HCO3,122.03,mg/L\n", 2.0, true, NULL},
        {"HCO3,2,meq/L\nCO3,0.5,meq/L\nOH,0.1,meq/L\n", 2.6, true, NULL},
        {"HCO3 as CaCO3,100,mg/L\n", 1.9983, true, NULL},
        {"CO3,<1,mg/L\n", 0.0, false, NULL},
        {"CO3,30,mg/L\n", 0.99987, true, NULL},
        {"Ca,1,mg/L\n", 0.0, false, NULL},
        {"alkalinity,100,mg/L CaCO3\nHCO3,122,mg/L\n", 1.9983, true,
         "given-twice"},
        {"alkalinity,2.4,meq/L\nHCO3,2.02,meq/L\npH,9.2,\n", 2.4, true,
         "carbonate-unreported"},
        {"HCO3,2,meq/L\npH,9,\n", 2.0, true, "carbonate-unreported"},
        {"alkalinity,4,mg/L CaCO3\nHCO3,5,mg/L\nCO3,<1,mg/L\n", 0.079931, true,
         "given-twice"},
    };
    sw_waters *w = read_rows(cases[_i].rows);
    ck_assert_double_eq_tol(amount(w, SW_ALKALINITY), cases[_i].meq_per_l,
                            TOL_LAB_DIGITS);
    ck_assert(w->items[0].alkalinity_reported == cases[_i].reported);
    if (cases[_i].code)
        ck_assert(!strcmp(w->notes.items[0].code, cases[_i].code) ||
                  !strcmp(w->notes.items[1].code, cases[_i].code));
    sw_waters_free(w);
}
END_TEST

/* ---- Hardness ---------------------------------------------------------- */

typedef struct hardness_case {
    const char *rows;
    double ca, mg;
    const char *code; /* a note there must be */
} hardness_case;

static bool noted(const sw_waters *w, const char *code)
{
    return sw_notes_find(&w->notes, code) != NULL;
}

/* 10 meq/L of cations go with 1 mS/cm (common practice); Ca has 20.039 mg a
 * meq. */
START_TEST(readings_that_do_not_go_together_are_told_from_their_bounds_on)
{
#define TEN "Ca,200.39,mg/L\nMg,0,mg/L\nNa,0,mg/L\nalkalinity,10,meq/L\n"
#define NEXT_TO_NONE "Mg,0,mg/L\nNa,0,mg/L\nalkalinity,0.2,meq/L\n"
    static const struct {
        const char *rows, *code;
        bool told;
    } cases[] = {
        {TEN "EC,4.9,mS/cm\n", "ec-improbable", false},
        {TEN "EC,5.1,mS/cm\n", "ec-improbable", true},
        {TEN "EC,0.21,mS/cm\n", "ec-improbable", false},
        {TEN "EC,0.19,mS/cm\n", "ec-improbable", true},
        {"Ca,200.39,mg/L\nMg,0,mg/L\nEC,5.1,mS/cm\n", "ec-improbable", false},
        {"Ca,200.39,mg/L\nNa,0,mg/L\nEC,5.1,mS/cm\n", "ec-improbable", false},
        {"Mg,121.5,mg/L\nNa,0,mg/L\nEC,5.1,mS/cm\n", "ec-improbable", false},
        {"Ca,3.9,mg/L\n" NEXT_TO_NONE "EC,1,mS/cm\n", "ec-improbable", false},
        {"Ca,4.1,mg/L\n" NEXT_TO_NONE "EC,1,mS/cm\n", "ec-improbable", true},
        {"EC,1,mS/cm\nTDS,390,mg/L\n", "improbable", true},
        {"EC,1,mS/cm\nTDS,410,mg/L\n", "improbable", false},
        {"EC,1,mS/cm\nTDS,1190,mg/L\n", "improbable", false},
        {"EC,1,mS/cm\nTDS,1210,mg/L\n", "improbable", true},
        {"EC,0,mS/cm\nTDS,100,mg/L\n", "improbable", false},
        {"K,11,mg/L\nNa,1,mg/L\n", "improbable", true},
        {"K,11,mg/L\nNa,1.2,mg/L\n", "improbable", false},
        {"K,9.9,mg/L\nNa,0.5,mg/L\n", "improbable", false},
        {"K,11,mg/L\n", "improbable", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_waters *w = read_rows(cases[i].rows);
        ck_assert_msg(noted(w, cases[i].code) == cases[i].told, "case %zu", i);
        sw_waters_free(w);
    }
}
END_TEST

/* A row left empty is no listing; what another row tells is not missing. */
START_TEST(a_main_ion_listed_without_a_value_is_named)
{
    sw_waters *w = read_rows("Ca,-,mg/L\nMg,n.a.,mg/L\nSO4,-,mg/L\nK,,mg/L\n"
                             "S,12,mg/L\nFe,-,mg/L\n");
    ck_assert(noted(w, "listed-blank"));
    ck_assert_ptr_nonnull(
        strstr(w->notes.items[0].text, "lists Ca, Mg without a value"));
    sw_waters_free(w);
    w = read_rows("Ca,48,mg/L\nMg,12,mg/L\nFe,-,mg/L\n");
    ck_assert(!noted(w, "listed-blank"));
    sw_waters_free(w);
}
END_TEST

START_TEST_EACH(hardness_completes_or_checks_ca_and_mg, 13)
{
    /* 20.039 mg of Ca and 12.1525 of Mg are one meq; 1 meq/L is 50.043 mg/L
     * of CaCO3 */
    static const hardness_case cases[] = {
        {"hardness,4,meq/L\nCa,60.117,mg/L\n", 60.117, 12.1525,
         "from-hardness"},
        {"hardness,4,meq/L\nMg,12.1525,mg/L\n", 60.117, 12.1525,
         "from-hardness"},
        {"Ca hardness,3,meq/L\n", 60.117, 0.0, "from-hardness"},
        {"hardness,4,meq/L\nCa,60.117,mg/L\nMg,12.15,mg/L\n", 60.117, 12.15,
         "not-reported"},
        {"hardness,4,meq/L\nCa,150.3,mg/L\nMg,12.15,mg/L\n", 150.3, 12.15,
         "hardness-contradicts"},
        {"hardness,9,meq/L\nCa,60,mg/L\nMg,12,mg/L\n", 60.0, 12.0,
         "hardness-contradicts"},
        {"hardness,2,meq/L\nCa,60,mg/L\n", 60.0, 0.0, "hardness-contradicts"},
        {"Ca hardness,1,meq/L\nCa,60,mg/L\n", 60.0, 0.0,
         "hardness-contradicts"},
        {"Ca hardness,3,meq/L\nCa,60,mg/L\n", 60.0, 0.0, "not-reported"},
        /* a tenth and half a last digit of the hardness, 0.306 meq, apart */
        {"Ca hardness,3.01,meq/L\nCa,54,mg/L\n", 54.0, 0.0,
         "hardness-contradicts"},
        {"Ca hardness,3.01,meq/L\nCa,54.2,mg/L\n", 54.2, 0.0, "not-reported"},
        {"hardness,200.17,mg/L CaCO3\n", 0.0, 0.0, "hardness-alone"},
        /* Ca a little above the hardness leaves no Mg, not a negative one */
        {"hardness,3,meq/L\nCa,61,mg/L\n", 61.0, 0.0, "from-hardness"},
    };
    sw_waters *w = read_rows(cases[_i].rows);
    expect_close(amount(w, SW_CA), cases[_i].ca);
    expect_close(amount(w, SW_MG), cases[_i].mg);
    ck_assert_msg(noted(w, cases[_i].code), "%s", w->notes.items[0].text);
    sw_waters_free(w);
}
END_TEST

/* ---- Two readings of one thing ----------------------------------------- */

START_TEST(a_measured_value_may_stand_beside_a_limit_above_it)
{
    sw_waters *w = read_rows("NO3,<1,mg/L\nNO3-N,0.2,mg/L\n");
    expect_close(amount(w, SW_NO3_N), 0.2);
    ck_assert(!w->items[0].below_detection[SW_NO3_N]);
    sw_waters_free(w);
}
END_TEST

START_TEST(one_parameter_in_two_units_is_read_once)
{
    sw_waters *w = read_rows("Ca,104,mg/L\nCa,5.19,meq/L\nEC,788,uS/cm\n"
                             "EC,0.79,mS/cm\n");
    expect_close(amount(w, SW_CA), 104.0);
    expect_close(w->items[0].ec_ms_per_cm, 0.788);
    ck_assert(noted(w, "given-twice"));
    sw_waters_free(w);
}
END_TEST

/* ---- What is known but not calculated with ------------------------------- */

START_TEST(other_parameters_are_kept_whatever_they_say)
{
    sw_waters *w = read_rows("Ca,104,mg/L\nturbidity,clear,\n"
                             "Langelier index,-0.3,\nAl,<0.01,mg/L\n");
    const sw_reading *r = w->items[0].readings;
    ck_assert_uint_eq(w->items[0].reading_count, 4);
    ck_assert_int_eq(r[1].kind, SW_READS_OTHER);
    ck_assert_double_nan(r[1].value);
    ck_assert_double_eq(r[2].value, -0.3);
    ck_assert(r[3].below_detection);
    sw_waters_free(w);
}
END_TEST

/* 150 mg/L CaCO3 of Ca; up to 62 of Mg may hide. */
START_TEST(a_hardness_may_hold_what_is_below_detection)
{
    static const char rest[] = "Na,10,mg/L\nCl,31,mg/L\nSO4,62,mg/L\n"
                               "NO3-N,4,mg/L\nalkalinity,140,mg/L CaCO3\n";
    static const struct {
        const char *metals;
        bool contradicts;
    } cases[] = {{"Ca,60,mg/L\nMg,<15,mg/L\nhardness,200,mg/L CaCO3\n", false},
                 {"Ca,60,mg/L\nMg,<2,mg/L\nhardness,200,mg/L CaCO3\n", true},
                 {"Ca,60,mg/L\nMg,2,mg/L\nhardness,<100,mg/L CaCO3\n", true},
                 {"Ca,<10,mg/L\nMg,2,mg/L\nhardness,<50,mg/L CaCO3\n", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char rows[400];
        (void)snprintf(rows, sizeof rows, "%s%s", cases[i].metals, rest);
        sw_waters *w = read_rows(rows);
        bool found = noted(w, "hardness-contradicts");
        ck_assert_msg(found == cases[i].contradicts, "%s", cases[i].metals);
        sw_waters_free(w);
    }
}
END_TEST

START_TEST(a_metal_from_a_hardness_below_detection_is_below_it_too)
{
    sw_waters *w = read_rows("hardness,<10,mg/L CaCO3\nMg,0.1,mg/L\n"
                             "alkalinity,5,mg/L CaCO3\n");
    ck_assert(w->items[0].reported[SW_CA]);
    ck_assert(w->items[0].below_detection[SW_CA]);
    sw_waters_free(w);
}
END_TEST

START_TEST(a_temperature_may_be_in_fahrenheit)
{
    sw_waters *w = read_rows("Ca,104,mg/L\ntemperature,50,degF\n");
    expect_close(w->items[0].temperature_c, 10.0);
    sw_waters_free(w);
}
END_TEST

/* ---- Many waters ------------------------------------------------------- */

static FILE *stream_of_samples(int count)
{
    FILE *stream = tmpfile();
    ck_assert_ptr_nonnull(stream);
    fputs("sample,pH,Ca [mg/L]\n", stream);
    for (int i = 0; i < count; i++)
        fprintf(stream, "s%d,7.2,48\n", i);
    rewind(stream);
    return stream;
}

START_TEST(notes_are_bounded_and_the_last_says_so)
{
    FILE *stream = stream_of_samples(1500);
    sw_waters *w = NULL;
    ck_assert_int_eq(sw_waters_read(stream, "w.csv", &w, NULL), SW_OK);
    ck_assert_uint_eq(w->count, 1500);
    ck_assert_uint_eq(w->notes.count, SW_MAX_NOTES);
    ck_assert_str_eq(w->notes.items[SW_MAX_NOTES - 1].code, "more-notes");
    sw_waters_free(w);
    fclose(stream);
}
END_TEST

START_TEST(a_reading_that_cannot_be_reread_says_where_it_stood)
{
    sw_waters *w = read_rows("Ca,104,mg/L\nMg,27,mg/L\n");
    sw_water copy;
    sw_notes notes = {0};
    sw_error error = {0};
    char unit[] = "mS/cm";
    ck_assert_int_eq(sw_water_copy(&w->items[0], &copy, NULL), SW_OK);
    copy.readings[1].unit = unit;
    ck_assert_int_eq(sw_water_from_readings(&copy, &notes, &error),
                     SW_ERR_UNIT);
    ck_assert_str_eq(error.file, "well.csv");
    ck_assert_uint_eq(error.line, 3);
    ck_assert_int_eq(sw_water_from_readings(&copy, &notes, NULL), SW_ERR_UNIT);
    sw_notes_free(&notes);
    sw_water_clear(&copy);
    sw_waters_free(w);
}
END_TEST
