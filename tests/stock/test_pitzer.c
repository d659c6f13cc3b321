/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "chemistry/constants.h"
#include "rows.h"
#include "stock/brine.h"
#include "stock/pitzer.h"
#include "tolerances.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <string.h>

static sw_pitzer pitzer;
static const double no_others[SW_OTHERS];

static void load(void)
{
    sw_pitzer_load(&pitzer);
}

/* Mean activity coefficient of a salt alone at 25 degC. */
static double mean_gamma(const char *cation, const char *anion, double m)
{
    sw_ion c = sw_ion_find(cation), a = sw_ion_find(anion);
    int nc = -sw_ion_charge(a), na = sw_ion_charge(c);
    if (nc == 2 && na == 2)
        nc = na = 1;
    double molality[SW_IONS] = {0};
    sw_activity out;
    molality[c] = nc * m;
    molality[a] = na * m;
    /* A_phi of May et al. 2011 */
    sw_pitzer_activity(&pitzer, molality, no_others, 0.3915, &out);
    return exp((nc * out.ln_gamma[c] + na * out.ln_gamma[a]) / (nc + na));
}

START_TEST(activity_coefficients_agree_with_published_ones)
{
    FILE *rows = open_rows("activity.csv");
    char salt[32], cation[16], anion[16];
    double m, published, computed;
    int count = 0;
    while (fscanf(rows, "%31[^,],%15[^,],%15[^,],%lf,%lf,%lf,%*[^\n]\n", salt,
                  cation, anion, &m, &published, &computed) == 6) {
        double gamma = mean_gamma(cation, anion, m);
        ck_assert_double_le(fabs(gamma / computed - 1), TOL_STOCK_SAME_MODEL);
        ck_assert_double_le(fabs(gamma / published - 1), TOL_STOCK_GAMMA);
        count++;
    }
    fclose(rows);
    ck_assert_int_eq(count, 10);
}
END_TEST

/* Integrand of J, Pitzer 1975, equation 37: without the charging term. */
static double charging(double y, void *context)
{
    double x = *(double *)context;
    double q = x / y * exp(-y);
    return -expm1(-q) * y * y;
}

/* J(x) = x/4 - 1 + 1/x integral of (1 - exp(-x/y e^-y)) y^2. */
static double j_by_quadrature(double x)
{
    gsl_integration_workspace *w = gsl_integration_workspace_alloc(500);
    gsl_function f = {charging, &x};
    double value = 0, error = 0;
    gsl_set_error_handler_off();
    ck_assert_int_eq(
        gsl_integration_qagiu(&f, 1e-9, 1e-10, 1e-9, 500, w, &value, &error),
        0);
    gsl_integration_workspace_free(w);
    return x / 4 - 1 + value / x;
}

START_TEST(the_unsymmetrical_term_agrees_with_its_integral)
{
    for (double x = 0.5; x < 60; x *= 1.5) {
        double j[2], h = x * 1e-4;
        sw_pitzer_j(x, j);
        double exact = j_by_quadrature(x);
        double slope =
            (j_by_quadrature(x + h) - j_by_quadrature(x - h)) / (2 * h);
        ck_assert_double_le(fabs(j[0] - exact), TOL_STOCK_J * exact);
        ck_assert_double_le(fabs(j[1] - slope), TOL_STOCK_J * slope * 2);
    }
}
END_TEST

START_TEST(like_charges_have_no_unsymmetrical_term)
{
    double theta[2] = {1, 1};
    sw_e_theta(2, 2, 0.39, 1.0, theta);
    ck_assert_double_eq(theta[0], 0);
    ck_assert_double_eq(theta[1], 0);
}
END_TEST

/* A mixture with every kind of interaction in it. */
static void a_mixture(double *m)
{
    memset(m, 0, SW_IONS * sizeof *m);
    m[SW_ION_K] = 0.7;
    m[SW_ION_MG] = 0.4;
    m[SW_ION_CA] = 0.2;
    m[SW_ION_H] = 0.1;
    m[SW_ION_NO3] = 0.3;
    m[SW_ION_CL] = 0.9;
    m[SW_ION_SO4] = 0.4;
    m[SW_ION_H3PO4] = 0.2;
}

/*
 * Gibbs and Duhem: sum of m dln(m gamma) is -dln(a_w)/M_w on any path.  The
 * coefficients and the water come from separate sums, so this catches a wrong
 * term in either.
 */
START_TEST(coefficients_and_water_obey_gibbs_and_duhem)
{
    double m[SW_IONS], up[SW_IONS], down[SW_IONS];
    const double h = 1e-5;
    sw_activity a, b;
    a_mixture(m);
    for (int i = 0; i < SW_IONS; i++) {
        up[i] = m[i] * (1 + h);
        down[i] = m[i] * (1 - h);
    }
    sw_pitzer_activity(&pitzer, up, no_others, 0.39, &a);
    sw_pitzer_activity(&pitzer, down, no_others, 0.39, &b);
    double sum = 55.50837 * (a.ln_water - b.ln_water);
    for (int i = 0; i < SW_IONS; i++)
        sum += m[i] * (2 * h + a.ln_gamma[i] - b.ln_gamma[i]);
    ck_assert_double_le(fabs(sum), TOL_STOCK_GIBBS_DUHEM * h);
}
END_TEST

/* ln gamma are derivatives of one excess energy: mixed ones are equal. */
START_TEST(coefficients_are_derivatives_of_one_energy)
{
    const sw_ion ion[] = {SW_ION_K, SW_ION_CA, SW_ION_CL, SW_ION_SO4,
                          SW_ION_H3PO4};
    const double h = 1e-5;
    for (int i = 0; i < 5; i++)
        for (int k = 0; k < i; k++) {
            double slope[2];
            for (int side = 0; side < 2; side++) {
                sw_ion by = side ? ion[i] : ion[k];
                sw_ion of = side ? ion[k] : ion[i];
                double m[SW_IONS];
                sw_activity up, down;
                a_mixture(m);
                m[by] += h;
                sw_pitzer_activity(&pitzer, m, no_others, 0.39, &up);
                m[by] -= 2 * h;
                sw_pitzer_activity(&pitzer, m, no_others, 0.39, &down);
                slope[side] = (up.ln_gamma[of] - down.ln_gamma[of]) / (2 * h);
            }
            ck_assert_double_le(fabs(slope[0] - slope[1]),
                                TOL_STOCK_GIBBS_DUHEM);
        }
}
END_TEST

/* Pitzer 1991, equation 64 without interactions, at an ionic strength of 0.1:
 * A_phi 0.3915, b 1.2; of the other salt only the strength counts. */
START_TEST(what_has_no_parameters_counts_by_its_strength)
{
    static const double molality[SW_IONS] = {0};
    static const double of_charge_1[SW_OTHERS] = {0, 0.2};
    static const double of_charge_2[SW_OTHERS] = {0, 0, 0.05};
    const double *const others[] = {of_charge_1, of_charge_2};
    double root = sqrt(0.1), d = 1 + 1.2 * root;
    double by_hand = -0.3915 * (root / d + 2 / 1.2 * log(d));
    for (int i = 0; i < 2; i++) {
        sw_activity out;
        sw_pitzer_activity(&pitzer, molality, others[i], 0.3915, &out);
        ck_assert_double_eq_tol(out.ionic_strength_mol_per_kg, 0.1, 1e-12);
        ck_assert_double_eq_tol(out.ln_gamma[sw_ion_find("Na+")], by_hand,
                                1e-9);
    }
}
END_TEST

START_TEST(pure_water_is_ideal)
{
    double m[SW_IONS] = {0};
    sw_activity out;
    sw_pitzer_activity(&pitzer, m, no_others, 0.39, &out);
    ck_assert_double_eq(out.ln_water, 0);
    ck_assert_double_eq(out.osmotic_coefficient, 1);
    ck_assert_double_eq(out.ln_gamma[SW_ION_CA], 0);
}
END_TEST

START_TEST(every_ion_is_found_by_its_name)
{
    for (int i = 0; i < SW_IONS; i++)
        ck_assert_int_eq(sw_ion_find(sw_ion_name((sw_ion)i)), i);
    ck_assert_int_eq(sw_ion_find("Xe"), SW_IONS);
}
END_TEST

START_TEST(the_slope_of_debye_and_hueckel_is_the_published_one)
{
    /* Archer & Wang 1990, J. Phys. Chem. Ref. Data 19:371; from memory */
    const double published[] = {0.3764, 0.3915, 0.4108};
    for (int i = 0; i < 3; i++) {
        sw_constants at;
        sw_constants_at(25.0 * i, &at);
        ck_assert_double_le(fabs(sw_a_phi(&at) / published[i] - 1),
                            TOL_STOCK_A_PHI);
    }
}
END_TEST

int main(void)
{
    load();
    return run_suite(suite_of_all());
}
