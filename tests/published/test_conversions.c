/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Conversion factors of laboratory reports and of the trade, as handbooks
 * print them; each comment names what is special.
 */
#include "suite.h"

#include "printed.h"
#include "quantity/units.h"
#include "tolerances.h"

#include <math.h>

static double reading(const char *name, double value, const char *unit)
{
    sw_parameter parameter;
    sw_error error = {0};
    double out = 0;
    ck_assert_msg(sw_parameter_find(name, &parameter, &error) == SW_OK, "%s",
                  error.message);
    ck_assert_msg(sw_reading_convert(&parameter, value, unit, &out, &error) ==
                      SW_OK,
                  "%s", error.message);
    return out;
}

static double rate(const char *unit, double density_g_per_ml)
{
    double g_per_l = 0;
    ck_assert_int_eq(sw_rate_convert(unit, density_g_per_ml, &g_per_l, NULL),
                     SW_OK);
    return g_per_l;
}

static double litres(const char *text)
{
    double volume_l = 0;
    sw_unit_system system;
    ck_assert_int_eq(sw_volume_parse(text, &volume_l, &system, NULL), SW_OK);
    return volume_l;
}

/* Oxide and ion to element, standard handbook values. */
START_TEST(oxides_and_ions_become_elements_as_printed)
{
    static const struct {
        const char *name, *factor;
    } cases[] = {
        {"P2O5", "0.4364"}, {"CaO", "0.7147"},  {"MgO", "0.6030"},
        {"SO3", "0.4005"},  {"SiO2", "0.4674"}, {"B2O3", "0.3106"},
        {"NO3", "0.2259"},  {"NH4", "0.7765"},  {"H2PO4", "0.3194"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_printed(cases[i].name, reading(cases[i].name, 1, "mg/L"),
                   cases[i].factor);
}
END_TEST

/*
 * The last figure of these was printed from older weights, or cut instead of
 * rounded: K2O 0.8301 (0.8302 in older tables), SO4 0.3337 (0.3338, 0.334).
 */
START_TEST(older_factors_agree_but_for_the_last_figure)
{
    static const struct {
        const char *name;
        double factor;
    } cases[] = {
        {"K2O", 0.8301},     {"K2O", 0.8302},      {"SO4", 0.3337},
        {"SO4", 0.3338},     {"P2O5", 1 / 2.2914}, {"K2O", 1 / 1.2046},
        {"NO3", 1 / 4.4268}, {"NH4", 1 / 1.2878},  {"PO4", 0.3261},
        {"PO4", 1 / 3.0662},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_assert_msg(fabs(reading(cases[i].name, 1, "mg/L") / cases[i].factor -
                           1) < TOL_OLDER_WEIGHTS,
                      "%s %g", cases[i].name, cases[i].factor);
}
END_TEST

START_TEST(alkalinity_as_calcium_carbonate_is_as_printed)
{
    ck_printed("mg CaCO3 to meq", reading("alkalinity", 1, "mg/L CaCO3"),
               "0.01998");
    ck_printed("equivalent weight", 1 / reading("alkalinity", 1, "ppm CaCO3"),
               "50.043");
    ck_printed("HCO3 mg per meq", 1 / reading("HCO3", 1, "mg/L"), "61.016");
    ck_printed("CO3 mg per meq", 1 / reading("CO3", 1, "mg/L"), "30.004");
    ck_printed("HCO3 as CaCO3",
               reading("HCO3", 1, "mg/L") /
                   reading("alkalinity", 1, "mg/L CaCO3"),
               "0.8202");
}
END_TEST

/* Standard Methods 2340 B: hardness = 2.497 Ca + 4.118 Mg (from memory). */
START_TEST(hardness_of_calcium_and_magnesium_is_as_printed)
{
    double per_caco3 = reading("hardness", 1, "mg/L CaCO3");
    double ca_per_meq = reading("Ca", 1, "meq/L");
    double mg_per_meq = reading("Mg", 1, "meq/L");
    ck_printed("Ca", 1 / ca_per_meq / per_caco3, "2.497");
    ck_printed("Mg", 1 / mg_per_meq / per_caco3, "4.118");
}
END_TEST

/* Univ. California ANR, B. Faber: Ca 200 ppm = 10 meq/L; handbook weights. */
START_TEST(one_milliequivalent_weighs_as_printed)
{
    static const struct {
        const char *name, *mg;
    } cases[] = {
        {"Ca", "20.04"},    {"Mg", "12.15"},   {"Na", "22.99"},
        {"K", "39.10"},     {"NH4", "18.04"},  {"Cl", "35.45"},
        {"SO4", "48.03"},   {"NO3", "62.00"},  {"F", "19.00"},
        {"H2PO4", "96.99"}, {"HCO3", "61.02"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_printed(cases[i].name,
                   reading(cases[i].name, 1, "meq/L") /
                       reading(cases[i].name, 1, "mg/L"),
                   cases[i].mg);
    ck_printed("Ca 10 meq/L", reading("Ca", 10, "meq/L"), "200");
}
END_TEST

START_TEST(hardness_degrees_are_as_printed)
{
    double per_caco3 = reading("hardness", 1, "mg/L CaCO3");
    ck_printed("dH as CaCO3", reading("hardness", 1, "dH") / per_caco3,
               "17.85");
    ck_printed("dH as Ca", reading("Ca", 1, "dH"), "7.147");
    ck_printed("dH mmol/L", reading("hardness", 1, "dH") / 2, "0.1783");
    /* Printed 0.3566, twice the rounded 0.1783. */
    ck_assert_double_eq_tol(reading("hardness", 1, "dH"), 0.3566, 1e-4);
    ck_printed("fH as CaCO3", reading("hardness", 1, "fH") / per_caco3,
               "10.00");
    ck_printed("fH mmol/L", reading("hardness", 1, "fH") / 2, "0.0999");
    ck_printed("clark", reading("hardness", 1, "clark") / per_caco3, "14.25");
    ck_printed("gpg", reading("hardness", 1, "gpg") / per_caco3, "17.118");
    ck_printed("grain/imp gal", reading("hardness", 1, "clark") / per_caco3,
               "14.254");
    ck_printed("KH as HCO3",
               reading("alkalinity", 1, "dH") / reading("HCO3", 1, "mg/L"),
               "21.76");
}
END_TEST

START_TEST(volumes_and_masses_are_as_printed)
{
    double g = 0;
    ck_printed("US gal", litres("1 gal"), "3.785412");
    ck_printed("imp gal", litres("1 impgal"), "4.546090");
    ck_printed("fl oz", litres("1 fl oz") * 1e3, "29.5735");
    ck_printed("pint", litres("1 pt") * 1e3, "473.176");
    ck_assert_int_eq(sw_mass_parse("1 lb", &g, NULL), SW_OK);
    ck_printed("lb", g, "453.592");
    ck_assert_int_eq(sw_mass_parse("1oz", &g, NULL), SW_OK);
    ck_printed("oz", g, "28.3495");
}
END_TEST

/* The "75 ppm" and "120 ppm" rules. */
START_TEST(the_trade_s_rules_of_ounces_and_pounds_hold)
{
    ck_printed("oz/100gal", rate("oz/100gal", NAN) * 1e3, "74.89");
    ck_printed("lb/1000gal", rate("lb/1000 gal", NAN) * 1e3, "119.83");
}
END_TEST

/*
 * Univ. Massachusetts Extension, Adjusting Alkalinity with Acids: 1 fl oz per
 * 100 gal of sulfuric acid 93 % (1.835) brings S 43.6 ppm and takes up 136.0
 * mg/L CaCO3 (136.1 computed).
 */
START_TEST(a_fluid_ounce_of_sulfuric_acid_does_what_umass_says)
{
    sw_product *acid = NULL;
    ck_assert_int_eq(sw_catalogue_find("sulfuric acid 93 %", &acid, NULL),
                     SW_OK);
    double g_per_l = rate("fl oz/100gal", acid->density_g_per_ml);
    ck_printed("S", g_per_l * acid->per_g.amount[SW_S], "43.6");
    ck_printed("CaCO3",
               -g_per_l * acid->per_g.amount[SW_ALKALINITY] /
                   reading("alkalinity", 1, "mg/L CaCO3"),
               "136.1");
    sw_product_free(acid);
}
END_TEST

/*
 * North Carolina State Univ., Horticulture Information Leaflet 558 (from
 * memory): 1 fl oz per 1000 gal brings nitric 67 % N 1.64, phosphoric 75 % P
 * 2.88 to 2.92, sulfuric 35 % S 1.14 ppm; densities there are rounded.
 */
START_TEST(fluid_ounces_of_acids_do_what_ncsu_says)
{
    static const struct {
        const char *name;
        sw_component component;
        double ppm;
    } cases[] = {
        {"nitric acid 67 %", SW_N, 1.64},
        {"phosphoric acid 75 %", SW_P, 2.90},
        {"sulfuric acid 35 %", SW_S, 1.14},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_product *acid = NULL;
        ck_assert_int_eq(sw_catalogue_find(cases[i].name, &acid, NULL), SW_OK);
        double ppm = rate("fl oz/1000gal", acid->density_g_per_ml) *
                     acid->per_g.amount[cases[i].component];
        ck_assert_double_eq_tol(ppm, cases[i].ppm,
                                TOL_EXTENSION_ACIDS * cases[i].ppm);
        sw_product_free(acid);
    }
}
END_TEST

/* Univ. California ANR: 1 dS/m = 1 mmho/cm = 1000 umho/cm = 640 ppm. */
START_TEST(conductivity_units_agree)
{
    ck_assert_double_eq(reading("EC", 1, "dS/m"), 1);
    ck_assert_double_eq(reading("EC", 1, "mmho/cm"), 1);
    ck_assert_double_eq_tol(reading("EC", 1000, "umho/cm"), 1, TOL_UNIT);
    ck_assert_double_eq_tol(reading("EC", 1000, "uS/cm"), 1, TOL_UNIT);
    ck_assert_double_eq_tol(reading("EC", 640, "ppm640"), 1, TOL_UNIT);
    ck_assert_double_eq_tol(reading("EC", 500, "ppm500"), 1, TOL_UNIT);
    ck_assert_double_eq_tol(reading("EC", 700, "ppm700"), 1, TOL_UNIT);
}
END_TEST

/*
 * FAO Irrigation & Drainage Paper 29 gives Na, Cl and HCO3 limits in me/L; a
 * journal's copy labels the same numbers mg/L, 23 to 61 times less.
 */
START_TEST(fao_limits_are_milliequivalents)
{
    ck_printed("Na 3 me/L", reading("Na", 3, "me/L"), "69");
    ck_printed("Cl 4 me/L", reading("Cl", 4, "me/L"), "142");
    ck_printed("Cl 10 me/L", reading("Cl", 10, "me/L"), "354");
    ck_assert_double_eq(reading("HCO3", 1.5, "me/L"), 1.5);
}
END_TEST
