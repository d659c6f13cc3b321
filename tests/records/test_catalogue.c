/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The catalogue: every entry sound, every name finds what it says. */
#include "suite.h"

#include "records/catalogue.h"
#include "saltwright.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

enum { FEWEST = 60 };

static sw_product *entry(size_t index)
{
    sw_product *product = NULL;
    sw_error error = {0};
    ck_assert_msg(sw_catalogue_get(index, &product, &error) == SW_OK,
                  "entry %zu: %s", index, error.message);
    return product;
}

static sw_product *find(const char *name)
{
    sw_product *product = NULL;
    sw_error error = {0};
    ck_assert_msg(sw_catalogue_find(name, &product, &error) == SW_OK, "%s",
                  error.message);
    return product;
}

static void finds(const char *name, const char *expected)
{
    sw_product *product = find(name);
    ck_assert_str_eq(product->name, expected);
    sw_product_free(product);
}

static sw_error refuse(const char *name)
{
    sw_product *product = NULL;
    sw_error error = {0};
    ck_assert_msg(sw_catalogue_find(name, &product, &error) == SW_ERR_NAME,
                  "%s was found", name);
    ck_assert_ptr_null(product);
    return error;
}

static double sum_of_elements(const sw_content *c)
{
    double sum = 0;
    for (int i = 0; i < SW_N; i++)
        sum += c->amount[i];
    return sum;
}

START_TEST(every_entry_is_sound)
{
    ck_assert_uint_ge(sw_catalogue_count(), FEWEST);
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p = entry(i);
        double sum = sum_of_elements(&p->per_g);
        bool citric = p->per_g.amount[SW_CITRATE] > 0;
        ck_assert_str_eq(p->name, p->catalogue_name);
        ck_assert_ptr_nonnull(p->source);
        ck_assert_ptr_nonnull(p->usual_tank);
        ck_assert_msg((sum > 0 || citric) && sum <= 1000, "%s: %g", p->name,
                      sum);
        ck_assert_msg(!p->label == (p->purity > 0 && p->purity <= 1), "%s",
                      p->name);
        ck_assert(isnan(p->min_g_per_l) && isnan(p->max_g_per_l) &&
                  isnan(p->fixed_g_per_l) && isnan(p->price_per_kg) &&
                  isnan(p->pack_g));
        ck_assert(!p->tank && p->line == 0);
        sw_product_free(p);
    }
}
END_TEST

/* Charges of what an entry carries, worked out here from the components. */
START_TEST(the_ions_of_every_entry_balance_its_alkalinity)
{
    static const double meq_per_mg[SW_COMPONENT_COUNT] = {
        [SW_NO3_N] = -1 / 14.007, [SW_NH4_N] = 1 / 14.007, [SW_P] = -1 / 30.974,
        [SW_K] = 1 / 39.098,      [SW_CA] = 2 / 40.078,    [SW_MG] = 2 / 24.305,
        [SW_S] = -2 / 32.06,      [SW_CL] = -1 / 35.45,    [SW_NA] = 1 / 22.990,
        [SW_MN] = 2 / 54.938,     [SW_ZN] = 2 / 65.38,     [SW_CU] = 2 / 63.546,
        [SW_MO] = -2 / 95.95,     [SW_F] = -1 / 18.998,
    };
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p = entry(i);
        const double *a = p->per_g.amount;
        double fe = a[SW_FE] - a[SW_CHELATED_FE];
        bool ferric = p->formula && (strstr(p->formula, "FeCl3") ||
                                     strstr(p->formula, "Fe(NO3)3"));
        double meq = fe * (ferric ? 3 : 2) / 55.845 - a[SW_CHELATE_CHARGE] -
                     a[SW_CHELATED_MN] * meq_per_mg[SW_MN] -
                     a[SW_CHELATED_ZN] * meq_per_mg[SW_ZN] -
                     a[SW_CHELATED_CU] * meq_per_mg[SW_CU];
        for (int k = 0; k < SW_COMPONENT_COUNT; k++)
            meq += a[k] * meq_per_mg[k];
        ck_assert_msg(fabs(meq - a[SW_ALKALINITY]) <
                          (p->label ? TOL_LABEL_MEQ_PER_G : TOL_EQ_PER_MOL),
                      "%s: %g and %g", p->name, meq, a[SW_ALKALINITY]);
        sw_product_free(p);
    }
}
END_TEST

/* Acids and bases apart, nothing built in brings alkalinity by accident. */
START_TEST(neutral_salts_are_neutral)
{
    static const char *const neutral[] = {
        "calcium nitrate tetrahydrate",
        "potassium nitrate",
        "MKP",
        "MAP",
        "potassium sulfate",
        "epsom salt",
        "potassium chloride",
        "urea",
        "boric acid",
        "sodium molybdate dihydrate",
        "iron EDTA 13 %",
        "manganese EDTA 13 %",
        "calcium ammonium nitrate double salt"};
    for (size_t i = 0; i < sizeof neutral / sizeof *neutral; i++) {
        sw_product *p = find(neutral[i]);
        ck_assert_msg(fabs(p->per_g.amount[SW_ALKALINITY]) < 0.02, "%s",
                      neutral[i]);
        sw_product_free(p);
    }
}
END_TEST

START_TEST(every_other_name_finds_its_entry_or_is_shared)
{
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p = entry(i);
        char name[120];
        for (const char *at = p->other_names ? p->other_names : ""; *at;) {
            size_t length = strcspn(at, "|");
            (void)snprintf(name, sizeof name, "%.*s", (int)length, at);
            sw_product *found = NULL;
            sw_error error = {0};
            if (sw_catalogue_find(name, &found, &error) == SW_OK)
                ck_assert_msg(!strcmp(found->name, p->name), "%s finds %s",
                              name, found->name);
            else
                ck_assert_msg(strstr(error.message, p->name), "%s: %s", name,
                              error.message);
            sw_product_free(found);
            at += length + (at[length] == '|');
        }
        finds(p->name, p->name);
        sw_product_free(p);
    }
}
END_TEST

START_TEST(case_spaces_and_formulas_find_too)
{
    finds("  Epsom  SALTS ", "magnesium sulfate heptahydrate");
    finds("mkp", "monopotassium phosphate");
    finds("KNO3", "potassium nitrate");
    finds("MgSO4.7H2O", "magnesium sulfate heptahydrate");
    finds("K₂SO₄", "potassium sulfate");
    finds("Nitric acid 61.4%", "nitric acid 61.4 %");
    finds("Bittersalz", "magnesium sulfate heptahydrate");
    finds("Harnstoff", "urea");
    finds("nitric 60%", "nitric acid 60 %");
    finds("Mg(NO3)2", "magnesium nitrate hexahydrate");
}
END_TEST

START_TEST(a_name_of_several_products_is_refused_with_all_of_them)
{
    sw_error error = refuse("Calcium Nitrate");
    ck_assert_ptr_nonnull(strstr(error.message, "tetrahydrate"));
    ck_assert_ptr_nonnull(strstr(error.message, "double salt"));
    ck_assert_ptr_nonnull(strstr(error.message, "anhydrous"));
    ck_assert_ptr_nonnull(strstr(refuse("nitric acid").message, "61.4"));
    ck_assert_ptr_nonnull(strstr(refuse("Fe-DTPA").message, "11 %"));
    refuse("manganese sulfate");
    refuse("magnesium sulphate");
    refuse("citric acid");
    /* of so few letters one makes another product: CAN is not UAN */
    ck_assert_ptr_null(strstr(refuse("CAN").message, "did you mean"));
    ck_assert_ptr_nonnull(strstr(refuse("UAN23").message, "did you mean"));
}
END_TEST

/* Shelves are marked "MgSO4" whatever its water; it halves the magnesium. */
START_TEST(a_formula_without_its_water_may_be_any_hydrate)
{
    sw_error error = refuse("MgSO4");
    ck_assert_ptr_nonnull(strstr(error.message, "heptahydrate"));
    ck_assert_ptr_nonnull(strstr(error.message, "anhydrous"));
    ck_assert_ptr_nonnull(strstr(refuse("Ca(NO3)2").message, "double salt"));
    ck_assert_ptr_nonnull(strstr(refuse("CuSO4").message, "pentahydrate"));
}
END_TEST

START_TEST(a_name_said_twice_means_what_both_mean)
{
    finds("Potassium nitrate (KNO3)", "potassium nitrate");
    finds("Calcium nitrate (Ca(NO3)2·4H2O)", "calcium nitrate tetrahydrate");
    finds("MgSO4 (epsom)", "magnesium sulfate heptahydrate");
    finds("HNO3 (60 %)", "nitric acid 60 %");
    refuse("Potassium nitrate (NaCl)");
    refuse("Potassium nitrate (zork)");
    refuse("zork (KNO3)");
}
END_TEST

/* A word of its form may follow a name, no other, however long. */
START_TEST(a_name_may_be_followed_by_the_form)
{
    static const char *const others[] = {
        "potassium nitrate for lawns",
        "potassium nitrate solutionsolutionsolutionsolutionsolution"};
    ck_assert_uint_eq(
        sw_catalogue_match_start("potassium nitrate solution").count, 1);
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        ck_assert_uint_eq(sw_catalogue_match_start(others[i]).count, 0);
}
END_TEST

START_TEST(an_unknown_name_brings_near_ones)
{
    ck_assert_ptr_nonnull(
        strstr(refuse("potasium nitrate").message, "potassium nitrate"));
    ck_assert_ptr_nonnull(
        strstr(refuse("zork").message, "not in the catalogue"));
    ck_assert_ptr_nonnull(strstr(refuse("").message, "not in the catalogue"));
    char endless[300];
    memset(endless, 'a', sizeof endless - 1);
    endless[sizeof endless - 1] = '\0';
    refuse(endless);
}
END_TEST

START_TEST(there_is_nothing_past_the_end)
{
    sw_product *product;
    sw_error error;
    ck_assert_int_eq(sw_catalogue_get(sw_catalogue_count(), &product, &error),
                     SW_ERR_NAME);
    ck_assert_ptr_null(product);
    sw_product_free(NULL);
}
END_TEST

START_TEST(liquids_have_a_density_and_chelates_their_chelator)
{
    sw_product *acid = find("nitric acid 38 %");
    ck_assert_double_eq(acid->density_g_per_ml, 1.233);
    sw_product_free(acid);
    sw_product *salt = find("zinc nitrate hexahydrate");
    ck_assert(isnan(salt->density_g_per_ml));
    sw_product_free(salt);
    sw_product *iron = find("Fe-EDDHA");
    ck_assert_int_eq(iron->chelator, SW_EDDHA);
    ck_assert_double_eq(iron->per_g.amount[SW_CHELATED_FE], 60);
    sw_product_free(iron);
}
END_TEST
