/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each threshold on both of its sides, a hair apart: what is read or refused,
 * what a check of a lab report finds, from where on something is said.  The
 * numbers are those of the sources, not of our tables.
 */
#include "assess/feed.h"

#include "assess/evidence.h"

/* ---- What is read --------------------------------------------------------*/

typedef enum file_kind { WATER, TARGET, SHELF, TANKS } file_kind;

static sw_status read_as(file_kind kind, const char *text)
{
    FILE *stream = fmemopen((void *)text, strlen(text), "r");
    sw_waters *waters = NULL;
    sw_target *target = NULL;
    sw_shelf *shelf = NULL;
    sw_placement *tanks = NULL;
    sw_error error = {0};
    sw_status status = SW_OK;
    ck_assert_int_eq(sw_shelf_catalogue(&shelf, &error), SW_OK);
    if (kind == TANKS)
        status = sw_placements_read(stream, "t", shelf, &tanks, &error);
    sw_shelf_free(shelf);
    shelf = NULL;
    if (kind == WATER)
        status = sw_waters_read(stream, "w", &waters, &error);
    if (kind == TARGET)
        status = sw_target_read(stream, "t", &target, &error);
    if (kind == SHELF)
        status = sw_shelf_read(stream, "s", &shelf, &error);
    ck_assert(status == SW_OK || error.message[0]);
    sw_waters_free(waters);
    sw_target_free(target);
    sw_shelf_free(shelf);
    sw_placements_free(tanks);
    fclose(stream);
    return status;
}

static const struct {
    file_kind kind;
    const char *text;          /* with %s for the number */
    const char *least, *under; /* read, and refused; NULL: no such end */
    const char *most, *over;
} READ[] = {
    {WATER, "parameter,value,unit\nCa,%s,mg/L\n", "0", "-1e-9", "999999",
     "1000001"},
    {WATER, "parameter,value,unit\nCa,40,mg/L\npH,%s,\n", "0", "-0.01", "14",
     "14.01"},
    {WATER,
     "parameter,value,unit\nalkalinity,2.00001,meq/L\nHCO3,%s,meq/L\npH,7,\n",
     "1.90021", "1.89981", "2.10501", "2.10561"},
    {WATER, "parameter,value,unit\nNO3-N,10.0001,mg/L\nNO3,%s,mg/L\n",
     "42.0601", "42.0501", "46.5901", "46.6101"},
    {TARGET, "parameter,target\nCa,%s\n", "0.000001", "0.00000099", "20000",
     "20001"},
    {TARGET, "parameter,target\nEC,%s\n", "0.001", "0", "20", "20.01"},
    {TARGET, "parameter,target\npH,%s\n", "4", "3.99", "8.5", "8.51"},
    {TARGET, "parameter,target,weight\nCa,100,%s\n", "0.000001", "0.00000099",
     "1000000", "1000001"},
    {SHELF, "product,label,density\nx,NO3-N 5; K 14,%s\n", "0.6", "0.599",
     "2.5", "2.501"},
    {SHELF, "product,price,price_unit\nKNO3,%s,kg\n", "0", "-0.01",
     "1000000000", "1000000001"},
    {SHELF, "product,pack\nKNO3,%skg\n", "0.000001", "0.00000099", "1000000",
     "1000001"},
    {SHELF, "product,formula,purity\nx,KNO3,%s%%\n", "0.1", "0", "100",
     "100.1"},
    {SHELF, "product,label\nx,N %s\n", NULL, "-0.1", NULL, "100.1"},
    {TANKS, "tank,product,amount,unit\nA,potassium nitrate,%s,g\n", "0.001",
     "-0.001", "100000000", "100000001"},
};

static void expect(size_t row, const char *number, bool read)
{
    char text[256];
    if (!number)
        return;
    snprintf(text, sizeof text, READ[row].text, number);
    ck_assert_msg((read_as(READ[row].kind, text) == SW_OK) == read, "%s %s",
                  text, read ? "is refused" : "is read");
}

START_TEST(numbers_are_read_up_to_their_bounds)
{
    for (size_t i = 0; i < sizeof READ / sizeof *READ; i++) {
        expect(i, READ[i].least, true);
        expect(i, READ[i].under, false);
        expect(i, READ[i].most, true);
        expect(i, READ[i].over, false);
    }
}
END_TEST

static const struct {
    const char *within, *outside;
    sw_status (*parse)(const char *text, double *value, sw_error *error);
} GIVEN[] = {
    {"100 kg", "-1 kg", sw_mass_parse},
    {"0.01 mS/cm", "0 mS/cm", sw_conductivity_parse},
};

START_TEST(options_are_read_up_to_their_bounds)
{
    double value;
    sw_unit_system system;
    ck_assert_int_eq(sw_volume_parse("1mL", &value, &system, NULL), SW_OK);
    ck_assert_int_ne(sw_volume_parse("0.99mL", &value, &system, NULL), SW_OK);
    ck_assert_int_eq(sw_volume_parse("100000m3", &value, &system, NULL), SW_OK);
    ck_assert_int_ne(sw_volume_parse("100001m3", &value, &system, NULL), SW_OK);
    for (size_t i = 0; i < sizeof GIVEN / sizeof *GIVEN; i++) {
        ck_assert_int_eq(GIVEN[i].parse(GIVEN[i].within, &value, NULL), SW_OK);
        ck_assert_int_ne(GIVEN[i].parse(GIVEN[i].outside, &value, NULL), SW_OK);
    }
}
END_TEST

/* ---- What checks of a report find ----------------------------------------*/

/* An invented well water that agrees with itself; what is checked follows. */
static const char ions[] = "parameter,value,unit\nCa,80,mg/L\nMg,12,mg/L\n"
                           "Na,46,mg/L\nK,4,mg/L\nHCO3,244,mg/L\nCl,53,mg/L\n"
                           "SO4,62,mg/L\nNO3,9,mg/L\npH,7.4,\n";

static sw_audit_report *audit_with(const char *line, double value)
{
    char text[512];
    size_t length = (size_t)snprintf(text, sizeof text, "%s", ions);
    snprintf(text + length, sizeof text - length, line, value);
    FILE *stream = fmemopen(text, strlen(text), "r");
    sw_conditions conditions = sw_conditions_default();
    sw_waters *waters;
    sw_audit_report *report;
    sw_error error;
    ck_assert_int_eq(sw_waters_read(stream, "w", &waters, &error), SW_OK);
    ck_assert_int_eq(
        sw_audit(waters->items, NULL, &conditions, &report, &error), SW_OK);
    sw_waters_free(waters);
    fclose(stream);
    return report;
}

static sw_check_row check_with(sw_check check, const char *line, double value)
{
    sw_audit_report *report = audit_with(line, value);
    sw_check_row row = report->checks[check];
    sw_audit_report_free(report);
    return row;
}

/* Standard Methods 1030 E (EC, solids), 2510 (0.9 mg/L per uS/cm), 2340 B. */
static const struct {
    sw_check check;
    const char *line;
    double doubt_low, low, high, doubt_high;
} FOUND[] = {
    {SW_CHECK_EC, "EC,%.17g,mS/cm\n", 0.8, 0.9, 1.1, 1.25},
    {SW_CHECK_TDS_EC, "EC,0.7,mS/cm\nTDS,%.17g,mg/L\n", 0.5, 0.55, 0.7, 0.9},
    {SW_CHECK_TDS_IONS, "TDS,%.17g,mg/L\n", 0.9, 1.0, 1.2, 1.3},
    {SW_CHECK_HARDNESS, "hardness,%.17g,mg/L CaCO3\n", 0.9, 0.95, 1.05, 1.1},
    {SW_CHECK_CA_HARDNESS, "Ca hardness,%.17g,mg/L CaCO3\n", 0.9, 0.95, 1.05,
     1.1},
};

/* What a check finds of `share` of what was calculated. */
static sw_finding found(size_t row, double calculated, double share)
{
    sw_check_row found =
        check_with(FOUND[row].check, FOUND[row].line, calculated * share);
    ck_assert_double_eq_tol(found.value, share, 1e-4);
    return found.finding;
}

START_TEST(checks_find_what_the_methods_say_on_either_side)
{
    static const double hair = 2e-4; /* of a CaCO3 of 50.04 or 50.0435 */
    for (size_t i = 0; i < sizeof FOUND / sizeof *FOUND; i++) {
        double one = check_with(FOUND[i].check, FOUND[i].line, 400).calculated;
        if (FOUND[i].check == SW_CHECK_TDS_EC)
            one = 700; /* uS/cm */
        ck_assert_msg(one > 0, "row %zu", i);
        ck_assert_int_eq(found(i, one, FOUND[i].low + hair), SW_AGREES);
        ck_assert_int_eq(found(i, one, FOUND[i].high - hair), SW_AGREES);
        ck_assert_int_eq(found(i, one, FOUND[i].low - hair), SW_DOUBTFUL);
        ck_assert_int_eq(found(i, one, FOUND[i].high + hair), SW_DOUBTFUL);
        ck_assert_int_eq(found(i, one, FOUND[i].doubt_low + hair), SW_DOUBTFUL);
        ck_assert_int_eq(found(i, one, FOUND[i].doubt_high - hair),
                         SW_DOUBTFUL);
        ck_assert_int_eq(found(i, one, FOUND[i].doubt_low - hair),
                         SW_DISAGREES);
        ck_assert_int_eq(found(i, one, FOUND[i].doubt_high + hair),
                         SW_DISAGREES);
    }
}
END_TEST

/* Standard Methods 1030 E: 0.6 of the alkalinity, silica as SiO3; but nitrate
 * as the NO3 that a dry residue holds, not as N. */
START_TEST(the_solids_are_summed_as_a_residue_holds_them)
{
    static const char lines[] = "TDS,%.17g,mg/L\nSi,10,mg/L\nF,1,mg/L\n";
    double by_hand = 0.6 * 244 * 50.0435 / 61.0168 + 46 + 4 + 80 + 12 + 53 +
                     62 + 10 * 76.083 / 28.0855 + 9 + 1;
    ck_assert_double_eq_tol(
        check_with(SW_CHECK_TDS_IONS, lines, 400).calculated, by_hand,
        1e-3 * by_hand);
}
END_TEST

/* How surprising readings are, in standard deviations: by hand. */
START_TEST(a_reading_is_as_surprising_as_its_uncertainty_says)
{
    static const struct {
        const char *line;
        sw_check check;
        double share, from, uncertainty; /* NAN: that of an EC calculated */
    } rows[] = {{"TDS,%.17g,mg/L\n", SW_CHECK_TDS_IONS, 1.05, 1.1, 0.12},
                {"TDS,%.17g,mg/L\n", SW_CHECK_TDS_IONS, 1.1, 1.1, 0.12},
                {"TDS,%.17g,mg/L\n", SW_CHECK_TDS_IONS, 1.5, 1.1, 0.12},
                {"EC,%.17g,mS/cm\n", SW_CHECK_EC, 1.3, 1.0, NAN},
                {"EC,%.17g,mS/cm\n", SW_CHECK_EC, 0.7, 1.0, NAN}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[512];
        sw_waters *waters;
        sw_evidence evidence;
        sw_conditions conditions = sw_conditions_default();
        double one = check_with(rows[i].check, rows[i].line, 1).calculated;
        size_t length = (size_t)snprintf(text, sizeof text, "%s", ions);
        snprintf(text + length, sizeof text - length, rows[i].line,
                 one * rows[i].share);
        FILE *stream = fmemopen(text, strlen(text), "r");
        ck_assert_int_eq(sw_waters_read(stream, "w", &waters, NULL), SW_OK);
        ck_assert_int_eq(
            sw_evidence_weigh(waters->items, &conditions, &evidence, NULL),
            SW_OK);
        double by = rows[i].uncertainty;
        if (isnan(by)) /* half of a 90 % interval, the meter's 3 % */
            by = hypot(fmax(log(evidence.chemistry.ec_high_ms_per_cm /
                                evidence.chemistry.ec_low_ms_per_cm) /
                                2 / 1.645,
                            0.05),
                       0.03);
        ck_assert_double_eq_tol(evidence.z[rows[i].check],
                                log(rows[i].share / rows[i].from) / by, 1e-9);
        sw_evidence_free(&evidence);
        sw_waters_free(waters);
        fclose(stream);
    }
}
END_TEST

/* Up to 200 mg/L of fluoride may hide: so many more solids are no surprise. */
START_TEST(solids_that_what_is_hidden_may_make_up_surprise_nobody)
{
    static const char line[] = "TDS,%.17g,mg/L\nF,<200,mg/L\n";
    double one = check_with(SW_CHECK_TDS_IONS, line, 1).calculated;
    for (double share = 1.15; share < 1.35; share += 0.05) {
        char text[512];
        sw_waters *waters;
        sw_evidence evidence;
        sw_conditions conditions = sw_conditions_default();
        size_t length = (size_t)snprintf(text, sizeof text, "%s", ions);
        snprintf(text + length, sizeof text - length, line, share * one);
        FILE *stream = fmemopen(text, strlen(text), "r");
        ck_assert_int_eq(sw_waters_read(stream, "w", &waters, NULL), SW_OK);
        ck_assert_int_eq(
            sw_evidence_weigh(waters->items, &conditions, &evidence, NULL),
            SW_OK);
        ck_assert_double_eq_tol(evidence.z[SW_CHECK_TDS_IONS], 0, 1e-12);
        sw_evidence_free(&evidence);
        sw_waters_free(waters);
        fclose(stream);
    }
}
END_TEST

/* ---- From where on something is said -------------------------------------*/

/* Nitrate and ammonium of 100 mg/L of N, a share of it other than nitrate. */
static void feed_nitrogen(bench *b, double share, const char *formula,
                          double n_per_mg)
{
    add(b, "KNO3", 100 * (1 - share) * 101.103 / 14.007);
    add(b, formula, 100 * share / n_per_mg);
    aim_at(b, SW_N, 100);
}

static void feed_ammonium(bench *b, double share)
{
    feed_nitrogen(b, share, "NH4Cl", 14.007 / 53.492);
}

/* Of 100 mg/L of N, in mg/L. */
static void feed_urea(bench *b, double mg_per_l)
{
    feed_nitrogen(b, mg_per_l / 100, "CO(NH2)2", 2 * 14.007 / 60.056);
}

/* A share of 2 mg/L of iron is the water's own. */
static void bring_iron(bench *b, double share)
{
    b->water.amount[SW_WATER_FE] = share * 2;
    b->products[0].name = "chelate";
    b->products[0].chelator = SW_DTPA;
    b->products[0].price_per_kg = NAN;
    b->products[0].per_g.amount[SW_FE] = 100;
    b->products[0].per_g.amount[SW_CHELATED_FE] = 100;
    b->g_per_l[0] = (1 - share) * 2 / 100;
    b->shelf.count = b->recipe.count = 1;
    aim_at(b, SW_FE, 2);
}

static const struct {
    const char *code;
    void (*feed)(bench *b, double by);
    double at; /* said above it */
} SAID[] = {{"ammonium-high", feed_ammonium, 0.15},
            {"urea", feed_urea, 0.5},
            {"water-iron", bring_iron, 0.1}};

START_TEST(what_is_worth_saying_is_said_from_there_on)
{
    for (size_t i = 0; i < sizeof SAID / sizeof *SAID; i++)
        for (int above = 0; above <= 1; above++) {
            bench b;
            set_up(&b);
            b.water.amount[SW_ALKALINITY] = 1;
            b.water.amount[SW_CARBON] = 1;
            SAID[i].feed(&b, SAID[i].at * (above ? 1.003 : 0.997));
            sw_assessment *a = assess(&b);
            ck_assert_msg((note(a, SAID[i].code) != NULL) == (above == 1),
                          "%s %s", SAID[i].code, above ? "above" : "below");
            sw_assessment_free(a);
        }
}
END_TEST

/* ---- At what the fact itself is worth it ---------------------------------*/

/* 1 meq/L of alkalinity and so much more or less carbon than air leaves. */
static void gas(bench *b, double by)
{
    b->water.amount[SW_ALKALINITY] = 1;
    b->water.amount[SW_CARBON] = 1 + by;
}

static double drift(const sw_assessment *a)
{
    return fabs(a->aired.ph - a->mixed.ph);
}

/* A buffered water and ammonium, more and more alkaline. */
static void ammonium_and_lye(bench *b, double by)
{
    gas(b, 0.1);
    add(b, "NH4Cl", 20 * 53.492 / 14.007);
    add(b, "KOH", 56.106 * by);
}

static double ammonia(const sw_assessment *a)
{
    return a->mixed.ammonia_n_mg_per_l;
}

static void traces_of_ammonium(bench *b, double by)
{
    gas(b, 0.1);
    add(b, "NH4Cl", 2 * 53.492 / 14.007);
    add(b, "KOH", 56.106 * by);
}

static double ph_mixed(const sw_assessment *a)
{
    return a->mixed.ph;
}

static void more_of_ammonium(bench *b, double by)
{
    gas(b, 0.1);
    add(b, "NH4Cl", by * 53.492 / 14.007);
    add(b, "KOH", 56.106 * 3);
}

static double ammonium(const sw_assessment *a)
{
    return a->finished.amount[SW_NH4_N];
}

static void chloride_alone(bench *b, double by)
{
    gas(b, 0.1);
    add(b, "KNO3", 1000);
    b->water.amount[SW_NA] = 22.99;
    b->water.amount[SW_CL] = 35.453 * by;
}

static double unbalance(const sw_assessment *a)
{
    double cations = a->mixed.cations_meq_per_l;
    double anions = a->mixed.anions_meq_per_l;
    return fabs(100 * (cations - anions) / (cations + anions));
}

/* Bare iron beside a chelate of 2 mg/L. */
static void bare_iron(bench *b, double by)
{
    gas(b, 0.1);
    add(b, "FeSO4.7H2O", by * 278.01 / 55.845);
    add(b, "FeNaEDTA", 2 * 367.05 / 55.845);
}

static double share_of_iron(const sw_assessment *a)
{
    return 1 - 2 / a->finished.amount[SW_FE];
}

static void iron_of_water(bench *b, double by)
{
    gas(b, 0.1);
    b->water.amount[SW_WATER_FE] = by;
}

static double iron(const sw_assessment *a)
{
    return a->finished.amount[SW_WATER_FE];
}

/* Calcium beside a phosphate of pH 5. */
static void calcium(bench *b, double by)
{
    add(b, "KH2PO4", 310 * 136.086 / 30.974);
    add(b, "KOH", 56.106 * 6);
    add(b, "CaCl2", by * 110.98 / 40.078);
}

static double clear_below(const sw_assessment *a)
{
    return -a->mixed.saturation[SW_BRUSHITE].ph_onset;
}

static const struct {
    const char *code, *text, *also; /* both in one note */
    void (*feed)(bench *b, double by);
    double from, to;
    double (*fact)(const sw_assessment *a);
    double at; /* of the fact; from there on it is said, or no more */
    bool unsaid;
} CROSSED[] = {
    {"ph-drifts", "falls", "", gas, 0.014, -0.07, drift, 0.3, false},
    {"ph-drifts", "rises", "", gas, 0.014, 0.5, drift, 0.3, false},
    {"ammonia-free", "", "", ammonium_and_lye, 0, 1, ammonia, 2.4, false},
    {"ammonia-free", "", "", traces_of_ammonium, 0, 1, ph_mixed, 9, false},
    {"ammonia-free", "", "", more_of_ammonium, 0.5, 1.5, ammonium, 1, false},
    {"charge-balance", "", "", chloride_alone, 0.05, 3, unbalance, 5, false},
    {"iron-unchelated", "", "", bare_iron, 0.01, 1, share_of_iron, 0.05, false},
    {"may-precipitate", "iron", "", iron_of_water, 0.05, 1, iron, 0.2, false},
    {"calcium-phosphate", "CaHPO4", "clear below", calcium, 200, 8000,
     clear_below, -5, true},
};

static bool is_said(size_t row, double by, double *fact)
{
    bench b;
    bool said = false;
    set_up(&b);
    CROSSED[row].feed(&b, by);
    sw_assessment *a = assess(&b);
    for (size_t i = 0; i < a->notes.count; i++)
        said |= !strcmp(a->notes.items[i].code, CROSSED[row].code) &&
                strstr(a->notes.items[i].text, CROSSED[row].text) &&
                strstr(a->notes.items[i].text, CROSSED[row].also);
    *fact = CROSSED[row].fact(a);
    sw_assessment_free(a);
    return said != CROSSED[row].unsaid;
}

START_TEST(what_is_worth_saying_is_said_from_where_the_fact_is)
{
    for (size_t i = 0; i < sizeof CROSSED / sizeof *CROSSED; i++) {
        double low = CROSSED[i].from, high = CROSSED[i].to;
        double below = 0, above = 0;
        ck_assert_msg(!is_said(i, low, &below) && is_said(i, high, &above),
                      "row %zu: %g, %g", i, below, above);
        for (int halved = 0; halved < 16; halved++) {
            double middle = (low + high) / 2, fact;
            bool said = is_said(i, middle, &fact);
            *(said ? &high : &low) = middle;
            *(said ? &above : &below) = fact;
        }
        double hair = 1e-3 * fabs(CROSSED[i].at);
        ck_assert_msg(fabs(below - CROSSED[i].at) < hair &&
                          fabs(above - CROSSED[i].at) < hair,
                      "%s from %g or %g on", CROSSED[i].code, below, above);
    }
}
END_TEST
