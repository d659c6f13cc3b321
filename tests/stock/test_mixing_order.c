/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "recipes.h"

#include "stock/mixture.h"

#include <gsl/gsl_rng.h>

static sw_hazards hazards_of(const char *name)
{
    sw_product *p;
    ck_assert_int_eq(sw_catalogue_find(name, &p, NULL), SW_OK);
    sw_hazards hazards = p->hazards;
    sw_product_free(p);
    return hazards;
}

static sw_steps *direct(stocked *s)
{
    sw_mixing mixing = {.mix = &s->mix, .volume_l = 1000};
    sw_steps *steps;
    ck_assert_int_eq(sw_mixing_order(&mixing, &steps, NULL), SW_OK);
    return steps;
}

static sw_steps *in_tanks(stocked *s, const sw_stock_setup *setup,
                          const sw_stock *stock)
{
    sw_mixing mixing = {.mix = &s->mix, .stock = stock, .setup = setup};
    sw_steps *steps;
    ck_assert_int_eq(sw_mixing_order(&mixing, &steps, NULL), SW_OK);
    return steps;
}

/* Place of the first step that adds the product; SIZE_MAX: none. */
static size_t place_of(const sw_steps *steps, size_t product)
{
    for (size_t i = 0; i < steps->count; i++)
        if (steps->items[i].kind == SW_STEP_ADD &&
            steps->items[i].product == product)
            return i;
    return SIZE_MAX;
}

static size_t place_of_text(const sw_steps *steps, const char *text)
{
    for (size_t i = 0; i < steps->count; i++)
        if (strstr(steps->items[i].text, text))
            return i;
    return SIZE_MAX;
}

START_TEST(straight_into_a_reservoir_goes_in_the_usual_order)
{
    stocked s;
    stock_up(&s, &published[5]); /* 0 KH2PO4 1 Ca 2 MgSO4 4 KNO3 6 HNO3 */
    sw_steps *o = direct(&s);
    size_t fill = place_of_text(o, "about 75 %");
    ck_assert_uint_lt(fill, place_of(o, 6));
    ck_assert_double_eq_tol(o->items[fill].volume_l, 750, 1e-9);
    ck_assert_uint_lt(place_of(o, 6), place_of(o, 0));
    ck_assert_uint_lt(place_of(o, 0), place_of(o, 2));
    ck_assert_uint_lt(place_of(o, 2), place_of(o, 1));
    ck_assert_uint_lt(place_of(o, 1), place_of_text(o, "Top up"));
    ck_assert_uint_lt(place_of_text(o, "Top up"), place_of_text(o, "drifts"));
    ck_assert_ptr_nonnull(strstr(o->items[place_of(o, 1)].text, "pump"));
    sw_steps_free(o);
}
END_TEST

START_TEST(every_product_is_added_once_in_its_amount)
{
    for (int i = 0; i < PUBLISHED_COUNT; i++) {
        stocked s;
        stock_up(&s, &published[i]);
        sw_steps *o = direct(&s);
        size_t added = 0;
        for (size_t k = 0; k < o->count; k++) {
            const sw_step *step = &o->items[k];
            ck_assert_str_ne(step->text, "");
            if (step->kind != SW_STEP_ADD)
                continue;
            added++;
            ck_assert_double_eq_tol(step->g, 1000 * s.g_per_l[step->product],
                                    1e-9);
        }
        ck_assert_uint_eq(added, s.shelf.count);
        sw_steps_free(o);
    }
}
END_TEST

START_STOCKED_TEST(an_acid_comes_first_in_its_stock_and_with_its_caution,
                   &published[5])
{
    sw_stock *stock;
    sw_steps *o;
    s->product[6].hazards = hazards_of("nitric acid 38 %");
    s->product[6].density_g_per_ml = 1.24;
    sw_stock_setup setup = sw_stock_setup_default(100);
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    o = in_tanks(s, &setup, stock);
    size_t acid = place_of(o, 6);
    ck_assert_ptr_nonnull(
        strstr(o->items[acid].safety, "never water into the acid"));
    ck_assert_int_eq(o->items[acid].tank, SW_TANK_B);
    ck_assert_uint_lt(acid, place_of(o, 0));
    ck_assert_uint_lt(acid, place_of(o, 2));
    /* as much acid needs no word of a milder pH */
    ck_assert_double_lt(stock->tanks[SW_TANK_B].ph, 5.5);
    ck_assert_uint_eq(place_of_text(o, "pH 5.5"), SIZE_MAX);
    ck_assert_uint_ne(place_of_text(o, "until clear"), SIZE_MAX);
    sw_steps_free(o);
    sw_stock_free(stock);
}
END_TEST

START_STOCKED_TEST(stocks_hold_what_the_plan_says_and_never_meet, &published[3])
{
    sw_stock *stock;
    sw_steps *o;
    sw_stock_setup setup = sw_stock_setup_default(100);
    ck_assert_int_eq(sw_stock_plan(one_solver(), &s->mix, &setup, &stock, NULL),
                     SW_OK);
    o = in_tanks(s, &setup, stock);
    double g[SW_TANKS] = {0}, planned[SW_TANKS] = {0};
    bool apart = false;
    for (size_t i = 0; i < o->count; i++) {
        apart = apart || strstr(o->items[i].safety, "never meet undiluted");
        if (o->items[i].kind == SW_STEP_ADD)
            g[o->items[i].tank] += o->items[i].g;
    }
    ck_assert(apart);
    for (size_t j = 0; j < stock->count; j++)
        for (int t = 0; t < SW_TANKS; t++)
            planned[t] += stock->placements[j].g[t];
    for (int t = 0; t < SW_TANKS; t++)
        ck_assert_double_eq_tol(g[t], planned[t], 1e-9);
    sw_steps_free(o);
    sw_stock_free(stock);
}
END_TEST

START_TEST(what_can_hurt_is_said_where_it_is_added)
{
    static const struct {
        const char *name, *words;
    } cases[] = {{"potassium hydroxide", "severe skin burns"},
                 {"potassium nitrate", "oxidiser"},
                 {"copper sulfate pentahydrate", "swallowed"},
                 {"boric acid", "mask"},
                 {"potassium sulfate", ""}};
    for (int i = 0; i < 5; i++) {
        stocked s;
        stock_up(&s, &published[3]);
        s.product[3].hazards = hazards_of(cases[i].name);
        sw_steps *o = direct(&s);
        const char *said = o->items[place_of(o, 3)].safety;
        ck_assert(*cases[i].words ? strstr(said, cases[i].words) != NULL
                                  : !*said);
        sw_steps_free(o);
    }
}
END_TEST

START_STOCKED_TEST(the_crops_own_ph_range_is_named, &published[3])
{
    sw_target_row row = {.kind = SW_TARGET_PH,
                         .target = 5.8,
                         .min = NAN,
                         .max = 6.0,
                         .weight = 1};
    sw_target target = {.rows = &row, .count = 1};
    sw_steps *o = direct(s);
    ck_assert_uint_ne(place_of_text(o, "5.5 to 6.5"), SIZE_MAX);
    sw_steps_free(o);
    s->mix.target = &target;
    o = direct(s);
    ck_assert_uint_ne(place_of_text(o, "5.3 to 6.0"), SIZE_MAX);
    sw_steps_free(o);
}
END_TEST

START_TEST_EACH(
    one_limit_of_the_ph_alone_leaves_the_usual_range_on_the_other_side, 4)
{
    static const struct {
        double min, max;
        const char *range;
    } cases[] = {{5.8, NAN, "5.8 to 6.5"},
                 {6.4, NAN, "6.4 to 6.9"},
                 {NAN, 6.2, "5.5 to 6.2"},
                 {NAN, 5.6, "5.1 to 5.6"}};
    stocked s;
    sw_target_row row = {.kind = SW_TARGET_PH,
                         .target = NAN,
                         .min = cases[_i].min,
                         .max = cases[_i].max};
    sw_target target = {.rows = &row, .count = 1};
    stock_up(&s, &published[3]);
    s.mix.target = &target;
    sw_steps *o = direct(&s);
    ck_assert_uint_ne(place_of_text(o, cases[_i].range), SIZE_MAX);
    sw_steps_free(o);
}
END_TEST

START_TEST(a_premix_a_base_and_a_chelate_have_their_turns)
{
    static const published_recipe mixed = {
        "mixed",
        "invented",
        {{"K2CO3", 50, 0},
         {"label: Fe-DTPA 11", 20, 0},
         {"label: NO3-N 4; P2O5 11; K2O 33; MgO 6", 700, 0},
         {"MgSO4.7H2O", 200, 0}}};
    stocked s;
    stock_up(&s, &mixed);
    sw_steps *o = direct(&s);
    ck_assert_uint_lt(place_of(o, 2), place_of(o, 3));
    ck_assert_uint_lt(place_of(o, 3), place_of(o, 0));
    ck_assert_uint_lt(place_of(o, 0), place_of(o, 1));
    sw_steps_free(o);
}
END_TEST

/* As a rule silicate goes in before all, but after the acid where the water
 * clouds by itself: 10 meq/L of alkalinity beside 200 mg/L of Ca. */
START_TEST(silicate_waits_for_the_acid_of_a_water_that_clouds)
{
    static const published_recipe silicic = {
        "silicic",
        "invented",
        {{"KNO3", 300, 0},
         {"label: SiO2 20; K2O 10; alkalinity 2", 100, 0},
         {"HNO3", 1000, 0.6}}};
    for (int hard = 0; hard < 2; hard++) {
        stocked s;
        stock_up(&s, &silicic);
        s.mix.conditions = sw_conditions_default();
        s.water.amount[SW_ALKALINITY] = hard ? 10 : 0.5;
        s.water.amount[SW_CARBON] = hard ? 10.3 : 0.6;
        s.water.amount[SW_CA] = hard ? 200 : 0;
        sw_steps *o = direct(&s);
        const sw_step *fill = &o->items[place_of_text(o, "about 75 %")];
        ck_assert_int_eq(!!*fill->clouds, hard);
        ck_assert_int_eq(place_of(o, 2) < place_of(o, 1), hard);
        ck_assert_uint_lt(place_of(o, 2), place_of(o, 0));
        sw_steps_free(o);
    }
}
END_TEST

START_STOCKED_TEST(what_makes_no_sense_is_refused, &published[3])
{
    sw_steps *o;
    sw_mixing mixing = {.mix = &s->mix};
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_VALUE);
    ck_assert_ptr_null(o);
    mixing.volume_l = INFINITY;
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_VALUE);
    sw_stock stock = {.count = s->shelf.count};
    mixing.stock = &stock;
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_MISSING);
    stock.count++;
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_VALUE);
    mixing.stock = NULL;
    mixing.volume_l = 10;
    s->recipe.count--;
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_VALUE);
    sw_steps_free(NULL);
}
END_TEST

START_TEST(a_carbonate_foams_where_acid_is_in_the_water)
{
    stocked s;
    stock_up(&s, &published[5]); /* 6 HNO3 */
    size_t carbonate = s.shelf.count;
    lay_in(&s, "KHCO3", 1);
    s.g_per_l[carbonate] = 0.05;
    s.recipe.count = s.shelf.count;
    sw_steps *with_acid = direct(&s);
    s.g_per_l[6] = 0;
    sw_steps *without = direct(&s);
    const sw_step *foams = &with_acid->items[place_of(with_acid, carbonate)];
    const sw_step *calm = &without->items[place_of(without, carbonate)];
    ck_assert_ptr_nonnull(strstr(foams->safety, "foams with CO2"));
    ck_assert_ptr_null(strstr(calm->safety, "foams"));
    sw_steps_free(with_acid);
    sw_steps_free(without);
}
END_TEST

/* ---- Simulated ---- */

typedef struct drawn {
    const char *text;
    double most_mg_per_l, density_g_per_ml, often;
} drawn;

static const drawn to_draw[] = {
    {"Ca(NO3)2.4H2O", 1200, 0, 0.8},
    {"KNO3", 700, 0, 0.7},
    {"KH2PO4", 300, 0, 0.6},
    {"NH4H2PO4", 150, 0, 0.3},
    {"K2HPO4", 150, 0, 0.15},
    {"MgSO4.7H2O", 600, 0, 0.8},
    {"Mg(NO3)2.6H2O", 200, 0, 0.2},
    {"K2SO4", 300, 0, 0.4},
    {"CaCl2.2H2O", 150, 0, 0.2},
    {"KHCO3", 100, 0, 0.15},
    {"CO(NH2)2", 150, 0, 0.2},
    {"H3BO3", 3, 0, 0.7},
    {"MnSO4.H2O", 4, 0, 0.6},
    {"ZnSO4.7H2O", 2, 0, 0.6},
    {"CuSO4.5H2O", 0.5, 0, 0.6},
    {"label: Fe-DTPA 6", 40, 0, 0.6},
    {"FeSO4.7H2O", 10, 0, 0.15},
    {"label: SiO2 20; K2O 10; alkalinity 2", 150, 1.25, 0.2}};
enum { DRAWN = sizeof to_draw / sizeof *to_draw };

/* Well water of alkalinity up to 7 meq/L, and mostly the acid that leaves a
 * tenth of it. */
static void draw_water(gsl_rng *rng, stocked *s)
{
    double meq = 7 * pow(gsl_rng_uniform(rng), 2);
    s->water.amount[SW_ALKALINITY] = meq;
    s->water.amount[SW_CARBON] = meq * (1.02 + 0.2 * gsl_rng_uniform(rng));
    s->water.amount[SW_CA] = 20.04 * meq * gsl_rng_uniform(rng);
    s->water.amount[SW_MG] = 12.15 * meq * 0.5 * gsl_rng_uniform(rng);
    s->water.amount[SW_S] = 30 * gsl_rng_uniform(rng);
    s->water.amount[SW_NA] = 40 * gsl_rng_uniform(rng);
    if (gsl_rng_uniform(rng) < 0.3)
        return;
    size_t acid = s->shelf.count;
    bool phosphoric = gsl_rng_uniform(rng) < 0.4;
    lay_in(s, phosphoric ? "H3PO4" : "HNO3", phosphoric ? 0.75 : 0.6);
    s->product[acid].density_g_per_ml = phosphoric ? 1.58 : 1.37;
    s->g_per_l[acid] =
        -0.9 * meq / s->product[acid].per_g.amount[SW_ALKALINITY];
}

static void draw(gsl_rng *rng, stocked *s)
{
    stock_up(s, &(published_recipe){.name = "random"});
    for (int i = 0; i < DRAWN && s->shelf.count < RECIPE_ROWS - 1; i++) {
        if (gsl_rng_uniform(rng) > to_draw[i].often)
            continue;
        size_t at = s->shelf.count;
        lay_in(s, to_draw[i].text, 0);
        if (to_draw[i].density_g_per_ml > 0)
            s->product[at].density_g_per_ml = to_draw[i].density_g_per_ml;
        s->g_per_l[at] =
            to_draw[i].most_mg_per_l / 1000 * gsl_rng_uniform_pos(rng);
    }
    draw_water(rng, s);
    s->recipe.count = s->shelf.count;
    s->mix.conditions = sw_conditions_default();
}

typedef struct walked {
    int clouded, unsaid; /* mixtures */
    int brought; /* by an addition, though the full reservoir is clear */
} walked;

/* Additions that cloud what was clear, in a reservoir that is clear at last:
 * only the water may be cloudy to begin with. */
static int brought_by_additions(const sw_steps *o)
{
    int brought = 0;
    bool clear = true;
    for (size_t i = 0; i < o->count; i++) {
        const sw_step *step = &o->items[i];
        if (step->kind != SW_STEP_ADD && step->kind != SW_STEP_FILL)
            continue;
        brought += step->kind == SW_STEP_ADD && clear && *step->clouds;
        clear = !*step->clouds;
    }
    return clear ? brought : 0;
}

/* What is in the vessel after each step, worked out again from the steps. */
static void walk(const stocked *s, const sw_steps *o, walked *w)
{
    sw_content all = {{0}};
    sw_chemistry c;
    for (size_t i = 0; i < o->count; i++) {
        const sw_step *step = &o->items[i];
        if (step->kind == SW_STEP_FILL)
            sw_content_add(&all, step->volume_l, &s->water);
        else if (step->kind == SW_STEP_ADD)
            sw_content_add(&all, step->g, &s->product[step->product].per_g);
        else
            continue;
        sw_content per_l = {{0}};
        sw_content_add(&per_l, 1 / step->volume_l, &all);
        ck_assert_int_eq(sw_equilibrate(&per_l, &s->mix.conditions,
                                        SW_CARBONATE_KEPT, &c, NULL),
                         SW_OK);
        for (int k = 0; k < SW_SOLID_COUNT; k++) {
            if (sw_seldom_forms((sw_solid)k) || !c.saturation[k].defined ||
                c.saturation[k].index <= 0)
                continue;
            w->clouded++;
            w->unsaid += !strstr(step->clouds, sw_solid_name((sw_solid)k));
        }
    }
}

START_TEST(no_mixture_on_the_way_clouds_unsaid)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    walked w = {0};
    const char *asked = getenv("SW_RECIPES"); /* 1000 in a long check */
    int recipes = asked ? atoi(asked) : sw_cases(150), clear = 0;
    for (int i = 0; i < recipes; i++) {
        stocked s;
        draw(rng, &s);
        sw_steps *o = direct(&s);
        int before = w.clouded;
        walk(&s, o, &w);
        clear += w.clouded == before;
        w.brought += brought_by_additions(o);
        sw_steps_free(o);
    }
    gsl_rng_free(rng);
    ck_assert_int_eq(w.unsaid, 0);
    ck_assert_int_eq(w.brought, 0);
    ck_assert_int_gt(w.clouded, recipes / 10);
    ck_assert_int_gt(clear, recipes / 4);
}
END_TEST

/* ---- Tanks, filled again from the steps ---- */

typedef struct filled {
    int tanks, over, unsaid, clouded;
} filled;

static void judge_mixture(const sw_content *water, const sw_solubility *at,
                          const sw_step *step, const sw_content *salts,
                          double water_l, filled *f)
{
    sw_tank_content per_l = {.make_up = {{0}}};
    sw_mixture m;
    sw_content_add(&per_l.make_up, water_l / step->volume_l, water);
    sw_content_add(&per_l.salts, 1 / step->volume_l, salts);
    sw_mixture_make(at, &per_l, 1, &m);
    for (size_t i = 0; i < m.deposit_count; i++) {
        if (!m.deposits[i].counts || !m.deposits[i].forms)
            continue;
        f->clouded++;
        f->unsaid +=
            !strstr(step->clouds, sw_stock_solid_name(m.deposits[i].solid));
    }
}

/* What the first step of a tank asks for where the water makes lime there. */
static const sw_content purified = {{0}};

/* Litres in the tank: water, liquids by their densities, and of solids what
 * their crystals take, at most 1 mL from 1.7 g. */
static void fill_again(const stocked *s, const sw_stock *stock,
                       const sw_solubility *at, const sw_steps *o,
                       double full_l, filled *f)
{
    double water_l = 0, l = 0;
    sw_content salts = {{0}};
    for (size_t i = 0; i < o->count; i++) {
        const sw_step *step = &o->items[i];
        if (step->kind == SW_STEP_FILL) {
            f->tanks++;
            water_l = l = step->volume_l;
            salts = (sw_content){{0}};
        } else if (step->kind == SW_STEP_ADD) {
            const sw_product *p = &s->product[step->product];
            bool solid = isnan(p->density_g_per_ml);
            l += step->g / (solid ? 1700 : 1000 * p->density_g_per_ml);
            sw_content_add(&salts, step->g, &p->per_g);
        } else {
            continue;
        }
        f->over += l > full_l * (1 + 1e-9) || step->volume_l > full_l;
        judge_mixture(stock->tanks[step->tank].makes_lime ? &purified
                                                          : &s->water,
                      at, step, &salts, water_l, f);
    }
}

START_TEST(no_tank_overflows_or_clouds_unsaid)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    const char *asked = getenv("SW_RECIPES");
    int recipes = asked ? atoi(asked) : sw_cases(60), planned = 0;
    static sw_pitzer pitzer;
    sw_solubility at;
    filled f = {0};
    sw_pitzer_load(&pitzer);
    sw_solubility_at(&pitzer, 20, &at);
    for (int i = 0; i < recipes; i++) {
        stocked s;
        sw_stock *stock;
        draw(rng, &s);
        sw_stock_setup setup = sw_stock_setup_default(200);
        setup.factor = 50 * pow(40, gsl_rng_uniform(rng));
        setup.third_tank = i % 2;
        ck_assert_int_eq(
            sw_stock_plan(one_solver(), &s.mix, &setup, &stock, NULL), SW_OK);
        if (stock->outcome == SW_OPTIMAL) {
            planned++;
            sw_steps *o = in_tanks(&s, &setup, stock);
            fill_again(&s, stock, &at, o, 200, &f);
            sw_steps_free(o);
        }
        sw_stock_free(stock);
    }
    gsl_rng_free(rng);
    ck_assert_int_gt(planned, recipes / 10);
    ck_assert_int_eq(f.over, 0);
    ck_assert_int_eq(f.unsaid, 0);
    if (asked)
        printf("%d tanks, %d mixtures clouded and said\n", f.tanks, f.clouded);
}
END_TEST

/* 1.2 L of it for a litre of tank: 225 L were planned for 200 L. */
START_TEST(acid_that_does_not_fit_is_refused)
{
    static const published_recipe acid = {
        "acid", "invented", {{"HNO3", 1400, 0.6}, {"KNO3", 30, 0}}};
    static const struct {
        double factor;
        bool fits;
        const char *note;
    } cases[] = {{300, true, NULL},
                 {485, true, NULL}, /* 1.022 mL of it for a litre of feed */
                 {494, true, "stock-neat-acid"},
                 {700, true, "stock-neat-acid"},
                 {1170, false, NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        stocked s;
        sw_stock *stock;
        stock_up(&s, &acid);
        s.product[0].density_g_per_ml = 1.37;
        sw_stock_setup setup = sw_stock_setup_default(200);
        setup.third_tank = true;
        setup.factor = cases[i].factor;
        ck_assert_int_eq(
            sw_stock_plan(one_solver(), &s.mix, &setup, &stock, NULL), SW_OK);
        ck_assert_int_eq(stock->outcome,
                         cases[i].fits ? SW_OPTIMAL : SW_CONFLICT);
        bool said = sw_notes_find(&stock->notes, "stock-neat-acid");
        ck_assert(said == (cases[i].note != NULL));
        if (!cases[i].fits)
            ck_assert_ptr_nonnull(strstr(stock->limit, "no room for water"));
        sw_stock_free(stock);
    }
}
END_TEST
