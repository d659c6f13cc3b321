/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which tank a product goes to. */
#include "suite.h"

#include "recipes.h"
#include "stock/tank_assign.h"
#include "stock/product_classes.h"

static void expect_works_up_to(stocked *s, double factor)
{
    sw_stock *lower = plan_tanks(s, 100, factor * 0.999, false);
    ck_assert_int_eq(lower->outcome, SW_OPTIMAL);
    sw_stock *higher = plan_tanks(s, 100, factor * 1.01, false);
    ck_assert_int_eq(higher->outcome, SW_CONFLICT);
    sw_stock_free(lower);
    sw_stock_free(higher);
}

/* Integer programming with cuts took 4 to 240 s for such shelves. */
START_TEST(many_sources_of_a_nutrient_are_shared_out_and_that_is_proved)
{
    static const published_recipe many = {"many sources",
                                          "invented",
                                          {{"CO(NH2)2", 234.4, 0},
                                           {"KH2PO4", 132.7, 0.97},
                                           {"5Ca(NO3)2.NH4NO3.10H2O", 503.7, 0},
                                           {"KNO3", 169, 0.97},
                                           {"NaNO3", 60, 0},
                                           {"KCl", 80, 0},
                                           {"MnSO4.H2O", 0.8, 0.99},
                                           {"K2SO4", 140.8, 0.99},
                                           {"label: Fe-EDTA 13", 15.2, 0},
                                           {"Na2MoO4.2H2O", 0.1, 0.95},
                                           {"CuSO4.5H2O", 0.27, 0.97},
                                           {"MgSO4.7H2O", 201.5, 0.99},
                                           {"Mg(NO3)2.6H2O", 267.9, 0.99},
                                           {"NH4NO3", 50, 0}}};
    stocked s;
    stock_up(&s, &many);
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert(!sw_notes_find(&stock->notes, "stock-open"));
    ck_assert(!sw_notes_find(&stock->notes, "stock-open-factor"));
    expect_works_up_to(&s, stock->highest_factor);
    sw_stock_free(stock);
}
END_TEST

/* Of KNO3 316 g/L dissolve at 20 °C and 133 at 0 (reference/solubility.csv); of
 * 1 g/L of feed a tank at 1 to 100 holds 100, one at 1 to 240 would have 240
 * settle out at 5 °C, one at 1 to 400 never dissolves. */
START_TEST(a_product_alone_takes_two_tanks_only_where_it_needs_them)
{
    static const published_recipe recipe = {
        "nitre", "invented", {{"KNO3", 1000, 0}}};
    stocked s;
    stock_up(&s, &recipe);
    sw_stock *one = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(one->outcome, SW_OPTIMAL);
    ck_assert_double_le(one->tanks[SW_TANK_A].saturation_cold, 1);
    ck_assert_double_eq(one->placements[0].g[SW_TANK_B], 0);
    ck_assert_str_eq(one->placements[0].reason, "may go in either tank");
    sw_stock_free(one);
    for (double factor = 240; factor < 500; factor += 160) {
        sw_stock *two = plan_tanks(&s, 100, factor, false);
        ck_assert_int_eq(two->outcome, SW_OPTIMAL);
        ck_assert_double_gt(two->placements[0].g[SW_TANK_A], 0);
        ck_assert_double_gt(two->placements[0].g[SW_TANK_B], 0);
        ck_assert(two->tanks[SW_TANK_A].saturation_cold <= 1 || factor > 300);
        ck_assert_ptr_nonnull(
            strstr(two->placements[0].reason, "since one tank"));
        sw_stock_free(two);
    }
}
END_TEST

/* At next to no strength its carbonate would keep brushite from dissolving. */
START_TEST(sound_tanks_in_hard_water_have_a_highest_factor)
{
    static const published_recipe recipe = {"hard water",
                                            "invented",
                                            {{"KH2PO4", 66.4, 0},
                                             {"(NH4)2SO4", 45, 0},
                                             {"H3PO4", 40, 0},
                                             {"KNO3", 459, 0}}};
    stocked s;
    stock_up(&s, &recipe);
    s.water.amount[SW_CA] = 161;
    s.water.amount[SW_MG] = 23.2;
    s.water.amount[SW_S] = 56.6;
    s.water.amount[SW_ALKALINITY] = 5.33;
    s.water.amount[SW_CARBON] = 6.5;
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_gt(stock->highest_factor, 100);
    expect_works_up_to(&s, stock->highest_factor);
    sw_stock_free(stock);
    stock = plan_tanks(&s, 100, 4, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    sw_stock_free(stock);
}
END_TEST

/* In use and in store: what is told of a tank holds in both. */
START_STOCKED_TEST(the_highest_factor_of_a_tank_holds_in_the_cold,
                   &published[3])
{
    sw_stock *stock = plan_tanks(s, 100, 100, false);
    double most = SW_MOST_STRENGTH;
    for (int t = 0; t < SW_TANKS; t++)
        if (stock->tanks[t].volume_l > 0)
            most = fmin(most, stock->tanks[t].highest_factor);
    sw_stock *higher = plan_tanks(s, 100, most * 0.999, false);
    ck_assert_double_lt(most, stock->highest_factor);
    for (int t = 0; t < SW_TANKS; t++)
        if (higher->tanks[t].volume_l > 0)
            ck_assert_double_le(higher->tanks[t].saturation_cold, 1);
    sw_stock_free(higher);
    sw_stock_free(stock);
}
END_TEST

START_STOCKED_TEST(at_400_times_potassium_sulfate_is_refused, &published[3])
{
    sw_stock *stock = plan_tanks(s, 100, 400, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_ptr_nonnull(strstr(stock->limit, "potassium sulfate"));
    ck_assert_double_gt(stock->highest_factor, 200);
    ck_assert_double_lt(stock->highest_factor, 300);
    expect_works_up_to(s, stock->highest_factor);
    sw_stock_free(stock);
}
END_TEST

START_TEST(calcium_is_in_a_and_sulfate_and_phosphate_in_b)
{
    for (int i = 0; i < PUBLISHED_COUNT; i++) {
        stocked s;
        stock_up(&s, &published[i]);
        sw_stock *stock = plan_tanks(&s, 100, 100, false);
        for (size_t j = 0; j < stock->count; j++) {
            const double *a = s.product[j].per_g.amount;
            if (a[SW_CA] > 5)
                ck_assert_double_eq(stock->placements[j].g[SW_TANK_B], 0);
            if (a[SW_S] > 5 || a[SW_P] > 5)
                ck_assert_double_eq(stock->placements[j].g[SW_TANK_A], 0);
            ck_assert_str_ne(stock->placements[j].reason, "");
        }
        sw_stock_free(stock);
    }
}
END_TEST

START_STOCKED_TEST(an_acid_goes_to_its_own_head_where_there_is_one,
                   &published[5])
{
    sw_stock *stock = plan_tanks(s, 100, 100, true);
    ck_assert_double_gt(stock->placements[6].g[SW_TANK_C], 0);
    ck_assert_double_gt(stock->tanks[SW_TANK_C].volume_l, 0);
    ck_assert_double_lt(stock->tanks[SW_TANK_C].ph, 2);
    sw_stock_free(stock);
}
END_TEST

/* For 5 % of the salts in the fuller tank a chelate leaves the calcium, for 1 %
 * a salt is weighed twice, for 30 % a base takes the third head; for less none
 * does.  Common practice, no source. */
START_TEST(usual_practice_gives_way_to_a_more_even_load_only)
{
    static const struct {
        const char *in_b, *last;
        double mg_per_l[3]; /* in all 1000, the first of it for A */
        const char *last_in;
    } cases[] = {
        {"MgSO4.7H2O", "label: Fe-EDTA 13", {500, 460, 40}, "A"},
        {"MgSO4.7H2O", "label: Fe-EDTA 13", {500, 440, 60}, "B"},
        {"MgSO4.7H2O", "KNO3", {492, 490, 18}, "B"},
        {"MgSO4.7H2O", "KNO3", {488, 486, 26}, "AB"},
        {"K2SO4", "KOH", {360, 360, 280}, "B"},
        {"K2SO4", "KOH", {340, 340, 320}, "C"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        stocked s;
        char in[SW_TANKS + 1] = "";
        const double *mg = cases[i].mg_per_l;
        const published_recipe recipe = {"even",
                                         "invented",
                                         {{"Ca(NO3)2.4H2O", mg[0], 0},
                                          {cases[i].in_b, mg[1], 0},
                                          {cases[i].last, mg[2], 0}}};
        stock_up(&s, &recipe);
        sw_stock *stock = plan_tanks(&s, 100, 100, true);
        ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
        for (int t = 0; t < SW_TANKS; t++)
            if (stock->placements[2].g[t] > 0)
                strcat(in, sw_tank_text((sw_tank)t));
        ck_assert_str_eq(in, cases[i].last_in);
        sw_stock_free(stock);
    }
}
END_TEST

START_STOCKED_TEST(a_pin_is_kept_and_may_turn_the_sides, &published[3])
{
    s->product[1].tank = "b"; /* calcium nitrate */
    sw_stock *stock = plan_tanks(s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_gt(stock->placements[1].g[SW_TANK_B], 0);
    ck_assert_double_gt(stock->placements[0].g[SW_TANK_A], 0);
    ck_assert_ptr_nonnull(strstr(stock->placements[1].reason, "pinned"));
    sw_stock_free(stock);
}
END_TEST

START_STOCKED_TEST(pins_that_feud_are_named, &published[3])
{
    s->product[1].tank = "A"; /* calcium nitrate */
    s->product[2].tank = "A"; /* magnesium sulfate */
    sw_stock *stock = plan_tanks(s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_double_eq(stock->highest_factor, 0);
    ck_assert_ptr_nonnull(strstr(stock->limit, "pinned to one tank"));
    ck_assert_ptr_nonnull(strstr(stock->limit, "gypsum"));
    sw_stock_free(stock);
}
END_TEST

START_STOCKED_TEST(a_tank_that_is_none_is_refused_by_name, &published[3])
{
    sw_stock_setup setup = sw_stock_setup_default(100);
    sw_stock *stock;
    sw_error error;
    s->product[1].tank = "D";
    ck_assert_int_eq(
        sw_stock_plan(one_solver(), &s->mix, &setup, &stock, &error),
        SW_ERR_NAME);
    ck_assert_ptr_null(stock);
    ck_assert_ptr_nonnull(strstr(error.message, "'D'"));
}
END_TEST

START_TEST(a_premix_with_calcium_and_sulfate_cannot_be_concentrated)
{
    static const published_recipe premix = {
        "premix",
        "invented",
        {{"label: Ca 8; NO3-N 6; SO3 10; K2O 10", 1000, 0}}};
    stocked s;
    stock_up(&s, &premix);
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_ptr_nonnull(strstr(stock->limit, "cannot be concentrated"));
    sw_stock_free(stock);
}
END_TEST

START_TEST(a_base_and_an_acid_never_share_a_tank)
{
    static const published_recipe both = {
        "both", "invented", {{"K2CO3", 100, 0}, {"HNO3", 200, 0.38}}};
    stocked s;
    stock_up(&s, &both);
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    for (int t = 0; t < SW_TANKS; t++)
        ck_assert(stock->placements[0].g[t] == 0 ||
                  stock->placements[1].g[t] == 0);
    sw_stock_free(stock);
}
END_TEST

START_TEST(a_base_takes_the_third_head_where_no_acid_does)
{
    static const published_recipe base = {
        "base",
        "invented",
        {{"K2CO3", 50, 0}, {"Ca(NO3)2.4H2O", 900, 0}, {"MgSO4.7H2O", 400, 0}}};
    stocked s;
    stock_up(&s, &base);
    sw_stock *stock = plan_tanks(&s, 100, 100, true);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_gt(stock->placements[0].g[SW_TANK_C], 0);
    sw_stock_free(stock);
    stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    sw_stock_free(stock);
}
END_TEST

/* Tank A takes the acid, so that the silicate has the third to itself. */
START_TEST(a_silicate_takes_the_third_head_also_beside_an_acid)
{
    static const published_recipe recipe = {"acid and water glass",
                                            "invented",
                                            {{"Ca(NO3)2.4H2O", 860, 0},
                                             {"KH2PO4", 176, 0},
                                             {"MgSO4.7H2O", 404, 0},
                                             {"HNO3", 100, 0.6},
                                             {"K2SiO3", 150, 0}}};
    stocked s;
    stock_up(&s, &recipe);
    sw_stock *stock = plan_tanks(&s, 100, 100, true);
    ck_assert_msg(stock->outcome == SW_OPTIMAL, "%s", stock->limit);
    for (size_t j = 0; j < s.shelf.count; j++)
        ck_assert_int_eq(stock->placements[j].g[SW_TANK_C] > 0, j == 4);
    sw_stock_free(stock);
}
END_TEST

/* Urea nitrate is judged by nobody: apart where a tank is free, else told. */
START_TEST(urea_and_nitric_acid_share_a_tank_only_where_none_is_free)
{
    static const published_recipe recipe = {"acid and urea",
                                            "invented",
                                            {{"Ca(NO3)2.4H2O", 300, 0},
                                             {"HNO3", 200, 0.6},
                                             {"CO(NH2)2", 900, 0},
                                             {"MgSO4.7H2O", 100, 0}}};
    static char tank[] = "A";
    for (int bound = 0; bound < 2; bound++) {
        stocked s;
        stock_up(&s, &recipe);
        for (size_t j = 1; j < 3 && bound; j++)
            s.product[j].tank = tank;
        sw_stock *stock = plan_tanks(&s, 100, 100, false);
        ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
        bool shared = false;
        for (int t = 0; t < SW_TANKS; t++)
            shared = shared || (stock->placements[1].g[t] > 0 &&
                                stock->placements[2].g[t] > 0);
        ck_assert_int_eq(shared, bound);
        ck_assert_int_eq(
            sw_notes_find(&stock->notes, "stock-urea-nitrate") != NULL, bound);
        sw_stock_free(stock);
    }
}
END_TEST

START_TEST(chelates_stay_out_of_acid_even_when_that_is_unusual)
{
    static const published_recipe acid_in_a = {"acid in A",
                                               "invented",
                                               {{"Ca(NO3)2.4H2O", 900, 0},
                                                {"HNO3", 300, 0.38},
                                                {"MgSO4.7H2O", 400, 0},
                                                {"label: Fe-DTPA 11", 20, 0}}};
    stocked s;
    stock_up(&s, &acid_in_a);
    s.product[1].tank = "A";
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_gt(stock->placements[3].g[SW_TANK_B], 0);
    s.product[3].tank = "A";
    sw_stock *forced = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(forced->outcome, SW_CONFLICT);
    ck_assert_ptr_nonnull(strstr(forced->limit, "chelates"));
    sw_stock_free(stock);
    sw_stock_free(forced);
}
END_TEST

START_TEST(borax_is_a_trace_and_no_base)
{
    static const published_recipe with_borax = {"borax and acid",
                                                "invented",
                                                {{"Ca(NO3)2.4H2O", 900, 0},
                                                 {"HNO3", 100, 0.6},
                                                 {"MgSO4.7H2O", 400, 0},
                                                 {"MnSO4.H2O", 1.5, 0},
                                                 {"label: Fe-DTPA 6", 28, 0},
                                                 {"Na2B4O7.10H2O", 2.5, 0},
                                                 {"Na2MoO4.2H2O", 0.1, 0}}};
    stocked s;
    stock_up(&s, &with_borax);
    ck_assert_uint_eq(sw_classes_of(&s.product[5]) & SW_CLASS_BASE, 0);
    ck_assert_uint_eq(sw_classes_of(&s.product[6]) & SW_CLASS_BASE, 0);
    for (int third_tank = 0; third_tank < 2; third_tank++) {
        sw_stock *stock = plan_tanks(&s, 100, 100, third_tank);
        ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
        ck_assert_double_gt(stock->placements[5].g[SW_TANK_A] +
                                stock->placements[5].g[SW_TANK_B],
                            0);
        sw_stock_free(stock);
    }
}
END_TEST

/* Beside a carbonate stands EDDHA, no other. */
START_TEST(one_chelate_is_sturdy)
{
    static const struct {
        const char *label;
        bool frail;
    } cases[] = {{"label: Fe-EDDHA 6", false},
                 {"label: Fe-DTPA 6", true},
                 {"label: Fe-EDTA 6", true},
                 {"label: Zn-EDTA 14", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const published_recipe alone = {
            "chelate", "invented", {{cases[i].label, 20, 0}}};
        stocked s;
        stock_up(&s, &alone);
        unsigned classes = sw_classes_of(&s.product[0]);
        ck_assert_uint_ne(classes & SW_CLASS_CHELATE, 0);
        ck_assert_msg(!(classes & SW_CLASS_FRAIL) == !cases[i].frail, "%s",
                      cases[i].label);
    }
}
END_TEST

START_TEST(a_silicate_beside_boron_stays_a_base)
{
    static const published_recipe silicate = {
        "silicate",
        "invented",
        {{"label: SiO2 20; K2O 20; B 1; alkalinity 4.5", 100, 0}}};
    stocked s;
    stock_up(&s, &silicate);
    ck_assert_uint_ne(sw_classes_of(&s.product[0]) & SW_CLASS_BASE, 0);
}
END_TEST

/* 0.9 meq/g of acid of its own, and iron in EDTA. */
static const published_recipe acid_premix = {
    "acid premix",
    "invented",
    {{"label: NO3-N 5; P2O5 11; K2O 26; MgO 5; SO3 15; Fe-EDTA 0.3; "
      "alkalinity -0.9",
      400, 0},
     {"Ca(NO3)2.4H2O", 300, 0},
     {"label: Fe-DTPA 6", 20, 0}}};

START_STOCKED_TEST(a_premix_is_not_kept_from_its_own_chelate, &acid_premix)
{
    sw_stock *stock = plan_tanks(s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_gt(stock->placements[0].g[SW_TANK_B], 0);
    ck_assert_double_gt(stock->placements[2].g[SW_TANK_A], 0);
    sw_stock_free(stock);
}
END_TEST

/* Weak acid beside a chelate pinned to it: what spoils it is no solid. */
START_TEST(the_highest_factor_minds_chelates_in_acid)
{
    static const published_recipe weak = {
        "weak acid",
        "invented",
        {{"HNO3", 0.1, 0.63}, {"label: Fe-DTPA 6", 20, 0}, {"KNO3", 100, 0}}};
    stocked s;
    stock_up(&s, &weak);
    s.product[0].tank = s.product[1].tank = "A";
    sw_stock *stock = plan_tanks(&s, 100, 400, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_double_gt(stock->highest_factor, 90);
    ck_assert_double_lt(stock->highest_factor, 110);
    ck_assert_ptr_nonnull(strstr(stock->limit, "HNO3 and label: Fe-DTPA 6"));
    ck_assert_ptr_nonnull(strstr(stock->limit, "chelates apart"));
    ck_assert_ptr_null(strstr(stock->limit, "KNO3,"));
    expect_works_up_to(&s, stock->highest_factor);
    sw_stock_free(stock);
}
END_TEST

/* A chelate beside neither acid nor base limits nothing: saltpetre does. */
START_TEST(the_highest_factor_is_none_of_the_factor_asked_for)
{
    static const published_recipe neutral = {
        "neutral",
        "invented",
        {{"label: Fe-DTPA 6", 20, 0}, {"KNO3", 1000, 0}}};
    stocked s;
    double highest[2];
    stock_up(&s, &neutral);
    s.product[0].tank = s.product[1].tank = "A";
    for (int i = 0; i < 2; i++) {
        sw_stock *stock = plan_tanks(&s, 100, i ? 130 : 100, false);
        highest[i] = stock->highest_factor;
        sw_stock_free(stock);
    }
    ck_assert_double_gt(highest[0], 100);
    ck_assert_double_eq_tol(highest[1], highest[0], 1e-6 * highest[0]);
}
END_TEST

START_TEST(a_clash_names_its_products_and_a_cure)
{
    static const published_recipe base = {"base",
                                          "invented",
                                          {{"K2CO3", 50, 0},
                                           {"KNO3", 300, 0},
                                           {"Ca(NO3)2.4H2O", 900, 0},
                                           {"MgSO4.7H2O", 400, 0}}};
    stocked s;
    stock_up(&s, &base);
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_ptr_nonnull(
        strstr(stock->limit, "K2CO3, Ca(NO3)2.4H2O and MgSO4.7H2O"));
    ck_assert_ptr_nonnull(strstr(stock->limit, "lime"));
    ck_assert_uint_gt(stock->remedy_count, 0);
    ck_assert_int_eq(stock->remedies[0].kind, SW_REMEDY_TANK);
    ck_assert_ptr_nonnull(strstr(stock->remedies[0].text, "it takes K2CO3"));
    sw_stock_free(stock);
}
END_TEST

START_TEST(an_empty_recipe_needs_no_tanks)
{
    stocked s;
    stock_up(&s, &published[0]);
    memset(s.g_per_l, 0, sizeof s.g_per_l);
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_eq(stock->feed_l, 0);
    ck_assert_double_eq(stock->tanks[SW_TANK_A].volume_l, 0);
    sw_stock_free(stock);
}
END_TEST

START_TEST(water_that_stays_in_no_tank_clashes_with_a_single_product)
{
    static const published_recipe one = {
        "one product", "invented", {{"KNO3", 459, 0}}};
    stocked s;
    stock_up(&s, &one);
    s.water.amount[SW_CA] = s.water.amount[SW_S] = 2000;
    s.water.amount[SW_ALKALINITY] = s.water.amount[SW_CARBON] = 20;
    sw_stock *stock = plan_tanks(&s, 100, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    sw_stock_free(stock);
}
END_TEST

START_TEST(tanks_have_names)
{
    ck_assert_str_eq(sw_tank_text(SW_TANK_A), "A");
    ck_assert_str_eq(sw_tank_text(SW_TANK_C), "C");
    ck_assert_str_eq(sw_tank_text(SW_TANKS), "reservoir");
}
END_TEST
