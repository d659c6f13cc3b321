/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a gram cannot hold is refused; what it can hold is taken. */
#include "suite.h"

#include "quantity/components.h"
#include "quantity/label.h"
#include "quantity/text.h"
#include "records/catalogue.h"

#include <string.h>

static sw_status read(const char *text, sw_label *label, sw_error *error)
{
    *error = (sw_error){.line = 0};
    return sw_label_read(text, NULL, 0, label, error);
}

/* Shares of oxides, ammonia and urea by atomic weights: P2O5 is 2.2914 times
 * P, N2O5 3.8556 times NO3-N, urea 2.1440 times its N, B2O3 3.2199 times B. */
START_TEST(what_no_substance_holds_is_refused_with_the_oxides_that_fit)
{
    static const struct {
        const char *text, *part, *meant;
        unsigned long column;
    } rows[] = {
        {"P 52; K 34", "P2O5 118 %, K2O 40.4 %: 158.4 %",
         "such as P2O5 52; K2O 34 where oxides are meant", 1},
        {"NO3-N 13; K 46", "N2O5 48.2 %, K2O 54.8 %: 103.0 %",
         "such as K2O 46 where oxides are meant", 11},
        {"K 60; Cl 47", "K2O 71.7 %, Cl 36 %", "such as K2O 60 where", 1},
        {"K 50; S 45", "K2O 59.6 %, S 44.5 %", "K2O 50; SO3 45 where", 1},
        {"NO3-N 5.6; NH4-N 3.9; urea-N 10.5; P 20; K 20", "urea 22.4 %",
         "such as P2O5 20; K2O 20 where", 36},
        {"NO3-N 10; P 20; K 30; Mg 3", "P2O5 44.7 %, K2O 35.5 %",
         "such as P2O5 20; K2O 30 where", 11},
        {"urea-N 60", "urea 128 %: 127.6 %", "at most 100 %", 1},
        {"Cu 95", "Cu2O 106 %", "at most 100 %", 1},
        {"B 40", "B2O3 127 %", "at most 100 %", 1},
        {"Fe-EDTA 30", "the chelator 138 %", "at most 100 %", 1},
        {"NO3-N 20; Ca 30", "N2O5 75.2 %, CaO 41.3 %", "at most 100 %", 1},
        {"NO3-N 25; alkalinity -17.8", "water of the acid 15.8 %",
         "at most 100 %", 1},
        {"NO3-N 18.6; NH4-N 18.6", "NH3 22.6 %, water of the acid", "", 1},
        {"K2O 60; P2O5 52", "P2O5 51.5 %, K2O 59.5 %", "at most 100 %", 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        sw_error error;
        ck_assert_msg(read(rows[i].text, &label, &error) == SW_ERR_VALUE, "%s",
                      rows[i].text);
        ck_assert_msg(strstr(error.message, rows[i].part) &&
                          strstr(error.message, rows[i].meant),
                      "%s: %s", rows[i].text, error.message);
        ck_assert_msg(error.column == rows[i].column, "%s: column %lu",
                      rows[i].text, error.column);
    }
}
END_TEST

/* Each as pure as it can be, its figures rounded up. */
START_TEST(the_purest_products_are_taken)
{
    static const char *const rows[] = {
        "urea-N 46.7",
        "NH4-N 82.3",
        "NH4-N 17.5; NO3-N 17.5",
        "S 100",
        "MgO 100",
        "CaO 100",
        "K2O 63.2; Cl 47.6",
        "NO3-N 13.9; K2O 46.6",
        "P2O5 52.2; K2O 34.6",
        "P2O5 60; K2O 40",
        "P2O5 85",
        "P 31.7",
        "K2O 84",
        "NH4-N 12.2; P2O5 61.8",
        "NH4-N 21.3; P2O5 53.8",
        "NH4-N 14.5; P2O5 73.2",
        "P2O5 59; K2O 39",
        "P2O5 44; urea-N 17.8",
        "NO3-N 17.1; Ca 24.5",
        "NO3-N 18.9; Mg 16.4",
        "K2O 68.2; CO3 43.5",
        "K2O 54.1; S 18.4",
        "MgO 33.5; SO3 66.5",
        "Mg 20.2; S 26.7",
        "NO3-N 22.3; alkalinity -15.9",
        "SiO2 100",
        "B2O3 100",
        "Mo 66.7",
        "Zn 80.4",
        "Cu 79.9",
        "Cu 88.8", /* Cu2O */
        "Mn 77.5",
        "Fe 77.8",
        "Fe-EDTA 15.3",
        "Fe-DTPA 12",
        "Fe-EDDHA 13",
        "Cu-EDTA 16",
        "Zn-EDTA 16.4",
        "Mn-EDTA 14.3",
        "Fe-EDTA 7; Mn-EDTA 3.3; Zn 0.6; B 0.7; Mo 0.2",
        "S 98; Zn 2",
        "NH4-N 24; S 34; Cl 1",
        "N 40; soluble N 40",
        "Cl 74; Mg 26",
        "F 43; Na 54",
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        sw_error error;
        ck_assert_msg(read(rows[i], &label, &error) == SW_OK, "%s: %s", rows[i],
                      error.message);
    }
}
END_TEST

/* As its label would print it, by elements or by oxides. */
static void print_label(const sw_content *per_g, bool oxides, char *text,
                        size_t size)
{
    text[0] = '\0';
    for (int i = 0; i < SW_N; i++) {
        sw_component c = (sw_component)i;
        double times;
        const char *oxide = sw_component_oxide(c, &times);
        bool as_oxide = oxides && *oxide && !sw_component_is(c, SW_IS_FORM) &&
                        !sw_component_is(c, SW_IS_TRACE);
        double percent = per_g->amount[c] / 10 * (as_oxide ? times : 1);
        if (percent >= 1)
            sw_text_join(text, size, "; ", "%s %.1f",
                         as_oxide ? oxide : sw_component_name(c), percent);
    }
}

START_TEST(every_product_of_the_catalogue_fits_into_a_gram)
{
    size_t read_count = 0;
    for (size_t i = 0; i < 2 * sw_catalogue_count(); i++) {
        sw_content per_g;
        sw_chelator chelator;
        sw_label label;
        sw_error error;
        char text[200], meant[SW_LABEL_REREAD_BYTES];
        ck_assert_int_eq(sw_catalogue_content(i / 2, &per_g, &chelator, NULL),
                         SW_OK);
        print_label(&per_g, i % 2, text, sizeof text);
        if (!*text)
            continue;
        ck_assert_msg(read(text, &label, &error) == SW_OK, "%s: %s", text,
                      error.message);
        ck_assert_msg(!sw_label_reread(&label, meant), "%s: %s", text, meant);
        read_count++;
    }
    ck_assert_uint_gt(read_count, sw_catalogue_count());
}
END_TEST

START_TEST(a_label_whose_charges_close_as_oxides_is_read_again)
{
    static const struct {
        const char *text, *meant;
    } rows[] = {
        {"NO3-N 14.4; NH4-N 1.1; Ca 26.5", "CaO 26.5"},
        {"Mg 16; S 13", "MgO 16"},
        {"K 50; S 18", "K2O 50"},
        {"P2O5 52; K 34", "K2O 34"},
        {"NO3-N 14.4; NH4-N 1.1; CaO 26.5", NULL}, /* closes */
        {"NO3-N 14.4; NH4-N 1.1; Ca 19", NULL},
        {"Mg 9.8; S 13", NULL},
        {"Ca 26.5; NO3-N 15.5", NULL}, /* does not as oxide either */
        {"Mg 16; S 13; Fe 1", NULL},   /* no single salt */
        {"Mg 16; S 13; SiO2 1", NULL},
        {"Mg 16; NO3-N 6; NH4-N 1; S 7", NULL},
        /* thiosulfates, of one charge for each sulfur */
        {"Ca 6; S 10", NULL},
        {"CaO 8.4; S 10", NULL},
        {"Mg 4; S 10", NULL},
        {"K 21; S 17", NULL},
        {"K2O 25; S 17", NULL},
        {"NH4-N 12; S 26", NULL},
        {"Na 18.5; S 26", NULL},
        {"K 20; S 23", NULL}, /* polysulfides */
        {"Ca 6; S 24", NULL},
        {"Ca 15; S 30", NULL}, /* sulfate and sulfur */
        {"Mg 10; S 20", NULL},
        {"Mg 16; S 32", NULL},
        {"Ca 5; P 12", NULL}, /* phosphites: acid, of one charge, of two */
        {"K 32; P 25", NULL},
        {"K 20; P 13.2", NULL},
        {"K 44; P 17", NULL},
        {"K 20; P 30", NULL}, /* a phosphate with its acid */
        {"K 33; P 22", NULL}, /* of two charges in part */
        {"Ca 20; P 21", NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_label label;
        sw_error error;
        char meant[SW_LABEL_REREAD_BYTES];
        ck_assert_msg(read(rows[i].text, &label, &error) == SW_OK, "%s: %s",
                      rows[i].text, error.message);
        bool reread = sw_label_reread(&label, meant);
        ck_assert_msg(reread == (rows[i].meant != NULL) &&
                          !strcmp(meant, reread ? rows[i].meant : ""),
                      "%s: %s", rows[i].text, meant);
    }
}
END_TEST
