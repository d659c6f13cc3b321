/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said before a product is added to others. */
#include "suite.h"

#include <string.h>

#include "saltwright.h"
#include "stock/product_classes.h"
#include "stock/safety.h"

static sw_product *find(const char *name)
{
    sw_product *p;
    sw_error error;
    ck_assert_msg(sw_catalogue_find(name, &p, &error) == SW_OK, "%s",
                  error.message);
    return p;
}

/* Of adding one product to another, or to water alone. */
static const char *said_of(const char *added, const char *held)
{
    static char text[640];
    sw_product *one = find(added);
    sw_product *other = held ? find(held) : NULL;
    const sw_product *list[] = {other};
    sw_safety_of_adding(one, list, held ? 1 : 0, text, sizeof text);
    sw_product_free(one);
    sw_product_free(other);
    return text;
}

static const struct {
    const char *added, *held, *words;
} says[] = {
    {"nitric acid 38 %", NULL,
     "Danger. Causes severe skin burns and eye damage (H314). Toxic if inhaled "
     "(H331)."},
    {"nitric acid 38 %", NULL, "never water into the acid"},
    {"nitric acid 38 %", NULL,
     "Wear goggles, face shield, chemical-resistant gloves and apron."},
    {"potassium hydroxide", NULL, "cold water, slowly"},
    {"potassium hydroxide", "ammonium sulfate", "ammonia gas"},
    {"ammonium nitrate", "potassium hydroxide", "ammonia gas"},
    {"potassium bicarbonate", "phosphoric acid 85 %", "foams with CO2"},
    {"phosphoric acid 85 %", "potassium carbonate", "foams with CO2"},
    {"nitric acid 60 %", "urea", "toxic fumes"},
    {"citric acid anhydrous", "nitric acid 60 %", "toxic fumes"},
    {"potassium hydroxide", "sulfuric acid 93 %", "neutralise each other"},
    {"potassium silicate solution", "nitric acid 38 %",
     "Silicate with acid gels: never one undiluted onto the other"},
    {"copper sulfate pentahydrate", NULL, "(H318)"},
    {"potassium nitrate", NULL, "Warning. May intensify fire"},
};

START_TEST_EACH(what_can_hurt_is_said, sizeof says / sizeof *says)
{
    const char *text = said_of(says[_i].added, says[_i].held);
    ck_assert_msg(strstr(text, says[_i].words) != NULL, "%s + %s: %s",
                  says[_i].added, says[_i].held ? says[_i].held : "water",
                  text);
}
END_TEST

START_TEST(what_is_harmless_is_not_warned_of)
{
    ck_assert_str_eq(said_of("potassium sulfate", NULL), "");
    ck_assert_str_eq(said_of("monopotassium phosphate", "potassium sulfate"),
                     "");
}
END_TEST

START_TEST(sentences_are_whole_however_small_the_room)
{
    sw_product *acid = find("nitric acid 60 %");
    for (size_t size = 1; size < 640; size++) {
        char text[640];
        sw_safety_of_adding(acid, NULL, 0, text, size);
        size_t length = strlen(text);
        ck_assert_uint_lt(length, size);
        ck_assert(!length || text[length - 1] == '.');
    }
    sw_product_free(acid);
}
END_TEST

START_TEST(every_pair_has_a_side_some_product_is_on_and_a_source)
{
    for (size_t i = 0; i < sw_meeting_count(); i++) {
        sw_meeting pair = sw_meeting_at(i);
        bool one = false, other = !pair.is_product;
        for (size_t k = 0; k < sw_catalogue_count(); k++) {
            sw_product *p;
            ck_assert_int_eq(sw_catalogue_get(k, &p, NULL), SW_OK);
            one = one || sw_meeting_side_is(pair.one, p);
            other = other || sw_meeting_side_is(pair.other, p);
            sw_product_free(p);
        }
        ck_assert_msg(one && other, "%s + %s", pair.one, pair.other);
        ck_assert(*pair.gives && *pair.known && *pair.source);
    }
}
END_TEST

/* The plan looks a class up by its bit. */
START_TEST(pairs_kept_from_one_stock_are_of_classes)
{
    ck_assert_uint_gt(sw_feud_count(), 0);
    for (size_t i = 0; i < sw_feud_count(); i++) {
        sw_feud feud = sw_feud_at(i);
        ck_assert(feud.one && feud.other && *feud.why);
    }
}
END_TEST

/* From how much in a gram on, mg or meq, a product is of a class; so much of
 * another beside it. */
static const struct {
    sw_component of;
    double from;
    sw_class class;
    sw_component beside;
    double amount;
} BEGINS[] = {
    {SW_CA, 5, SW_CLASS_CALCIUM, SW_NA, 0},
    {SW_S, 5, SW_CLASS_SULFATE, SW_K, 50},
    {SW_P, 5, SW_CLASS_PHOSPHATE, SW_NA, 0},
    {SW_NH4_N, 5, SW_CLASS_AMMONIUM, SW_NA, 0},
    {SW_MG, 5, SW_CLASS_MAGNESIUM, SW_NA, 0},
    {SW_FE, 0.5, SW_CLASS_METAL, SW_NA, 0},
    {SW_ZN, 0.5, SW_CLASS_METAL, SW_NA, 0},
    {SW_ALKALINITY, -1, SW_CLASS_ACID, SW_NA, 0},
    {SW_ALKALINITY, 1, SW_CLASS_ALKALINE, SW_NA, 0},
    {SW_ALKALINITY, 1, SW_CLASS_BASE, SW_NA, 0},
    {SW_ALKALINITY, 1, SW_CLASS_ALKALINE, SW_P, 30.974},
    {SW_ALKALINITY, 2, SW_CLASS_BASE, SW_P, 30.974}, /* HPO4 takes one */
    {SW_ALKALINITY, 1.5, SW_CLASS_BASE, SW_B, 10.81},
    {SW_ALKALINITY, 3, SW_CLASS_BASE, SW_MO, 95.95},
    {SW_SI, 1, SW_CLASS_SILICATE, SW_ALKALINITY, 0.9},
    {SW_ALKALINITY, 0.45, SW_CLASS_SILICATE, SW_SI, 2 * 28.086},
    {SW_NO3_N, 5, SW_CLASS_NITRIC, SW_ALKALINITY, -5},
    {SW_S, 5, SW_CLASS_SULFURIC, SW_ALKALINITY, -5},
    {SW_UREA_N, 5, SW_CLASS_ORGANIC, SW_NA, 0},
    {SW_NO3_N, 50, SW_CLASS_NITRATE, SW_NA, 0},
};

START_TEST(a_product_is_of_a_class_from_so_much_on)
{
    for (size_t i = 0; i < sizeof BEGINS / sizeof *BEGINS; i++)
        for (int above = 0; above < 2; above++) {
            sw_product p = {.name = "invented", .formula = "invented"};
            p.per_g.amount[BEGINS[i].beside] = BEGINS[i].amount;
            p.per_g.amount[BEGINS[i].of] =
                BEGINS[i].from * (above ? 1.001 : 0.999);
            bool is = (sw_classes_of(&p) & BEGINS[i].class) != 0;
            ck_assert_msg(is == (above == 1), "row %zu, %s", i,
                          above ? "above" : "below");
        }
}
END_TEST

START_TEST(any_citrate_is_food_for_what_grows_in_a_tank)
{
    sw_product p = {.name = "invented", .formula = "invented"};
    ck_assert(!(sw_classes_of(&p) & SW_CLASS_ORGANIC));
    p.per_g.amount[SW_CITRATE] = 0.1;
    ck_assert(sw_classes_of(&p) & SW_CLASS_ORGANIC);
}
END_TEST

START_TEST(kinds_have_names)
{
    ck_assert_str_eq(sw_step_text(SW_STEP_PREPARE), "prepare");
    ck_assert_str_eq(sw_step_text(SW_STEP_TOP_UP), "top up");
    ck_assert_str_eq(sw_step_text(SW_STEP_STORE), "store");
    ck_assert_str_eq(sw_step_text((sw_step_kind)9), "unknown");
    ck_assert_str_eq(sw_remedy_text(SW_REMEDY_SHELF), "shelf");
    ck_assert_str_eq(sw_remedy_text((sw_remedy_kind)9), "unknown");
}
END_TEST
