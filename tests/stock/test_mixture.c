/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "rows.h"
#include "saturate.h"

#include <string.h>

typedef struct salt {
    const char *formula;
    double g;
} salt;

/* Per litre, in make-up water that brings so much Mg. */
static sw_tank_content tank_of(const salt *salts, double mg_mg_per_l)
{
    sw_tank_content tank = {.make_up.amount[SW_MG] = mg_mg_per_l,
                            .make_up.amount[SW_ALKALINITY] = mg_mg_per_l / 12,
                            .make_up.amount[SW_CARBON] = mg_mg_per_l / 12};
    for (; salts->formula; salts++) {
        sw_content more = salt_g(salts->formula, salts->g);
        sw_content_add(&tank.salts, 1, &more);
    }
    return tank;
}

static sw_mixture mixture_of(const salt *salts, double mg_mg_per_l, double c)
{
    sw_tank_content tank = tank_of(salts, mg_mg_per_l);
    sw_mixture m;
    sw_mixture_make(solubility_at(c), &tank, 1, &m);
    return m;
}

static const sw_deposit *deposit_of(const sw_mixture *m, const char *solid)
{
    for (size_t i = 0; i < m->deposit_count; i++)
        if (!strcmp(sw_stock_solid_name(m->deposits[i].solid), solid))
            return &m->deposits[i];
    return NULL;
}

static const salt phosphate[] = {{"(NH4)2HPO4", 16}, {"KNO3", 40}, {NULL, 0}};

START_TEST(a_trace_of_struvite_spoils_no_tank)
{
    sw_mixture m = mixture_of(phosphate, 1, 20);
    const sw_deposit *d = deposit_of(&m, "struvite");
    ck_assert_ptr_nonnull(d);
    ck_assert(!d->counts);
    ck_assert_double_lt(d->g_per_l, 0.0102); /* 1 mg/L of Mg makes 10.1 mg */
    ck_assert_double_le(m.worst, 1);
}
END_TEST

START_TEST(much_struvite_does)
{
    sw_mixture m = mixture_of(phosphate, 40, 20);
    const sw_deposit *d = deposit_of(&m, "struvite");
    ck_assert(d && d->counts);
    ck_assert_double_gt(d->g_per_l, 0.3); /* of 0.404 g, did all come out */
    ck_assert_double_lt(d->g_per_l, 0.404);
    ck_assert_str_eq(sw_stock_solid_name(m.solid), "struvite");
}
END_TEST

/* Less of an element than 50 mg/L of solid holds counts where products bring
 * it: the zinc of a tank is not lost in silence. */
START_TEST(a_trace_element_that_comes_out_counts)
{
    const salt salts[] = {{"K2HPO4", 20}, {"ZnSO4.7H2O", 0.03}, {NULL, 0}};
    sw_mixture m = mixture_of(salts, 0, 20);
    const sw_deposit *d = deposit_of(&m, "zinc phosphate");
    ck_assert(d && d->counts && d->forms);
    ck_assert_double_lt(d->g_per_l, 0.05);
    ck_assert_double_gt(d->share, 0.5);
}
END_TEST

/* What comes out leaves a saturated solution behind. */
START_TEST(what_is_left_is_saturated)
{
    const salt salts[] = {{"K2SO4", 5}, {"Ca(NO3)2", 10}, {NULL, 0}};
    sw_mixture m = mixture_of(salts, 0, 20);
    const sw_deposit *d = deposit_of(&m, "gypsum");
    ck_assert_ptr_nonnull(d);
    sw_tank_content tank = tank_of(salts, 0);
    sw_content out = salt_g("CaSO4", d->g_per_l * 136.14 / 172.17);
    sw_content_add(&tank.salts, -1, &out);
    size_t solid;
    ck_assert_double_eq_tol(
        sw_tank_saturation(solubility_at(20), &tank, 1, &solid), 1, 0.01);
}
END_TEST

START_TEST(phosphates_of_potassium_drop_magnesium)
{
    const salt tkp[] = {{"K3PO4", 27}, {"MgSO4.7H2O", 40}, {NULL, 0}};
    const salt dkp[] = {{"K2HPO4", 22}, {"MgSO4.7H2O", 40}, {NULL, 0}};
    sw_mixture strong = mixture_of(tkp, 0, 20), weak = mixture_of(dkp, 0, 20);
    ck_assert_ptr_nonnull(deposit_of(&strong, "K-struvite"));
    ck_assert_double_gt(strong.worst, 1);
    ck_assert_ptr_nonnull(deposit_of(&weak, "newberyite"));
    ck_assert_double_gt(weak.worst, 1);
}
END_TEST

START_TEST(lye_sets_ammonia_free)
{
    /* 0.379 mol/L of NH4 and 0.096 of KOH: a quarter of it is NH3 */
    const salt salts[] = {
        {"(NH4)2SO4", 25}, {"KOH", 5.4}, {"KNO3", 25}, {NULL, 0}};
    sw_mixture m = mixture_of(salts, 0, 20);
    ck_assert_double_eq_tol(m.ammonia_share, 0.254, 0.003);
    ck_assert_double_eq_tol(m.brine.ph, 9.1, 0.3);
    ck_assert(sw_mixture_gases(&m));
    ck_assert_str_eq(sw_stock_solid_name(m.solid), "ammonia gas");
    ck_assert_double_gt(m.worst, 1);
}
END_TEST

/* 1 mol/kg of NH3 at 25 degC has 0.0165 atm over it: Henry's constant of 60.6
 * mol/kg/atm, CRC Handbook (value from memory). */
START_TEST(ammonia_water_has_its_vapour)
{
    sw_mixture m;
    sw_tank_content tank = {.salts = salt_g("NH4Cl", 5.349)};
    sw_content more = salt_g("KOH", 56.1);
    sw_content_add(&tank.salts, 1, &more);
    sw_mixture_make(solubility_at(25), &tank, 1, &m);
    /* as much to a kg of water as it is there to a litre */
    sw_mixture_make(solubility_at(25), &tank, m.brine.water_kg_per_l, &m);
    ck_assert_double_gt(m.ammonia_share, 0.999);
    ck_assert_double_eq_tol(m.ammonia_ppm, 1650, 300);
}
END_TEST

START_TEST(ammonium_alone_gives_off_little)
{
    sw_mixture m = mixture_of(phosphate, 0, 20);
    ck_assert(!sw_mixture_gases(&m));
    ck_assert_double_lt(m.worst, 1);
    ck_assert_double_eq_tol(m.brine.ph, 7.9, 0.3);
}
END_TEST

START_TEST(acid_foams_with_carbonate)
{
    const salt salts[] = {{"KHCO3", 20}, {"HNO3", 10}, {NULL, 0}};
    const salt little[] = {{"KHCO3", 20}, {NULL, 0}};
    ck_assert_double_gt(mixture_of(salts, 0, 20).co2_atm, 1);
    ck_assert_double_lt(mixture_of(little, 0, 20).co2_atm, 0.1);
}
END_TEST

START_TEST(alkaline_silicate_stays_and_gels_with_acid)
{
    const salt glass[] = {{"K2SiO3", 20}, {NULL, 0}};
    const salt gel[] = {{"K2SiO3", 20}, {"HNO3", 14}, {NULL, 0}};
    sw_mixture clear = mixture_of(glass, 0, 20),
               cloudy = mixture_of(gel, 0, 20);
    ck_assert_ptr_null(deposit_of(&clear, "amorphous silica"));
    ck_assert(deposit_of(&cloudy, "amorphous silica")->counts);
}
END_TEST

START_TEST(no_data_is_said)
{
    sw_product chelate = {.name = "chelate"}, nitre = {.name = "nitre"};
    chelate.per_g.amount[SW_FE] = chelate.per_g.amount[SW_CHELATED_FE] = 110;
    chelate.per_g.amount[SW_NA] = 90;
    nitre.per_g = salt_g("KNO3", 1);
    ck_assert(!sw_stock_has_data(&chelate));
    ck_assert(sw_stock_has_data(&nitre));
    chelate.density_g_per_ml = 1.3; /* a liquid mixes */
    ck_assert(sw_stock_has_data(&chelate));
}
END_TEST

int main(void)
{
    sw_pitzer_load(&pitzer);
    return run_suite(suite_of_all());
}
