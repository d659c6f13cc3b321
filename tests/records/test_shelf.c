/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shelves: composition, limits, prices, tanks, and what is doubtful. */
#include "suite.h"

#include "records/stream.h"
#include "saltwright.h"
#include "tolerances.h"

#include <math.h>

DEFINE_READ_TEXT(sw_shelf, sw_shelf_read, "shelf.csv")

static void expect_close(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, TOL_LAB_DIGITS * fabs(expected));
}

static double amount(const sw_shelf *shelf, sw_component component)
{
    return shelf->products[0].per_g.amount[component];
}

static void expect_note(const sw_shelf *shelf, const char *code)
{
    ck_assert_msg(sw_notes_find(&shelf->notes, code), "no note %s", code);
}

START_TEST(a_product_of_the_catalogue_needs_its_name_alone)
{
    sw_shelf *s = read_text("product\nPotassium  nitrate\n");
    const sw_product *p = &s->products[0];
    ck_assert_uint_eq(s->count, 1);
    ck_assert_str_eq(p->name, "Potassium  nitrate");
    ck_assert_str_eq(p->catalogue_name, "potassium nitrate");
    ck_assert(sw_has_hazard(p, "H272"));
    expect_close(amount(s, SW_K), 386.72); /* 38.672 % by IUPAC weights */
    ck_assert_double_nan(p->min_g_per_l);
    ck_assert_double_nan(p->fixed_g_per_l);
    ck_assert_double_nan(p->price_per_kg);
    ck_assert_ptr_null(p->tank);
    ck_assert_uint_eq(p->line, 2);
    sw_shelf_free(s);
}
END_TEST

START_TEST_EACH(a_formula_with_a_purity_is_a_composition, 3)
{
    static const char *const purities[] = {"0.98", "98 %", "98%"};
    char text[200];
    (void)snprintf(text, sizeof text,
                   "product,formula,purity\nmy salt,MgSO4.7H2O,%s\n",
                   purities[_i]);
    sw_shelf *s = read_text(text);
    expect_close(s->products[0].purity, 0.98);
    expect_close(amount(s, SW_MG), 0.98 * 98.61);
    expect_close(amount(s, SW_S), 0.98 * 130.08);
    ck_assert_str_eq(s->products[0].formula, "MgSO4.7H2O");
    sw_shelf_free(s);
}
END_TEST

START_TEST(a_label_wins_over_a_formula_beside_it)
{
    sw_shelf *s = read_text("product;formula;label\n"
                            "my lime;CaCO3;\"NO3-N 14.4; NH4-N 1.1; Ca 19\"\n");
    expect_close(amount(s, SW_CA), 190.0);
    expect_close(amount(s, SW_N), 155.0);
    ck_assert_str_eq(s->products[0].formula, "CaCO3");
    ck_assert_str_eq(s->products[0].label, "NO3-N 14.4; NH4-N 1.1; Ca 19");
    ck_assert_double_nan(s->products[0].purity);
    sw_shelf_free(s);
}
END_TEST

START_TEST(a_chelate_keeps_its_chelator)
{
    sw_shelf *s = read_text("product,label\niron,Fe-DTPA 11\n");
    ck_assert_int_eq(s->products[0].chelator, SW_DTPA);
    expect_close(amount(s, SW_CHELATED_FE), 110.0);
    sw_shelf_free(s);
}
END_TEST

START_TEST(two_hydrates_of_one_salt_are_two_products)
{
    sw_shelf *s = read_text("product,formula\nepsom,MgSO4·7H2O\n"
                            "kieserite,MgSO4·H2O\n");
    ck_assert_uint_eq(s->count, 2);
    expect_close(amount(s, SW_MG), 98.61);
    ck_assert_double_gt(s->products[1].per_g.amount[SW_MG], 170.0);
    sw_shelf_free(s);
}
END_TEST

START_TEST(one_salt_from_two_makers_is_two_products)
{
    sw_shelf *s = read_text("product,formula\nnitre east,KNO3\n"
                            "nitre west,KNO3\n");
    ck_assert_uint_eq(s->count, 2);
    ck_assert_str_eq(s->products[0].catalogue_name, "potassium nitrate");
    sw_shelf_free(s);
}
END_TEST

START_TEST(an_acid_of_another_strength_needs_its_density)
{
    sw_shelf *s = read_text("product,purity,density\n"
                            "nitric acid 60 %,61.2 %,1.38\n");
    expect_close(s->products[0].density_g_per_ml, 1.38);
    expect_close(amount(s, SW_NO3_N), 0.612 * 222.29);
    ck_assert(sw_has_hazard(&s->products[0], "H331"));
    sw_shelf_free(s);
}
END_TEST

/* Names and what they may stand beside; "": taken, else the word of the note or
 * refusal. */
static const struct {
    const char *row, *said;
} claims[] = {
    {"nitric acid 61 %,HNO3,0.614,,1.38", ""},
    {"nitric acid,HNO3,0.53,,1.33", ""},
    {"nitric acid 60 %,HNO3,1,,1.50", "holds 100 %"},
    {"\"nitric acid 60,5 %\",HNO3,0.6,,1.36", ""},
    {"nitric acid 60 %,,,NO3-N 8.4,1.24", "the name says 60 %"},
    {"phosphoric acid 54 % P2O5,H3PO4,0.75,,1.58", ""},
    {"sulfuric acid 96%,H2SO4,0.96,,1.84", ""},
    {"potash lye 20 %,KOH,0.2,,1.19", ""},
    {"ammonia water 10 %,NH3,0.1,,0.9", "expected about 0.96"},
    {"potassium nitrate,,,K2O 50; SO3 45,", "another product"},
    {"potassium sulfate,,,K2O 50; SO3 45; MgO 1,", ""},
    {"MAP,(NH4)2HPO4,,,", "NH4H2PO4 in the catalogue"},
    {"potassium hydroxide,K2CO3,,,", "KOH in the catalogue"},
    {"citric acid,C6H8O7,,,", ""},
    {"iron chelate,C10H12FeN2NaO8,,,", ""},
    {"boric acid,B(OH)3,,,", ""},
    {"magnesium sulfate,MgSO4,,,", ""},
    {"Epsom salt,MgSO4,,,", "water they hold"},
    {"aqua ammonia,NH4OH,0.25,,0.91", "water they hold"},
    {"rust remover,,,NH4-N 24.5; F 66,", "66 % of fluoride"},
    {"rock powder,,,P2O5 18; Ca 20; F 0.9,", ""},
    {"nitric acid 60 percent,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 per cent,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid (60 pct),HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 \xEF\xBC\x85,HNO3,0.38,,1.24", "says 60 %"},
    {"HNO3 60 wt%,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60,,,NO3-N 8.4,1.24", "says 60 %"},
    {"Nitric Acid [60],HNO3,0.38,,1.24", "says 60 %"},
    {"acide nitrique 60 pour cent,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid (0.60),HNO3,0.38,,1.24", "says 60 %"},
    {"phosphoric acid 54 %,H3PO4,0.75,,1.58", "such as 54 % P2O5"},
    {"potassium hydroxide 45 %,KOH,0.9,,", "says 45 %"},
    {"nitric acid N 8.5 %,HNO3,0.38,,1.24", ""},
    {"nitric acid 60 pct,HNO3,0.6,,1.37", ""},
    {"nitric acid 38,HNO3,0.38,,1.24", ""},
    {"nitric acid 2,HNO3,0.38,,1.24", ""}, /* the second bottle */
    {"nitric acid 20 L,HNO3,0.38,,1.24", ""},
    {"nitric acid 42 Be,HNO3,0.67,,1.41", ""},
    {"potassium sulfate 0-0-50,KNO3,,,", "K2SO4 in the catalogue"},
    {"Potassium sulfate (soluble),KNO3,,,", "K2SO4 in the catalogue"},
    {"potassium nitrate 13-0-46,,,K2O 50; SO3 45,", "another product"},
    {"ammonium phosphate (di),(NH4)2HPO4,,,", ""},
    {"potassium sulfate 0-0-50,K2SO4,0.93,,", ""},
    {"salt 7,KNO3,,,", ""},
    {"salt (saltpetre),KNO3,,,", ""},
    {"MKP 0-52-34,K2SO4,,,", "KH2PO4 in the catalogue"},
    {"potassium sulfate 50 % K2O,KNO3,,,", "K2SO4 in the catalogue"},
    {"potassium nitrate free mix,K2SO4,,,", ""},
    {"Fe-EDDHA 6 %,,,Fe-DTPA 11,", "the name says EDDHA"},
    {"micro mix EDTA,,,Fe-DTPA 3; Mn-EDTA 2,", ""},
    {"HEDTA iron,,,Fe-HEDTA 4,", ""},
    {"calcium nitrate,Ca(NO3)2,,,", ""}, /* anhydrous: a row of its own */
    {"potassium nitrate 2,HNO3,0.38,,1.24", "another product"},
    {"calcium nitrate 2,KNO3,,,", "another product"},
    {"nitric acid 38 % 2,KNO3,,,", "another product"},
    {"nitric acid,,,NO3-N 13; K2O 46,", "another product"},
    {"nitric acid 38 % 2,HNO3,0.38,,1.24", ""},
    {"potassium carbonate solution,HNO3,0.38,,1.24", "another product"},
    {"potassium carbonate solution,K2CO3,0.5,,1.5", ""},
    {"nitric acid 60 technical,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 60 tech. grade,,,NO3-N 8.4,1.24", "says 60 %"},
    {"nitric acid 60 blue drums,HNO3,0.38,,1.24", ""},
    {"nitric acid technical 60,HNO3,0.38,,1.24", "says 60 %"},
    {"nitric acid 38 technical,HNO3,0.38,,1.24", ""},
    {"feed 20-20-20,,,NO3-N 12; P2O5 20; K2O 20,", "says 20-20-20"},
    {"feed 12-0-0,,,NO3-N 12; P2O5 20; K2O 20,", "holds 12-20-20"},
    {"feed 20-20-20,,,NO3-N 8; urea-N 12; P2O5 20; K2O 20,", ""},
    {"feed 20-9-17,,,NO3-N 8; urea-N 12; P2O5 20; K2O 20,", ""}, /* elements */
    {"feed 20-20-17,,,NO3-N 8; urea-N 12; P2O5 20; K2O 20,", "says 20-20-17"},
    {"feed 4-0-6,,,NO3-N 3.2; K2O 4.8,1.25", ""}, /* by volume */
    {"saltpetre 13-0-46,KNO3,,,", ""},
    {"urea (CAS 57-13-6),CO(NH2)2,,,", ""},
};

START_TEST_EACH(a_name_and_what_it_stands_beside_are_of_one_bag,
                sizeof claims / sizeof *claims)
{
    char text[200];
    sw_shelf *shelf = NULL;
    sw_error error = {0};
    (void)snprintf(text, sizeof text,
                   "product,formula,purity,label,density\n%s\n",
                   claims[_i].row);
    FILE *stream = stream_of(text);
    sw_status status = sw_shelf_read(stream, "s.csv", &shelf, &error);
    fclose(stream);
    const char *said = status               ? error.message
                       : shelf->notes.count ? shelf->notes.items[0].text
                                            : "";
    ck_assert_msg(*claims[_i].said ? strstr(said, claims[_i].said) != NULL
                                   : !*said,
                  "%s: %s", claims[_i].row, said);
    sw_shelf_free(shelf);
}
END_TEST

/* Of a side against a product of the other; the last column: 'a' beside an
 * acid, 'b' beside a base, 's' beside a salt is refused. */
static const struct {
    const char *name, *refused_as;
} sides[] = {
    {"pH up", "a"},
    {"pH Plus", "a"},
    {"pH+", "a"},
    {"pH-Heber 2", "a"},
    {"base", "a"},
    {"Base 2", "a"},
    {"alkali", "a"},
    {"potash lye", "a"},
    {"Kalilauge", "a"},
    {"Natronlauge (neu)", "a"},
    {"Lauge 3", "a"},
    {"kaliloog", "a"},
    {"soude caustique", "a"},
    {"lejía potásica", "a"},
    {"hydroxyde de potassium", "as"},
    {"bicarbonate", "a"},
    {"Karbonat technisch", "a"},
    {"silicate", "a"},
    {"silicato de potasio", "abs"},
    {"pH down", "b"},
    {"pH minus", "b"},
    {"pH-", "b"},
    {"pH-Senker", "b"},
    {"acid", "b"},
    {"Acid conc.", "b"},
    {"the acid", "b"},
    {"Säure", "b"},
    {"Salpetersäure technisch", "b"},
    {"acide", "b"},
    {"acide fort", "b"},
    {"ácido", "b"},
    {"zuur", "b"},
    {"water", "abs"},
    {"Water 2", "abs"},
    {"rinse water", "abs"},
    {"Wasser", "abs"},
    {"agua pura", "abs"},
    {"eau", "abs"},
    {"kraanwater", "abs"},
    {"pH +", "a"},
    {"pH + 1 L", "a"},
    {"pHup", "a"},
    {"pH_up", "a"},
    {"ph raise", "a"},
    {"pH erhöhen", "a"},
    {"basisch", "a"},
    {"alkaline buffer", "a"},
    {"acid-free base", "a"},
    {"bleach", "a"},
    {"Bleach 5 L", "a"},
    {"eau de Javel", "a"},
    {"pH -", "b"},
    {"pH – (5 L)", "b"},
    {"pH–", "b"},
    {"pHdown", "b"},
    {"hydrogen peroxide", "abs"},
    {"Wasserstoffperoxid 35 %", "abs"},
    {"vinegar", "abs"},
    {"Essig", "abs"},
    {"pH - neutral", ""},
    {"pH - controlled", ""},
    {"Kalisalpeter pH-neutral", "ab"},
};

START_TEST(a_name_of_two_salts_is_of_either)
{
    sw_shelf *shelf = read_text("product,formula\ndry acid,KHSO4\n"
                                "dry acid 2,NaHSO4\n");
    ck_assert_uint_eq(shelf->count, 2);
    sw_shelf_free(shelf);
}
END_TEST

START_TEST_EACH(a_name_of_acid_base_or_water_is_beside_what_it_says,
                sizeof sides / sizeof *sides)
{
    static const char *const beside[] = {"HNO3,0.6,1.37", "KOH,0.5,1.51",
                                         "KNO3,,"};
    for (int i = 0; i < 3; i++) {
        char text[200];
        sw_shelf *shelf = NULL;
        sw_error error = {0};
        (void)snprintf(text, sizeof text,
                       "product,formula,purity,density\n%s,%s\n",
                       sides[_i].name, beside[i]);
        FILE *stream = stream_of(text);
        sw_status status = sw_shelf_read(stream, "s.csv", &shelf, &error);
        fclose(stream);
        bool refused = strchr(sides[_i].refused_as, "abs"[i]) != NULL;
        ck_assert_msg((status != SW_OK) == refused, "%s, %s: %s",
                      sides[_i].name, beside[i], error.message);
        sw_shelf_free(shelf);
    }
}
END_TEST

START_TEST(limits_are_grams_per_litre_of_finished_solution)
{
    sw_shelf *s = read_text("product,min,max,fixed,unit\n"
                            "potassium nitrate,100,500,,mg/L\n"
                            "urea,,,0.7,g/L\n"
                            "boric acid,,1,,g/gal\n");
    expect_close(s->products[0].min_g_per_l, 0.1);
    expect_close(s->products[0].max_g_per_l, 0.5);
    ck_assert_double_nan(s->products[0].fixed_g_per_l);
    expect_close(s->products[1].fixed_g_per_l, 0.7);
    expect_close(s->products[2].max_g_per_l, 0.26417);
    sw_shelf_free(s);
}
END_TEST

START_TEST(a_fixed_rate_within_its_limits_is_accepted)
{
    sw_shelf *s = read_text("product,min,max,fixed\nurea,10,20,15\n");
    expect_close(s->products[0].fixed_g_per_l, 0.015);
    sw_shelf_free(s);
}
END_TEST

START_TEST(prices_become_prices_per_kilogram)
{
    sw_shelf *s = read_text("product;formula;purity;density;price;price_unit;"
                            "pack\n"
                            "nitre;KNO3;0,99;;38,00;EUR/pack;25kg\n"
                            "acid;HNO3;0,38;1,24;0,95;/L;20 L\n"
                            "urea;;;;2;/lb;\n");
    expect_close(s->products[0].price_per_kg, 1.52);
    expect_close(s->products[0].pack_g, 25000.0);
    expect_close(s->products[1].price_per_kg, 0.95 / 1.24);
    expect_close(s->products[1].pack_g, 24800.0);
    expect_close(s->products[2].price_per_kg, 4.40925);
    sw_shelf_free(s);
}
END_TEST

START_TEST(a_price_without_unit_is_left_out_with_a_note)
{
    sw_shelf *s = read_text("product,price\nurea,2\n");
    ck_assert_double_nan(s->products[0].price_per_kg);
    expect_note(s, "price-without-unit");
    sw_shelf_free(s);
}
END_TEST

START_TEST(tanks_are_letters_or_the_acid_tank)
{
    sw_shelf *s = read_text("product,tank\nurea,a\nboric acid,ACID\n");
    ck_assert_str_eq(s->products[0].tank, "A");
    ck_assert_str_eq(s->products[1].tank, "C");
    sw_shelf_free(s);
}
END_TEST

typedef struct doubt {
    const char *row;
    const char *code;
} doubt;

START_TEST_EACH(a_doubtful_composition_gets_a_note, 2)
{
    static const doubt cases[] = {
        {"ice,H2O,,\n", "carries-nothing"},
        {"weak,KNO3,0.98 %,\n", "improbable"},
    };
    char text[200];
    (void)snprintf(text, sizeof text, "product,formula,purity,label\n%s",
                   cases[_i].row);
    sw_shelf *s = read_text(text);
    expect_note(s, cases[_i].code);
    sw_shelf_free(s);
}
END_TEST

/* What its label leaves open is said where it is used. */
START_TEST(a_label_that_leaves_ions_out_is_no_matter_of_the_shelf)
{
    sw_shelf *s = read_text("product;label\nhalf;K2O 33\n"
                            "said;\"K2O 33; alkalinity 0\"\n");
    ck_assert_uint_eq(s->notes.count, 0);
    ck_assert_double_gt(s->products[0].open_base_meq_per_g, 7);
    ck_assert_double_eq(s->products[1].open_base_meq_per_g, 0);
    ck_assert_double_gt(s->products[1].per_g.amount[SW_UNDECLARED], 7);
    sw_shelf_free(s);
}
END_TEST

START_TEST(the_catalogue_is_a_shelf)
{
    sw_shelf *s = NULL;
    ck_assert_int_eq(sw_shelf_catalogue(&s, NULL), SW_OK);
    ck_assert_uint_eq(s->count, sw_catalogue_count());
    for (size_t i = 0; i < s->count; i++) {
        ck_assert_str_eq(s->products[i].name, s->products[i].catalogue_name);
        ck_assert_double_nan(s->products[i].max_g_per_l);
    }
    sw_shelf_free(s);
    sw_shelf_free(NULL);
}
END_TEST

/* meq/L of calcium, and of nitrate beside it: 5 % of the cations are spare. */
START_TEST(chloride_is_assumed_where_cations_want_it)
{
    static const struct {
        double ca, no3;
        bool chloride;
    } cases[] = {{20, 19.2, false},
                 {20, 18.8, true},
                 {0.5, 0.48, false},
                 {0.5, 0.47, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_target_row rows[] = {{.kind = SW_TARGET_COMPONENT,
                                 .component = SW_CA,
                                 .target = 20.039 * cases[i].ca},
                                {.kind = SW_TARGET_COMPONENT,
                                 .component = SW_NO3_N,
                                 .target = 14.007 * cases[i].no3}};
        const sw_target target = {.rows = rows, .count = 2};
        sw_shelf *shelf = NULL;
        bool chloride = false;
        ck_assert_int_eq(sw_shelf_common(&target, false, &shelf, NULL), SW_OK);
        for (size_t j = 0; j < shelf->count; j++)
            chloride |= shelf->products[j].per_g.amount[SW_CL] > 0;
        ck_assert_int_eq(chloride, cases[i].chloride);
        sw_shelf_free(shelf);
    }
}
END_TEST
