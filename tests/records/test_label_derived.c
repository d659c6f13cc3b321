/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Labels written from known mixtures of salts, as their regulation has it, and
 * read back by the salts they name.  Masses of atoms and salts are typed here,
 * from IUPAC's abridged atomic weights (2021), not taken from the library.
 */
#include "suite.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/equilibrate.h"
#include "quantity/label.h"
#include "records/label_charge.h"

/* Random mixtures; SALTWRIGHT_LABELS tries as many: 20000 once. */
enum { CASES = 400, PH_EACH = 10 };

static const double n = 14.007, p = 30.974, k = 39.098, ca = 40.078,
                    mg = 24.305, s = 32.06, cl = 35.45, na = 22.990;

/* mmol in a gram of the salt, and meq of alkalinity (reference: H2PO4-). */
typedef struct salt {
    const char *name;
    double molar;
    int no3, nh4, urea, p, k, ca, mg, s, cl, na, alkalinity;
} salt;

static const salt salts[] = {
    {"potassium nitrate", 101.102, .no3 = 1, .k = 1},
    {"ammonium nitrate", 80.043, .no3 = 1, .nh4 = 1},
    {"urea", 60.056, .urea = 2},
    {"monoammonium phosphate", 115.025, .nh4 = 1, .p = 1},
    {"diammonium phosphate", 132.056, .nh4 = 2, .p = 1, .alkalinity = 1},
    {"monopotassium phosphate", 136.084, .k = 1, .p = 1},
    {"dipotassium phosphate", 174.174, .k = 2, .p = 1, .alkalinity = 1},
    {"urea phosphate", 158.050, .urea = 2, .p = 1, .alkalinity = -1},
    {"potassium sulfate", 174.252, .k = 2, .s = 1},
    {"ammonium sulfate", 132.134, .nh4 = 2, .s = 1},
    {"potassium chloride", 74.548, .k = 1, .cl = 1},
    {"magnesium sulfate heptahydrate", 246.466, .mg = 1, .s = 1},
    {"magnesium nitrate hexahydrate", 256.403, .no3 = 2, .mg = 1},
    {"sodium nitrate", 84.994, .no3 = 1, .na = 1},
    {"calcium nitrate tetrahydrate", 236.146, .no3 = 2, .ca = 1},
};

enum { SALTS = sizeof salts / sizeof *salts, MOST = 5 };

typedef struct mixture {
    double share[SALTS]; /* g in a gram */
    double amount[SW_COMPONENT_COUNT], alkalinity;
} mixture;

static unsigned seed;

static double any(void)
{
    return rand_r(&seed) / (1.0 + RAND_MAX);
}

static void add(mixture *m, size_t i, double share)
{
    const salt *a = &salts[i];
    double mmol = 1000 * share / a->molar;
    m->share[i] += share;
    m->amount[SW_NO3_N] += mmol * a->no3 * n;
    m->amount[SW_NH4_N] += mmol * a->nh4 * n;
    m->amount[SW_UREA_N] += mmol * a->urea * n;
    m->amount[SW_P] += mmol * a->p * p;
    m->amount[SW_K] += mmol * a->k * k;
    m->amount[SW_CA] += mmol * a->ca * ca;
    m->amount[SW_MG] += mmol * a->mg * mg;
    m->amount[SW_S] += mmol * a->s * s;
    m->amount[SW_CL] += mmol * a->cl * cl;
    m->amount[SW_NA] += mmol * a->na * na;
    m->alkalinity += mmol * a->alkalinity;
}

/* Three to five salts, 85 to 100 % of the product; calcium goes alone. */
static mixture mix(void)
{
    mixture m = {.alkalinity = 0};
    size_t chosen[MOST];
    double weight[MOST], sum = 0;
    size_t count = 3 + (size_t)(any() * (MOST - 2));
    for (size_t i = 0; i < count; i++) {
        chosen[i] = (size_t)(any() * (SALTS - 1));
        weight[i] = 0.1 + any();
        sum += weight[i];
    }
    double whole = 0.85 + 0.15 * any();
    for (size_t i = 0; i < count; i++)
        add(&m, chosen[i], whole * weight[i] / sum);
    return m;
}

/* As printed: rounded, or cut off, at that digit; the truth is never less than
 * half a digit below nor a digit above what is printed. */
static double printed(double percent, double digit, bool cut)
{
    return digit * floor(percent / digit + (cut ? 1e-9 : 0.5));
}

typedef struct writer {
    char text[1200];
    bool cut, forms;
    double digit;
} writer;

static void put(writer *w, const char *form, double mg_per_g, double factor)
{
    size_t used = strlen(w->text);
    double value = printed(mg_per_g / 10 * factor, w->digit, w->cut);
    char figure[24];
    if (value <= 0)
        return;
    snprintf(figure, sizeof figure, w->digit < 1 ? "%.1f" : "%.0f", value);
    snprintf(w->text + used, sizeof w->text - used, form, figure);
}

/* Oxides of the trade by mass: P2O5 2.2914, K2O 1.2046 times the element. */
static void write_label(const mixture *m, writer *w)
{
    const double *a = m->amount;
    double total = a[SW_NO3_N] + a[SW_NH4_N] + a[SW_UREA_N];
    w->cut = any() < 0.5;
    w->digit = any() < 0.5 ? 0.1 : 1;
    w->forms = w->digit < 1 || any() < 0.5;
    snprintf(w->text, sizeof w->text, "Guaranteed analysis\n");
    put(w, "Total Nitrogen (N) ...... %s%%\n", total, 1);
    if (w->forms) {
        put(w, "  %s%% Nitrate Nitrogen\n", a[SW_NO3_N], 1);
        put(w, "  %s%% Ammoniacal Nitrogen\n", a[SW_NH4_N], 1);
        put(w, "  %s%% Urea Nitrogen\n", a[SW_UREA_N], 1);
    }
    put(w, "Available Phosphate (P2O5) %s%%\n", a[SW_P], 2.2914);
    put(w, "Soluble Potash (K2O)..%s%%\n", a[SW_K], 1.2046);
    put(w, "Magnesium (Mg) %s%%\n", a[SW_MG], 1);
    if (any() < 0.5)
        put(w, "Combined Sulfur (S) %s%%\n", a[SW_S], 1);
    strcat(w->text, "Derived from:");
    for (int i = 0; i < SALTS; i++)
        if (m->share[i] > 0) {
            strcat(w->text, strchr(w->text, 0)[-1] == ':' ? " " : ", ");
            strcat(w->text, salts[i].name);
        }
    strcat(w->text, ".\nPotential acidity: 400 lb CaCO3 a ton\n");
}

/* The regulation's rounding of a figure too small to print hides it. */
static bool is_hidden(const mixture *m, const writer *w)
{
    for (int i = 0; i < SW_N; i++) {
        double percent = m->amount[i] / 10;
        bool main = i != SW_S && i != SW_CL && i != SW_NA;
        if (main && percent > 0 && percent < 1.1 * w->digit)
            return true;
    }
    return false;
}

static void check_figures(const mixture *m, const writer *w,
                          const sw_product *made)
{
    static const sw_component figures[] = {SW_NO3_N, SW_NH4_N, SW_UREA_N,
                                           SW_P,     SW_K,     SW_MG};
    /* mg/g, of the element: two digits of what is printed at most apart, and
     * 0.5 %; a form that is not printed may range by 10 mg/g or a tenth. */
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        double truth = m->amount[figures[i]];
        double digit = 10 * w->digit;
        double within = 1.5 * digit + 0.005 * truth + 1e-6;
        if (!w->forms && i < 3)
            within = fmax(within, fmax(10, 0.1 * truth / 0.9));
        ck_assert_msg(fabs(made->per_g.amount[figures[i]] - truth) <= within,
                      "%s is %g, not %g:\n%s", sw_component_name(figures[i]),
                      made->per_g.amount[figures[i]], truth, w->text);
    }
}

/* What no figure tells: found, or left open on the right side. */
static size_t check_ions(const mixture *m, const writer *w,
                         const sw_product *made)
{
    static const sw_component ions[] = {SW_S, SW_CL, SW_NA};
    size_t known = 0;
    for (size_t i = 0; i < 3; i++) {
        double truth = m->amount[ions[i]];
        double found = made->per_g.amount[ions[i]];
        bool near = fabs(found - truth) <= fmax(10, 0.1 * truth / 0.9);
        known += near;
        ck_assert_msg(near || (found < truth &&
                               fabs(made->per_g.amount[SW_UNDECLARED]) > 0),
                      "%s is %g, not %g:\n%s", sw_component_name(ions[i]),
                      found, truth, w->text);
    }
    double alkalinity = made->per_g.amount[SW_ALKALINITY];
    ck_assert_msg(
        m->alkalinity >= alkalinity - made->open_acid_meq_per_g - 1e-3 &&
            m->alkalinity <= alkalinity + made->open_base_meq_per_g + 1e-3,
        "alkalinity %g, not %g:\n%s", alkalinity, m->alkalinity, w->text);
    return known;
}

/* 1 g/L in a water of 1 meq/L. */
static double ph_of(const sw_content *per_g, double more_meq_per_g)
{
    sw_chemistry chemistry;
    sw_content water = {0};
    sw_conditions at = sw_conditions_default();
    water.amount[SW_CA] = 20.04;
    water.amount[SW_ALKALINITY] = 1 + more_meq_per_g;
    water.amount[SW_CARBON] = 1.2;
    sw_content_add(&water, 1, per_g);
    ck_assert_int_eq(sw_equilibrate_briefly(&water, &at, SW_CARBONATE_KEPT,
                                            &chemistry, NULL),
                     SW_OK);
    return chemistry.ph;
}

/* The feed's pH lies between the ends that the label leaves. */
static void check_ph(const mixture *m, const writer *w, const sw_product *made)
{
    sw_content truth = {0};
    memcpy(truth.amount, m->amount, sizeof m->amount);
    truth.amount[SW_ALKALINITY] = m->alkalinity;
    double ph = ph_of(&truth, 0);
    double low = ph_of(&made->per_g, -made->open_acid_meq_per_g);
    double high = ph_of(&made->per_g, made->open_base_meq_per_g);
    /* Figures rounded to 1 % of phosphate move it by no more. */
    ck_assert_msg(ph > low - 0.1 && ph < high + 0.1,
                  "pH %.2f is not within %.2f to %.2f:\n%s", ph, low, high,
                  w->text);
}

static bool settled(const sw_product *made)
{
    return sw_notes_find(&made->remarks, "label-derived") != NULL;
}

START_TEST(salts_named_on_a_label_are_found_again)
{
    const char *asked = getenv("SALTWRIGHT_LABELS");
    int cases = asked ? atoi(asked) : sw_cases(CASES);
    int read = 0, open_forms = 0;
    size_t known = 0;
    for (int i = 0; i < cases; i++) {
        seed = (unsigned)i + 1;
        writer w;
        sw_error error;
        sw_product made = {.name = NULL};
        mixture m = mix();
        write_label(&m, &w);
        if (is_hidden(&m, &w))
            continue;
        sw_status status = sw_label_compose(
            w.text, &(sw_label_names){NULL, NULL}, &made, &error);
        if (status == SW_ERR_NAME && !w.forms) {
            ck_assert_ptr_nonnull(
                strstr(error.message, "leave its forms open"));
            open_forms++;
        } else {
            ck_assert_msg(status == SW_OK, "%s:\n%s", error.message, w.text);
            ck_assert_msg(settled(&made), "not settled:\n%s", w.text);
            check_figures(&m, &w, &made);
            known += check_ions(&m, &w, &made);
            if (i % PH_EACH == 0)
                check_ph(&m, &w, &made);
            read++;
        }
        sw_notes_free(&made.remarks);
    }
    printf(
        "%d of %d labels read back, %d ask for forms, %zu of %d ions known\n",
        read, cases, open_forms, known, 3 * read);
    ck_assert_int_gt(read, cases / 3);
    ck_assert_int_gt((int)known, 3 * read * 3 / 4);
}
END_TEST

/* Beside potassium nitrate, 101.10 g/mol: 39.10 of K and 14.01 of N. */
static sw_product with_trace(const char *traces)
{
    char text[300];
    sw_error error;
    sw_product made = {.name = NULL};
    snprintf(text, sizeof text,
             "NO3-N 13\nK2O 44\n%s\nDerived from: potassium nitrate", traces);
    ck_assert_msg(sw_label_compose(text, &(sw_label_names){NULL, NULL}, &made,
                                   &error) == SW_OK,
                  "%s: %s", text, error.message);
    ck_assert_msg(settled(&made), "%s", text);
    return made;
}

/* A list need not name those of few percent. */
START_TEST(traces_that_no_salt_of_the_list_brings_are_as_printed)
{
    static const struct {
        const char *printed;
        double mg_per_g, held; /* by a chelator */
        sw_component metal, part;
    } cases[] = {
        {"Zn 0.5", 5, 0, SW_ZN, SW_CHELATED_ZN},
        {"Zn-EDTA 0.5", 5, 5, SW_ZN, SW_CHELATED_ZN},
        {"Zn 0.5\nchelated Zn 0.2", 5, 2, SW_ZN, SW_CHELATED_ZN},
        {"Mn-EDTA 0.4", 4, 4, SW_MN, SW_CHELATED_MN},
        {"Cu-EDTA 0.1", 1, 1, SW_CU, SW_CHELATED_CU},
        {"Fe-DTPA 1", 10, 10, SW_FE, SW_CHELATED_FE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_product made = with_trace(cases[i].printed);
        double found = made.per_g.amount[cases[i].metal];
        double held = made.per_g.amount[cases[i].part];
        ck_assert_msg(fabs(found - cases[i].mg_per_g) < 1e-9 &&
                          fabs(held - cases[i].held) < 1e-9,
                      "%s: %g, held %g", cases[i].printed, found, held);
        sw_notes_free(&made.remarks);
    }
}
END_TEST

/* Magnesium nitrate hexahydrate, 256.41 g/mol with 24.305 of Mg: 0.4 % of Mg
 * need not be claimed, and are no other figure than the printed one. */
START_TEST(what_need_not_be_printed_is_not_told_as_another_figure)
{
    sw_error error;
    sw_product made = {.name = NULL};
    ck_assert_msg(
        sw_label_compose("NO3-N 13.6\nK2O 44.6\nDerived from: potassium "
                         "nitrate, magnesium nitrate hexahydrate",
                         &(sw_label_names){NULL, NULL}, &made, &error) == SW_OK,
        "%s", error.message);
    ck_assert(settled(&made));
    ck_assert_double_gt(made.per_g.amount[SW_MG], 2);
    ck_assert_ptr_null(sw_notes_find(&made.remarks, "label-list"));
    sw_notes_free(&made.remarks);
}
END_TEST
