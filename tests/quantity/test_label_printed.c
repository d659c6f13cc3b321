/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What bags print beside the figures: lists in lines, volumes, grades, names.
 */
#include "quantity/label.h"
#include "quantity/label_text.h"
#include "quantity/text.h"

#include <stdio.h>

#include "suite.h"
#include "table_label_words.h"

START_TEST(a_list_may_stand_in_lines_of_its_own)
{
    static const struct {
        const char *list, *derived;
    } rows[] = {
        {"Derived from:\n\xE2\x80\xA2 Potassium nitrate\n\xE2\x80\xA2 Boric "
         "acid\n"
         "Keep dry",
         "Potassium nitrate,Boric acid"},
        {"Derived from: - Potassium nitrate\n- Boric\n  acid\n\nKeep dry",
         "Potassium nitrate,Boric\n  acid"},
        {"Derived from\n\n1. Potassium nitrate\n\n2. Boric acid\nKeep dry.",
         "Potassium nitrate,Boric acid"},
        {"Ingredients:\n\xE2\x96\xAA Potassium nitrate\n\xE2\x96\xAA Nitric "
         "acid",
         "Potassium nitrate,Nitric acid"},
        {"Derived from:\nPotassium nitrate\nNitric acid\n\nKeep dry",
         "Potassium nitrate,Nitric acid"},
        {"Derived from:\nPotassium nitrate\nNitric acid\nDirections: mix",
         "Potassium nitrate,Nitric acid"},
        {"Derived from:\nPotassium nitrate\nA salt of four words more\nSold by "
         "the pound of sixteen ounces",
         "Potassium nitrate,A salt of four words more"},
        {"Derived from potassium\nnitrate, boric\nacid.\nKeep dry",
         "potassium\nnitrate, boric\nacid."},
        {"Derived from: Ammonium Nitrate, Potassium\nNitrate, Boric Acid.\n"
         "Sold by nobody",
         "Ammonium Nitrate, Potassium\nNitrate, Boric Acid."},
        {"Derived from: Potassium Nitrate, Boric Acid\nNobody, Lane 3",
         "Potassium Nitrate, Boric Acid"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        char text[300];
        (void)snprintf(text, sizeof text, "NO3-N 13 %%\nK2O 46 %%\n%s\n",
                       rows[i].list);
        ck_assert_int_eq(sw_label_read(text, NULL, 0, &label, NULL), SW_OK);
        ck_assert_str_eq(label.derived, rows[i].derived);
    }
}
END_TEST

START_TEST(what_is_by_volume_is_taken_to_mass_by_the_density)
{
    static const struct {
        const char *text;
        double given, no3_mg_per_g;
    } rows[] = {
        {"NO3-N 10 % w/v; density 1.25 kg/L", 0, 80},
        {"density 1.25 kg/L; NO3-N 10 % w/v", 1.9, 80},
        {"Nitrate nitrogen 100 g/L\nK2O 5 % w/w", 1.25, 80},
        {"10 % w/v nitrate nitrogen\n6 % K2O", 1.25, 80},
        {"Nitrate nitrogen (N) 8 % w/w\nK2O 60 g/L", 1.25, 80},
        {"NO3-N 100000 mg/L", 1.25, 80},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        sw_error error;
        ck_assert_msg(sw_label_read(rows[i].text, NULL, rows[i].given, &label,
                                    &error) == SW_OK,
                      "%s: %s", rows[i].text, error.message);
        ck_assert_double_eq_tol(label.per_g.amount[SW_NO3_N],
                                rows[i].no3_mg_per_g, 1e-12);
    }
}
END_TEST

/* Whole percent, cut or rounded; P and K as oxides or as elements. */
START_TEST(a_grade_that_fits_the_figures_is_no_figure)
{
    static const char *const fits[] = {
        "20-20-20; NO3-N 6; NH4-N 4; urea-N 10; P2O5 20; K2O 20",
        "Leaf 20-8.7-16.6\nurea-N 20\nP2O5 20\nK2O 20\nLot 12-34-56-78",
        "Leaf 15.5-0-0 + 19 Ca\nNO3-N 14.4\nNH4-N 1.1\nCa 19",
        "13-0-46\nNO3-N 13.7 %\nK2O 46.3 %",
        "Call 1-800-555-0100\nNO3-N 13.7 %\nK2O 46.3 %",
        "Packed 12-05-2026\nNO3-N 13.7 %\nK2O 46.3 %",
        "CAS 7757-79-1\nNO3-N 13.7 %\nK2O 46.3 %",
    };
    for (size_t i = 0; i < sizeof fits / sizeof *fits; i++) {
        sw_label label;
        sw_error error;
        ck_assert_msg(sw_label_read(fits[i], NULL, 0, &label, &error) == SW_OK,
                      "%s: %s", fits[i], error.message);
    }
}
END_TEST

/* Parts of a hundred, each with a decimal point or comma. */
START_TEST(a_grade_is_three_figures_of_a_hundred_at_most)
{
    static const struct {
        const char *text;
        bool is_grade;
        double grade[3];
    } rows[] = {
        {"15.5-0-0", true, {15.5, 0, 0}},
        {"Leaf 15,5-0-26,5", true, {15.5, 0, 26.5}},
        {"20-30-50", true, {20, 30, 50}},
        {"20-30-50.5", false, {0}},
        {"20-30-50,5", false, {0}},
        {"0-0-100", true, {0, 0, 100}},
        {"0-0-101", false, {0}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double grade[3];
        bool found = sw_label_grade(rows[i].text, strlen(rows[i].text), grade);
        ck_assert_msg(found == rows[i].is_grade, "%s", rows[i].text);
        for (int k = 0; found && k < 3; k++)
            ck_assert_double_eq(grade[k], rows[i].grade[k]);
    }
}
END_TEST

/* A trap: "P 12" copied for P2O5 12 beside a grade in oxides (invented). */
START_TEST(a_grade_has_p_and_k_both_as_oxides_or_both_as_elements)
{
    static const struct {
        const char *text, *refusal;
    } rows[] = {
        {"8-12-34\nNO3-N 8\nP 12\nK2O 34", "P2O5 27.5 (P 12)"},
        {"8-12-34\nNO3-N 8\nP2O5 12\nK 34", "K2O 40.96 (K 34)"},
        {"8-12-34\nNO3-N 8\nP 5.2\nK2O 34", NULL},
        {"8-12-34\nNO3-N 8\nP 12\nK 34", NULL},
        {"13-0-38\nNO3-N 13\nK 38", NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        sw_error error = {0};
        sw_status status = sw_label_read(rows[i].text, NULL, 0, &label, &error);
        ck_assert_int_eq(status, rows[i].refusal ? SW_ERR_VALUE : SW_OK);
        ck_assert_msg(!rows[i].refusal ||
                          strstr(error.message, rows[i].refusal),
                      "%s: %s", rows[i].text, error.message);
    }
}
END_TEST

/* What the bag is called tells it too, where its label and list do not. */
START_TEST(the_chelator_is_read_from_the_name_of_the_product)
{
    static const struct {
        const char *name, *text;
        sw_chelator chelator;
        bool open;
        double held;
        const char *untabled; /* a chelator whose limits are not known */
    } rows[] = {
        {"iron chelate DTPA", "Fe 6", SW_DTPA, 0, 60, ""},
        {"Fe-EDDHA 6 %", "Fe 6; Na 5", SW_EDDHA, 0, 60, ""},
        {"iron chelate (DTPA)", "chelated Fe 6", SW_DTPA, 0, 60, ""},
        {"trace mix EDTA", "Fe 4; Mn 2", SW_EDTA, 0, 40, ""},
        {"chelated iron", "Fe 6", SW_EDTA, 1, 60, ""},
        {"iron sulfate, EDTA-free", "Fe 20", SW_CHELATOR_NONE, 0, 0, ""},
        {"iron DTPA", "Fe 6; derived from: iron sulfate", SW_CHELATOR_NONE, 0,
         0, ""},
        {"iron DTPA", "Fe-EDDHA 6", SW_EDDHA, 0, 60, ""},
        {"iron", "Fe 6", SW_CHELATOR_NONE, 0, 0, ""},
        {"bag", "Iron (Fe) 0.4% (chelated)", SW_EDTA, 1, 4, ""},
        {"bag", "Iron (Fe) 0.4 % as DTPA", SW_DTPA, 0, 4, ""},
        {"bag", "Iron (Fe) 0.4 % (EDDHA chelated)", SW_EDDHA, 0, 4, ""},
        {"bag", "Iron (Fe): 0.4% water soluble", SW_CHELATOR_NONE, 0, 0, ""},
        {"iron HBED", "Fe 6", SW_EDTA, 1, 60, "HBED"},
        {"Fe-HBED 6 %", "Fe 6", SW_EDTA, 1, 60, "HBED"},
        {"NaFeEDDHSA", "Fe 6", SW_EDTA, 1, 60, "EDDHSA"},
        {"bag", "Fe-HBED 6", SW_EDTA, 1, 60, "HBED"},
        {"bag", "Iron (IDHA) 6 %; Mn 1", SW_EDTA, 1, 60, "IDHA"},
        {"iron (not HBED)", "Fe 6", SW_CHELATOR_NONE, 0, 0, ""},
        {"iron XHBED", "Fe 6", SW_CHELATOR_NONE, 0, 0, ""}, /* none we know */
        {"iron (not EDTA)", "Fe 6", SW_CHELATOR_NONE, 0, 0, ""},
        {"iron without EDTA or DTPA", "Fe 6", SW_CHELATOR_NONE, 0, 0, ""},
        {"iron, not chelated", "Fe 6", SW_CHELATOR_NONE, 0, 0, ""},
        {"iron No. 1 EDTA", "Fe 6", SW_EDTA, 0, 60, ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        ck_assert_int_eq(
            sw_label_read(rows[i].text, rows[i].name, 0, &label, NULL), SW_OK);
        ck_assert_msg(label.chelator == rows[i].chelator, "%s: %d",
                      rows[i].name, label.chelator);
        ck_assert_msg(label.chelator_open == rows[i].open, "%s", rows[i].name);
        ck_assert_double_eq(label.per_g.amount[SW_CHELATED_FE], rows[i].held);
        ck_assert_str_eq(label.untabled, rows[i].untabled);
    }
}
END_TEST

/* A figure without decimals leaves ten times the room of one with one decimal:
 * 1 % of carbonate is 0.333 meq/g, half of it up, all of it where it was cut.
 */
START_TEST(how_far_a_base_is_known_follows_from_its_digits)
{
    sw_label whole, tenths;
    const double meq_per_g = 10 * 2 / 60.009;
    ck_assert_int_eq(sw_label_read("K 30; CO3 23", NULL, 0, &whole, NULL),
                     SW_OK);
    ck_assert_int_eq(sw_label_read("K 30; CO3 23.0", NULL, 0, &tenths, NULL),
                     SW_OK);
    ck_assert_double_eq(whole.gap_meq_per_g, tenths.gap_meq_per_g);
    ck_assert_double_eq_tol(whole.gap_below_meq_per_g -
                                tenths.gap_below_meq_per_g,
                            0.9 * meq_per_g, 1e-4);
    ck_assert_double_eq_tol(whole.gap_above_meq_per_g -
                                tenths.gap_above_meq_per_g,
                            0.45 * meq_per_g, 1e-4);
}
END_TEST

static void read_around(const char *format, const char *word, sw_label *label)
{
    sw_error error;
    char text[200];
    (void)snprintf(text, sizeof text, format, word);
    ck_assert_msg(sw_label_read(text, NULL, 0, label, &error) == SW_OK,
                  "%s: %s", text, error.message);
}

static void expect_the_same(const sw_label *with, const sw_label *without,
                            const char *format, const char *word)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_msg(with->per_g.amount[i] == without->per_g.amount[i],
                      "%s: %s, %d", format, word, i);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        ck_assert_msg(with->printed[i] == without->printed[i] &&
                          with->below_mg_per_g[i] ==
                              without->below_mg_per_g[i] &&
                          with->above_mg_per_g[i] == without->above_mg_per_g[i],
                      "%s: %s, %d", format, word, i);
    ck_assert_msg(with->chelators_mg_per_g == without->chelators_mg_per_g &&
                      with->gap_meq_per_g == without->gap_meq_per_g &&
                      with->chelator == without->chelator && !*with->lost,
                  "%s: %s", format, word);
}

/* Wherever it stands, a figure is of the whole. */
START_TEST(words_that_change_nothing_change_no_figure)
{
    static const char *const rows[] = {
        "Mg %s 9.8; S 13",
        "%s Mg 9.8; S 13",
        "Mg (%s) 9.8; S 13",
        "Mg, %s 9.8 %%\nS 13 %%",
        "9.8 %% Mg %s\n13 %% S",
        "NO3-N 13; K %s 38",
        "NO3-N %s 13; K 38",
        "K2O %s 30; Cl 22",
        "Zn 22; SO3 %s 27",
        "N %s 13; NO3-N 13; K 38",
        "P2O5 50; K2O 30; Fe %s 0.1; B 0.02; Mn 0.05",
        "P2O5 50; K2O 30; Fe 0.1; B %s 0.02; Mn 0.05",
        "Fe-EDTA 6; Mn %s 2; B 0.5",
        "MgO 16 %% (9.6 %% Mg %s); S 13",
    };
    size_t seen = 0;
    for (size_t i = 0; i < sw_label_words_count; i++) {
        const char *list = sw_label_words_table[i].words;
        char word[SW_KEY_SIZE];
        while (sw_label_words_table[i].role == SW_LABEL_BESIDE &&
               sw_text_next_words(&list, word))
            for (size_t k = 0; k < sizeof rows / sizeof *rows; k++, seen++) {
                sw_label with, without;
                read_around(rows[k], word, &with);
                read_around(rows[k], "", &without);
                expect_the_same(&with, &without, rows[k], word);
            }
    }
    ck_assert_uint_gt(seen, 200);
}
END_TEST

/* Elemental sulfur dissolves in nothing, whatever the order of its words. */
START_TEST(elemental_sulfur_is_lost)
{
    static const char *const rows[] = {
        "elemental sulfur (S)", "Elemental S", "S (elemental)",
        "sulphur, elemental",   "S elemental", "Sulfur (S), elemental",
        "elemental Sulphur",    "free S",      "Free Sulphur (S)",
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        read_around("%s 13; Mg 9.8", rows[i], &label);
        ck_assert_msg(label.per_g.amount[SW_S] == 0 && !label.printed[SW_S] &&
                          *label.lost,
                      "%s", rows[i]);
    }
}
END_TEST
