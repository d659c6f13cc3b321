/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes: in the shelf's order, with what the shelf lacks appended. */
#include "suite.h"

#include "records/stream.h"
#include "saltwright.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

/* A shelf and the recipe read over it. */
typedef struct pair {
    sw_shelf *shelf;
    sw_recipe *recipe;
    sw_error error;
} pair;

static pair read_over(const char *shelf_text, const char *recipe_text)
{
    pair p = {0};
    FILE *stream = stream_of(shelf_text);
    ck_assert_int_eq(sw_shelf_read(stream, "s.csv", &p.shelf, NULL), SW_OK);
    fclose(stream);
    stream = stream_of(recipe_text);
    (void)sw_recipe_read(stream, "r.csv", p.shelf, &p.recipe, &p.error);
    fclose(stream);
    return p;
}

static void release(pair *p)
{
    sw_shelf_free(p->shelf);
    sw_recipe_free(p->recipe);
}

static void expect_close(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, TOL_LAB_DIGITS * fabs(expected));
}

static const char shelf_text[] =
    "product,formula,purity,density\nnitre,KNO3,,\n"
    "MKP,KH2PO4,,\nour acid,HNO3,33 %,1.2\n";

START_TEST(amounts_come_in_the_order_of_the_shelf)
{
    pair p = read_over(shelf_text, "unit;product;amount\n"
                                   "mL/L;our acid;0,5\ng/L;Nitre;0,325\n");
    ck_assert_msg(p.recipe != NULL, "%s", p.error.message);
    ck_assert_uint_eq(p.recipe->count, 3);
    expect_close(p.recipe->g_per_l[0], 0.325);
    ck_assert_double_eq(p.recipe->g_per_l[1], 0.0);
    expect_close(p.recipe->g_per_l[2], 0.6);
    release(&p);
}
END_TEST

START_TEST(an_amount_without_unit_is_mg_per_l)
{
    pair p = read_over(shelf_text, "product,amount\nnitre,325\n");
    expect_close(p.recipe->g_per_l[0], 0.325);
    release(&p);
}
END_TEST

START_TEST(an_amount_without_unit_is_told)
{
    pair p = read_over(shelf_text, "product,amount,unit\nnitre,325,\n"
                                   "MKP,0.2,g/L\nour acid,50,\n");
    ck_assert_uint_eq(p.shelf->notes.count, 1);
    ck_assert_str_eq(p.shelf->notes.items[0].code, "amount-no-unit");
    ck_assert_ptr_nonnull(strstr(p.shelf->notes.items[0].text,
                                 "mg/L of finished solution: "
                                 "nitre, our acid."));
    release(&p);
    p = read_over(shelf_text,
                  "product,amount\ncalcium nitrate tetrahydrate,900\n"
                  "potassium nitrate,300\nmonopotassium phosphate,200\n"
                  "potassium sulfate,100\nmagnesium sulfate heptahydrate,300\n"
                  "ammonium nitrate,9\nzinc sulfate heptahydrate,1\n"
                  "copper sulfate pentahydrate,1\nboric acid,2\n"
                  "potassium chloride,2\n");
    ck_assert_int_eq(p.error.status, SW_OK);
    const char *told = p.shelf->notes.items[p.shelf->notes.count - 1].text;
    ck_assert_msg(strstr(told, "ammonium nitrate"), "%s", told);
    ck_assert_msg(strstr(told, " and others."), "%s", told);
    release(&p);
    p = read_over("product,max,unit\nKNO3,300,\nMKP,200,mg/L\n",
                  "product,amount,unit\nKNO3,325,mg/L\n");
    ck_assert_uint_eq(p.shelf->notes.count, 1);
    ck_assert_ptr_nonnull(strstr(p.shelf->notes.items[0].text, ": KNO3."));
    release(&p);
}
END_TEST

/* 0.48 is a feed in g/L, and a thousandth of it as it is read. */
START_TEST(amounts_that_would_be_a_feed_in_g_per_l_are_doubted)
{
    static const struct {
        const char *rows;
        bool doubted;
    } files[] = {
        {"nitre,0.3,\nMKP,0.18,\n", true},
        {"nitre,300,\nMKP,180,\n", false},
        {"nitre,0.3,\nMKP,180,mg/L\n", false},
        {"nitre,0.01,\n", false},
        {"iron DTPA 11 %,2,\nmanganese sulfate monohydrate,1.5,\n", false},
        {"boric acid,0.48,\n", false},
        {"nitre,0.3,\nMKP,0.16,\nboric acid,0.02,\n", true},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        char text[200];
        snprintf(text, sizeof text, "product,amount,unit\n%s", files[i].rows);
        pair p = read_over(shelf_text, text);
        const sw_note *told = &p.shelf->notes.items[0];
        ck_assert_int_eq(told->severity, SW_WARNING);
        ck_assert((strstr(told->text, "All of it is then 0.480 mg/L") !=
                   NULL) == files[i].doubted);
        release(&p);
    }
}
END_TEST

/* A feed is 0.1 to 10 g/L. */
START_TEST(what_no_feed_would_be_in_g_per_l_is_not_doubted)
{
    static const struct {
        const char *amount;
        bool doubted;
    } cases[] = {
        {"0.0995", false}, {"0.101", true}, {"9.95", true}, {"10.1", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[80];
        snprintf(text, sizeof text, "product,amount,unit\nnitre,%s,\n",
                 cases[i].amount);
        pair p = read_over(shelf_text, text);
        ck_assert_int_eq(!!strstr(p.shelf->notes.items[0].text, "is then"),
                         cases[i].doubted);
        release(&p);
    }
}
END_TEST

START_TEST(what_the_shelf_lacks_is_appended_from_the_catalogue)
{
    pair p = read_over(shelf_text, "product,amount,unit\nUrea,100,mg/L\n"
                                   "nitre,325,mg/L\nboric acid,2,mg/L\n");
    ck_assert_msg(p.recipe != NULL, "%s", p.error.message);
    ck_assert_uint_eq(p.shelf->count, 5);
    ck_assert_uint_eq(p.recipe->count, 5);
    ck_assert_str_eq(p.shelf->products[3].name, "Urea");
    ck_assert_str_eq(p.shelf->products[3].catalogue_name, "urea");
    expect_close(p.recipe->g_per_l[3], 0.1);
    expect_close(p.recipe->g_per_l[4], 0.002);
    release(&p);
}
END_TEST

START_TEST(another_name_of_a_product_finds_it_on_the_shelf)
{
    pair p =
        read_over(shelf_text, "product,amount\nmonopotassium phosphate,182\n");
    ck_assert_msg(p.recipe != NULL, "%s", p.error.message);
    ck_assert_uint_eq(p.shelf->count, 3);
    expect_close(p.recipe->g_per_l[1], 0.182);
    release(&p);
}
END_TEST

START_TEST(a_name_for_two_products_of_the_shelf_is_refused)
{
    pair p = read_over("product,formula\nnitre east,KNO3\nnitre west,KNO3\n",
                       "product,amount\npotassium nitrate,182\n");
    ck_assert_ptr_null(p.recipe);
    ck_assert_int_eq(p.error.status, SW_ERR_NAME);
    ck_assert_str_eq(p.error.message,
                     "'potassium nitrate' could be 'nitre east' or 'nitre "
                     "west' of the shelf, expected one of these names as the "
                     "shelf writes it");
    release(&p);
}
END_TEST

START_TEST_EACH(the_same_product_twice_is_refused_under_any_name, 4)
{
    static const char *const recipes[] = {
        "product,amount\nnitre,1\nnitre,2\n",
        "product,amount\nMKP,1\nmonopotassium phosphate,2\n",
        "product,amount\nurea,1\nUREA,2\n",
        "product,amount\nurea,1\ncarbamide,2\n",
    };
    pair p = read_over(shelf_text, recipes[_i]);
    ck_assert_ptr_null(p.recipe);
    ck_assert_int_eq(p.error.status, SW_ERR_DUPLICATE);
    ck_assert_uint_eq(p.error.line, 3);
    ck_assert_uint_eq(p.shelf->count, 3);
    release(&p);
}
END_TEST

START_TEST(a_refused_recipe_leaves_the_shelf_as_it_was)
{
    pair p = read_over(shelf_text, "product,amount\nurea,100\nnitre,x\n");
    ck_assert_ptr_null(p.recipe);
    ck_assert_uint_eq(p.shelf->count, 3);
    release(&p);
}
END_TEST

START_TEST(recipe_and_shelf_together_are_bounded)
{
    static char text[SW_MAX_PRODUCTS * 24];
    char *end = text + sprintf(text, "product,formula\n");
    for (int i = 0; i < SW_MAX_PRODUCTS; i++)
        end += sprintf(end, "salt %d,KCl\n", i);
    pair p = read_over(text, "product,amount\nsalt 255,1\nurea,100\n");
    ck_assert_ptr_null(p.recipe);
    ck_assert_int_eq(p.error.status, SW_ERR_LIMIT);
    ck_assert_uint_eq(p.error.line, 3);
    release(&p);
}
END_TEST

/* On both sides: a kilogram of a solid, a litre of a liquid by its density. */
START_TEST(no_more_is_in_a_litre_than_a_litre_holds)
{
    static const struct {
        const char *amount;
        bool fits;
    } rows[] = {{"potash,1000", true}, {"potash,1001", false},
                {"acid,1239", true},   {"acid,1241", false},
                {"ammonia,909", true}, {"ammonia,911", false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char recipe[64];
        snprintf(recipe, sizeof recipe, "product,amount,unit\n%s,g/L\n",
                 rows[i].amount);
        pair p = read_over(
            "product,formula,label,density\npotash,KCl,,\n"
            "acid,,NO3-N 8.4,1.24\nammonia,,NH4-N 20; alkalinity 14.3,0.91\n",
            recipe);
        ck_assert_int_eq(p.recipe != NULL, rows[i].fits);
        if (!rows[i].fits) {
            ck_assert_int_eq(p.error.status, SW_ERR_VALUE);
            ck_assert_ptr_nonnull(
                strstr(p.error.message, strchr(rows[i].amount, ',') + 1));
        }
        release(&p);
    }
}
END_TEST

/* One part of a liquid of 1.2 g/mL in so many. */
START_TEST(a_dilution_is_a_rate)
{
    static const struct {
        const char *unit;
        double g_per_l; /* 0: refused */
    } rows[] = {{":128", 9.375}, {":12.5", 96}, {"\":12,5\"", 96},
                {":1", 1200},    {":0.9", 0},   {":x", 0}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char recipe[64];
        snprintf(recipe, sizeof recipe, "product,amount,unit\nour acid,1,%s\n",
                 rows[i].unit);
        pair p = read_over(shelf_text, recipe);
        ck_assert_int_eq(p.recipe != NULL, rows[i].g_per_l > 0);
        if (p.recipe)
            expect_close(p.recipe->g_per_l[2], rows[i].g_per_l);
        release(&p);
    }
}
END_TEST

/* "mg/L", blanks and one letter too many, then the nutrient: of any length. */
START_TEST(a_unit_is_read_whole_or_refused)
{
    for (int blanks = 1; blanks < 80; blanks++) {
        char recipe[160];
        snprintf(recipe, sizeof recipe,
                 "product,amount,unit\nnitre,100,mg/L%*sx K\n", blanks, "");
        pair p = read_over(shelf_text, recipe);
        ck_assert_msg(!p.recipe, "%d blanks", blanks);
        release(&p);
    }
}
END_TEST

/* Every unit that the amounts of a plan are told in, of a solid (g) and of a
 * liquid of 1.2 g/mL; 0: refused.  NIST SP 811 (2008), appendix B. */
START_TEST(a_tank_takes_the_units_that_plans_are_told_in)
{
    static const struct {
        const char *unit;
        double solid_g, liquid_g;
    } rows[] = {{"g", 1, 1},
                {"kg", 1000, 1000},
                {"oz", 28.349523125, 0},
                {"oz wt", 28.349523125, 28.349523125},
                {"lb", 453.59237, 453.59237},
                {"mL", 0, 1.2},
                {"L", 0, 1200},
                {"fl oz", 0, 1.2 * 29.5735295625},
                {"gal", 0, 1.2 * 3785.411784},
                {"mg/L", 0, 0}};
    for (size_t i = 0; i < 2 * sizeof rows / sizeof *rows; i++) {
        char text[80];
        bool solid = i % 2;
        double g = solid ? rows[i / 2].solid_g : rows[i / 2].liquid_g;
        sw_placement *made = NULL;
        pair p = read_over(shelf_text, "product,amount\nnitre,1\n");
        (void)snprintf(text, sizeof text,
                       "tank,product,amount,unit\nA,%s,1,%s\n",
                       solid ? "nitre" : "our acid", rows[i / 2].unit);
        FILE *stream = stream_of(text);
        (void)sw_placements_read(stream, "t.csv", p.shelf, &made, NULL);
        fclose(stream);
        ck_assert_msg((made != NULL) == (g > 0), "%s", text);
        if (made)
            expect_close(made[solid ? 0 : 2].g[SW_TANK_A], g);
        sw_placements_free(made);
        release(&p);
    }
}
END_TEST

START_TEST(freeing_nothing_is_allowed)
{
    sw_recipe_free(NULL);
}
END_TEST

START_TEST(a_recipe_adds_each_product_by_its_amount_times_the_factor)
{
    sw_product products[] = {{.per_g.amount = {[SW_K] = 400, [SW_N] = 140}},
                             {.per_g.amount = {[SW_CA] = 190, [SW_N] = 155}},
                             {.per_g.amount = {[SW_NA] = 999}}};
    double g_per_l[] = {0.5, 1};
    sw_shelf shelf = {.products = products, .count = 3};
    sw_recipe recipe = {.g_per_l = g_per_l, .count = 2}, none = {0};
    sw_content to = {.amount = {[SW_CA] = 20, [SW_NA] = 8}};
    sw_content_add_recipe(&to, 2, &shelf, &recipe);
    ck_assert_double_eq(to.amount[SW_K], 400);
    ck_assert_double_eq(to.amount[SW_CA], 20 + 380);
    ck_assert_double_eq(to.amount[SW_N], 140 + 310);
    ck_assert_double_eq(to.amount[SW_NA], 8);
    sw_content_add_recipe(&to, 2, &shelf, &none);
    ck_assert_double_eq(to.amount[SW_K], 400);
}
END_TEST
