/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Published solutions as targets, the salts they are made of as the shelf.
 * Both designs are electroneutral in whole mmol/L, so the salts fit exactly
 * and the amounts follow by hand from the ions.
 */
#include "kit.h"

#include "quantity/formula.h"

enum { SALTS = 5 };

typedef struct sw_salt {
    const char *formula;
    double mmol_per_l;
} sw_salt;

static void expect_amounts(const sw_salt *salt)
{
    sw_kit kit;
    kit_open(&kit);
    double molar_mass[SALTS];
    sw_content made = {0};
    for (int i = 0; i < SALTS; i++) {
        sw_product *product = kit_product(&kit, salt[i].formula, SW_K, 0);
        ck_assert_int_eq(sw_formula_content(salt[i].formula, 1, &product->per_g,
                                            &molar_mass[i], NULL),
                         SW_OK);
        sw_content_add(&made, salt[i].mmol_per_l * molar_mass[i] / 1000,
                       &product->per_g);
    }
    static const sw_component macros[] = {SW_NO3_N, SW_NH4_N, SW_P, SW_K,
                                          SW_CA,    SW_MG,    SW_S};
    for (size_t i = 0; i < sizeof macros / sizeof *macros; i++)
        if (made.amount[macros[i]] > 0)
            kit_target(&kit, macros[i], made.amount[macros[i]]);
    kit_optimum(&kit);
    for (size_t i = 0; i < SALTS; i++)
        ck_assert_double_eq_tol(kit_amount(&kit, i) * 1000 / molar_mass[i],
                                salt[i].mmol_per_l,
                                TOL_HAND_SOLVED * salt[i].mmol_per_l * 10);
    kit_close(&kit);
}

START_TEST(a_published_cucumber_feed_is_met_exactly)
{
    /* Sonneveld & Straver 1994, cucumber, mmol/L (value from memory): NH4
     * 1.25, K 8, Ca 4, Mg 1.375, NO3 16, SO4 1.375, H2PO4 1.25. */
    static const sw_salt salts[SALTS] = {{"KH2PO4", 1.25},
                                         {"Ca(NO3)2·4H2O", 4},
                                         {"MgSO4·7H2O", 1.375},
                                         {"NH4NO3", 1.25},
                                         {"KNO3", 6.75}};
    expect_amounts(salts);
}
END_TEST

START_TEST(the_universal_solution_of_1961_is_met_exactly)
{
    /* Steiner 1961, meq/L (value from memory): NO3 12, H2PO4 1, SO4 7, K 7,
     * Ca 9, Mg 4. */
    static const sw_salt salts[SALTS] = {{"KH2PO4", 1},
                                         {"Ca(NO3)2·4H2O", 4.5},
                                         {"MgSO4·7H2O", 2},
                                         {"KNO3", 3},
                                         {"K2SO4", 1.5}};
    expect_amounts(salts);
}
END_TEST
