/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is offered after a conflict works when it is done. */
#include "recipes.h"

#include "stock/product_classes.h"

#include <gsl/gsl_rng.h>
#include <stdio.h>

/* What makes tanks fail, and what they are made of. */
static const recipe_row usual[] = {
    {"Ca(NO3)2.4H2O", 900, 0},    {"KNO3", 400, 0},
    {"KH2PO4", 170, 0},           {"MgSO4.7H2O", 400, 0},
    {"label: Fe-DTPA 11", 18, 0}, {"MnSO4.H2O", 1.5, 0},
    {"ZnSO4.7H2O", 1, 0},         {"K2SO4", 100, 0}};
static const recipe_row odd[] = {
    {"K2SiO3", 150, 0},     {"K2HPO4", 200, 0}, {"(NH4)2HPO4", 60, 0},
    {"K3PO4", 100, 0},      {"KOH", 60, 0},     {"K2CO3", 80, 0},
    {"(NH4)2SO4", 60, 0},   {"HNO3", 200, 0.6}, {"CaCl2.2H2O", 100, 0},
    {"Na2B4O7.10H2O", 3, 0}};
enum { USUAL = sizeof usual / sizeof *usual, ODD = sizeof odd / sizeof *odd };

/* SW_REMEDIES: how many recipes (20; under sanitizers 12). */
#ifdef SW_FEW_CASES
enum { RECIPES = 12 };
#else
enum { RECIPES = 20 };
#endif

static int cases(void)
{
    const char *asked = getenv("SW_REMEDIES");
    return asked ? atoi(asked) : RECIPES;
}

static void draw(gsl_rng *rng, published_recipe *recipe)
{
    size_t rows = 0;
    *recipe = (published_recipe){.name = "random", .source = "invented"};
    for (int i = 0; i < USUAL; i++)
        if (gsl_rng_uniform(rng) < 0.8)
            recipe->row[rows++] = usual[i];
    for (int i = 0; i < ODD && rows < RECIPE_ROWS; i++)
        if (gsl_rng_uniform(rng) < 0.15)
            recipe->row[rows++] = odd[i];
    for (size_t i = 0; i < rows; i++)
        recipe->row[i].mg_per_l *= 0.3 + gsl_rng_uniform(rng);
}

/* Of a hard well, every other time. */
static void harden(stocked *s, int turn)
{
    double *a = s->water.amount;
    a[SW_CA] = turn % 2 * 90.0;
    a[SW_MG] = turn % 2 * 15.0;
    a[SW_ALKALINITY] = turn % 2 * 4.5;
    a[SW_CARBON] = turn % 2 * 4.8;
}

static const sw_content purified = {{0}};

static bool endangers(const sw_stock *stock)
{
    for (size_t i = 0; i < stock->notes.count; i++)
        if (stock->notes.items[i].severity == SW_DANGER)
            return true;
    return stock->outcome == SW_CONFLICT;
}

/* ---- A plan ------------------------------------------------------------ */

/* Leaves out the product, and any other its sentence names to leave out. */
static void leave_out(stocked *s, const sw_remedy *r)
{
    const char *leave = strstr(r->text, "eave ");
    if (leave && r->product < s->shelf.count)
        for (size_t j = 0; j < s->shelf.count; j++) {
            const char *named = strstr(leave, s->product[j].name);
            if (named && named < strstr(leave, " out of the"))
                s->g_per_l[j] = 0;
        }
}

/* A ratio of an injector's own is to be changed alike, which it says. */
static void change_factor(const sw_stock_setup *setup, const sw_remedy *r,
                          sw_stock_setup *changed)
{
    if (isnan(r->factor))
        return;
    changed->factor = r->factor;
    for (int t = 0; t < SW_TANKS; t++)
        changed->ratio[t] *= r->factor / setup->factor;
    bool own = setup->ratio[SW_TANK_A] > 0 || setup->ratio[SW_TANK_B] > 0;
    ck_assert_msg(
        own ==
            (strstr(r->text, " (an injector with a ratio of its own") != NULL),
        "%s", r->text);
}

static void expect_plan_works(const stocked *asked, const sw_stock_setup *setup,
                              const sw_remedy *r)
{
    stocked s = *asked;
    sw_stock_setup changed = *setup;
    sw_stock *stock;
    s.shelf.products = s.product;
    s.recipe.g_per_l = s.g_per_l;
    s.mix.water = &s.water;
    s.mix.shelf = &s.shelf;
    s.mix.recipe = &s.recipe;
    change_factor(setup, r, &changed);
    changed.third_tank =
        changed.third_tank || r->kind == SW_REMEDY_TANK || r->tank == SW_TANK_C;
    if (r->kind == SW_REMEDY_WATER)
        changed.make_up = &purified;
    if (r->kind == SW_REMEDY_MOVE)
        s.product[r->product].tank = NULL;
    else
        leave_out(&s, r);
    ck_assert_int_eq(
        sw_stock_plan(one_solver(), &s.mix, &changed, &stock, NULL), SW_OK);
    ck_assert_msg(!endangers(stock), "%s %s", r->text, stock->limit);
    sw_stock_free(stock);
}

START_TEST(each_remedy_of_a_plan_works_when_it_is_planned)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int count = cases(), conflicts = 0, helped = 0;
    bool kinds[6] = {false}, other_water = false; /* and no third tank */
    for (int i = 0; i < count; i++) {
        published_recipe recipe;
        stocked s;
        sw_stock *stock;
        draw(rng, &recipe);
        stock_up(&s, &recipe);
        harden(&s, i);
        if (i % 6 == 0)
            s.product[0].tank = "B";
        s.product[1].tank = "";
        sw_stock_setup setup = sw_stock_setup_default(100);
        setup.factor = 20 + 400 * gsl_rng_uniform(rng);
        setup.third_tank = i % 3 == 0;
        if (i % 2)
            setup.ratio[SW_TANK_B] = setup.factor * 0.9;
        ck_assert_int_eq(
            sw_stock_plan(one_solver(), &s.mix, &setup, &stock, NULL), SW_OK);
        conflicts += stock->outcome == SW_CONFLICT;
        helped += stock->remedy_count > 0;
        ck_assert(stock->outcome == SW_CONFLICT || !stock->remedy_count);
        for (size_t k = 0; k < stock->remedy_count; k++) {
            expect_plan_works(&s, &setup, &stock->remedies[k]);
            kinds[stock->remedies[k].kind] = true;
            other_water |= stock->remedies[k].kind == SW_REMEDY_WATER &&
                           stock->remedies[k].tank == SW_TANKS;
        }
        sw_stock_free(stock);
    }
    ck_assert_int_gt(conflicts, count / 4);
    ck_assert_int_gt(helped, 3 * conflicts / 4);
    ck_assert(kinds[SW_REMEDY_FACTOR] && kinds[SW_REMEDY_TANK] &&
              kinds[SW_REMEDY_APART] && other_water);
    gsl_rng_free(rng);
}
END_TEST

/* ---- As mixed ---------------------------------------------------------- */

static void move(sw_placement *p, sw_tank to)
{
    double all = 0;
    for (int t = 0; t < SW_TANKS; t++) {
        all += p->g[t];
        p->g[t] = 0;
    }
    p->g[to] = all; /* tanks and ratios are alike */
}

/* What of a product "tank A: x and y (30 %); tank B: ..." puts there. */
static double part_said(const char *text, sw_tank tank, const char *name)
{
    char head[16];
    double percent = 100;
    snprintf(head, sizeof head, "tank %s: ", sw_tank_text(tank));
    const char *from = strstr(text, head);
    const char *end = from ? strchr(from, ';') : NULL;
    const char *named = from ? strstr(from, name) : NULL;
    if (!named || (end && named > end))
        return 0;
    named += strlen(name);
    if (strncmp(named, " (", 2) == 0)
        percent = strtod(named + 2, NULL);
    return percent / 100;
}

static void follow_plan(const stocked *s, const char *text, sw_placement *mixed)
{
    for (size_t j = 0; j < s->shelf.count; j++) {
        double all = mixed[j].g[0] + mixed[j].g[1] + mixed[j].g[2];
        for (int t = 0; t < SW_TANKS; t++)
            mixed[j].g[t] =
                all * part_said(text, (sw_tank)t, s->product[j].name);
    }
}

static void expect_mix_works(const stocked *s, const sw_stock_setup *setup,
                             const sw_placement *as, const sw_remedy *r)
{
    sw_placement mixed[RECIPE_ROWS];
    sw_stock_setup changed = *setup;
    sw_stock *stock;
    memcpy(mixed, as, sizeof mixed);
    change_factor(setup, r, &changed);
    if (r->kind == SW_REMEDY_WATER)
        changed.make_up = &purified;
    if (r->kind == SW_REMEDY_APART)
        mixed[r->product].g[0] = mixed[r->product].g[1] =
            mixed[r->product].g[2] = 0;
    else if (r->tank < SW_TANKS)
        move(&mixed[r->product], r->tank);
    else if (r->kind == SW_REMEDY_MOVE)
        follow_plan(s, r->text, mixed);
    for (size_t j = 0; j < s->shelf.count; j++)
        for (int t = 0; t < SW_TANKS; t++)
            mixed[j].g[t] *= changed.factor / setup->factor;
    ck_assert_int_eq(
        sw_stock_check(one_solver(), &s->mix, &changed, mixed, &stock, NULL),
        SW_OK);
    ck_assert_msg(!endangers(stock), "%s %s", r->text, stock->limit);
    sw_stock_free(stock);
}

START_TEST(each_remedy_of_tanks_as_mixed_works_when_they_are_mixed_so)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int count = cases(), conflicts = 0, helped = 0;
    bool kinds[6] = {false};
    for (int i = 0; i < count; i++) {
        published_recipe recipe;
        stocked s;
        sw_stock *stock;
        sw_placement mixed[RECIPE_ROWS] = {{.reason = ""}};
        draw(rng, &recipe);
        stock_up(&s, &recipe);
        harden(&s, i / 2);
        sw_stock_setup setup = sw_stock_setup_default(100);
        setup.factor = 20 + 400 * gsl_rng_uniform(rng);
        if (i % 3)
            setup.ratio[SW_TANK_B] = setup.factor;
        if (i % 3 == 1)
            setup.ratio[SW_TANK_A] = setup.ratio[SW_TANK_C] = setup.factor;
        for (size_t j = 0; j < s.shelf.count; j++)
            mixed[j].g[gsl_rng_uniform_int(rng, i % 2 ? 3 : 2)] =
                s.g_per_l[j] * 100 * setup.factor;
        ck_assert_int_eq(
            sw_stock_check(one_solver(), &s.mix, &setup, mixed, &stock, NULL),
            SW_OK);
        conflicts += stock->outcome == SW_CONFLICT;
        helped += stock->remedy_count > 0;
        for (size_t k = 0; k < stock->remedy_count; k++) {
            expect_mix_works(&s, &setup, mixed, &stock->remedies[k]);
            kinds[stock->remedies[k].kind] = true;
        }
        sw_stock_free(stock);
    }
    ck_assert_int_gt(conflicts, count / 4);
    ck_assert_int_gt(helped, 3 * conflicts / 4);
    ck_assert(kinds[SW_REMEDY_MOVE]);
    gsl_rng_free(rng);
}
END_TEST

/* ---- One of each ------------------------------------------------------- */

static const published_recipe dibasic = {"dibasic phosphate",
                                         "invented",
                                         {{"Ca(NO3)2.4H2O", 860, 0},
                                          {"KNO3", 400, 0},
                                          {"(NH4)2HPO4", 56, 0},
                                          {"MgSO4.7H2O", 404, 0},
                                          {"MnSO4.H2O", 1.5, 0},
                                          {"ZnSO4.H2O", 0.8, 0}}};

START_STOCKED_TEST(a_factor_of_nothing_names_the_pair_and_a_way_out, &dibasic)
{
    sw_stock *stock = plan_tanks(s, 200, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_double_eq(stock->highest_factor, 0);
    ck_assert_ptr_nonnull(
        strstr(stock->limit, "(NH4)2HPO4 and MgSO4.7H2O cannot"));
    ck_assert_ptr_nonnull(strstr(stock->limit, "struvite"));
    ck_assert_ptr_nonnull(strstr(stock->limit, "calcium takes the other"));
    ck_assert_uint_gt(stock->remedy_count, 0);
    sw_stock_free(stock);
    stock = plan_tanks(s, 200, 100, true);
    ck_assert_msg(stock->outcome == SW_OPTIMAL, "%s", stock->limit);
    ck_assert_double_gt(stock->placements[2].g[SW_TANK_C], 0);
    sw_stock_free(stock);
}
END_TEST

/* Zinc phosphate is what a dibasic phosphate makes of zinc; beside calcium its
 * little sulfate makes no gypsum. */
START_TEST(traces_flee_a_dibasic_phosphate_to_the_calcium)
{
    static const published_recipe alone = {
        "dibasic phosphate, no magnesium",
        "invented",
        {{"Ca(NO3)2.4H2O", 860, 0}, {"K2HPO4", 225, 0}, {"ZnSO4.H2O", 0.8, 0}}};
    stocked s;
    stock_up(&s, &alone);
    sw_stock *stock = plan_tanks(&s, 200, 100, false);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert_double_gt(stock->placements[2].g[SW_TANK_A], 0);
    ck_assert_double_eq(stock->placements[2].g[SW_TANK_B], 0);
    sw_stock_free(stock);
}
END_TEST

/* An acid given alone, or a feed whose acid was for what is left out, hurts. */
START_TEST(no_acid_is_to_be_given_by_itself)
{
    static const published_recipe four = {"four heads needed",
                                          "invented",
                                          {{"K2SiO3", 150, 0},
                                           {"Ca(NO3)2.4H2O", 860, 0},
                                           {"MgSO4.7H2O", 404, 0},
                                           {"HNO3", 300, 0.6},
                                           {"K2CO3", 50, 0}}};
    stocked s;
    stock_up(&s, &four);
    sw_stock *stock = plan_tanks(&s, 200, 100, true);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    for (size_t k = 0; k < stock->remedy_count; k++) {
        ck_assert_ptr_null(strstr(stock->remedies[k].text, "eave HNO3"));
        ck_assert_ptr_null(strstr(stock->remedies[k].text, "eave K2CO3"));
        ck_assert_ptr_null(strstr(stock->remedies[k].text, "eave K2SiO3"));
    }
    sw_stock_free(stock);
}
END_TEST

/* Where nobody would look for it: rather to a tank of its own. */
START_TEST(no_salt_is_to_be_moved_into_acid)
{
    static const published_recipe recipe = {"acid by itself",
                                            "invented",
                                            {{"Ca(NO3)2.4H2O", 900, 0},
                                             {"MgSO4.7H2O", 400, 0},
                                             {"HNO3", 200, 0.6}}};
    stocked s;
    sw_stock *stock;
    sw_placement mixed[RECIPE_ROWS] = {{.reason = ""}};
    stock_up(&s, &recipe);
    const sw_stock_setup setup = sw_stock_setup_default(100);
    for (size_t j = 0; j < s.shelf.count; j++)
        mixed[j].g[j == 2 ? SW_TANK_C : SW_TANK_A] =
            s.g_per_l[j] * 100 * setup.factor;
    ck_assert_int_eq(
        sw_stock_check(one_solver(), &s.mix, &setup, mixed, &stock, NULL),
        SW_OK);
    ck_assert_uint_gt(stock->remedy_count, 0);
    for (size_t k = 0; k < stock->remedy_count; k++)
        ck_assert_msg(stock->remedies[k].tank != SW_TANK_C, "%s",
                      stock->remedies[k].text);
    sw_stock_free(stock);
}
END_TEST

/* ---- Silicate ---------------------------------------------------------- */

static const char *const beside_silicate[] = {
    "HNO3", "Ca(NO3)2.4H2O",     "MgSO4.7H2O", "ZnSO4.7H2O",
    "KNO3", "label: Fe-DTPA 11", "NH4NO3",     "KHCO3"};

START_TEST_EACH(a_silicate_meets_no_other_product_in_a_stock,
                sizeof beside_silicate / sizeof *beside_silicate)
{
    stocked s;
    memset(&s, 0, sizeof s);
    lay_in(&s, "K2SiO3", 0);
    lay_in(&s, "label: K2O 8.3; SiO2 20.8", 0);
    lay_in(&s, "label: K2O 1; SiO2 2.5", 0); /* sold well diluted */
    lay_in(&s, beside_silicate[_i], 0);
    lay_in(&s, "KOH", 0);
    for (int j = 0; j < 3; j++) {
        unsigned silicate = sw_classes_of(&s.product[j]);
        ck_assert_uint_ne(silicate & SW_CLASS_SILICATE, 0);
        ck_assert_ptr_nonnull(
            sw_feud_between(silicate, sw_classes_of(&s.product[3])));
        ck_assert_ptr_null(
            sw_feud_between(silicate, sw_classes_of(&s.product[4])));
        ck_assert_ptr_null(sw_feud_between(silicate, silicate));
    }
}
END_TEST

START_TEST(a_silicate_takes_a_third_tank_alone_and_its_dangers_are_said)
{
    static const published_recipe glass = {
        "water glass",
        "invented",
        {{"label: K2O 8.3; SiO2 20.8", 309, 0},
         {"Ca(NO3)2.4H2O", 860, 0},
         {"KH2PO4", 176, 0},
         {"MgSO4.7H2O", 404, 0},
         {"label: Fe-DTPA 11", 18, 0}}};
    stocked s;
    stock_up(&s, &glass);
    sw_stock *stock = plan_tanks(&s, 200, 100, true);
    ck_assert_int_eq(stock->outcome, SW_OPTIMAL);
    ck_assert(sw_notes_find(&stock->notes, "stock-silicate"));
    for (size_t j = 0; j < s.shelf.count; j++)
        ck_assert_int_eq(stock->placements[j].g[SW_TANK_C] > 0, j == 0);
    sw_stock_free(stock);
    stock = plan_tanks(&s, 200, 100, false);
    ck_assert_int_eq(stock->outcome, SW_CONFLICT);
    ck_assert_ptr_nonnull(strstr(stock->limit, "water glass"));
    sw_stock_free(stock);
}
END_TEST

/* Iron leaves DTPA above about pH 7.5; not EDDHA below 10. */
START_TEST(a_base_meets_no_chelate_it_takes_apart)
{
    stocked s;
    memset(&s, 0, sizeof s);
    lay_in(&s, "K2CO3", 0);
    lay_in(&s, "label: Fe-DTPA 11", 0);
    lay_in(&s, "label: Fe-EDDHA 6", 0);
    s.product[2].chelator = SW_EDDHA;
    unsigned base = sw_classes_of(&s.product[0]);
    ck_assert_ptr_nonnull(sw_feud_between(base, sw_classes_of(&s.product[1])));
    ck_assert_ptr_null(sw_feud_between(base, sw_classes_of(&s.product[2])));
}
END_TEST
