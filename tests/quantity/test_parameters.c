/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names as laboratories write them, in several languages. */
#include "suite.h"

#include "quantity/units.h"

#include <math.h>
#include <string.h>

static sw_parameter find(const char *name)
{
    sw_parameter parameter;
    sw_error error = {0};
    ck_assert_msg(sw_parameter_find(name, &parameter, &error) == SW_OK,
                  "'%s': %s", name, error.message);
    return parameter;
}

/* `expected` is the table's spelling. */
static void reads_as(const char *name, const char *expected)
{
    const char *got = find(name).name;
    ck_assert_msg(!strcmp(got, expected), "'%s' is %s, expected %s", name, got,
                  expected);
}

static sw_error refuse(const char *name)
{
    sw_parameter parameter;
    sw_error error = {0};
    ck_assert_msg(sw_parameter_find(name, &parameter, &error) == SW_ERR_NAME,
                  "'%s' was accepted", name);
    return error;
}

static void refused_with(const char *name, const char *words)
{
    sw_error error = refuse(name);
    ck_assert_msg(strstr(error.message, words), "'%s': %s", name,
                  error.message);
}

START_TEST(nitrate_and_its_nitrogen_are_different_things)
{
    reads_as("NO3", "NO3");
    reads_as("NO3-", "NO3");
    reads_as("NO₃⁻", "NO3");
    reads_as("no3-n", "NO3-N");
    reads_as("NO3_N", "NO3-N");
    reads_as("NO3 - N", "NO3-N");
    reads_as("N-NO3", "NO3-N");
    reads_as("Nitrate (as N)", "NO3-N");
    reads_as("Nitrate-Nitrogen", "NO3-N");
    reads_as("Nitrate (NO3)", "NO3");
    reads_as("Nitrate (NO3-)", "NO3");
    reads_as("Nitrate NO3-", "NO3");
    reads_as("Ammonium (NH4+)", "NH4");
    reads_as("Bicarbonate (HCO3-)", "HCO3");
    reads_as("Phosphate (H2PO4-)", "H2PO4");
    reads_as("Sulfate (SO42-)", "SO4");
    refused_with("nitrate", "NO3-N");
    refused_with("Nitrates", "NO3-N");
    refused_with("N (NO3)", "NO3");
}
END_TEST

START_TEST(names_of_nitrogen_that_say_too_little_are_refused)
{
    refused_with("N", "urea-N");
    refused_with("Total Nitrogen", "urea-N");
    refused_with("Ammonia", "NH4-N");
    refused_with("NO3+NO2", "NO3-N");
    refused_with("TON", "organic");
    reads_as("NO3+NO2-N", "NO3-N + NO2-N");
    reads_as("Nitrite plus nitrate as N", "NO3-N + NO2-N");
    reads_as("Nitrogen, Total Oxidised as N", "NO3-N + NO2-N");
}
END_TEST

/* Whoever slips once in an important name is asked, never passed over. */
static void is_asked(const char *typo, const char *name)
{
    sw_parameter p, own;
    if (strlen(typo) < 4) /* "ion" */
        return;
    if (sw_parameter_known(typo) == SW_UNKNOWN)
        ck_assert_msg(sw_parameter_is_near(typo), "%s", typo);
    else if (sw_parameter_find(typo, &p, NULL) == SW_OK &&
             sw_parameter_find(name, &own, NULL) == SW_OK)
        ck_assert_msg(p.row == own.row, "%s is %s", typo, p.name);
}

START_TEST(a_slip_in_an_important_name_is_asked_about)
{
    static const char *const names[] = {
        "calcium",    "magnesium", "potassium", "sodium",       "chloride",
        "sulfate",    "sulphate",  "nitrate",   "ammonium",     "phosphorus",
        "phosphate",  "iron",      "manganese", "zinc",         "copper",
        "boron",      "silica",    "hardness",  "conductivity", "alkalinity",
        "molybdenum", "fluoride",  "carbonate", "bicarbonate"};
    for (size_t n = 0; n < sizeof names / sizeof *names; n++) {
        const char *name = names[n];
        int length = (int)strlen(name);
        for (int i = 0; i < length; i++) {
            char typo[32];
            (void)snprintf(typo, sizeof typo, "%.*s%s", i, name, name + i + 1);
            is_asked(typo, name);
            (void)snprintf(typo, sizeof typo, "%.*s%s", i + 1, name, name + i);
            is_asked(typo, name);
            (void)snprintf(typo, sizeof typo, "%s", name);
            typo[i] = 'x';
            is_asked(typo, name);
            (void)snprintf(typo, sizeof typo, "%s", name);
            typo[i] = name[i + 1] ? name[i + 1] : name[i];
            typo[i + 1] = name[i + 1] ? name[i] : '\0';
            is_asked(typo, name);
        }
    }
    ck_assert(sw_parameter_is_near("Total calcim"));
    ck_assert(!sw_parameter_is_near("Total"));
    ck_assert(!sw_parameter_is_near("calcim:Mg"));
}
END_TEST

/* To a key, "sulfate-S" and "sulfates" would be one. */
START_TEST(sulfate_sulfur_is_not_sulfates)
{
    reads_as("Sulfate", "SO4");
    reads_as("Sulphates", "SO4");
    reads_as("SO4 2-", "SO4");
    reads_as("SO42-", "SO4");
    reads_as("HCO3-", "HCO3");
    reads_as("NH4+", "NH4");
    reads_as("H2PO4-", "H2PO4");
    reads_as("SO4--", "SO4");
    reads_as("SO4=", "SO4");
    reads_as("Sulfate-S", "S");
    reads_as("sulphate S", "S");
    reads_as("SO4-S", "S");
    reads_as("SO4 as S", "S");
    reads_as("S", "S");
    reads_as("Total S", "S");
    refused_with("S (SO4)", "SO4-S");
}
END_TEST

START_TEST(a_charge_may_be_written_or_not)
{
    static const char *const calciums[] = {"Ca",    "Ca2+", "Ca++", "Ca+2",
                                           "Ca 2+", "Ca²⁺", "CA"};
    for (size_t i = 0; i < sizeof calciums / sizeof *calciums; i++)
        reads_as(calciums[i], "Ca");
    reads_as("K+", "K");
    reads_as("NH4+", "NH4");
    reads_as("Cl-", "Cl");
    reads_as("HCO3-", "HCO3");
    reads_as("CO32-", "CO3");
    reads_as("CO3 2−", "CO3");
    reads_as("H2PO4-", "H2PO4");
    reads_as("HPO42-", "HPO4");
    reads_as("PO43-", "PO4");
    reads_as("Fe3+", "Fe");
}
END_TEST

START_TEST(a_charge_that_is_not_the_ion_s_is_refused)
{
    refuse("NO3 2-");
    refuse("K2+");
}
END_TEST

START_TEST(words_that_change_nothing_are_passed_over)
{
    reads_as("Total Iron", "Fe");
    reads_as("Calcium, dissolved", "Ca");
    reads_as("Iron (total)", "Fe");
    reads_as("iron (Fe), total", "Fe");
    reads_as("Dissolved Calcium (Ca)", "Ca");
    reads_as("pH (lab)", "pH");
    reads_as("Conductivity @ 25C", "EC");
    reads_as("EC (25 °C)", "EC");
    reads_as("Leitfähigkeit bei 25 °C", "EC");
    reads_as("Conductividad a 25ºC", "EC");
    reads_as("Conductivité à 25 deg C", "EC");
    reads_as("Magnesium-Mg", "Mg");
    reads_as("Fer total", "Fe");
    /* known since archives have it beside the other, but used as no EC */
    reads_as("Cond @ 20C", "EC at 20 C");
    reads_as("Leitfähigkeit bei 20 °C", "EC at 20 C");
    refuse("Conductivity at 125 C");
}
END_TEST

START_TEST(a_bracket_must_not_contradict_the_name)
{
    reads_as("Calcium (Ca)", "Ca");
    reads_as("Calcium [Ca2+]", "Ca");
    reads_as("Phosphate (PO4)", "PO4");
    reads_as("Phosphate (as P2O5)", "P2O5");
    reads_as("Boron, B", "B");
    reads_as("Calcium Ca", "Ca");
    reads_as("Ca - Calcium", "Ca");
    reads_as("Iron as Fe", "Fe");
    reads_as("Nitrate as NO3-N", "NO3-N");
    reads_as("Chloride, Cl-", "Cl");
    reads_as("H2PO4-", "H2PO4");
    reads_as("HCO3-", "HCO3");
    reads_as("Borate BO33-", "BO3");
    reads_as("Phosphate P2O5", "P2O5");
    refused_with("Nitrogen, NO3", "NO3-N");
    refused_with("Sulfur, SO4", "SO4-S");
    refuse("Calcium Magnesium");
    refuse("Nitrate (Ca)");
    refuse("Nitrate, Ca");
    refuse("Calcium (NO3)");
    refuse("Calcium (Mg)");
    refuse("(Ca)x(Mg)");
}
END_TEST

/* A share of the cations, which the key of a name would not show. */
START_TEST(a_share_in_percent_is_no_concentration)
{
    refuse("Sodium %");
    refuse("Na %");
    ck_assert_int_eq(find("% difference").kind, SW_READS_OTHER);
}
END_TEST

START_TEST(alkalinity_and_hardness_say_of_what_they_are)
{
    reads_as("Total Alkalinity", "alkalinity");
    reads_as("Alkalinity (as CaCO3)", "alkalinity as CaCO3");
    reads_as("Alkalinity, Total (as CaCO3)", "alkalinity as CaCO3");
    reads_as("Bicarbonate Alkalinity as CaCO3", "HCO3 as CaCO3");
    reads_as("Total Hardness as CaCO3", "hardness as CaCO3");
    reads_as("calcium hardness", "Ca hardness");
    reads_as("Calcium as CaCO3", "Ca hardness as CaCO3");
    refused_with("CaCO3", "hardness");
    ck_assert(find("HCO3").partial);
    ck_assert(!find("alkalinity").partial);
    ck_assert(isnan(find("alkalinity").component_per_mg));
}
END_TEST

START_TEST(a_symbol_has_no_accent)
{
    static const char *const names[] = {"Ça", "Bé", "Ñ", "Mñ", "Ça2+", "NÓ3"};
    sw_parameter p;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        ck_assert_msg(sw_parameter_find(names[i], &p, NULL) == SW_ERR_NAME,
                      "%s", names[i]);
        ck_assert_int_eq(sw_parameter_known(names[i]), SW_UNKNOWN);
    }
}
END_TEST

START_TEST(other_languages_are_understood)
{
    static const char *const pairs[][2] = {
        {"Leitfähigkeit", "EC"},
        {"Gesamthärte", "hardness"},
        {"Karbonathärte", "alkalinity"},
        {"Säurekapazität", "acid capacity"},
        {"Hydrogencarbonat", "HCO3"},
        {"Eisen", "Fe"},
        {"Molybdän", "Mo"},
        {"pH-Wert", "pH"},
        {"conductivité", "EC"},
        {"Dureté totale", "hardness"},
        {"TAC", "alkalinity"},
        {"Hydrogénocarbonates (HCO3-)", "HCO3"},
        {"Magnésium", "Mg"},
        {"Fer", "Fe"},
        {"conductividad eléctrica", "EC"},
        {"Dureza total", "hardness"},
        {"Sílice", "SiO2"},
        {"Cloruros", "Cl"},
        {"Azufre", "S"},
        {"Temperatura", "temperature"},
        {"Azote nitrique", "NO3-N"},
        {"Nitratstickstoff", "NO3-N"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        reads_as(pairs[i][0], pairs[i][1]);
    refused_with("Nitrat", "NO3-N");
    refused_with("Fosfatos", "P2O5");
}
END_TEST

START_TEST(what_is_known_but_not_used_is_told_apart_from_the_unknown)
{
    ck_assert_int_eq(find("NO2").kind, SW_READS_OTHER);
    ck_assert_int_eq(find("Nitrite").kind, SW_READS_OTHER);
    ck_assert_int_eq(find("SAR").kind, SW_READS_OTHER);
    ck_assert_int_eq(find("aluminium").kind, SW_READS_OTHER);
    ck_assert_int_eq(find("free chlorine").kind, SW_READS_OTHER);
    reads_as("Nitrite as NO2", "NO2-N");
    reads_as("Free Available Chlorine", "free chlorine");
    reads_as("cloro libre", "free chlorine");
    reads_as("Chlorine, total residual", "total chlorine");
    reads_as("Residual Chlorine", "total chlorine");
    reads_as("Chloramines, total", "chloramine");
    reads_as("Combined chlorine", "chloramine");
    reads_as("Arsenic (As), dissolved", "As");
    reads_as("Chromium, hexavalent", "Cr");
    reads_as("Blei", "Pb");
    refused_with("chlorine", "chloride");
}
END_TEST

START_TEST(a_mistyped_name_brings_near_ones)
{
    refused_with("Magnezium", "Mg");
    refused_with("alkalinty", "alkalinity");
    refused_with("Conductvity", "EC");
    refused_with("qqqq", "write one like");
    refused_with("", "not known");
    refused_with("☃", "not known");
}
END_TEST

START_TEST(a_name_without_end_is_refused)
{
    char name[500];
    memset(name, 'a', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    refused_with(name, "more than");
    name[120] = '\0';
    refused_with(name, "not known");
}
END_TEST

START_TEST(component_factors_follow_the_formula_weighed)
{
    ck_assert_double_eq(find("NO3-N").component_per_mg, 1);
    ck_assert_int_eq(find("NO3").component, SW_NO3_N);
    ck_assert_int_eq(find("NO3").charge, 1);
    ck_assert_double_eq_tol(find("K2O").component_per_mmol, 2 * 39.098, 1e-9);
    ck_assert_double_eq_tol(find("urea").component_per_mmol, 2 * 14.007, 1e-9);
    ck_assert_double_eq_tol(find("Mg hardness").component_per_mmol, 24.305,
                            1e-9);
    ck_assert_int_eq(find("pH").component, SW_COMPONENT_COUNT);
}
END_TEST

/* Cut short they would name a thing that is none. */
START_TEST(choices_are_listed_whole_or_not_at_all)
{
    char whole[256], list[256];
    sw_name_choices("Nitrate", whole, sizeof whole);
    ck_assert_ptr_nonnull(strchr(whole, '|'));
    for (size_t size = 1; size <= strlen(whole) + 1; size++) {
        sw_name_choices("Nitrate", list, size);
        ck_assert_str_eq(list, size <= strlen(whole) ? "" : whole);
    }
}
END_TEST
