/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What labels leave out, as the result says it. */
#include "feed.h"

#include "records/label_charge.h"

static sw_product *add_label(bench *b, const char *name, const char *label,
                             double g_per_l)
{
    sw_product *p = add(b, "KNO3", 1000 * g_per_l);
    p->name = (char *)name;
    p->label = (char *)label;
    ck_assert_int_eq(
        sw_label_compose(label, &(sw_label_names){name, NULL}, p, NULL), SW_OK);
    return p;
}

/* The same bag by formula, by its neutral charge, and by its label alone. */
START_TEST(both_ends_of_an_open_ph_are_told)
{
    bench b;
    set_up(&b);
    b.water.amount[SW_ALKALINITY] = 0.5;
    b.water.amount[SW_CARBON] = 0.7;
    sw_product *p =
        add_label(&b, "bag", "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16", 0.63);
    sw_assessment *open = assess(&b);
    const sw_undeclared *u = &open->undeclared;
    ck_assert_double_lt(u->ph_low, open->mixed.ph - 1);
    ck_assert_double_gt(u->ph_high, open->mixed.ph + 0.2);
    ck_assert_ptr_nonnull(strstr(u->text, "bag"));
    ck_assert_ptr_nonnull(strstr(u->text, "not known"));
    /* each end is the pH with so much acid, or base, in the bag */
    double acid = p->open_acid_meq_per_g;
    double base = p->open_base_meq_per_g;
    p->open_acid_meq_per_g = p->open_base_meq_per_g = 0;
    p->per_g.amount[SW_ALKALINITY] = -acid;
    sw_assessment *low = assess(&b);
    p->per_g.amount[SW_ALKALINITY] = base;
    sw_assessment *high = assess(&b);
    ck_assert_double_eq_tol(low->mixed.ph, u->ph_low, 1e-6);
    ck_assert_double_eq_tol(high->mixed.ph, u->ph_high, 1e-6);
    ck_assert(isnan(low->undeclared.ph_low));
    sw_assessment_free(open);
    sw_assessment_free(low);
    sw_assessment_free(high);
}
END_TEST

/* 0.4 meq/L of nitric acid at the most, of which none is surely needed. */
START_TEST(what_acid_that_is_not_sized_would_move_is_open)
{
    bench b;
    set_up(&b);
    b.water.amount[SW_ALKALINITY] = 0.5;
    b.water.amount[SW_CARBON] = 0.7;
    add_label(&b, "bag", "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16", 0.63);
    add(&b, "HNO3", 0)->density_g_per_ml = NAN;
    double most[] = {0, 0.4 * 63.01 / 1000};
    b.recipe.most_g_per_l = most;
    sw_target_row *nitrate = aim(&b, SW_TARGET_COMPONENT, 5);
    nitrate->component = SW_NO3_N; /* 0, or 5.6 with the acid */
    nitrate->max = 6;
    aim_at(&b, SW_P, 22);
    aim(&b, SW_TARGET_PH, 5.8);
    sw_assessment *a = assess(&b);
    ck_assert_int_eq(a->rows[SW_NO3_N].verdict, SW_OPEN);
    ck_assert_int_eq(a->rows[SW_P].verdict, SW_MET);
    ck_assert_int_eq(a->measures[0].verdict, SW_OPEN);
    ck_assert(!a->all_met);
    ck_assert_double_eq(a->undeclared.until_ph_low, 5.8);
    ck_assert_double_lt(a->undeclared.ec_low_ms_per_cm,
                        a->undeclared.ec_high_ms_per_cm);
    ck_assert_ptr_nonnull(strstr(a->undeclared.text,
                                 "HNO3 is not sized: in portions to a pH of "
                                 "5.8, measuring after each: no more than "
                                 "25.2 g per 1000 L in all."));
    sw_assessment_free(a);
}
END_TEST

/* Much alkalinity, so that what the label hides moves the pH by little; the
 * acid's sulfate is over without the rest of it and more so with it. */
START_TEST(acid_that_is_not_sized_leaves_the_ph_open_however_little_it_moves)
{
    bench b;
    set_up(&b);
    b.water.amount[SW_ALKALINITY] = 6;
    b.water.amount[SW_CARBON] = 6.7;
    add_label(&b, "bag", "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16", 0.1);
    add(&b, "H2SO4", 196)->density_g_per_ml = NAN; /* 64 mg/L of S */
    double most[] = {0, 0.235};
    b.recipe.most_g_per_l = most;
    aim_at(&b, SW_S, 50);
    aim(&b, SW_TARGET_PH, 5.8);
    sw_assessment *a = assess(&b);
    const sw_undeclared *u = &a->undeclared;
    ck_assert_double_le(u->ph_low, 5.8);
    ck_assert_double_ge(u->ph_high, 5.8);
    ck_assert_ptr_nonnull(strstr(u->text, "once it is poured as told"));
    ck_assert_int_eq(a->rows[SW_S].verdict, SW_OVER);
    ck_assert_str_eq(
        a->rows[SW_S].reason,
        "up to 12.7 mg/L more with acid or base that is not sized");
    sw_assessment_free(a);
}
END_TEST

/* Poured to 5.8, the solution never stands at the pH without acid, where
 * calcium phosphate would come out; in the air it hangs on what labels hide. */
START_TEST(what_may_cloud_is_told_at_the_ph_that_is_poured_to)
{
    bench b;
    set_up(&b);
    b.water.amount[SW_ALKALINITY] = 6;
    b.water.amount[SW_CARBON] = 6.7;
    b.water.amount[SW_CA] = 100;
    b.water.amount[SW_P] = 40;
    add_label(&b, "bag", "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16", 0.1);
    add(&b, "HNO3", 0)->density_g_per_ml = NAN;
    sw_assessment *bare = assess(&b);
    ck_assert_ptr_nonnull(sw_notes_find(&bare->notes, "calcium-phosphate"));
    double most[] = {0, 0.35};
    b.recipe.most_g_per_l = most;
    sw_target_row *row = aim(&b, SW_TARGET_PH, 5.8);
    sw_assessment *a = assess(&b);
    ck_assert_ptr_null(sw_notes_find(&a->notes, "calcium-phosphate"));
    ck_assert_double_eq_tol(a->mixed.ph, 5.8, 0.02);
    ck_assert_double_eq(a->measures[0].finished, a->mixed.ph);
    ck_assert_double_nan(a->mixed.alkalinity_meq_per_l);
    ck_assert_double_nan(a->aired.ph);
    row->aired = true;
    row->target = 7.4;
    sw_assessment *aired = assess(&b);
    ck_assert_double_eq_tol(aired->aired.ph, 7.4, 0.02);
    ck_assert_double_eq(aired->measures[0].finished, aired->aired.ph);
    /* in the air at 7.4, so below as mixed, and far above all of the acid */
    most[1] = 0.6;
    sw_assessment *enough = assess(&b);
    ck_assert_double_lt(enough->undeclared.ph_high, 7.4);
    ck_assert_double_eq_tol(enough->undeclared.ph_high, enough->mixed.ph, 0.02);
    ck_assert_double_eq_tol(enough->undeclared.ph_low, enough->mixed.ph, 0.1);
    most[1] = 0.1; /* too little of it to get there */
    sw_assessment *little = assess(&b);
    ck_assert_double_gt(little->undeclared.ph_high,
                        enough->undeclared.ph_high + 0.2);
    sw_assessment_free(enough);
    sw_assessment_free(little);
    sw_assessment_free(bare);
    sw_assessment_free(a);
    sw_assessment_free(aired);
}
END_TEST

/* Portions go on to the target, else to the accepted range, else to the usual
 * one; and beyond what is surely needed, if that is known. */
START_TEST(what_is_not_sized_is_poured_up_to_a_ph)
{
    static const struct {
        double surely, most; /* mg/L */
        double target, min, max;
        bool aired, none; /* no pH at all */
        const char *says;
    } rows[] = {
        {0, 25, NAN, 5.4, 6.2, false, false, "to a pH of 5.4 to 6.2, "},
        {0, 25, NAN, NAN, 6.2, false, false, "to a pH of 5.5 to 6.2, "},
        {0, 25, NAN, 5.4, NAN, true, false,
         "to a pH of 5.4 to 6.5 after standing open to the air, "},
        {0, 25, NAN, NAN, NAN, false, true, "to a pH of 5.5 to 6.5, "},
        {10, 25, 5.8, NAN, NAN, false, false,
         "no more than 25.0 g per 1000 L in all, the 10.0 g per 1000 L surely "
         "needed included"},
        {25, 25, 5.8, NAN, NAN, false, false,
         "25.0 g per 1000 L surely needed more may be, to a pH of 5.8: "},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bench b;
        char text[300];
        double most = rows[i].most / 1000;
        set_up(&b);
        add(&b, "HNO3", rows[i].surely)->density_g_per_ml = NAN;
        b.recipe.most_g_per_l = &most;
        if (!rows[i].none) {
            sw_target_row *row = aim(&b, SW_TARGET_PH, rows[i].target);
            row->min = rows[i].min;
            row->max = rows[i].max;
            row->aired = rows[i].aired;
        }
        sw_mix mix = mix_of(&b);
        ck_assert(sw_unsized_text(&mix, 0, text, sizeof text));
        ck_assert_msg(strstr(text, rows[i].says), "%s\nhas not: %s", text,
                      rows[i].says);
        most = 0;
        ck_assert(!sw_unsized_text(&mix, 0, text, sizeof text));
    }
}
END_TEST

/* Nobody pours into 1000 L what stands in a bucket, nor to a pH that a tank of
 * concentrate never has. */
START_TEST(what_is_not_sized_is_told_for_what_it_is_poured_into)
{
    static const struct {
        sw_pouring into;
        bool base;
        const char *says;
    } rows[] = {
        {{20, NULL, 0, 0}, false, "0.5 g in all for 20 L, the 0.2 g surely"},
        {{20, NULL, 3, 0}, false, "0.5 g in all, the 0.2 g of step 3 incl"},
        {{2000, "A", 0, 0},
         false,
         "while it is above 5.8, stir more into tank A "
         "where there is room for it, 7.5 g at a time, "},
        {{2000, "A", 0, 0},
         false,
         "no more than 30 g more in a full tank, which "
         "holds 20 g already: 50 g in all"},
        {{2000, "A", 0, 12}, /* of 20 g, the rest in another tank */
         false,
         "no more than 30 g more in a full tank, which "
         "holds 12 g already: 42 g in all"},
        {{2000, "C", 0, 0},
         true,
         "while it is below 5.8, stir more into tank C"},
        {{0, "", 0, 0},
         false,
         "by an injector of its own, to a pH of 5.8 in the "
         "feed behind the injectors, never in a tank: no "
         "more than 25.0 g per 1000 L of feed"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bench b;
        char text[SW_UNSIZED_BYTES];
        double most = 0.025;
        set_up(&b);
        add(&b, rows[i].base ? "KOH" : "HNO3", 10)->density_g_per_ml = NAN;
        b.recipe.most_g_per_l = &most;
        aim(&b, SW_TARGET_PH, 5.8);
        sw_mix mix = mix_of(&b);
        mix.pourings = &rows[i].into;
        ck_assert(sw_unsized_text(&mix, 0, text, sizeof text));
        ck_assert_msg(strstr(text, rows[i].says), "%s\nhas not: %s", text,
                      rows[i].says);
    }
}
END_TEST

/* As chloride, 3.0 meq/L would be 106 mg/L: above what the target bears. */
START_TEST(chloride_that_may_pass_a_limit_is_told)
{
    bench b;
    set_up(&b);
    add_label(&b, "bag", "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16; alkalinity 0",
              0.63);
    aim_at(&b, SW_CL, 20);
    b.rows[0].max = 80;
    sw_assessment *a = assess(&b);
    ck_assert_double_eq_tol(a->undeclared.anions_meq_per_l, 3.004, 0.002);
    ck_assert_double_eq_tol(a->undeclared.cl_mg_per_l, 106.5, 0.1);
    ck_assert_ptr_nonnull(strstr(a->undeclared.text, "limit of 80"));
    ck_assert(isnan(a->undeclared.ph_low));
    ck_assert_double_eq(a->rows[SW_CL].finished_mg_per_l, 0);
    sw_assessment_free(a);
    /* what is at its limit may pass it, what is past it has */
    for (int past = 0; past < 2; past++) {
        b.water.amount[SW_CL] = past ? 80.5 : 80;
        a = assess(&b);
        ck_assert((strstr(a->undeclared.text, "limit of 80") != NULL) == !past);
        sw_assessment_free(a);
    }
    b.water.amount[SW_CL] = 0;
    b.rows[0].max = 120;
    b.g_per_l[0] = 0.3;
    a = assess(&b);
    ck_assert_str_eq(a->undeclared.text, "");
    ck_assert_ptr_nonnull(note(a, "label-undeclared-ions"));
    sw_assessment_free(a);
}
END_TEST

/* 16 % of nitrate without a cation, 2.28 meq/L of it. */
START_TEST(sodium_that_may_pass_a_limit_is_told)
{
    for (int above = 0; above < 2; above++) {
        bench b;
        set_up(&b);
        add_label(&b, "bag", "NO3-N 16; alkalinity 0", 0.2);
        aim_at(&b, SW_NA, 20);
        b.rows[0].max = above ? 50 : 55;
        sw_assessment *a = assess(&b);
        const sw_undeclared *u = &a->undeclared;
        ck_assert(isnan(u->na_mg_per_l) == !above);
        ck_assert(!above || fabs(u->na_mg_per_l - 52.5) < 0.1);
        ck_assert((strstr(u->text, "Na may reach 52.5 mg/L") != NULL) == above);
        sw_assessment_free(a);
    }
}
END_TEST

/* All that leave something out are counted, the one that may move most named.
 */
START_TEST(of_several_labels_one_is_named_and_the_others_counted)
{
    static const char label[] = "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16";
    bench b;
    set_up(&b);
    add_label(&b, "bag", label, 0.63);
    add_label(&b, "idle", label, 0);
    add_label(&b, "sack", label, 0.3);
    add_label(&b, "box", label, 0.2);
    sw_assessment *a = assess(&b);
    ck_assert_msg(strstr(a->undeclared.text, "of bag and 2 more leaves out"),
                  "%s", a->undeclared.text);
    sw_assessment_free(a);
}
END_TEST

/* Iron that nothing holds may have its chelator left out too. */
START_TEST(what_a_label_of_iron_leaves_out_may_be_its_chelator)
{
    static const char *const labels[] = {"Fe 6; alkalinity 0",
                                         "Fe-EDTA 6; Mn 3; alkalinity 0",
                                         "Mn 6; alkalinity 0"};
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        bench b;
        set_up(&b);
        add_label(&b, "bag", labels[i], 0.02);
        sw_assessment *a = assess(&b);
        const sw_note *told = note(a, "label-undeclared-ions");
        ck_assert_ptr_nonnull(told);
        ck_assert((strstr(told->text, "or a chelator") != NULL) == (i == 0));
        sw_assessment_free(a);
    }
}
END_TEST

/* Chloride not printed is conducting all the same: by formula 1.97 mS/cm. */
START_TEST(undeclared_ions_count_in_the_ec)
{
    bench b;
    set_up(&b);
    add_label(&b, "bag", "NH4-N 13; K2O 31.5; alkalinity 0", 1);
    sw_assessment *by_label = assess(&b);
    set_up(&b);
    add(&b, "NH4Cl", 496.5);
    add(&b, "KCl", 498.6);
    sw_assessment *by_formula = assess(&b);
    ck_assert_double_eq_tol(by_label->mixed.ec_ms_per_cm,
                            by_formula->mixed.ec_ms_per_cm, 0.01);
    sw_assessment_free(by_label);
    sw_assessment_free(by_formula);
}
END_TEST

START_TEST(only_labels_in_use_are_told_of)
{
    bench b;
    set_up(&b);
    add_label(&b, "idle", "NH4-N 3.5; urea-N 20.5; P2O5 8; K2O 16", 0);
    add_label(&b, "sulfate", "K2O 50", 0.5);
    sw_assessment *a = assess(&b);
    const sw_note *found = note(a, "label-completed");
    ck_assert_ptr_nonnull(found);
    ck_assert_ptr_nonnull(strstr(found->text, "potassium sulfate"));
    ck_assert_ptr_null(note(a, "label-undeclared-ions"));
    ck_assert_str_eq(a->undeclared.text, "");
    ck_assert_double_gt(a->rows[SW_S].finished_mg_per_l, 80);
    sw_assessment_free(a);
}
END_TEST
