/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The equilibrium of random waters and feeds, and of extreme ones: it always
 * balances, by sums taken here on their own, and gives back the pH.
 *
 *     test_speciation        a quick sample, and single cases
 *     test_speciation 100000 that many random waters
 */
#include "suite.h"

#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <math.h>
#include <string.h>
#include <time.h>

#include "chemistry/conductivity.h"
#include "chemistry/saturation.h"
#include "chemistry/speciate.h"
#include "quantity/formula.h"
#include "random_content.h"
#include "tolerances.h"

static size_t sample_count = 2000;

/* ---- Random waters and feeds -------------------------------------------- */

static sw_speciation random_solution(gsl_rng *rng, const sw_constants *c)
{
    sw_content content = random_content(rng);
    double ph = between(rng, 3, 11);
    bool open = ph < 9 && gsl_rng_uniform(rng) < 0.3;
    sw_speciation s = {.constants = c,
                       .ph_given = true,
                       .ph = ph,
                       .carbon_open = open,
                       .ln_co2 = sw_ln_co2(c, 4.2e-4)};
    ck_assert_int_eq(
        sw_totals_of(&content, c->water_kg_per_l, open, &s.totals, NULL),
        SW_OK);
    return s;
}

/* ---- Balances, taken from the species alone ----------------------------- */

static double mass_imbalance(const sw_speciation *s, int master)
{
    double total = s->totals.mol_per_kg[master];
    double sum = 0;
    if (total == 0 || (master == SW_AT_CO3 && s->carbon_open))
        return 0;
    for (int i = 0; i < s->constants->species_count; i++) {
        const sw_species *species = &s->constants->species[i];
        for (int k = 0; k < species->parts; k++)
            if ((int)species->part[k] == master)
                sum += species->count[k] * s->molality[i];
    }
    return fabs(sum - total) / total;
}

/*
 * Electric charge of the species against that of the strong ions and the
 * alkalinity: a sum the solver never forms.
 */
static double charge_imbalance(const sw_speciation *s)
{
    double species = 0;
    double analysed = -s->totals.alkalinity_eq_per_kg;
    double size = fabs(analysed);
    for (int i = 0; i < s->constants->species_count; i++) {
        species += s->constants->species[i].charge * s->molality[i];
        size += abs(s->constants->species[i].charge) * s->molality[i];
    }
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (m != SW_AT_CO3)
            analysed +=
                sw_master_charge((sw_master)m) * s->totals.mol_per_kg[m];
    return fabs(species - analysed) / size;
}

static void assert_balanced(const sw_speciation *s)
{
    ck_assert_double_le(s->residual, TOL_BALANCE);
    ck_assert_double_le(charge_imbalance(s), TOL_BALANCE);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        ck_assert_double_le(mass_imbalance(s, m), TOL_BALANCE);
}

static double cpu_us(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e6 * (double)t.tv_sec + 1e-3 * (double)t.tv_nsec;
}

/* Held at a pH, then let go with the alkalinity found there. */
static double solve_both_ways(gsl_rng *rng)
{
    sw_constants c;
    sw_error error;
    sw_constants_at(between(rng, 5, 40), &c);
    sw_speciation held = random_solution(rng, &c);
    ck_assert_msg(sw_speciate(&held, &error) == SW_OK, "%s", error.message);
    sw_speciation s = {.constants = &c,
                       .totals = held.totals,
                       .carbon_open = held.carbon_open,
                       .ln_co2 = held.ln_co2};
    s.totals.alkalinity_eq_per_kg = held.alkalinity;
    double start = cpu_us();
    ck_assert_msg(sw_speciate(&s, &error) == SW_OK, "%s", error.message);
    double used = cpu_us() - start;
    ck_assert_double_eq_tol(s.ph, held.ph, TOL_SAME_PH);
    assert_balanced(&s);
    return used;
}

START_TEST(random_waters_and_feeds_always_balance)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double *used = malloc(sample_count * sizeof *used);
    ck_assert_ptr_nonnull(rng);
    ck_assert_ptr_nonnull(used);
    gsl_rng_set(rng, 20240501);
    for (size_t n = 0; n < sample_count; n++)
        used[n] = solve_both_ways(rng);
    gsl_sort(used, 1, sample_count);
    printf("%zu random waters and feeds, 0 failures; an equilibrium takes %.0f "
           "us in the median, %.0f in 99 of 100\n",
           sample_count, used[sample_count / 2], used[sample_count * 99 / 100]);
    free(used);
    gsl_rng_free(rng);
}
END_TEST

/* ---- Single cases ------------------------------------------------------- */

/* `mol` per litre of a substance in water, its pH by the proton condition. */
static sw_speciation solution_of(const char *formula, double mol_per_l,
                                 const sw_constants *c)
{
    double molar_mass;
    sw_content per_g;
    sw_content per_l = {0};
    sw_speciation s = {.constants = c};
    ck_assert_int_eq(sw_formula_content(formula, 1, &per_g, &molar_mass, NULL),
                     SW_OK);
    sw_content_add(&per_l, molar_mass * mol_per_l, &per_g);
    ck_assert_int_eq(
        sw_totals_of(&per_l, c->water_kg_per_l, false, &s.totals, NULL), SW_OK);
    ck_assert_int_eq(sw_speciate(&s, NULL), SW_OK);
    assert_balanced(&s);
    return s;
}

START_TEST(pure_substances_have_their_known_ph)
{
    /* NBS buffers (Bates 1973): borax 0.01 mol/kg 9.180, the equimolal
     * phosphate in the next test; the others from their constants. */
    static const struct {
        const char *formula;
        double mol_per_l;
        double ph;
    } known[] = {
        {"HCl", 0.01, 2.043},   {"HNO3", 0.1, 1.09},     {"NaOH", 0.01, 11.95},
        {"KOH", 0.1, 12.87},    {"Na2B4O7", 0.01, 9.18}, {"KH2PO4", 0.01, 4.68},
        {"NaHCO3", 0.01, 8.26}, {"NH4Cl", 0.01, 5.65},   {"H3PO4", 0.01, 2.28}};
    sw_constants c;
    sw_constants_at(25, &c);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        sw_speciation s = solution_of(known[i].formula, known[i].mol_per_l, &c);
        ck_assert_msg(fabs(s.ph - known[i].ph) < TOL_KNOWN_PH, "%s: pH %.3f",
                      known[i].formula, s.ph);
    }
}
END_TEST

/* Bates 1973: KH2PO4 and Na2HPO4, 0.025 mol/kg each, by temperature. */
START_TEST(the_phosphate_buffer_has_its_standard_ph)
{
    static const double standard[][2] = {{5, 6.951},  {10, 6.923}, {20, 6.881},
                                         {25, 6.865}, {30, 6.853}, {40, 6.838}};
    for (size_t i = 0; i < 6; i++) {
        sw_constants c;
        sw_constants_at(standard[i][0], &c);
        sw_speciation s = {.constants = &c};
        s.totals.mol_per_kg[SW_AT_K] = 0.025;
        s.totals.mol_per_kg[SW_AT_Na] = 0.05;
        s.totals.mol_per_kg[SW_AT_PO4] = 0.05;
        s.totals.alkalinity_eq_per_kg = 0.025;
        ck_assert_int_eq(sw_speciate(&s, NULL), SW_OK);
        ck_assert_double_eq_tol(s.ph, standard[i][1], TOL_BUFFER_PH);
    }
}
END_TEST

START_TEST(concentrated_salts_balance_up_to_one_molal)
{
    static const char *const salts[] = {"KNO3",   "Ca(NO3)2", "MgSO4",
                                        "K2SO4",  "NH4NO3",   "(NH4)2SO4",
                                        "KH2PO4", "CaCl2",    "NaCl"};
    sw_constants c;
    sw_constants_at(25, &c);
    for (size_t i = 0; i < sizeof salts / sizeof *salts; i++) {
        solution_of(salts[i], 0.3, &c);
        solution_of(salts[i], 1e-6, &c);
    }
}
END_TEST

START_TEST(strong_acids_and_bases_balance)
{
    sw_constants c;
    sw_constants_at(25, &c);
    ck_assert_double_lt(solution_of("H2SO4", 0.5, &c).ph, 0.5);
    ck_assert_double_gt(solution_of("KOH", 0.9, &c).ph, 13.6);
    ck_assert_double_lt(solution_of("H3PO4", 1, &c).ph, 1.3);
}
END_TEST

START_TEST(a_stock_beyond_the_activity_model_is_refused)
{
    sw_constants c;
    sw_error error;
    sw_constants_at(25, &c);
    sw_speciation s = {.constants = &c};
    s.totals.mol_per_kg[SW_AT_K] = 3;
    s.totals.mol_per_kg[SW_AT_NO3] = 3;
    ck_assert_int_eq(sw_speciate(&s, &error), SW_ERR_VALUE);
    ck_assert_ptr_nonnull(strstr(error.message, "activity model"));
}
END_TEST

START_TEST(a_solved_solution_solves_to_itself)
{
    sw_constants c;
    sw_constants_at(25, &c);
    sw_speciation s = solution_of("Ca(NO3)2", 0.01, &c);
    double ph = s.ph;
    ck_assert_int_eq(sw_speciate(&s, NULL), SW_OK);
    ck_assert_double_eq_tol(s.ph, ph, TOL_SAME_PH);
    assert_balanced(&s);
}
END_TEST

/* What cannot be solved is an error everywhere, never a number. */
START_TEST(broken_constants_are_an_error)
{
    sw_constants c;
    double value[1][SW_SOLID_COUNT];
    sw_constants_at(25, &c);
    sw_speciation s = {.constants = &c};
    s.totals.mol_per_kg[SW_AT_Fe2] = 1e-5;
    s.totals.mol_per_kg[SW_AT_SO4] = 1e-5;
    ck_assert_int_eq(sw_speciate(&s, NULL), SW_OK);
    for (int i = 0; i < c.species_count; i++)
        if (!strcmp(c.species[i].name, "FeSO4+"))
            c.species[i].ln_beta = NAN;
    sw_constants_plan(&c);
    ck_assert_int_eq(sw_saturation_indices(&s, 1, value, NULL), SW_ERR_NUMERIC);
    ck_assert_int_eq(sw_saturation_onsets(&s, value[0], NULL), SW_ERR_NUMERIC);
    for (int i = 0; i < c.species_count; i++)
        c.species[i].ln_beta = NAN;
    sw_constants_plan(&c);
    ck_assert_int_eq(sw_speciate(&s, NULL), SW_ERR_NUMERIC);
}
END_TEST

/* At its own temperature nothing is solved anew. */
START_TEST(a_broken_solution_has_no_conductivity_at_another_temperature)
{
    sw_constants c;
    double ec;
    sw_constants_at(25, &c);
    sw_speciation s = solution_of("KCl", 0.01, &c);
    s.ph = NAN;
    ck_assert_int_eq(sw_conductivity_at(&s, NULL, 20, &ec, NULL),
                     SW_ERR_NUMERIC);
}
END_TEST

START_TEST(impossible_contents_are_refused)
{
    sw_totals totals;
    sw_error error;
    sw_content bad[5] = {0};
    bad[0].amount[SW_CA] = -1;
    bad[1].amount[SW_K] = NAN;
    bad[2].amount[SW_CARBON] = -1;
    bad[3].amount[SW_CHELATED_FE] = 1;
    bad[4].amount[SW_NA] = 250000;
    for (int i = 0; i < 5; i++)
        ck_assert_int_eq(sw_totals_of(&bad[i], 0.997, false, &totals, &error),
                         SW_ERR_VALUE);
}
END_TEST

START_TEST(a_rounding_below_zero_counts_as_zero)
{
    sw_totals totals;
    sw_content c = {0};
    c.amount[SW_CA] = -1e-9;
    ck_assert_int_eq(sw_totals_of(&c, 0.997, false, &totals, NULL), SW_OK);
    ck_assert_double_eq(totals.mol_per_kg[SW_AT_Ca], 0);
}
END_TEST

/* Standard seawater: 0.9648 kg of water in a kg, 1.0236 kg in a litre. */
START_TEST(a_litre_of_seawater_holds_its_known_water)
{
    sw_totals totals;
    sw_content c = {0};
    double *a = c.amount;
    a[SW_NA] = 11036;
    a[SW_CL] = 19810;
    a[SW_MG] = 1314;
    a[SW_S] = 2776 * 32.06 / 96.056;
    a[SW_CA] = 421.8;
    a[SW_K] = 408.5;
    a[SW_ALKALINITY] = 2.3;
    ck_assert_int_eq(sw_totals_of(&c, 0.997047, false, &totals, NULL), SW_OK);
    ck_assert_double_eq_tol(totals.water_kg_per_l, 0.9648 * 1.0236,
                            TOL_WATER_KG_PER_L);
}
END_TEST

int main(int argc, char **argv)
{
    if (argc > 1)
        sample_count = (size_t)sw_cases(atoi(argv[1]));
    return run_suite(suite_of_all());
}
