/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * "Derived from: ammonium nitrate, potassium nitrate ...": unknown is the mass
 * of each salt in a gram.  The closest mixture (least sum of deviations, in
 * units of the last digits) is found first; then how far each thing that no
 * figure tells may range over all mixtures within the rounding.  Method:
 * reference/methods.md, Composition.
 */
#include "records/label_derived.h"

#include <glpk.h>
#include <math.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/components.h"
#include "quantity/label_text.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/label_list.h"
#include "table_words.h"

/* Of a gram: salts are dried or hydrated otherwise than the catalogue's. */
static const double most_mass = 1.02;
/* What the catalogue's own figures leave open of a salt. */
static const double slack = 0.005;
/* mg/g of what is printed of nothing, and a miss that is none. */
static const double unprinted = 1, no_miss = 1e-4;
/* What ranges by less than this is known (common practice, no source). */
static const double known_mg_per_g = 10, known_share = 0.1;

/* A figure and how far it may be missed; without one below is infinite. */
typedef struct figure {
    int carried;
    double value, below, above;
} figure;

typedef struct fitting {
    const sw_label *label;
    const char *product_name;
    sw_label_list list;
    figure figures[2 * SW_COMPONENT_COUNT];
    size_t figure_count;
    glp_prob *lp;
    bool owns_environment;
    jmp_buf net;
    sw_notes *remarks;
} fitting;

/* ---- The figures -------------------------------------------------------- */

static void add_figure(fitting *f, int carried, double value, double below,
                       double above)
{
    f->figures[f->figure_count++] =
        (figure){carried, value, below + slack * value, above + slack * value};
}

/* What a label does not print, as a rule, though the salts bring it. */
static bool is_free(const sw_label *label, int i)
{
    return i == SW_S || i == SW_CL || i == SW_NA || i == SW_SI || i == SW_F ||
           (label->n_open && sw_component_is((sw_component)i, SW_IS_FORM));
}

static void add_unprinted(fitting *f, int i)
{
    const sw_label *label = f->label;
    double most = label->above_mg_per_g[i];
    double unclaimed =
        10 * sw_label_unclaimed(sw_component_name((sw_component)i));
    if (most > 0)
        add_figure(f, i, 0, 0, most);
    else if (!is_free(label, i))
        add_figure(f, i, 0, 0, unclaimed > 0 ? unclaimed : unprinted);
}

static bool has_source(const fitting *f, int i)
{
    for (size_t j = 0; j < f->list.count; j++)
        if (f->list.sources[j].per_g.amount[i] > 0)
            return true;
    return false;
}

/* Lists of ingredients need not name those of few percent. */
static bool is_unlisted(const fitting *f, int i)
{
    return sw_component_is((sw_component)i, SW_IS_TRACE) && !has_source(f, i);
}

static void add_figures(fitting *f)
{
    const sw_label *label = f->label;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        sw_component part = sw_chelated_part((sw_component)i);
        double value =
            i == SW_N ? label->n_total_mg_per_g : label->per_g.amount[i];
        if (is_unlisted(f, i))
            continue;
        if (label->printed[i])
            add_figure(f, i, value, label->below_mg_per_g[i],
                       label->above_mg_per_g[i]);
        else if (i != SW_N)
            add_unprinted(f, i);
        if (part != SW_CARRIED_COUNT && label->per_g.amount[part] > 0)
            add_figure(f, (int)part, label->per_g.amount[part],
                       label->below_mg_per_g[i], label->above_mg_per_g[i]);
    }
}

/* ---- The program -------------------------------------------------------- */

/* Columns: the sources; of each figure less, more, and both out of bounds. */
enum { LESS, MORE, FAR_LESS, FAR_MORE, PER_FIGURE };

static int column_of(const fitting *f, size_t row, int which)
{
    return (int)(f->list.count + PER_FIGURE * row) + which + 1;
}

static _Noreturn void on_error(void *info)
{
    fitting *f = info;
    glp_free_env();
    f->lp = NULL;
    f->owns_environment = false;
    longjmp(f->net, SW_ERR_SOLVER);
}

static int on_text(void *info, const char *text)
{
    (void)info;
    (void)text;
    return 1;
}

/* What is missed costs in units of the last digit, out of bounds far more. */
static void load_figure(fitting *f, size_t i)
{
    static const double out_of_bounds = 1e3;
    const figure *g = &f->figures[i];
    int index[SW_LIST_SALTS + PER_FIGURE + 1];
    double value[SW_LIST_SALTS + PER_FIGURE + 1];
    int count = 0;
    double digit = g->above > 0 ? g->above : unprinted;
    for (size_t j = 0; j < f->list.count; j++) {
        index[++count] = (int)j + 1;
        value[count] = f->list.sources[j].per_g.amount[g->carried];
    }
    for (int which = 0; which < PER_FIGURE; which++) {
        bool less = which == LESS || which == FAR_LESS;
        bool far = which == FAR_LESS || which == FAR_MORE;
        double most = less ? g->below : g->above;
        int column = column_of(f, i, which);
        index[++count] = column;
        value[count] = less ? 1 : -1;
        glp_set_col_bnds(f->lp, column,
                         far        ? GLP_LO
                         : most > 0 ? GLP_DB
                                    : GLP_FX,
                         0, far ? 0 : most);
        glp_set_obj_coef(f->lp, column, (far ? out_of_bounds : 1) / digit);
    }
    glp_set_mat_row(f->lp, (int)i + 1, count, index, value);
    glp_set_row_bnds(f->lp, (int)i + 1, GLP_FX, g->value, g->value);
}

static void load(fitting *f)
{
    int index[SW_LIST_SALTS + 1];
    double ones[SW_LIST_SALTS + 1];
    int mass = (int)f->figure_count + 1;
    f->lp = glp_create_prob();
    glp_add_rows(f->lp, mass + 1); /* the last: of the objective */
    glp_add_cols(f->lp, (int)(f->list.count + PER_FIGURE * f->figure_count));
    for (size_t j = 0; j < f->list.count; j++) {
        glp_set_col_bnds(f->lp, (int)j + 1, GLP_LO, 0, 0);
        index[j + 1] = (int)j + 1;
        ones[j + 1] = 1;
    }
    for (size_t i = 0; i < f->figure_count; i++)
        load_figure(f, i);
    glp_set_mat_row(f->lp, mass, (int)f->list.count, index, ones);
    glp_set_row_bnds(f->lp, mass, GLP_UP, 0, most_mass);
    glp_set_row_bnds(f->lp, mass + 1, GLP_FR, 0, 0);
}

static bool solve(fitting *f)
{
    glp_smcp how;
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    return glp_simplex(f->lp, &how) == 0 && glp_get_status(f->lp) == GLP_OPT;
}

/* By how much a figure is out of its bounds, mg/g. */
static double miss_of(const fitting *f, size_t i)
{
    return glp_get_col_prim(f->lp, column_of(f, i, FAR_MORE)) -
           glp_get_col_prim(f->lp, column_of(f, i, FAR_LESS));
}

/* The figure farthest out of its bounds; figure_count: none is. */
static size_t find_miss(const fitting *f)
{
    size_t worst = f->figure_count;
    double most = no_miss;
    for (size_t i = 0; i < f->figure_count; i++)
        if (fabs(miss_of(f, i)) > most) {
            most = fabs(miss_of(f, i));
            worst = i;
        }
    return worst;
}

/* From now on within bounds; misses that rounding of numbers left stay. */
static void close_bounds(fitting *f)
{
    for (size_t i = 0; i < f->figure_count; i++)
        for (int which = FAR_LESS; which <= FAR_MORE; which++) {
            int column = column_of(f, i, which);
            double left = glp_get_col_prim(f->lp, column) + 1e-9;
            glp_set_col_bnds(f->lp, column, GLP_DB, 0, left);
        }
}

/* Keeps what is missed at the least of it, or lets it range. */
static void hold_misses(fitting *f, bool hold)
{
    int row = (int)f->figure_count + 2;
    int columns = glp_get_num_cols(f->lp);
    int index[SW_LIST_SALTS + PER_FIGURE * 2 * SW_COMPONENT_COUNT + 1];
    double cost[SW_LIST_SALTS + PER_FIGURE * 2 * SW_COMPONENT_COUNT + 1];
    double least = glp_get_obj_val(f->lp);
    if (!hold) {
        glp_set_row_bnds(f->lp, row, GLP_FR, 0, 0);
        return;
    }
    for (int j = 1; j <= columns; j++) {
        index[j] = j;
        cost[j] = glp_get_obj_coef(f->lp, j);
    }
    glp_set_mat_row(f->lp, row, columns, index, cost);
    glp_set_row_bnds(f->lp, row, GLP_UP, 0, least * (1 + 1e-6) + 1e-6);
}

/* ---- Ranges ------------------------------------------------------------- */

/* What figures need not tell. */
static const int asked[] = {SW_S,     SW_CL,    SW_NA,    SW_ALKALINITY,
                            SW_NO3_N, SW_NH4_N, SW_UREA_N};

enum { ASKED = sizeof asked / sizeof *asked };

typedef struct range {
    double low, high;
} range;

/* The least (sign 1) or most (-1) of something; the sources' masses are added
 * to `sum` where that is wanted. */
static double extreme(fitting *f, int carried, double sign, double *sum)
{
    double amount = 0;
    for (int j = 1; j <= glp_get_num_cols(f->lp); j++)
        glp_set_obj_coef(
            f->lp, j,
            (size_t)j > f->list.count
                ? 0
                : sign * f->list.sources[j - 1].per_g.amount[carried]);
    if (!solve(f))
        on_error(f);
    for (size_t j = 0; j < f->list.count; j++) {
        double g_per_g = fmax(0, glp_get_col_prim(f->lp, (int)j + 1));
        amount += g_per_g * f->list.sources[j].per_g.amount[carried];
        if (sum)
            sum[j] += g_per_g;
    }
    return amount;
}

/* The middle of the closest mixtures, then the ends of all. */
static void find_ranges(fitting *f, range ranges[ASKED])
{
    double sum[SW_LIST_SALTS] = {0};
    hold_misses(f, true);
    for (int k = 0; k < ASKED; k++) {
        extreme(f, asked[k], 1, sum);
        extreme(f, asked[k], -1, sum);
    }
    for (size_t j = 0; j < f->list.count; j++)
        f->list.sources[j].g_per_g = sum[j] / (2 * ASKED);
    hold_misses(f, false);
    for (int k = 0; k < ASKED; k++) {
        ranges[k].low = extreme(f, asked[k], 1, NULL);
        ranges[k].high = extreme(f, asked[k], -1, NULL);
    }
}

static bool is_known(const range *r)
{
    return r->high - r->low <= fmax(known_mg_per_g, known_share * r->high);
}

/* ---- What the product is ------------------------------------------------ */

static void say_miss(fitting *f, size_t worst)
{
    const figure *g = &f->figures[worst];
    double far = miss_of(f, worst);
    const char *name = g->carried < SW_COMPONENT_COUNT
                           ? sw_component_name((sw_component)g->carried)
                           : "what is chelated";
    sw_notes_add(f->remarks, SW_SAY_LABEL_LIST_MISSES, f->product_name, name,
                 g->value / 10,
                 (g->value + far + (far > 0 ? g->above : -g->below)) / 10);
}

static sw_status ask_forms(const fitting *f, const range ranges[ASKED],
                           sw_error *error)
{
    char list[120] = "";
    for (int k = 4; k < ASKED; k++)
        sw_text_add(list, sizeof list, "%s%s %.3g to %.3g %%",
                    *list ? ", " : "",
                    sw_component_name((sw_component)asked[k]),
                    ranges[k].low / 10, ranges[k].high / 10);
    return sw_fail_at(error, SW_ERR_NAME,
                      &(sw_place){NULL, 0, f->label->n_column},
                      "total N is %.4g %%, and the salts it is derived from "
                      "leave its forms open: %s; give each with its %%",
                      f->label->n_total_mg_per_g / 10, list);
}

/* Iron's chelator where all of its sources have one. */
static void take_chelator(const fitting *f, sw_product *product)
{
    for (int metal = SW_COMPONENT_COUNT - 1; metal >= 0; metal--)
        for (size_t j = 0; j < f->list.count; j++) {
            const sw_label_salt *s = &f->list.sources[j];
            bool brings = s->chelator != SW_CHELATOR_NONE &&
                          s->per_g.amount[metal] * s->g_per_g > no_miss;
            if (!brings ||
                (metal != SW_FE && product->chelator != SW_CHELATOR_NONE))
                continue;
            bool other = metal == SW_FE && product->chelator_open;
            if (!other)
                product->chelator = s->chelator;
        }
}

/* Whether two chelators could hold the iron. */
static bool is_chelator_open(const fitting *f)
{
    sw_chelator first = SW_CHELATOR_NONE;
    for (size_t j = 0; j < f->list.count; j++) {
        const sw_label_salt *s = &f->list.sources[j];
        if (!(s->per_g.amount[SW_FE] > 0) || s->chelator == SW_CHELATOR_NONE)
            continue;
        if (first != SW_CHELATOR_NONE && first != s->chelator)
            return true;
        first = s->chelator;
    }
    return false;
}

/* What ranges counts as far as every mixture has it; the rest as an ion that
 * nobody declared. */
static void leave_open(const range *r, sw_component ion, sw_content *per_g)
{
    double surely = fmax(0, r->low);
    double rest = per_g->amount[ion] - surely;
    if (is_known(r) || !(rest > 0))
        return;
    per_g->amount[ion] = surely;
    per_g->amount[SW_UNDECLARED] -= rest * sw_charge_per_mg(ion);
}

/* A trace element of which the list names no source. */
static void take_printed(const sw_label *label, sw_component i,
                         sw_content *per_g)
{
    sw_component part = sw_chelated_part(i);
    per_g->amount[i] = label->per_g.amount[i];
    if (part != SW_CARRIED_COUNT)
        per_g->amount[part] = label->per_g.amount[part];
}

static void take_ions(const fitting *f, const range ranges[ASKED],
                      sw_product *product)
{
    double *amount = product->per_g.amount;
    product->per_g = (sw_content){0};
    for (size_t j = 0; j < f->list.count; j++)
        sw_content_add(&product->per_g, f->list.sources[j].g_per_g,
                       &f->list.sources[j].per_g);
    product->open_acid_meq_per_g =
        fmax(0, amount[SW_ALKALINITY] - ranges[3].low);
    product->open_base_meq_per_g =
        fmax(0, ranges[3].high - amount[SW_ALKALINITY]);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (is_unlisted(f, i))
            take_printed(f->label, (sw_component)i, &product->per_g);
    for (int k = 0; k < 3; k++)
        leave_open(&ranges[k], (sw_component)asked[k], &product->per_g);
    if (is_unlisted(f, SW_FE))
        return;
    product->chelator_open = is_chelator_open(f);
    if (!product->chelator_open)
        product->chelator = SW_CHELATOR_NONE;
    take_chelator(f, product);
}

/* What of S, Cl and Na is the salts', and of which the list leaves open. */
static void say_fit(const fitting *f, const range ranges[ASKED],
                    const sw_product *product)
{
    char salts[300] = "";
    char ions[120] = "";
    char low[SW_FIGURE_BYTES], high[SW_FIGURE_BYTES];
    for (size_t i = 0; i < f->list.name_count; i++) {
        double g_per_g = 0;
        for (size_t j = 0; j < f->list.count; j++)
            if (f->list.sources[j].name == i)
                g_per_g += f->list.sources[j].g_per_g;
        sw_text_add(salts, sizeof salts, "%s%s %s %%", i ? ", " : "",
                    f->list.names[i], sw_figure(100 * g_per_g, low));
    }
    for (int k = 0; k < 3; k++) {
        bool known = is_known(&ranges[k]);
        double least = known ? product->per_g.amount[asked[k]] : ranges[k].low;
        sw_text_add(ions, sizeof ions, "%s%s %s%s%s %%", *ions ? ", " : "",
                    sw_component_name((sw_component)asked[k]),
                    sw_figure(fmax(0, least) / 10, low), known ? "" : " to ",
                    known ? "" : sw_figure(ranges[k].high / 10, high));
    }
    sw_notes_add(f->remarks, SW_SAY_LABEL_DERIVED, f->product_name, ions,
                 salts);
}

static sw_status fit(fitting *f, sw_product *product, bool *settled,
                     sw_error *error)
{
    range ranges[ASKED];
    load(f);
    if (!solve(f))
        on_error(f);
    size_t worst = find_miss(f);
    if (worst < f->figure_count) {
        say_miss(f, worst);
        return SW_OK;
    }
    close_bounds(f);
    find_ranges(f, ranges);
    for (int k = 4; k < ASKED && f->label->n_open; k++)
        if (!f->label->printed[asked[k]] && !is_known(&ranges[k]))
            return ask_forms(f, ranges, error);
    take_ions(f, ranges, product);
    say_fit(f, ranges, product);
    *settled = true;
    return SW_OK;
}

/* GLPK aborts on an internal error unless a hook leaves it. */
static sw_status fit_caught(fitting *f, sw_product *product, bool *settled,
                            sw_error *error)
{
    f->owns_environment = glp_init_env() == 0;
    glp_error_hook(on_error, f);
    glp_term_hook(on_text, f);
    sw_status status = SW_OK;
    if (setjmp(f->net))
        status = sw_fail(error, SW_ERR_SOLVER,
                         "the salts of a label could not be fitted to it");
    else
        status = fit(f, product, settled, error);
    if (f->lp)
        glp_delete_prob(f->lp);
    glp_error_hook(NULL, NULL);
    glp_term_hook(NULL, NULL);
    if (f->owns_environment)
        glp_free_env();
    return status;
}

sw_status sw_label_derive(const sw_label *label, const char *name,
                          sw_product *product, bool *settled, sw_error *error)
{
    sw_status status = SW_OK;
    bool known = false;
    *settled = false;
    fitting *f = calloc(1, sizeof *f);
    if (!f)
        return sw_fail_memory(error);
    f->label = label;
    f->product_name = name;
    f->remarks = &product->remarks;
    char unknown[SW_LIST_NAME];
    status = sw_label_list_read(label->derived, &f->list, unknown, error);
    known = status == SW_OK && f->list.count > 0 && !*unknown;
    if (status == SW_OK && *unknown)
        sw_notes_add(f->remarks, SW_SAY_LABEL_SALT_UNKNOWN, unknown, name);
    if (known) {
        add_figures(f);
        status = fit_caught(f, product, settled, error);
    }
    if (status == SW_OK)
        status = sw_notes_status(f->remarks, error);
    free(f);
    return status;
}
