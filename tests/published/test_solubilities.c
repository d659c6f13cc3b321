/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "stock/saturate.h"
#include "table_solubilities.h"
#include "tolerances.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>
#include <stdio.h>
#include <string.h>

typedef struct found_errors {
    double error[64];
    size_t count;
} found_errors;

static double error_of(const sw_solubilities_row *r)
{
    bool alone = r->beside_g_per_l == 0;
    ck_assert_str_eq(r->unit, alone ? "g/100 g water" : "g/L");
    if (alone)
        return saturates_alone(r->salt, r->temperature_c, r->solid) /
                   r->amount -
               1;
    sw_content beside = salt_g(r->beside, r->beside_g_per_l);
    return saturates_at(&beside, r->salt, r->temperature_c, r->solid) /
               r->amount -
           1;
}

/* Of one system, or with NULL of all beside another salt. */
static found_errors errors_of(const char *system)
{
    found_errors found = {.count = 0};
    for (int i = 0; i < sw_solubilities_count; i++) {
        const sw_solubilities_row *r = &sw_solubilities_table[i];
        if (system ? !strcmp(r->system, system) : r->beside_g_per_l > 0)
            found.error[found.count++] = fabs(error_of(r));
    }
    gsl_sort(found.error, 1, found.count);
    return found;
}

static void expect_within(const char *system, size_t count, double median,
                          double worst)
{
    found_errors f = errors_of(system);
    ck_assert_uint_eq(f.count, count);
    double middle = gsl_stats_median_from_sorted_data(f.error, 1, f.count);
    printf("%s: %zu solutions, median error %.2g %%, worst %.2g %%\n",
           system ? system : "all beside another salt", count, 100 * middle,
           100 * f.error[f.count - 1]);
    ck_assert_double_le(middle, median);
    ck_assert_double_le(f.error[f.count - 1], worst);
}

/* By construction: K is made of the same figures (reference/solubility.csv), so
 * this says that both copies, the molar masses and the search agree. */
START_TEST(salts_alone_saturate_where_they_were_measured_to)
{
    expect_within("potassium nitrate in water", 7, TOL_STOCK_ALONE,
                  TOL_STOCK_ALONE);
    expect_within("potassium sulfate in water", 7, TOL_STOCK_ALONE,
                  TOL_STOCK_ALONE);
    expect_within("gypsum in water", 7, TOL_STOCK_ALONE, TOL_STOCK_ALONE);
}
END_TEST

START_TEST(gypsum_saturates_beside_salts_where_it_was_measured_to)
{
    expect_within("gypsum in NaCl", 10, TOL_STOCK_GYPSUM_BESIDE_MEDIAN,
                  TOL_STOCK_GYPSUM_BESIDE);
    expect_within("gypsum in MgSO4", 16, TOL_STOCK_GYPSUM_MGSO4_MEDIAN,
                  TOL_STOCK_GYPSUM);
    expect_within("gypsum in K2SO4", 6, TOL_STOCK_GYPSUM_BESIDE_MEDIAN,
                  TOL_STOCK_GYPSUM_BESIDE);
    expect_within(NULL, 32, TOL_STOCK_GYPSUM_MEDIAN, TOL_STOCK_GYPSUM);
}
END_TEST

/* Apart from this library: potassium salts by the same parameters (May et al.
 * 2011) and CRC solubility, A_phi 0.3915; gypsum from the data of the USGS,
 * reference/solids.csv. */
START_TEST(solubility_products_agree_with_those_calculated_elsewhere)
{
    static const struct {
        const char *solid;
        double log_k, tolerance;
    } known[] = {
        {"potassium nitrate", -0.1067, TOL_STOCK_LOG_K},
        {"potassium sulfate", -1.8160, TOL_STOCK_LOG_K},
        {"gypsum", -4.55, TOL_STOCK_LOG_K_GYPSUM},
    };
    sw_solubility s;
    sw_solubility_at(&pitzer, 25, &s);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        double ln_k = s.ln_k[solid_called(known[i].solid)];
        ck_assert_double_eq_tol(ln_k / log(10), known[i].log_k,
                                known[i].tolerance);
    }
}
END_TEST

/*
 * Potassium nitrate with potassium sulfate.  No measured solution of both is at
 * hand and no parameters for NO3- beside SO4-2: what follows must hold whatever
 * they are.
 */
static const char *const nitrate = "potassium nitrate";
static const char *const sulfate = "potassium sulfate";

static double sulfate_beside(double kno3_g_per_l, double c, bool model_alone)
{
    sw_content beside = salt_g("KNO3", kno3_g_per_l);
    return saturates_as(&beside, "K2SO4", c, sulfate, model_alone);
}

static double nitrate_beside(double k2so4_g_per_l, double c, bool model_alone)
{
    sw_content beside = salt_g("K2SO4", k2so4_g_per_l);
    return saturates_as(&beside, "KNO3", c, nitrate, model_alone);
}

/* g of KNO3 and of K2SO4 per 100 g of water where both saturate. */
static void both_saturate(double c, bool model_alone, double found[2])
{
    double kno3 = nitrate_beside(0, c, model_alone), k2so4 = 0;
    for (int i = 0; i < 40; i++) {
        k2so4 = sulfate_beside(kno3, c, model_alone);
        kno3 = (kno3 + nitrate_beside(k2so4, c, model_alone)) / 2;
    }
    sw_content both = salt_g("KNO3", kno3), more = salt_g("K2SO4", k2so4);
    sw_content_add(&both, 1, &more);
    double water_100_g = 10 * brine_of(&both, c).water_kg_per_l;
    ck_assert_double_eq_tol(degree_as(&both, c, nitrate, model_alone), 1, 1e-6);
    ck_assert_double_eq_tol(degree_as(&both, c, sulfate, model_alone), 1, 1e-6);
    found[0] = kno3 / water_100_g;
    found[1] = k2so4 / water_100_g;
}

START_TEST(nitrate_and_sulfate_of_potassium_push_each_other_out)
{
    enum { STEPS = 12 };
    for (int c = 0; c <= 40; c += 10) {
        double most[2] = {nitrate_beside(0, c, false),
                          sulfate_beside(0, c, false)};
        double last[2] = {most[0], most[1]};
        for (int i = 1; i <= STEPS; i++) {
            double beside[2] = {nitrate_beside(most[1] * i / STEPS, c, false),
                                sulfate_beside(most[0] * i / STEPS, c, false)};
            ck_assert_double_lt(beside[0], last[0]);
            ck_assert_double_lt(beside[1], last[1]);
            memcpy(last, beside, sizeof last);
        }
    }
}
END_TEST

START_TEST(a_trace_of_the_other_salt_changes_no_end_of_the_curve)
{
    for (int c = 0; c <= 40; c += 10) {
        ck_assert_double_eq_tol(nitrate_beside(1e-6, c, false) /
                                    nitrate_beside(0, c, false),
                                1, TOL_STOCK_ALONE);
        ck_assert_double_eq_tol(sulfate_beside(1e-6, c, false) /
                                    sulfate_beside(0, c, false),
                                1, TOL_STOCK_ALONE);
    }
}
END_TEST

/* How far the bound that counts where parameters lack lies from the model with
 * these at 0.  Where both saturate it leaves so little sulfate in solution that
 * the nitrate may be above the model's; beside the same nitrate it is not.
 * Warmer, the sulfate left nears the 2 % of equivalents from which it counts,
 * and the degree jumps there. */
START_TEST(the_bound_for_both_is_below_the_model_and_each_alone)
{
    static const double at_c[] = {0, 10, 20};
    for (size_t i = 0; i < sizeof at_c / sizeof *at_c; i++) {
        double bound[2], model[2], c = at_c[i];
        double alone[2] = {saturates_alone("KNO3", c, nitrate),
                           saturates_alone("K2SO4", c, sulfate)};
        both_saturate(c, false, bound);
        both_saturate(c, true, model);
        printf("KNO3 and K2SO4 at %g degC: bound %.1f and %.1f g/100 g water, "
               "model alone %.1f and %.1f, each alone %.1f and %.1f\n",
               c, bound[0], bound[1], model[0], model[1], alone[0], alone[1]);
        ck_assert_double_lt(bound[0], alone[0]);
        ck_assert_double_lt(bound[1], alone[1]);
        ck_assert_double_lt(bound[1], model[1]);
        for (int beside = 50; beside <= 150; beside += 50)
            ck_assert_double_lt(sulfate_beside(beside, c, false),
                                sulfate_beside(beside, c, true));
    }
}
END_TEST

START_TEST(every_measured_solution_is_in_some_system)
{
    ck_assert_int_eq(sw_solubilities_count, 7 + 7 + 7 + 10 + 16 + 6);
}
END_TEST

int main(void)
{
    sw_pitzer_load(&pitzer);
    return run_suite(suite_of_all());
}
