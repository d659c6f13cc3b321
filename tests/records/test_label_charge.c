/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acid, base or salt: what a label's product is taken for, and what is not. */
#include "suite.h"

#include <math.h>
#include <string.h>

#include "quantity/formula.h"
#include "records/label_charge.h"

static sw_product compose(const char *label, const char *name,
                          const char *formula)
{
    sw_product product = {0};
    sw_error error = {0};
    ck_assert_msg(sw_label_compose(label, &(sw_label_names){name, formula},
                                   &product, &error) == SW_OK,
                  "%s: %s", label, error.message);
    return product;
}

static double alkalinity(const sw_product *product)
{
    return product->per_g.amount[SW_ALKALINITY];
}

static bool is_open(const sw_product *product)
{
    return product->open_acid_meq_per_g > 0 || product->open_base_meq_per_g > 0;
}

/* Bags as they are printed, nameless; sources of the grades: the trade. */
START_TEST(a_rounded_label_is_a_neutral_salt)
{
    static const char *const labels[] = {
        "NO3-N 13; K2O 46",
        "NO3-N 14; K2O 46",
        "NO3-N 13.7; K2O 46.2",
        "NO3-N 14.4; NH4-N 1.1; Ca 19",
        "NO3-N 14.5; NH4-N 1; Ca 18.5",
        "NO3-N 11; MgO 16",
        "NO3-N 10.5; MgO 15",
        "NH4-N 12; P2O5 61",
        "P2O5 52; K2O 34",
        "NO3-N 17; NH4-N 17",
        "urea-N 16; NO3-N 8; NH4-N 8",
        "NO3-N 5; P2O5 11; K2O 26; SO3 15; MgO 5; Fe-EDTA 0.3",
    };
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        sw_product p = compose(labels[i], NULL, NULL);
        ck_assert_double_eq(alkalinity(&p), 0);
        ck_assert_double_eq(p.per_g.amount[SW_UNDECLARED], 0);
        ck_assert_msg(!is_open(&p), "%s", labels[i]);
    }
}
END_TEST

/* Guaranteed analyses of straights as bags print them: common labels, values
 * from memory.  Each within 3 % of its salt, neutral, nothing left open. */
START_TEST(printed_analyses_of_straights_are_their_salts)
{
    static const struct {
        const char *label, *formula;
    } rows[] = {
        {"Total Nitrogen (N) 15.5%\n14.5% Nitrate Nitrogen\n1.0% Ammoniacal "
         "Nitrogen\nCalcium (Ca) 19%\nDerived from: Ammonium calcium nitrate "
         "double salt",
         NULL},
        {"Total Nitrogen (N) 15.5%\n14.5% Nitrate Nitrogen\n1.0% Ammoniacal "
         "Nitrogen\nCalcium (Ca) 19%\nDerived from: Calcium ammonium nitrate",
         NULL},
        {"Total Nitrogen (N) 13.7%\n13.7% Nitrate Nitrogen\nSoluble Potash "
         "(K2O) 46%\nDerived from: Potassium Nitrate",
         "KNO3"},
        {"Total Nitrogen (N) 13%\nSoluble Potash (K2O) 45%\nDerived from: "
         "Potassium Nitrate",
         "KNO3"},
        {"Available Phosphate (P2O5) 52%\nSoluble Potash (K2O) 34%\nDerived "
         "from: Monopotassium Phosphate",
         "KH2PO4"},
        {"Total Nitrogen (N) 12%\n12% Ammoniacal Nitrogen\nAvailable Phosphate "
         "(P2O5) 61%\nDerived from: Monoammonium Phosphate",
         "NH4H2PO4"},
        {"Soluble Potash (K2O) 50%\nSulfur (S) 17%\n17% Combined Sulfur "
         "(S)\nDerived from: Sulfate of Potash",
         NULL},
        {"Magnesium (Mg) 9.8%\n9.8% Water Soluble Magnesium (Mg)\nSulfur (S) "
         "12.9%\nDerived from: Magnesium Sulfate",
         "MgSO4·7H2O"},
        {"Total Nitrogen (N) 46%\n46% Urea Nitrogen\nDerived from: Urea",
         "CO(NH2)2"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product made = compose(rows[i].label, "bag", NULL);
        sw_content salt = {0};
        ck_assert_str_eq(made.remarks.items[0].code, "label-derived");
        ck_assert_double_eq_tol(alkalinity(&made), 0, 1e-9);
        ck_assert_msg(!is_open(&made), "%s", rows[i].label);
        ck_assert(!rows[i].formula ||
                  sw_formula_content(rows[i].formula, 1, &salt, NULL, NULL) ==
                      SW_OK);
        for (int c = 0; rows[i].formula && c < SW_COMPONENT_COUNT; c++)
            ck_assert_msg(fabs(made.per_g.amount[c] - salt.amount[c]) <=
                              0.03 * salt.amount[c] + 6,
                          "%s: component %d is %g, not %g", rows[i].label, c,
                          made.per_g.amount[c], salt.amount[c]);
        sw_notes_free(&made.remarks);
    }
}
END_TEST

/* The list knows better: potassium as chloride, urea phosphate as acid, and a
 * list that cannot give the figures, or names what nobody knows, is said. */
START_TEST(a_list_of_salts_goes_before_what_digits_say)
{
    static const struct {
        const char *label, *code;
        double s, cl, low, high; /* mg/g; alkalinity, meq/g */
    } rows[] = {
        {"NH4-N 9.0; P2O5 20; K2O 20; derived from: monoammonium phosphate, "
         "potassium chloride, ammonium sulfate",
         "label-derived", 56, 150, -0.01, 0.01},
        {"urea-N 17; P2O5 44; derived from: urea phosphate", "label-derived", 0,
         0, -6.4, -5.9},
        {"NO3-N 13; K2O 20; derived from: potassium nitrate", "label-list", 0,
         0, -0.01, 0.01},
        {"NO3-N 13; K2O 46; derived from: wonder dust", "label-list", 0, 0,
         -0.01, 0.01},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product made = compose(rows[i].label, "bag", NULL);
        ck_assert_str_eq(made.remarks.items[0].code, rows[i].code);
        ck_assert_double_eq_tol(made.per_g.amount[SW_S], rows[i].s, 12);
        ck_assert_double_eq_tol(made.per_g.amount[SW_CL], rows[i].cl, 12);
        ck_assert_double_ge(alkalinity(&made), rows[i].low);
        ck_assert_double_le(alkalinity(&made), rows[i].high);
        sw_notes_free(&made.remarks);
    }
}
END_TEST

/* A list that is unknown or does not fit keeps its acid or base: H3PO4 is 31.6
 * % P and has 10.2 meq/g; by formula 54 % P2O5 are 7.61, 15 % NO3-N 10.7. */
START_TEST(an_acid_of_a_list_is_kept)
{
    static const struct {
        const char *label;
        double alkalinity;
    } rows[] = {
        {"P2O5 54; derived from: orthophosphoric acid", -7.61},
        {"P2O5 54; derived from: food grade phosphoric acid (H3PO4)", -7.61},
        {"P2O5 54; derived from: acide orthophosphorique pur", -7.61},
        {"P2O5 54; derived from: Phosphorsäure rein", -7.61},
        {"NO3-N 5; P2O5 20; Mg 1; derived from: nitric acid, phosphoric acid",
         -5.57},
        {"K2O 30; derived from: Kalilauge technisch", 6.37},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product made = compose(rows[i].label, "bag", NULL);
        ck_assert_double_eq_tol(alkalinity(&made), rows[i].alkalinity, 0.05);
        ck_assert(!is_open(&made));
        sw_notes_free(&made.remarks);
    }
}
END_TEST

/* Beside other salts it may be theirs; mild acids of traces are none. */
START_TEST(how_much_acid_a_list_leaves_is_asked)
{
    static const char *const asked[] = {
        "NO3-N 5; Mg 10; derived from: nitric acid, seaweed",
        "P2O5 20; K2O 5; derived from: phosphoric acid, wonder dust",
        "K2O 20; SO3 20; derived from: potassium hydroxide, wonder dust"};
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        sw_product made = {.name = NULL};
        sw_error error;
        ck_assert_int_eq(sw_label_compose(asked[i],
                                          &(sw_label_names){"bag", NULL}, &made,
                                          &error),
                         SW_ERR_MISSING);
        ck_assert_ptr_nonnull(strstr(error.message, "'alkalinity'"));
        sw_notes_free(&made.remarks);
    }
    sw_product mild = compose("NO3-N 13; K2O 46; B 0.1; derived from: wonder "
                              "dust, boric acid, humic acids",
                              "bag", NULL);
    ck_assert_double_eq(alkalinity(&mild), 0);
    sw_notes_free(&mild.remarks);
}
END_TEST

/* Nameless, by their digits alone: each has one salt of its own. */
START_TEST(digits_that_fit_one_salt_are_that_salt)
{
    static const struct {
        const char *label, *salt, *formula;
        double share;
    } rows[] = {
        {"P2O5 41; K2O 54", "dipotassium phosphate", "K2HPO4", 1},
        {"P2O5 33; K2O 66", "tripotassium phosphate", "K3PO4", 1},
        {"NH4-N 21; P2O5 53", "diammonium phosphate", "(NH4)2HPO4", 0.99},
        {"urea-N 17; P2O5 44", "urea phosphate", "CO(NH2)2·H3PO4", 0.97},
        {"K2O 34; SO3 58", "potassium bisulfate", "KHSO4", 1},
        {"NH4-N 6.8; Mo 54", "ammonium heptamolybdate tetrahydrate",
         "(NH4)6Mo7O24·4H2O", 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product p = compose(rows[i].label, "bag", NULL);
        sw_content salt;
        ck_assert_int_eq(
            sw_formula_content(rows[i].formula, 1, &salt, NULL, NULL), SW_OK);
        ck_assert_str_eq(p.taken_as, rows[i].salt);
        ck_assert_double_eq_tol(alkalinity(&p) / salt.amount[SW_ALKALINITY],
                                rows[i].share, 0.02);
        ck_assert(!is_open(&p));
        ck_assert_double_eq_tol(p.per_g.amount[SW_NA],
                                rows[i].share * salt.amount[SW_NA], 8);
    }
}
END_TEST

/* K2SO4 is 54.1 % K2O and 18.4 % S: at 50 %, 17.0. */
START_TEST(what_such_a_salt_does_not_print_is_booked)
{
    sw_product sop = compose("K2O 50", "bag", NULL);
    sw_product kcl = compose("K2O 60", "bag", NULL);
    sw_product epsom = compose("MgO 16", "bag", NULL);
    sw_product nitrate = compose("NO3-N 16; Na 26", "bag", NULL);
    ck_assert_double_eq_tol(sop.per_g.amount[SW_S], 170, 3);
    ck_assert_double_eq_tol(kcl.per_g.amount[SW_CL], 452, 5);
    ck_assert_double_eq_tol(epsom.per_g.amount[SW_S], 127, 3);
    ck_assert_double_eq_tol(nitrate.per_g.amount[SW_NA], 266, 10);
    ck_assert_str_eq(kcl.taken_as, "potassium chloride");
    ck_assert(!is_open(&sop) && !is_open(&kcl) && !is_open(&epsom));
    ck_assert_ptr_null(compose("NO3-N 13; K2O 46", "bag", NULL).taken_as);
}
END_TEST

/* Cations 4.77 meq/g (NH4 2.50, K 3.40, less P 1.13) without their anion: as
 * chloride; at most the phosphate as HPO4 (1.127, and 0.141 for its rounding),
 * for a stronger base would free ammonia; at worst all as bisulfate, with
 * 0.354 for the rounding of NH4 (0.071), P (0.070) and K (0.212). */
START_TEST(what_is_missing_is_undeclared_and_no_base)
{
    sw_product p =
        compose("NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16", "bag", NULL);
    ck_assert_double_eq(alkalinity(&p), 0);
    ck_assert_double_eq_tol(p.per_g.amount[SW_UNDECLARED], 4.769, 0.002);
    ck_assert_double_eq_tol(p.open_base_meq_per_g, 1.268, 0.002);
    ck_assert_double_eq_tol(p.open_acid_meq_per_g, 5.123, 0.002);
    ck_assert_double_eq(p.per_g.amount[SW_CL], 0);
    sw_product sulfate = compose("K2O 50; SO3 45", "bag", NULL);
    ck_assert_double_eq(alkalinity(&sulfate), 0);
    ck_assert_double_eq_tol(sulfate.per_g.amount[SW_UNDECLARED], -0.626, 0.002);
    ck_assert_double_eq_tol(sulfate.open_acid_meq_per_g, 0.626 + 0.356, 0.002);
    ck_assert_double_eq(sulfate.open_base_meq_per_g, 0);
}
END_TEST

/* The charges close, but for P 2.82 meq/g that may be urea phosphate with as
 * much of chloride; not where chloride and sulfate are printed. */
START_TEST(phosphate_beside_urea_may_be_urea_phosphate)
{
    sw_product p =
        compose("NO3-N 5.9; NH4-N 3.9; urea-N 10.2; P2O5 20; K2O 20", "", NULL);
    ck_assert_double_eq(alkalinity(&p), 0);
    ck_assert_double_eq(p.per_g.amount[SW_UNDECLARED], 0);
    ck_assert_double_eq_tol(p.open_acid_meq_per_g, 2.818, 0.002);
    ck_assert_double_eq(p.open_base_meq_per_g, 0);
    sw_product whole = compose("NO3-N 5.9; NH4-N 3.9; urea-N 10.2; P2O5 20; "
                               "K2O 20; Cl 0.1; SO3 0.2",
                               "", NULL);
    ck_assert(!is_open(&whole));
}
END_TEST

START_TEST(what_is_said_of_it_goes_before_its_digits)
{
    sw_product given = compose("K2O 50; SO3 45; alkalinity -0.6", "bag", NULL);
    ck_assert_double_eq(alkalinity(&given), -0.6);
    ck_assert(!is_open(&given));
    /* by name, though the digits fit no salt */
    sw_product named = compose("K2O 50; SO3 45", "sulfate of potash", NULL);
    ck_assert(!is_open(&named) && alkalinity(&named) == 0);
    sw_product nitrate = compose("NO3-N 15.5; Ca 19", "calcium nitrate", NULL);
    ck_assert(!is_open(&nitrate) && alkalinity(&nitrate) == 0);
    /* a name that contradicts its label settles nothing */
    ck_assert(is_open(&(sw_product[]){
        compose("NO3-N 15; K2O 10", "potassium nitrate", NULL)}[0]));
    /* by formula: dipotassium phosphate dissolved */
    sw_product liquid = compose("P2O5 20; K2O 26.5", "bag", "K2HPO4");
    ck_assert_double_eq_tol(alkalinity(&liquid), 2.82, 0.05);
    /* by bases printed: K 9.988, HCO3 9.988 */
    sw_product printed = compose("K 39.053; HCO3 60.946; Cl 0", "bag", NULL);
    ck_assert_double_eq_tol(alkalinity(&printed), 9.988, 0.001);
}
END_TEST

/* Of one name in the catalogue the salt that the digits fit. */
START_TEST(a_name_of_several_salts_is_settled_by_the_digits)
{
    static const struct {
        const char *label;
        double alkalinity;
    } rows[] = {{"P2O5 52; K2O 34", 0},
                {"P2O5 40; K2O 53", 5.65},
                {"P2O5 33; K2O 66", 9.4}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product p = compose(rows[i].label, "potassium phosphate", NULL);
        ck_assert_double_eq_tol(alkalinity(&p), rows[i].alkalinity, 0.15);
    }
}
END_TEST

START_TEST(a_label_that_names_an_acid_is_one)
{
    static const struct {
        const char *label, *name;
        double alkalinity;
    } rows[] = {
        {"P2O5 54.3", "phosphoric acid", -7.65},
        {"P2O5 54.3", "Phosphorsäure technisch", -7.65},
        {"P2O5 54.3", "fosforzuur van de handel", -7.65},
        {"NO3-N 13.3", "nitric acid", -9.5},
        {"NO3-N 13.3", "acide nitrique dilué", -9.5},
        {"SO3 76", "battery acid", -19.0},
        {"NO3-N 6; P2O5 20", "acid blend", -7.1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product p = compose(rows[i].label, rows[i].name, NULL);
        ck_assert_double_eq_tol(alkalinity(&p), rows[i].alkalinity, 0.05);
        ck_assert(!is_open(&p));
    }
    /* the food of plants that love acid is not one itself */
    sw_product food = compose("NH4-N 3; urea-N 27; P2O5 10; K2O 10",
                              "food for acid-loving plants", NULL);
    ck_assert_double_eq(alkalinity(&food), 0);
}
END_TEST

START_TEST(silicon_beside_potassium_alone_is_a_silicate)
{
    sw_product p = compose("K2O 8.3; SiO2 20.8", "bag", NULL);
    ck_assert_double_eq_tol(alkalinity(&p), 1.762, 0.002);
    sw_product mixed = compose("K2O 8; SiO2 20; NO3-N 1", "bag", NULL);
    ck_assert_double_eq(alkalinity(&mixed), 0);
    ck_assert(is_open(&mixed));
}
END_TEST

static void expect_asked(const char *label, const char *offer)
{
    sw_product product = {0};
    sw_error error = {0};
    ck_assert_int_eq(sw_label_compose(label, &(sw_label_names){"bag", NULL},
                                      &product, &error),
                     SW_ERR_MISSING);
    ck_assert_ptr_nonnull(strstr(error.message, "alkalinity 0"));
    ck_assert_ptr_nonnull(strstr(error.message, offer));
}

START_TEST(how_much_nitrogen_has_no_form_is_told)
{
    sw_product p = {.name = "bag", .purity = 1};
    ck_assert_int_eq(
        sw_label_compose("Total nitrogen 10 %; NO3-N 7.5 %; water soluble "
                         "nitrogen 2.5 %; K2O 25 %",
                         &(sw_label_names){"bag", NULL}, &p, NULL),
        SW_OK);
    const sw_note *told = sw_notes_find(&p.remarks, "label-unformed");
    ck_assert_ptr_nonnull(told);
    ck_assert_ptr_nonnull(strstr(told->text, "25 % of the N of bag"));
    sw_notes_free(&p.remarks);
}
END_TEST

START_TEST(anions_without_a_cation_are_asked_about)
{
    static const char *const labels[] = {"P2O5 30",
                                         "NO3-N 5; P2O5 10",
                                         "urea-N 5; P2O5 30",
                                         "SO3 30",
                                         "NO3-N 10",
                                         "SiO2 12",
                                         "Cl 10",
                                         "P2O5 54",
                                         "P2O5 54.3",
                                         "P2O5 52",
                                         "P2O5 40",
                                         "P2O5 54; density 1.58 kg/L",
                                         "NO3-N 15; density 1.4",
                                         "NO3-N 16",
                                         "SO3 76; density 1.83"};
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++)
        expect_asked(labels[i], "K2O");
    compose("P2O5 30; alkalinity -4.2", "bag", NULL);
    compose("P2O5 30", "bag", "H3PO4");
}
END_TEST

/* KOH of 45 % is 37.8 % K2O, aqua ammonia of 25 % 20.6 % NH4-N; potassium
 * chloride of the trade is 60 % K2O, and of 89 % it is sold by none. */
START_TEST(an_alkali_without_an_anion_is_asked_about)
{
    static const char *const labels[] = {
        "K2O 56", "K2O 37.8; density 1.45 kg/L", "K2O 60; density 1.5",
        "NH4-N 20.6; density 0.91", "Na2O 38; density 1.52"};
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++)
        expect_asked(labels[i], "KOH");
    ck_assert_str_eq(compose("K2O 60", "bag", NULL).taken_as,
                     "potassium chloride");
    ck_assert_double_eq_tol(compose("K2O 37.8; density 1.45", "bag", "KOH")
                                .per_g.amount[SW_ALKALINITY],
                            8.03, 0.1);
    compose("Mg 5; density 1.3", "bag", NULL);
}
END_TEST

/* Bicarbonate, carbonate, bisulfate; borax, metasilicate, molybdenum trioxide:
 * no acid or base is made of one figure, and each is said to be possible. */
START_TEST(one_figure_makes_no_acid_or_base)
{
    static const struct {
        const char *label;
        double acid, base; /* at least */
    } rows[] = {
        {"K2O 47", 9.9, 9.9}, {"K2O 68", 14.4, 14.4}, {"K2O 33", 7, 7},
        {"B 11", 0, 5},       {"SiO2 28", 0, 9.3},    {"Mo 66", 13.7, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product p = compose(rows[i].label, "bag", NULL);
        ck_assert_double_eq(alkalinity(&p), 0);
        ck_assert_ptr_null(p.taken_as);
        ck_assert_double_ge(p.open_acid_meq_per_g, rows[i].acid);
        ck_assert_double_ge(p.open_base_meq_per_g, rows[i].base);
    }
    sw_product named = compose("K2O 47", "potassium bicarbonate", NULL);
    ck_assert_double_eq_tol(alkalinity(&named), 9.98, 0.05);
}
END_TEST

/* Potassium sulfate of 89 % or a little more than pure bicarbonate. */
START_TEST(where_salts_differ_it_counts_as_neutral)
{
    sw_product p = compose("K2O 48", "bag", NULL);
    ck_assert_double_eq(alkalinity(&p), 0);
    ck_assert_double_gt(p.open_base_meq_per_g, 9.5);
    ck_assert_double_eq(p.per_g.amount[SW_S] + p.per_g.amount[SW_CARBON], 0);
    ck_assert_double_eq_tol(p.per_g.amount[SW_UNDECLARED], 10.19, 0.01);
}
END_TEST

/* What is built in by its label has the charge of what it is called. */
START_TEST(the_catalogues_own_labels_obey_the_same_rule)
{
    size_t seen = 0;
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p;
        ck_assert_int_eq(sw_catalogue_get(i, &p, NULL), SW_OK);
        bool silicate = p->per_g.amount[SW_SI] > 0;
        if (p->label && !silicate)
            ck_assert_msg(alkalinity(p) == 0 && !is_open(p), "%s", p->name);
        if (p->label && silicate)
            ck_assert_double_eq_tol(alkalinity(p), 1.762, 0.002);
        seen += p->label != NULL;
        sw_product_free(p);
    }
    ck_assert_uint_gt(seen, 10);
}
END_TEST

/* MgO 16 is Mg 9.65, sulfate of 12.7 % S; CaO 26.5 is Ca 18.94. */
START_TEST(charges_that_close_as_oxides_are_told)
{
    static const struct {
        const char *label, *name;
        bool told;
    } rows[] = {
        {"Mg 16; S 13", "epsom", true},
        {"MgO 16; S 13", "epsom", false},
        {"NO3-N 14.4; NH4-N 1.1; Ca 26.5", "calcium nitrate", true},
        {"NO3-N 14.4; NH4-N 1.1; Ca 19", "calcium nitrate", false},
        {"Ca 6; S 10", "calcium thiosulfate", false},
        {"Mg 4; S 10; density 1.22", "magnesium thiosulfate", false},
        {"K 20; P 13.2", "bag", false}, /* phosphite at pH 6 */
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_product product = compose(rows[i].label, rows[i].name, NULL);
        bool told = sw_notes_find(&product.remarks, "label-oxide") != NULL;
        ck_assert_msg(told == rows[i].told, "%s", rows[i].label);
        sw_notes_free(&product.remarks);
    }
}
END_TEST

/* Na2S2O3.5H2O has 18.5 % Na and 25.8 % S, NaHSO4 19.2 and 26.7: alike.
 * Of sulfates 8.17 meq/g of cations are missing, and 0.65 by rounding. */
START_TEST(a_thiosulfate_is_no_bisulfate)
{
    static const char *const names[] = {"sodium thiosulfate",
                                        "Natriumthiosulfat", "tiosulfato"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        sw_product p = compose("Na 18.5; S 26", names[i], NULL);
        ck_assert_ptr_null(p.taken_as);
        ck_assert_double_eq(alkalinity(&p), 0);
        ck_assert_double_eq_tol(p.open_acid_meq_per_g, 8.82, 0.01);
    }
    ck_assert_str_eq(compose("Na 18.5; S 26", "bag", NULL).taken_as,
                     "sodium bisulfate");
}
END_TEST
