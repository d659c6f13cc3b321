/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "rows.h"
#include "chemistry/constants.h"
#include "saturate.h"
#include "table_solubility.h"
#include "table_stock_ions.h"
#include "table_stock_solids.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

START_TEST(syngenite_takes_over_from_gypsum_where_measured)
{
    /* 32.47 g/L K2SO4 with 1.58 g/L CaSO4 stands in equilibrium with both:
     * Cameron & Breazeale 1904, 25 degC (value from memory). */
    sw_content per_l = salt_g("K2SO4", 32.47), more = salt_g("CaSO4", 1.58);
    sw_content_add(&per_l, 1, &more);
    ck_assert_double_le(fabs(degree(&per_l, 25, "gypsum") - 1), 0.05);
    ck_assert_double_le(fabs(degree(&per_l, 25, "syngenite") - 1), 0.05);
}
END_TEST

START_TEST(nitrate_with_sulfate_falls_back_on_the_published_solubility)
{
    /* About 25 % KNO3 and 4.6 % K2SO4 saturate both at 25 degC (value from
     * memory, unsure).  No parameters say how NO3- and SO4-2 interact, so the
     * bound must be on the safe side of it. */
    sw_content per_l = salt_g("KNO3", 25 * 12.1), more = salt_g("K2SO4", 55.7);
    sw_content_add(&per_l, 1, &more);
    sw_brine brine = brine_of(&per_l, 25);
    char missing[160];
    sw_brine_missing(&solubility_at(25)->medium, &brine, missing,
                     sizeof missing);
    ck_assert_str_eq(missing, "NO3-/SO4-2");
    ck_assert(brine.incomplete);
    ck_assert_double_ge(degree(&per_l, 25, "potassium sulfate"), 1);
    ck_assert_double_ge(degree(&per_l, 25, "potassium nitrate"), 0.95);
}
END_TEST

static bool is_modelled(size_t solid, double c)
{
    sw_solubility s;
    sw_solubility_at(&pitzer, c, &s);
    return !isnan(s.ln_k[solid]) && !isnan(s.molality[solid]);
}

START_TEST(single_salts_saturate_where_the_table_says)
{
    int count = 0;
    for (int i = 0; i < sw_solubility_count; i++) {
        const sw_solubility_row *row = &sw_solubility_table[i];
        for (size_t k = 0; k < sw_stock_solid_count(); k++) {
            const sw_stock_solids_row *r = &sw_stock_solids_table[k];
            double c = row->temperature_c;
            /* bases and acids shift their own ions: only neutral salts */
            if (strcmp(r->salt, row->salt) != 0 || !is_modelled(k, c) ||
                strstr(r->salt, "CO3") || strstr(r->salt, "HPO4") ||
                row->g_per_100g_water > 150)
                continue;
            double found = saturates_alone(r->salt, c, r->solid);
            ck_assert_msg(fabs(found / row->g_per_100g_water - 1) <
                              TOL_STOCK_LEFT_OUT,
                          "%s at %g degC: %g, table %g", r->salt, c, found,
                          row->g_per_100g_water);
            count++;
        }
    }
    ck_assert_int_ge(count, 120);
}
END_TEST

/* ln(g) straight between the neighbours 10 degC away. */
START_TEST(a_row_left_out_is_recovered_from_its_neighbours)
{
    double worst = 0;
    int count = 0;
    for (int i = 1; i + 1 < sw_solubility_count; i++) {
        const sw_solubility_row *r = &sw_solubility_table[i];
        const sw_solubility_row *a = r - 1, *b = r + 1;
        if (strcmp(a->salt, b->salt) != 0 || a->hydration != b->hydration ||
            r->temperature_c != 25)
            continue;
        double found = sqrt(a->g_per_100g_water * b->g_per_100g_water);
        double error = fabs(found / r->g_per_100g_water - 1);
        /* steep, or with a jump in the source between 20 and 30 degC */
        if (strcmp(r->salt, "FeCl3") != 0 && strcmp(r->salt, "Na2HPO4") != 0 &&
            strcmp(r->salt, "Na2CO3") != 0 && strcmp(r->salt, "Zn(NO3)2") != 0)
            worst = fmax(worst, error);
        count++;
    }
    ck_assert_int_ge(count, 20);
    ck_assert_double_le(worst, TOL_STOCK_LEFT_OUT);
}
END_TEST

START_TEST(the_water_in_a_litre_agrees_with_densities)
{
    FILE *rows = open_rows("density.csv");
    char salt[16];
    double percent, density;
    int count = 0;
    while (fscanf(rows, "%15[^,],%lf,%lf,%*[^\n]\n", salt, &percent,
                  &density) == 3) {
        sw_content per_l = salt_g(salt, percent * density * 10);
        double measured = density * (1 - percent / 100);
        double found = brine_of(&per_l, 20).water_kg_per_l;
        /* too little water is the safe side */
        ck_assert_msg(found / measured - 1 < TOL_STOCK_WATER &&
                          found / measured - 1 > -TOL_STOCK_WATER_SAFE,
                      "%s: %g, measured %g", salt, found, measured);
        count++;
    }
    fclose(rows);
    ck_assert_int_eq(count, 8);
}
END_TEST

START_TEST(water_bound_in_hydrates_counts_as_water)
{
    sw_content wet = salt_g("MgSO4.7H2O", 246.466);
    sw_content dry = salt_g("MgSO4", 120.361);
    ck_assert_double_eq_tol(degree(&wet, 20, "magnesium sulfate"),
                            degree(&dry, 20, "magnesium sulfate"), 1e-3);
}
END_TEST

/* pH of 0.1 mol/L: CRC Handbook and textbooks (values from memory). */
START_TEST(the_ph_of_simple_solutions_is_near_the_textbook)
{
    sw_content acid = salt_g("KH2PO4", 13.6), base = salt_g("KHCO3", 10.0);
    sw_content strong = salt_g("HNO3", 6.30);
    ck_assert_double_eq_tol(brine_of(&acid, 25).ph, 4.4, 0.3);
    ck_assert_double_eq_tol(brine_of(&base, 25).ph, 8.3, 0.3);
    ck_assert_double_eq_tol(brine_of(&strong, 25).ph, 1.1, 0.1);
}
END_TEST

/* NIST's buffers at 25 degC, molal: Bates 1973, Determination of pH, 2nd ed.,
 * ch. 4; ammonium with lye by its pK of 9.25.  Values from memory. */
START_TEST(buffers_have_the_ph_they_are_certified_to)
{
    static const struct {
        const char *one, *other;
        double g_one, g_other, ph, tolerance;
    } buffers[] = {
        {"KH2PO4", "Na2HPO4", 3.402, 3.549, 6.865, TOL_BUFFER},
        {"KH2PO4", "Na2HPO4", 1.183, 4.320, 7.413, TOL_BUFFER},
        {"Na2B4O7", "Na2B4O7", 1.006, 1.006, 9.180, TOL_BUFFER},
        {"NaHCO3", "Na2CO3", 2.100, 2.650, 10.012, TOL_BUFFER},
        {"C6H8O7", "KOH", 9.606, 2.805, 3.776, TOL_BUFFER_CITRATE},
        {"NH4Cl", "KOH", 5.349, 2.805, 9.25, TOL_BUFFER_AMMONIA},
    };
    for (size_t i = 0; i < sizeof buffers / sizeof *buffers; i++) {
        sw_content c = salt_g(buffers[i].one, buffers[i].g_one),
                   more = salt_g(buffers[i].other, buffers[i].g_other);
        sw_content_add(&c, 1, &more);
        sw_brine brine;
        sw_brine_in_water(&solubility_at(25)->medium, &c, &brine);
        ck_assert_ptr_null(brine.no_estimate);
        ck_assert_msg(fabs(brine.ph - buffers[i].ph) < buffers[i].tolerance,
                      "%s: pH %g", buffers[i].one, brine.ph);
    }
}
END_TEST

START_TEST(what_polymerises_has_no_ph)
{
    sw_content silicate = salt_g("K2SiO3", 10), borax = salt_g("Na2B4O7", 10);
    ck_assert_ptr_nonnull(brine_of(&silicate, 20).no_estimate);
    ck_assert_ptr_nonnull(brine_of(&borax, 20).no_estimate);
}
END_TEST

START_TEST(phosphate_meets_calcium_and_says_so)
{
    sw_content per_l = salt_g("Ca(NO3)2", 100), more = salt_g("KH2PO4", 20);
    sw_content_add(&per_l, 1, &more);
    sw_content_add(&per_l, 1, &(sw_content){.amount[SW_ALKALINITY] = 30});
    ck_assert_double_gt(degree(&per_l, 20, "brushite"), 1);
}
END_TEST

START_TEST(a_salt_that_is_absent_has_no_degree)
{
    sw_content per_l = salt_g("KNO3", 100);
    ck_assert_double_eq(degree(&per_l, 20, "gypsum"), 0);
    ck_assert_double_gt(degree(&per_l, 20, "potassium nitrate"), 0.2);
}
END_TEST

START_TEST(salts_without_parameters_go_by_the_table)
{
    sw_content per_l = salt_g("H3BO3", 49);
    ck_assert_double_eq_tol(degree(&per_l, 20, "boric acid"), 1, 0.05);
}
END_TEST

START_TEST(no_room_for_water_is_no_solution)
{
    sw_tank_content tank = {.salts = salt_g("KNO3", 4000)};
    sw_solubility s;
    size_t solid;
    sw_solubility_at(&pitzer, 20, &s);
    ck_assert(isinf(sw_tank_saturation(&s, &tank, 1, &solid)));
    ck_assert_uint_eq(solid, sw_stock_solid_count());
    sw_mixture mixture;
    sw_mixture_make(&s, &tank, 1, &mixture);
    ck_assert_double_nan(mixture.brine.ph);
}
END_TEST

START_TEST(the_largest_strength_saturates)
{
    sw_tank_content tank = {.salts = salt_g("K2SO4", 10)};
    sw_solubility s;
    size_t solid;
    sw_solubility_at(&pitzer, 20, &s);
    double strength = sw_tank_strength(&s, &tank, &solid);
    ck_assert_str_eq(sw_stock_solid_name(solid), "potassium sulfate");
    ck_assert_double_eq_tol(sw_tank_saturation(&s, &tank, strength, &solid), 1,
                            1e-4);
    /* 11.05 g/100 g (CRC): about 108 g in a litre of solution */
    ck_assert_double_eq_tol(strength, 10.8, 0.2);
}
END_TEST

START_TEST(strength_ends_where_it_should)
{
    sw_tank_content weak = {.salts = salt_g("KNO3", 0.001)};
    sw_tank_content made = {.make_up = salt_g("KNO3", 900)};
    sw_solubility s;
    size_t solid;
    sw_solubility_at(&pitzer, 20, &s);
    ck_assert_double_eq(sw_tank_strength(&s, &weak, &solid), SW_MOST_STRENGTH);
    ck_assert_double_eq(sw_tank_strength(&s, &made, &solid), 0);
}
END_TEST

START_TEST(the_coldest_temperature_saturates)
{
    sw_content none = {{0}};
    double g = saturates_at(&none, "KNO3", 10, "potassium nitrate");
    sw_tank_content tank = {.salts = salt_g("KNO3", g)};
    ck_assert_double_eq_tol(sw_tank_coldest(&pitzer, &tank), 10, 0.01);
    tank.salts = salt_g("KNO3", 50);
    ck_assert_double_eq(sw_tank_coldest(&pitzer, &tank), 0);
    tank.salts = salt_g("KNO3", 800);
    ck_assert(isnan(sw_tank_coldest(&pitzer, &tank)));
}
END_TEST

/* Phosphate in hard water: in the warm a trace of brushite that is no harm, in
 * the cold more; each searched temperature parts the two. */
START_TEST(the_coldest_temperature_is_where_a_solid_starts_to_count)
{
    int traces = 0;
    for (int factor = 114; factor <= 174; factor += 5) {
        sw_tank_content tank = {
            .make_up
                .amount = {[SW_CA] = 104, [SW_MG] = 27, [SW_ALKALINITY] = 6},
            .salts = salt_g("KNO3", 0.342 * factor)};
        sw_content phosphate = salt_g("KH2PO4", 0.069 * factor);
        sw_content_add(&tank.salts, 1, &phosphate);
        double c = sw_tank_coldest(&pitzer, &tank);
        ck_assert(!isnan(c));
        size_t solid;
        sw_mixture m;
        sw_mixture_make(solubility_at(c + 0.1), &tank, 1, &m);
        ck_assert_double_le(m.worst, 1);
        traces += m.deposit_count > 0;
        if (c > 0.1)
            ck_assert_double_gt(
                sw_tank_saturation(solubility_at(c - 0.1), &tank, 1, &solid),
                1);
    }
    ck_assert_int_ge(traces, 6);
}
END_TEST

START_TEST(every_solid_and_ion_of_the_tables_is_known)
{
    for (size_t i = 0; i < sw_stock_solid_count(); i++) {
        const sw_stock_solids_row *r = &sw_stock_solids_table[i];
        ck_assert_int_lt(sw_ion_find(r->ion_1), SW_IONS);
        ck_assert(!*r->ion_2 || sw_ion_find(r->ion_2) < SW_IONS);
        ck_assert(!*r->ion_3 || sw_ion_find(r->ion_3) < SW_IONS);
        ck_assert(!isnan(r->log_k) || *r->salt);
        ck_assert_str_ne(sw_stock_solid_formula(i), "");
        if (*r->salt)
            salt_g(r->salt, 1);
    }
    for (int i = 0; i < sw_stock_ions_count; i++)
        ck_assert_int_eq(sw_ion_find(sw_stock_ions_table[i].ion), i);
}
END_TEST

/* The same solid as in the finished solution, whose log K(T) has terms of its
 * own: 0.04 apart at most from 5 to 40 degC. */
START_TEST(calcite_has_the_constant_of_the_temperature)
{
    size_t i = solid_called("calcite");
    ck_assert_int_eq(sw_stock_solid_role(i), SW_SOLID_WARNS);
    for (int c = 5; c <= 40; c += 5) {
        double t = c + 273.15;
        double log_k = -67.87 - 0.051813 * t + 30.25746 * log10(t);
        sw_solubility s;
        sw_solubility_at(&pitzer, c, &s);
        ck_assert_double_eq_tol(s.ln_k[i] / log(10), log_k, TOL_CALCITE_LOG_K);
    }
}
END_TEST

START_TEST(temperatures_between_rows_lie_between_them)
{
    sw_solubility at_20, at_22, at_25;
    size_t i = solid_called("potassium nitrate");
    sw_solubility_at(&pitzer, 20, &at_20);
    sw_solubility_at(&pitzer, 22, &at_22);
    sw_solubility_at(&pitzer, 25, &at_25);
    ck_assert_double_lt(at_20.molality[i], at_22.molality[i]);
    ck_assert_double_lt(at_22.molality[i], at_25.molality[i]);
}
END_TEST

/* Borax holds 0.09 mol/kg at 10 degC and 0.105 at 15 (CRC Handbook). */
START_TEST(below_a_tenth_of_a_mole_a_solid_is_sparing)
{
    sw_solubility at_10, at_15;
    size_t borax = solid_called("borax"), gypsum = solid_called("gypsum");
    sw_solubility_at(&pitzer, 10, &at_10);
    sw_solubility_at(&pitzer, 15, &at_15);
    ck_assert(at_10.sparing[borax] && !at_15.sparing[borax]);
    ck_assert(at_10.sparing[gypsum] && at_15.sparing[gypsum]);
}
END_TEST

int main(void)
{
    sw_pitzer_load(&pitzer);
    return run_suite(suite_of_all());
}
