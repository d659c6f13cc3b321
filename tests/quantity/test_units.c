/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units of readings, rates, volumes, masses, packs and prices. */
#include "suite.h"

#include "quantity/unit_parse.h"
#include "quantity/units.h"
#include "readings.h"
#include "tolerances.h"

#include <locale.h>
#include <math.h>
#include <string.h>

START_TEST(mass_per_volume_is_read_in_every_spelling)
{
    static const struct {
        const char *unit;
        double mg_per_l;
    } cases[] = {
        {"mg/L", 1},    {"mg/l", 1},     {"MG/L", 1},    {"mg / L", 1},
        {"mg L-1", 1},  {"mg·L⁻¹", 1},   {"mg.l-1", 1},  {"mg per litre", 1},
        {"ppm", 1},     {"g/m3", 1},     {"g/m³", 1},    {"mg/dm3", 1},
        {"mg/kg", 1},   {"kg/m3", 1000}, {"g/L", 1000},  {"g/litre", 1000},
        {"ug/L", 1e-3}, {"µg/L", 1e-3},  {"μg/l", 1e-3}, {"mcg/L", 1e-3},
        {"ppb", 1e-3},  {"mg/m3", 1e-3}, {"ng/L", 1e-6}, {"mg/100 mL", 10},
        {"mg/dL", 10},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        reads("Ca", 2, cases[i].unit, 2 * cases[i].mg_per_l);
}
END_TEST

START_TEST(moles_and_equivalents_are_of_what_is_named)
{
    reads("Ca", 1, "mmol/L", 40.078);
    reads("Ca", 1, "mM", 40.078);
    reads("Ca", 1, "mol/m3", 40.078);
    reads("Ca", 1000, "umol/L", 40.078);
    reads("Ca", 1000, "µM", 40.078);
    reads("Ca", 1, "meq/L", 20.039);
    reads("Ca", 1, "me/L", 20.039);
    reads("Ca", 1, "mval/l", 20.039);
    reads("Ca", 1, "mmol(+)/L", 20.039);
    reads("Ca", 1, "mmolc/L", 20.039);
    reads("Ca", 1, "epm", 20.039);
    reads("NO3", 1, "mmol/L", 14.007);
    reads("NO3-N", 1, "mmol/L", 14.007);
    reads("SO4", 1, "meq/L", 16.03);
    reads("SO4-S", 1, "meq/L", 16.03);
    reads("P2O5", 1, "mmol/L", 2 * 30.974);
    reads("alkalinity", 1, "meq/L", 1);
    reads("alkalinity", 1, "mval/L", 1);
    reads("CO3", 1, "mmol/L", 2);
    reads("HCO3", 1, "mmol/L", 1);
    reads("hardness", 1, "mmol/L", 2);
    reads("acid capacity", 1, "mmol/L", 1);
}
END_TEST

START_TEST(expressed_as_caco3_is_read_in_every_spelling)
{
    static const char *const units[] = {
        "mg/L CaCO3",   "mg/L as CaCO3", "mg/L (as CaCO3)", "ppm CaCO3",
        "mg CaCO3/L",   "mg CaCO₃/L",    "ppm as CaCO3",    "mg/l caco3",
        "mg CaCO3 L-1", "mg (CaCO3)/L",  "mg/L of CaCO3",
    };
    const double meq_per_mg = 2 / 100.086;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        reads("alkalinity", 100, units[i], 100 * meq_per_mg);
        reads("hardness", 100, units[i], 100 * meq_per_mg);
        reads("Ca", 100, units[i], 100 * 40.078 / 100.086);
    }
    reads("alkalinity as CaCO3", 100, "mg/L", 100 * meq_per_mg);
    reads("alkalinity", 61.016, "mg/L HCO3", 1);
    reads("alkalinity", 61.016, "mg/L as HCO3", 1);
    reads("Mg as CaCO3", 100.086, "mg/L", 24.305);
    reads("hardness", 56.077, "mg/L CaO", 2);
}
END_TEST

START_TEST(two_spellings_of_one_unit_may_stand_together)
{
    reads("Ca", 2, "mg/L (ppm)", 2);
    reads("EC", 2, "mmhos/cm (dS/m)", 2);
    reads("EC", 2000, "uS/cm @25C", 2);
    reads("EC", 2000, "µS/cm at 25 °C", 2);
    reads("EC", 2, "mS/cm (25 °C)", 2);
    reads("hardness", 1, "gpg as CaCO3", 2 * 64.79891 / 3.785411784 / 100.086);
    unfit("Ca", "mg/L (mmol/L)", "not known");
    unfit("Ca", "zork (ppm)", "not known");
    unfit("Ca", "mg/L (zork)", "not known");
    unfit("EC", "mS/cm at 20C", "not known");
}
END_TEST

START_TEST(hardness_degrees_are_read_in_every_spelling)
{
    static const char *const german[] = {
        "dH", "°dH", "DH", "ºdH", "°d", "dGH", "deg dH", "German degrees"};
    for (size_t i = 0; i < sizeof german / sizeof *german; i++)
        reads("hardness", 1, german[i], 20 / 56.077);
    reads("hardness", 1, "°fH", 20 / 100.086);
    reads("hardness", 1, "f°", 20 / 100.086);
    reads("hardness", 1, "°f", 20 / 100.086); /* no Fahrenheit here */
    reads("hardness", 1, "d°H", 20 / 56.077);
    unfit("K", "°F", "mg/L");
    reads("TAC", 1, "French degrees", 20 / 100.086);
    reads("hardness", 1, "grains/gal", 2 * 64.79891 / 3.785411784 / 100.086);
    reads("hardness", 1, "°Clark", 2 * 64.79891 / 4.54609 / 100.086);
    reads("Mg hardness", 1, "dH", 10 * 24.305 / 56.077);
    unfit("hardness", "°H", "dH");
    unfit("hardness", "degrees", "clark");
    unfit("K", "dH", "mg/L");
}
END_TEST

START_TEST(a_mass_of_alkalinity_must_say_of_what)
{
    unfit("alkalinity", "mg/L", "mg/L CaCO3");
    unfit("alkalinity", "mmol/L", "meq/L");
    unfit("hardness", "ppm", "mg/L CaCO3");
    unfit("Mg hardness", "mg/L", "meq/L");
    unfit("hardness", "mg/L HCO3", "dH");
    unfit("Ca hardness as CaCO3", "mS/cm", "mg/L");
    unfit("alkalinity as CaCO3", "mS/cm", "mg/L");
}
END_TEST

START_TEST(conductivity_is_per_length)
{
    reads("EC", 1.2, "mS/cm", 1.2);
    reads("EC", 1.2, "dS/m", 1.2);
    reads("EC", 1200, "µS/cm", 1.2);
    reads("EC", 1200, "uS cm-1", 1.2);
    reads("EC", 120, "mS/m", 1.2);
    reads("EC", 0.12, "S/m", 1.2);
    reads("EC", 1.2, "mmhos/cm", 1.2);
    reads("EC", 12, "CF", 1.2);
    unfit("EC", "mS", "mS/cm");
    unfit("EC", "µS", "uS/cm");
    unfit("EC", "S", "mS/cm");
    unfit("EC", "ppm", "ppm500");
    unfit("EC", "mg/L", "ppm640");
    unfit("EC", "", "needs a unit");
}
END_TEST

START_TEST(temperature_ph_and_tds_have_their_own_units)
{
    reads("temperature", 68, "°F", 20);
    reads("temperature", 68, "degF", 20);
    reads("temperature", 20, "°C", 20);
    reads("temperature", 20, "C", 20);
    reads("temperature", 293.15, "K", 20);
    reads("pH", 7.2, "", 7.2);
    reads("pH", 7.2, "-", 7.2);
    reads("pH", 7.2, "S.U.", 7.2);
    reads("pH", 7.2, "pH units", 7.2);
    reads("TDS", 300, "ppm", 300);
    reads("TDS", 0.3, "g/L", 300);
    unfit("pH", "mg/L", "none");
    unfit("temperature", "mg/L", "degC");
    unfit("TDS", "mS/cm", "mg/L");
    unfit("Ca", "", "needs a unit");
}
END_TEST

START_TEST(what_stands_for_nothing_here_keeps_its_number)
{
    reads("SAR", 4.2, "", 4.2);
    reads("turbidity", 0.1, "whatever", 0.1);
}
END_TEST

/* What harms must be understood, though it is in no mass balance. */
START_TEST(traces_and_disinfectants_are_read_in_mass_of_what_is_named)
{
    reads("As", 10, "ug/L", 0.01);
    reads("Cd", 1, "umol/L", 0.11241);
    reads("Lead", 2, "ppb", 0.002);
    reads("Ni", 1, "meq/L", 58.693 / 2);
    reads("NO2", 46.005, "mg/L", 14.007);
    reads("NO2-N", 3, "mg/L", 3);
    reads("H2S", 34.076, "mg/L", 32.06);
    reads("free chlorine", 2, "ppm", 2);
    reads("monochloramine", 2, "mg/L", 2);
    reads("NH2Cl", 51.473, "mg/L", 70.9);
    reads("hypochlorite", 51.449, "mg/L", 70.9);
    unfit("As", "whatever", "not known");
    unfit("Pb", "", "needs a unit");
    unfit("NO2", "dH", "mg/L");
}
END_TEST

START_TEST(a_unit_that_says_too_little_is_refused_with_its_choices)
{
    unfit("Ca", "gr/L", "not known");
    unfit("Ca", "gr", "grain");
    unfit("Ca", "ton", "short ton");
    unfit("Ca", "ppt", "g/L");
    unfit("Ca", "%", "mL/L");
    unfit("Ca", "M", "mol/L");
    unfit("Ca", "xyz", "not known");
    unfit("Ca", "mg/kg/L", "not known");
    unfit("Ca", "mg/0 L", "not known");
    unfit("Ca", "mg/1000001 L", "not known");
    unfit("NO3-N", "mg N/1e400 L", "not known");
    unfit("Ca", "mg/s", "not known");
    unfit("Ca", "C/L", "not known");
    unfit("Ca", "mgL-1", "not known");
    unfit("Ca", "-1", "not known");
    unfit("Ca", "mL/L", "does not say");
    unfit("B", "meq/L", "mmol/L");
    unfit("PO4", "meq/L", "mmol/L");
}
END_TEST

START_TEST(an_endless_unit_is_refused)
{
    char unit[200];
    memset(unit, 'm', sizeof unit - 1);
    unit[sizeof unit - 1] = '\0';
    unfit("Ca", unit, "more than");
}
END_TEST

START_TEST(a_reading_must_be_finite)
{
    sw_parameter p = find("Ca");
    double out;
    ck_assert_int_eq(sw_reading_convert(&p, NAN, "mg/L", &out, NULL),
                     SW_ERR_VALUE);
}
END_TEST

static void rate_is(const char *unit, double density, double g_per_l)
{
    sw_error error = {0};
    double out;
    ck_assert_msg(sw_rate_convert(unit, density, &out, &error) == SW_OK, "%s",
                  error.message);
    ck_assert_msg(fabs(out - g_per_l) <= TOL_UNIT * (1 + g_per_l),
                  "%s is %.15g", unit, out);
}

static void rate_fails(const char *unit, double density, const char *words)
{
    sw_error error = {0};
    double out;
    ck_assert_int_eq(sw_rate_convert(unit, density, &out, &error), SW_ERR_UNIT);
    ck_assert_msg(strstr(error.message, words), "%s: %s", unit, error.message);
}

START_TEST(rates_are_grams_per_litre)
{
    rate_is("", NAN, 1e-3);
    rate_is("  ", NAN, 1e-3);
    rate_is("mg/L", NAN, 1e-3);
    rate_is("ppm", NAN, 1e-3);
    rate_is("g/L", NAN, 1);
    rate_is("kg/m3", NAN, 1);
    rate_is("g/gal", NAN, 1 / 3.785411784);
    rate_is("g / 100 gal", NAN, 0.01 / 3.785411784);
    rate_is("oz/100gal", NAN, 28.349523125 / 378.5411784);
    rate_is("lb/1000gal", NAN, 453.59237 / 3785.411784);
    rate_is("g/1000 L", NAN, 1e-3);
    rate_is("kg/1000000 L", NAN, 1e-3);
    rate_is("kg/1000L", NAN, 1);
    rate_is("oz/impgal", NAN, 28.349523125 / 4.54609);
    rate_is("mL/L", 1.5, 1.5);
    rate_is("L/m3", 1.5, 1.5);
    rate_is("mL/gal", 1.5, 1.5 / 3.785411784);
    rate_is("fl oz/gal", 1, 29.5735295625 / 3.785411784);
    rate_is("tsp/gal", 1, 4.92892159375 / 3.785411784);
    rate_is("g/L", 1.5, 1);
}
END_TEST

START_TEST(a_volume_needs_a_density_and_a_liquid_s_ounce_a_word)
{
    rate_fails("mL/L", NAN, "density");
    rate_fails("oz/gal", 1.3, "fl oz");
    rate_fails("mmol/L", NAN, "lb/1000gal");
    rate_fails("kg", NAN, "per volume");
    rate_fails("zork", NAN, "not known");
    rate_is("oz wt/gal", 1.3, 28.349523125 / 3.785411784);
}
END_TEST

static void volume_is(const char *text, double expected_l,
                      sw_unit_system expected)
{
    sw_error error = {0};
    sw_unit_system system;
    double volume_l;
    ck_assert_msg(sw_volume_parse(text, &volume_l, &system, &error) == SW_OK,
                  "'%s': %s", text, error.message);
    ck_assert_double_eq_tol(volume_l, expected_l, TOL_UNIT * expected_l);
    ck_assert_int_eq(system, expected);
}

START_TEST(volumes_are_litres_and_tell_their_system)
{
    volume_is("400gal", 1514.1647136, SW_US);
    volume_is("400 US gal", 1514.1647136, SW_US);
    volume_is("1500 L", 1500, SW_METRIC);
    volume_is("2m3", 2000, SW_METRIC);
    volume_is("2 m³", 2000, SW_METRIC);
    volume_is("1,5 m3", 1500, SW_METRIC);
    volume_is("250mL", 0.25, SW_METRIC);
    volume_is("100 impgal", 454.609, SW_METRIC);
    volume_is("1e3 liters", 1000, SW_METRIC);
    volume_is(".5 hL", 50, SW_METRIC);
    volume_is("10 cubic feet", 283.16846592, SW_US);
    volume_is("0.125 L", 0.125, SW_METRIC);
    volume_is("1.25 L", 1.25, SW_METRIC);
}
END_TEST

START_TEST(what_is_no_volume_is_refused)
{
    static const struct {
        const char *text;
        sw_status status;
    } cases[] = {
        {"", SW_ERR_SYNTAX},          {"gal", SW_ERR_SYNTAX},
        {"1,500 gal", SW_ERR_SYNTAX}, {"1,500,000 L", SW_ERR_SYNTAX},
        {"1,5.2 L", SW_ERR_SYNTAX},   {"-3 L", SW_ERR_VALUE},
        {"0 L", SW_ERR_VALUE},        {"1e400 L", SW_ERR_VALUE},
        {"1e308 m3", SW_ERR_VALUE},   {"5 kg", SW_ERR_UNIT},
        {"5", SW_ERR_UNIT},           {"inf L", SW_ERR_SYNTAX},
        {"nan L", SW_ERR_SYNTAX},     {"0x10 L", SW_ERR_VALUE},
        {"1 500 L", SW_ERR_UNIT},     {"5 zork", SW_ERR_UNIT},
        {"1e-300 L", SW_ERR_VALUE},   {"1e6 m3", SW_ERR_VALUE},
        {"1.000L", SW_ERR_SYNTAX},    {"12.500 L", SW_ERR_SYNTAX},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_unit_system system;
        double volume_l;
        ck_assert_msg(sw_volume_parse(cases[i].text, &volume_l, &system,
                                      NULL) == cases[i].status,
                      "'%s'", cases[i].text);
        ck_assert(isnan(volume_l));
    }
    char endless[200];
    double volume_l;
    sw_unit_system system;
    memset(endless, '1', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    ck_assert_int_eq(sw_volume_parse(endless, &volume_l, &system, NULL),
                     SW_ERR_SYNTAX);
}
END_TEST

START_TEST(conductivities_are_told_from_the_rest)
{
    double ec;
    ck_assert_int_eq(sw_conductivity_parse("2.1mS/cm", &ec, NULL), SW_OK);
    ck_assert_double_eq(ec, 2.1);
    ck_assert_int_eq(sw_conductivity_parse("2100 uS/cm", &ec, NULL), SW_OK);
    ck_assert_double_eq_tol(ec, 2.1, TOL_UNIT);
    ck_assert_int_eq(sw_conductivity_parse("2.1", &ec, NULL), SW_ERR_UNIT);
    ck_assert_int_eq(sw_conductivity_parse("5 L", &ec, NULL), SW_ERR_UNIT);
    ck_assert_int_eq(sw_conductivity_parse("-1mS/cm", &ec, NULL), SW_ERR_VALUE);
}
END_TEST

START_TEST(packs_are_masses_or_volumes)
{
    double g;
    ck_assert_int_eq(sw_mass_parse("25kg", &g, NULL), SW_OK);
    ck_assert_double_eq(g, 25000);
    ck_assert_int_eq(sw_mass_parse("50 lb", &g, NULL), SW_OK);
    ck_assert_double_eq_tol(g, 22679.6185, 1e-9);
    ck_assert_int_eq(sw_mass_parse("10mg", &g, NULL), SW_OK);
    ck_assert_double_eq(g, 0.01);
    ck_assert_int_eq(sw_mass_parse("5 L", &g, NULL), SW_ERR_UNIT);
    ck_assert_int_eq(sw_mass_parse("kg", &g, NULL), SW_ERR_SYNTAX);
    ck_assert_int_eq(sw_mass_parse("1e308 kg", &g, NULL), SW_ERR_VALUE);
    ck_assert_int_eq(sw_pack_convert("10L", 1.4, &g, NULL), SW_OK);
    ck_assert_double_eq_tol(g, 14000, 1e-9);
    ck_assert_int_eq(sw_pack_convert("25kg", NAN, &g, NULL), SW_OK);
    ck_assert_int_eq(sw_pack_convert("10L", NAN, &g, NULL), SW_ERR_UNIT);
    ck_assert_int_eq(sw_pack_convert("16 oz", 1.4, &g, NULL), SW_ERR_UNIT);
    ck_assert_int_eq(sw_pack_convert("3 mmol", 1.4, &g, NULL), SW_ERR_UNIT);
    ck_assert_int_eq(sw_pack_convert("bag", 1.4, &g, NULL), SW_ERR_SYNTAX);
}
END_TEST

static void price_is(double price, const char *unit, double expected_per_kg)
{
    sw_error error = {0};
    double per_kg;
    ck_assert_msg(sw_price_convert(price, unit, 25000, 1.25, &per_kg, &error) ==
                      SW_OK,
                  "'%s': %s", unit, error.message);
    ck_assert_double_eq_tol(per_kg, expected_per_kg, 1e-12);
}

START_TEST(prices_are_per_kilogram)
{
    price_is(2, "/kg", 2);
    price_is(2, "EUR/kg", 2);
    price_is(2, "€ / kg", 2);
    price_is(2, "kg", 2);
    price_is(2, "per kg", 2);
    price_is(2, "USD per lb", 2 / 0.45359237);
    price_is(2, "/t", 0.002);
    price_is(2, "/100kg", 0.02);
    price_is(20, "/pack", 0.8);
    price_is(20, "EUR/bag", 0.8);
    price_is(20, "per sack", 0.8);
    price_is(20, "/25kg", 0.8);
    price_is(20, "USD/50 lb", 20 / 22.6796185);
    price_is(2, "/L", 1.6);
    price_is(2, "/gal", 2 / (3.785411784 * 1.25));
    price_is(0, "/kg", 0);
}
END_TEST

START_TEST(a_price_needs_what_its_unit_speaks_of)
{
    static const struct {
        const char *unit;
        double price, pack_g, density;
        sw_status status;
    } cases[] = {
        {"/pack", 1, NAN, NAN, SW_ERR_MISSING},
        {"/L", 1, 25000, NAN, SW_ERR_MISSING},
        {"/oz", 1, 25000, 1.2, SW_ERR_UNIT},
        {"", 1, 25000, NAN, SW_ERR_UNIT},
        {"EUR", 1, 25000, NAN, SW_ERR_UNIT},
        {"/mmol", 1, 25000, NAN, SW_ERR_UNIT},
        {"/kg", -1, 25000, NAN, SW_ERR_VALUE},
        {"/kg", INFINITY, 25000, NAN, SW_ERR_VALUE},
        {"/0 kg", 1, 25000, NAN, SW_ERR_UNIT},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double per_kg;
        ck_assert_msg(sw_price_convert(cases[i].price, cases[i].unit,
                                       cases[i].pack_g, cases[i].density,
                                       &per_kg, NULL) == cases[i].status,
                      "%s", cases[i].unit);
        ck_assert(isnan(per_kg));
    }
    char endless[200];
    double per_kg;
    memset(endless, 'k', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    ck_assert_int_eq(sw_price_convert(1, endless, 1, 1, &per_kg, NULL),
                     SW_ERR_UNIT);
}
END_TEST

START_TEST(numbers_are_read_as_people_write_them)
{
    static const struct {
        const char *text;
        bool comma;
        double value;
    } cases[] = {
        {"12.5", false, 12.5}, {" 12.5 ", false, 12.5}, {"-3", false, -3},
        {"+3", false, 3},      {"1e-3", false, 1e-3},   {".5", false, 0.5},
        {"12,5", true, 12.5},  {"12.5", true, 12.5},    {"−4", false, -4},
        {"5.", false, 5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double value;
        ck_assert_msg(sw_number_parse(cases[i].text, cases[i].comma, &value,
                                      NULL) == SW_OK,
                      "%s", cases[i].text);
        ck_assert_double_eq(value, cases[i].value);
    }
}
END_TEST

START_TEST(what_is_no_number_is_refused)
{
    static const char *const texts[] = {"",    "abc",   "1,5",  "1.5x",
                                        "1 2", "nan",   "inf",  "0x1p",
                                        "--1", "1.2.3", "1e400"};
    double value;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        ck_assert_msg(sw_number_parse(texts[i], false, &value, NULL) != SW_OK,
                      "%s", texts[i]);
    ck_assert_int_eq(sw_number_parse("1.234,5", true, &value, NULL),
                     SW_ERR_SYNTAX);
    ck_assert_int_eq(sw_number_parse("1,234,5", true, &value, NULL),
                     SW_ERR_SYNTAX);
}
END_TEST

/* The library must not read "1.5" as 1 where the process's locale says so. */
START_TEST(the_locale_of_the_process_plays_no_part)
{
    static const char *const locales[] = {"de_DE.UTF-8", "fr_FR.UTF-8",
                                          "de_DE.utf8", "fr_FR.utf8"};
    double value;
    for (size_t i = 0; i < sizeof locales / sizeof *locales; i++)
        if (setlocale(LC_ALL, locales[i]))
            break;
    ck_assert_int_eq(sw_number_parse("1.5", false, &value, NULL), SW_OK);
    ck_assert_double_eq(value, 1.5);
    setlocale(LC_ALL, "C");
}
END_TEST

START_TEST(a_unit_is_of_so_many_characters_at_most)
{
    for (size_t length = 79; length <= 80; length++) {
        char text[81] = "";
        sw_unit unit;
        sw_error error = {0};
        memset(text, 'g', length);
        ck_assert_int_ne(sw_unit_parse(text, &unit, &error), SW_OK);
        ck_assert_int_eq(strstr(error.message, "more than 79 ") != NULL,
                         length > 79);
    }
}
END_TEST
