/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid beside a bag known by its label: that of the formula behind it, or it
 * is not sized; never more than the water's alkalinity and the bases that are
 * declared can take.
 *
 *     test_label_acid [all]    every label, else one in ELSE_ONE_IN
 */
#include "kit.h"

#include "assess/printed.h"

enum { ELSE_ONE_IN = 5 };
/* Of the acid by formula; and meq/L that nobody measures out. */
static const double same_share = 0.05, same_meq_per_l = 0.05;

typedef struct sweep {
    sw_kit kit;
    int stride, at;
    int seen, same, unsized, none, asked, wrong;
} sweep;

static const double waters[2][SW_CARRIED_COUNT] = {{[SW_CA] = 0.5,
                                                    [SW_NA] = 3,
                                                    [SW_CL] = 2,
                                                    [SW_S] = 0.2,
                                                    [SW_ALKALINITY] = 0.1,
                                                    [SW_CARBON] = 0.15},
                                                   {[SW_CA] = 110,
                                                    [SW_MG] = 18,
                                                    [SW_NA] = 25,
                                                    [SW_CL] = 40,
                                                    [SW_S] = 25,
                                                    [SW_ALKALINITY] = 5.37,
                                                    [SW_CARBON] = 5.7}};

/* A pH of 5.8 from a bag at its rate and sulfuric acid of 35 %. */
static void set_up(sweep *s, int stride)
{
    memset(s, 0, sizeof *s);
    s->stride = stride;
    kit_open(&s->kit);
    kit_ph_row(&s->kit, 5.8, 5.5, 6.2);
    /* something to come close to, that nothing else brings */
    kit_target(&s->kit, SW_F, 0.01);
    sw_product *bag = kit_product(&s->kit, "bag", SW_K, 0);
    bag->fixed_g_per_l = 0;
    sw_product *acid = kit_product(&s->kit, "acid", SW_K, 0);
    kit_product(&s->kit, "fluoride", SW_F, 100);
    ck_assert_int_eq(
        sw_formula_content("H2SO4", 0.35, &acid->per_g, NULL, NULL), SW_OK);
}

/* meq/L of acid: surely needed, and poured at the most; NaN where there is no
 * recipe. */
typedef struct acid {
    double least, most;
    bool sized;
} acid;

static acid acid_beside(sweep *s)
{
    ck_assert_msg(kit_solve(&s->kit) == SW_OK, "%s", s->kit.error.message);
    const sw_recipe *recipe = &s->kit.solution->recipe;
    if (s->kit.solution->outcome != SW_OPTIMAL)
        return (acid){NAN, NAN, true};
    double meq_per_g = -s->kit.product[1].per_g.amount[SW_ALKALINITY];
    double least = meq_per_g * recipe->g_per_l[1];
    if (!recipe->most_g_per_l || !(recipe->most_g_per_l[1] > 0))
        return (acid){least, least, true};
    return (acid){least, meq_per_g * recipe->most_g_per_l[1], false};
}

static double acid_by_formula(sweep *s, const sw_content *truth, int water)
{
    sw_product *bag = &s->kit.product[0];
    bag->per_g = *truth;
    bag->label = NULL;
    bag->open_acid_meq_per_g = bag->open_base_meq_per_g = 0;
    memcpy(s->kit.water[0].amount, waters[water], sizeof waters[water]);
    acid right = acid_beside(s);
    ck_assert(right.sized);
    return right.least;
}

/* Where no acid is poured, none is sized if its need is said to be open. */
static bool is_said_open(sweep *s)
{
    sw_assessment *a;
    const sw_solution *solution = s->kit.solution;
    sw_mix mix = {.water = &solution->water,
                  .target = &s->kit.target,
                  .shelf = &s->kit.shelf,
                  .recipe = &solution->recipe,
                  .conditions = s->kit.problem.conditions};
    ck_assert_int_eq(sw_assess(&mix, &a, NULL), SW_OK);
    bool open = !isnan(a->undeclared.ph_low) && a->undeclared.text[0] &&
                a->measures[0].verdict == SW_OPEN;
    sw_assessment_free(a);
    return open;
}

/* Sized to within 5 % of the formula's; or not sized, and what is said of it
 * holds for the formula: so much is surely needed, and no more at the most
 * unless the label may be a base. */
static bool is_right(sweep *s, const acid *found, double right,
                     double open_base_meq_per_l)
{
    double slack = same_share * right + same_meq_per_l;
    if (!found->sized) {
        s->unsized++;
        return found->least <= right + slack &&
               right <= found->most + open_base_meq_per_l + slack;
    }
    if ((isnan(found->least) && isnan(right)) ||
        fabs(found->least - right) <= slack) {
        s->same++;
        return true;
    }
    s->none++;
    return found->least <= 0 && is_said_open(s);
}

static void compare(sweep *s, const sw_content *truth, const sw_product *p,
                    const char *label)
{
    sw_product *bag = &s->kit.product[0];
    double g_per_l = dose_of(truth);
    bag->fixed_g_per_l = g_per_l;
    for (int w = 0; w < 2; w++) {
        double right = acid_by_formula(s, truth, w);
        bag->per_g = p->per_g;
        bag->label = (char *)label;
        bag->open_acid_meq_per_g = p->open_acid_meq_per_g;
        bag->open_base_meq_per_g = p->open_base_meq_per_g;
        acid found = acid_beside(s);
        double bases = fmax(0, p->per_g.amount[SW_ALKALINITY]);
        double most = waters[w][SW_ALKALINITY] + g_per_l * bases;
        double open_base = g_per_l * p->open_base_meq_per_g;
        s->seen++;
        if (is_right(s, &found, right, open_base) &&
            !(found.most > most + same_meq_per_l))
            continue;
        s->wrong++;
        printf("  '%s' in water %d: %.3f to %.3f meq/L of acid%s, by formula "
               "%.3f, at most %.3f; label open by %.3f and %.3f meq/L\n",
               label, w, found.least, found.most, found.sized ? ", sized" : "",
               right, most, g_per_l * p->open_acid_meq_per_g, open_base);
    }
}

static void print_and_compare(sweep *s, const sw_content *truth)
{
    for (int how = 0; how < ROUNDINGS; how++)
        for (int all = 0; all < 2; all++) {
            char label[600];
            sw_product product = {0};
            if (s->at++ % s->stride)
                continue;
            print_label(truth, (rounding)how, all, label);
            sw_status status =
                *label ? sw_label_compose(label, &(sw_label_names){"bag", NULL},
                                          &product, NULL)
                       : SW_ERR_MISSING;
            s->asked += status != SW_OK;
            if (status == SW_OK)
                compare(s, truth, &product, label);
        }
}

static void finish(const char *what, sweep *s)
{
    printf(
        "%s: %d runs, %d with the acid of the formula, %d where it is not "
        "sized, %d without acid whose pH is said to be open, %d labels asked "
        "about, %d wrong\n",
        what, s->seen, s->same, s->unsized, s->none, s->asked, s->wrong);
    kit_close(&s->kit);
    ck_assert_int_gt(s->same, s->seen / 2);
    ck_assert_int_eq(s->wrong, 0);
}

static int stride = ELSE_ONE_IN;

START_TEST(the_acid_beside_a_nameless_salt_is_that_of_its_formula)
{
    sweep s;
    set_up(&s, stride);
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *p;
        ck_assert_int_eq(sw_catalogue_get(i, &p, NULL), SW_OK);
        sw_content truth;
        if (p->formula && isnan(p->density_g_per_ml)) {
            ck_assert_int_eq(
                sw_formula_content(p->formula, 1, &truth, NULL, NULL), SW_OK);
            print_and_compare(&s, &truth);
        }
        sw_product_free(p);
    }
    finish("salts", &s);
}
END_TEST

START_TEST(the_acid_beside_a_premix_is_that_of_its_formulas)
{
    sweep s;
    set_up(&s, stride);
    for (int i = 0; i < PREMIXES; i++) {
        sw_content truth = content_of_premix(&premixes[i]);
        print_and_compare(&s, &truth);
    }
    finish("premixes", &s);
}
END_TEST

int main(int argc, char **argv)
{
    stride = argc > 1 && !strcmp(argv[1], "all") ? 1 : ELSE_ONE_IN;
    return run_suite(suite_of_all());
}
