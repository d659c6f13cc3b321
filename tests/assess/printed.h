/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Bags whose formulas are known, printed as labels: each salt of the catalogue
 * and premixes of our own invention, at the usual roundings, with and without
 * what bags leave out.
 */
#ifndef SW_TESTS_ASSESS_PRINTED_H
#define SW_TESTS_ASSESS_PRINTED_H

#include "suite.h"

#include "quantity/formula.h"
#include "records/label_charge.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Parts by mass of each salt; invented. */
enum { PREMIX_SALTS = 6, PREMIXES = 30 };
static const struct premix {
    struct {
        const char *formula;
        double share;
    } of[PREMIX_SALTS];
} premixes[PREMIXES] = {
    {{{"KNO3", 0.60}, {"KH2PO4", 0.25}, {"MgSO4·7H2O", 0.15}}},
    {{{"KNO3", 0.40}, {"NH4H2PO4", 0.20}, {"MgSO4·7H2O", 0.40}}},
    {{{"CO(NH2)2", 0.44},
      {"NH4H2PO4", 0.13},
      {"KCl", 0.25},
      {"(NH4)2SO4", 0.10}}},
    {{{"CO(NH2)2", 0.30}, {"NH4H2PO4", 0.33}, {"KCl", 0.33}}},
    {{{"CO(NH2)2", 0.10}, {"KNO3", 0.44}, {"NH4H2PO4", 0.33}}},
    {{{"(NH4)2SO4", 0.50}, {"KH2PO4", 0.20}, {"KCl", 0.30}}},
    {{{"KNO3", 0.55}, {"KH2PO4", 0.20}, {"K2SO4", 0.10}, {"MgSO4·7H2O", 0.15}}},
    {{{"NH4NO3", 0.35}, {"KH2PO4", 0.20}, {"K2SO4", 0.40}}},
    {{{"NH4NO3", 0.30}, {"NH4H2PO4", 0.25}, {"KNO3", 0.45}}},
    {{{"Mg(NO3)2·6H2O", 0.30}, {"KNO3", 0.50}, {"KH2PO4", 0.20}}},
    {{{"5Ca(NO3)2·NH4NO3·10H2O", 0.60}, {"KNO3", 0.40}}},
    {{{"5Ca(NO3)2·NH4NO3·10H2O", 0.50},
      {"Mg(NO3)2·6H2O", 0.25},
      {"KNO3", 0.25}}},
    {{{"CaCl2·2H2O", 0.40}, {"KNO3", 0.60}}},
    {{{"KNO3", 0.70}, {"NH4H2PO4", 0.30}}},
    {{{"KH2PO4", 0.50}, {"K2SO4", 0.50}}},
    {{{"KCl", 0.50}, {"MgSO4·7H2O", 0.50}}},
    {{{"K2SO4·2MgSO4", 0.50}, {"(NH4)2SO4", 0.50}}},
    {{{"CO(NH2)2·H3PO4", 0.30}, {"KNO3", 0.50}, {"MgSO4·7H2O", 0.20}}},
    {{{"CO(NH2)2·H3PO4", 0.40}, {"KCl", 0.40}, {"CO(NH2)2", 0.20}}},
    {{{"CO(NH2)2·H3PO4", 0.35}, {"KNO3", 0.45}, {"(NH4)2SO4", 0.20}}},
    {{{"(NH4)2HPO4", 0.30}, {"KCl", 0.40}, {"CO(NH2)2", 0.30}}},
    {{{"K2HPO4", 0.25}, {"KNO3", 0.75}}},
    {{{"NaNO3", 0.40}, {"KNO3", 0.40}, {"NH4H2PO4", 0.20}}},
    {{{"KNO3", 0.57},
      {"KH2PO4", 0.20},
      {"MgSO4·7H2O", 0.20},
      {"FeSO4·7H2O", 0.01},
      {"MnSO4·H2O", 0.005},
      {"H3BO3", 0.005}}},
    {{{"KNO3", 0.58},
      {"NH4H2PO4", 0.20},
      {"MgSO4·7H2O", 0.20},
      {"NaFeEDTA", 0.01},
      {"ZnSO4·7H2O", 0.002},
      {"Na2MoO4·2H2O", 0.0005}}},
    {{{"CO(NH2)2", 0.20}, {"NH4NO3", 0.20}, {"KCl", 0.30}, {"KH2PO4", 0.30}}},
    {{{"NH4Cl", 0.30}, {"KH2PO4", 0.30}, {"K2SO4", 0.40}}},
    {{{"KNO3", 0.40}, {"K2SO4", 0.20}, {"KH2PO4", 0.20}, {"(NH4)2SO4", 0.20}}},
    {{{"KNO3", 0.80}, {"K2CO3", 0.20}}},
    {{{"MgSO4·7H2O", 0.60},
      {"FeSO4·7H2O", 0.20},
      {"MnSO4·H2O", 0.10},
      {"ZnSO4·7H2O", 0.10}}},
};

static inline sw_content content_of_premix(const struct premix *premix)
{
    sw_content per_g = {{0}};
    for (int i = 0; i < PREMIX_SALTS && premix->of[i].formula; i++) {
        sw_content salt;
        ck_assert_int_eq(
            sw_formula_content(premix->of[i].formula, 1, &salt, NULL, NULL),
            SW_OK);
        sw_content_add(&per_g, premix->of[i].share, &salt);
    }
    return per_g;
}

/* How a printer rounds. */
typedef enum rounding {
    TO_HUNDREDTHS,
    TO_TENTHS,
    TO_HALVES,
    TO_WHOLES,
    CUT_TO_WHOLES,
    CUT_TO_TENTHS,
    ROUNDINGS
} rounding;

static inline double rounded(double percent, rounding how, int *decimals)
{
    static const double steps[ROUNDINGS] = {0.01, 0.1, 0.5, 1, 1, 0.1};
    static const int shown[ROUNDINGS] = {2, 1, 1, 0, 0, 1};
    double steps_in = percent / steps[how];
    bool cut = how == CUT_TO_WHOLES || how == CUT_TO_TENTHS;
    *decimals = shown[how];
    return (cut ? floor(steps_in + 1e-9) : round(steps_in)) * steps[how];
}

/* Names on bags, and what a mg of the component is of what they name. */
static const struct printed {
    sw_component component;
    const char *name;
    double factor;
    bool left_out; /* where not everything is printed */
} printed_as[] = {
    {SW_NO3_N, "NO3-N", 1, false},   {SW_NH4_N, "NH4-N", 1, false},
    {SW_UREA_N, "urea-N", 1, false}, {SW_P, "P2O5", 2.2914, false},
    {SW_K, "K2O", 1.2046, false},    {SW_CA, "CaO", 1.3992, false},
    {SW_MG, "MgO", 1.6582, false},   {SW_S, "SO3", 2.4971, true},
    {SW_CL, "Cl", 1, true},          {SW_NA, "Na", 1, true},
    {SW_MN, "Mn", 1, false},         {SW_ZN, "Zn", 1, false},
    {SW_CU, "Cu", 1, false},         {SW_B, "B", 1, false},
    {SW_MO, "Mo", 1, false},         {SW_SI, "SiO2", 2.1393, false},
};
enum { PRINTED = sizeof printed_as / sizeof *printed_as };

static inline size_t print_entry(char *text, size_t used, const char *name,
                                 double percent, rounding how)
{
    int decimals;
    double value = rounded(percent, how, &decimals);
    /* Traces are printed to the digit that shows them. */
    while (percent > 0 && value < 20 * pow(10, -decimals) && percent < 1) {
        decimals++;
        value = round(percent * pow(10, decimals)) / pow(10, decimals);
    }
    if (!(value > 0))
        return 0;
    return (size_t)snprintf(text + used, 600 - used, "%s%s %.*f",
                            used ? "; " : "", name, decimals, value);
}

/* `all`: S, Cl and Na too. */
static inline void print_label(const sw_content *per_g, rounding how, bool all,
                               char text[600])
{
    size_t used = 0;
    double held = per_g->amount[SW_CHELATED_FE];
    text[0] = '\0';
    for (int i = 0; i < PRINTED; i++)
        if (all || !printed_as[i].left_out)
            used += print_entry(text, used, printed_as[i].name,
                                per_g->amount[printed_as[i].component] *
                                    printed_as[i].factor / 10,
                                how);
    used += print_entry(text, used, "Fe-EDTA", held / 10, how);
    print_entry(text, used, "Fe", (per_g->amount[SW_FE] - held) / 10, how);
}

/* g/L of finished solution; traces are dosed as such. */
static inline double dose_of(const sw_content *per_g)
{
    static const sw_component traces[] = {SW_B,  SW_FE, SW_MN,
                                          SW_ZN, SW_CU, SW_MO};
    for (size_t k = 0; k < sizeof traces / sizeof *traces; k++)
        if (per_g->amount[traces[k]] > 50)
            return 0.005;
    return 0.7;
}

#endif
