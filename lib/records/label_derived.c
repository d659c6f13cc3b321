/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * "Derived from: ammonium nitrate, potassium nitrate ...": unknown is the mass
 * of each salt in a gram.  The closest mixture (least sum of deviations, in
 * units of the last digits) is found first; then how far each thing that no
 * figure tells may range over all mixtures within the rounding.  Method:
 * reference/methods.md, Composition.
 */

#include <math.h>
#include <stdlib.h>

#include "quantity/components.h"
#include "quantity/label_text.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/label_charge.h"
#include "solve/lp.h"
#include "table_words.h"
#include "table_refusals.h"

/* Of a gram: salts are dried or hydrated otherwise than the catalogue's. */
static const double most_mass = 1.02;
/* What the catalogue's own figures leave open of a salt. */
static const double slack = 0.005;
/* mg/g of what is printed of nothing, and a miss that is none. */
static const double unprinted = 1, no_miss = 1e-4;
/* Pivots of all programs of a label; a few hundred are needed. */
enum { MOST_PIVOTS = 100000 };
/* What ranges by less than this is known (common practice, no source). */
static const double known_mg_per_g = 10, known_share = 0.1;
/* What is taken of a figure besides what it prints, as its share, that is told
 * (common practice, no source). */
static const double overruled = 0.25;

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
    sw_product *product;
    bool settled;
    sw_form form;
    sw_lp *lp;
    sw_error *error;
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

static size_t column_of(const fitting *f, size_t row, int which)
{
    return f->list.count + PER_FIGURE * row + (size_t)which;
}

/* Divides a row by a power of two near its largest coefficient; answers it. */
static double scale_row(fitting *f, size_t i)
{
    double *row = sw_form_at(&f->form, i, 0);
    return sw_row_scale(row, f->form.columns,
                        sw_row_largest(row, f->form.columns));
}

/* Rows: of each figure, of the mass, and of what all that is missed costs: in
 * units of the last digit, out of bounds far more. */
static void put_figure(fitting *f, size_t i)
{
    static const double out_of_bounds = 1e3;
    const figure *g = &f->figures[i];
    double digit = g->above > 0 ? g->above : unprinted;
    for (size_t j = 0; j < f->list.count; j++)
        *sw_form_at(&f->form, i, j) =
            f->list.sources[j].per_g.amount[g->carried];
    for (int which = 0; which < PER_FIGURE; which++) {
        bool less = which == LESS || which == FAR_LESS;
        bool far = which == FAR_LESS || which == FAR_MORE;
        size_t column = column_of(f, i, which);
        *sw_form_at(&f->form, i, column) = less ? 1 : -1;
        *sw_form_at(&f->form, f->figure_count + 1, column) =
            (far ? out_of_bounds : 1) / digit;
        f->form.high[column] = far ? INFINITY : less ? g->below : g->above;
    }
    f->form.row_low[i] = f->form.row_high[i] = g->value / scale_row(f, i);
}

static void load(sw_solver *solver, fitting *f)
{
    static const sw_form empty;
    size_t mass = f->figure_count, missed = mass + 1;
    f->form = sw_form_wider(solver, &empty, column_of(f, mass, 0), missed + 1);
    for (size_t j = 0; j < f->list.count; j++) {
        f->form.high[j] = INFINITY;
        *sw_form_at(&f->form, mass, j) = 1;
    }
    for (size_t i = 0; i < f->figure_count; i++)
        put_figure(f, i);
    f->form.row_low[mass] = f->form.row_low[missed] = -INFINITY;
    f->form.row_high[mass] = most_mass;
    f->form.row_high[missed] = INFINITY;
    scale_row(f, missed);
    f->lp = sw_lp_new(solver, &f->form);
    sw_lp_set_costs(f->lp, sw_form_at(&f->form, missed, 0));
}

static sw_status solve(fitting *f)
{
    return sw_lp_solve(f->lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL
               ? SW_OK
               : sw_fail(f->error, SW_BAD_LABEL_UNFITTED);
}

/* By how much a figure is out of its bounds, mg/g. */
static double miss_of(const fitting *f, size_t i)
{
    return sw_lp_value(f->lp, column_of(f, i, FAR_MORE)) -
           sw_lp_value(f->lp, column_of(f, i, FAR_LESS));
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
            size_t column = column_of(f, i, which);
            double left = sw_lp_value(f->lp, column) + 1e-9;
            sw_lp_bound_column(f->lp, column, 0, left);
        }
}

/* Keeps what is missed at the least of it. */
static void hold_misses(fitting *f)
{
    size_t row = f->figure_count + 1;
    double least = 0;
    for (size_t j = 0; j < f->form.columns; j++)
        least += *sw_form_at(&f->form, row, j) * sw_lp_value(f->lp, j);
    sw_lp_bound_row(f->lp, row, -INFINITY, least * (1 + 1e-6) + 1e-9);
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
static sw_status extreme(fitting *f, int carried, double sign, double *sum,
                         double *amount)
{
    for (size_t j = 0; j < f->form.columns; j++)
        sw_lp_set_cost(f->lp, j,
                       j < f->list.count
                           ? sign * f->list.sources[j].per_g.amount[carried]
                           : 0);
    sw_status status = solve(f);
    *amount = 0;
    for (size_t j = 0; status == SW_OK && j < f->list.count; j++) {
        double g_per_g = fmax(0, sw_lp_value(f->lp, j));
        *amount += g_per_g * f->list.sources[j].per_g.amount[carried];
        if (sum)
            sum[j] += g_per_g;
    }
    return status;
}

/* Ends of the mixtures that the program now has. */
static sw_status find_ends(fitting *f, range ranges[ASKED], double *sum)
{
    sw_status status = SW_OK;
    for (int k = 0; status == SW_OK && k < ASKED; k++) {
        status = extreme(f, asked[k], 1, sum, &ranges[k].low);
        if (status == SW_OK)
            status = extreme(f, asked[k], -1, sum, &ranges[k].high);
    }
    return status;
}

/* The middle of the closest mixtures, then the ends of all. */
static sw_status find_ranges(fitting *f, range ranges[ASKED])
{
    double sum[SW_LIST_SALTS] = {0};
    hold_misses(f);
    sw_status status = find_ends(f, ranges, sum);
    for (size_t j = 0; j < f->list.count; j++)
        f->list.sources[j].g_per_g = sum[j] / (2 * ASKED);
    sw_lp_bound_row(f->lp, f->figure_count + 1, -INFINITY, INFINITY);
    return status == SW_OK ? find_ends(f, ranges, NULL) : status;
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
    sw_notes_add(&f->product->remarks, SW_SAY_LABEL_LIST_MISSES,
                 f->product_name, name, g->value / 10,
                 (g->value + far + (far > 0 ? g->above : -g->below)) / 10);
}

static sw_status ask_forms(const fitting *f, const range ranges[ASKED])
{
    char list[120] = "";
    for (int k = 4; k < ASKED; k++)
        sw_text_join(list, sizeof list, ", ", "%s %.3g to %.3g %%",
                     sw_component_name((sw_component)asked[k]),
                     ranges[k].low / 10, ranges[k].high / 10);
    return sw_fail_at(f->error, &(sw_place){NULL, 0, f->label->n_column},
                      SW_BAD_LABEL_N_OPEN, f->label->n_total_mg_per_g / 10,
                      list);
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
static void say_fit(const fitting *f, const range ranges[ASKED])
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
        double least =
            known ? f->product->per_g.amount[asked[k]] : ranges[k].low;
        sw_text_join(ions, sizeof ions, ", ", "%s %s%s%s %%",
                     sw_component_name((sw_component)asked[k]),
                     sw_figure(fmax(0, least) / 10, low), known ? "" : " to ",
                     known ? "" : sw_figure(ranges[k].high / 10, high));
    }
    sw_notes_add(&f->product->remarks, SW_SAY_LABEL_DERIVED, f->product_name,
                 ions, salts);
}

/* A label may cut its last digit off, so that a fit may take up to twice what
 * it prints: that is said, and the charge of the printed figure stays possible.
 */
static void say_overruled(fitting *f)
{
    sw_product *product = f->product;
    double higher = 0; /* alkalinity, meq/g, with the figures as printed */
    for (size_t i = 0; i < f->figure_count; i++) {
        const figure *g = &f->figures[i];
        sw_component c = (sw_component)g->carried;
        double more = product->per_g.amount[c] - g->value;
        if (!(g->value > 0) || c >= SW_N ||
            fabs(more) <= fmax(overruled * g->value, unprinted))
            continue;
        higher -= more * sw_charge_per_mg(c);
        sw_notes_add(&product->remarks, SW_SAY_LABEL_OVERRULED, f->product_name,
                     sw_component_name(c), g->value / 10,
                     (g->value + more) / 10, 100 * more / g->value);
    }
    product->open_acid_meq_per_g = fmax(product->open_acid_meq_per_g, -higher);
    product->open_base_meq_per_g = fmax(product->open_base_meq_per_g, higher);
}

static sw_status fit(sw_solver *solver, void *context)
{
    fitting *f = context;
    range ranges[ASKED];
    load(solver, f);
    sw_status status = solve(f);
    if (status != SW_OK)
        return status;
    size_t worst = find_miss(f);
    if (worst < f->figure_count) {
        say_miss(f, worst);
        return SW_OK;
    }
    close_bounds(f);
    status = find_ranges(f, ranges);
    for (int k = 4; status == SW_OK && k < ASKED && f->label->n_open; k++)
        if (!f->label->printed[asked[k]] && !is_known(&ranges[k]))
            status = ask_forms(f, ranges);
    if (status != SW_OK)
        return status;
    take_ions(f, ranges, f->product);
    say_fit(f, ranges);
    if (!f->label->alkalinity_given)
        say_overruled(f);
    f->settled = true;
    return SW_OK;
}

static sw_status fit_over_net(fitting *f)
{
    sw_solver *solver;
    sw_status status = sw_solver_new(&solver, f->error);
    if (status != SW_OK)
        return status;
    solver->pivot_limit = MOST_PIVOTS;
    status = sw_solver_run(solver, fit, f);
    if (status == SW_ERR_MEMORY)
        sw_fail_memory(f->error);
    sw_solver_free(solver);
    return status;
}

sw_status sw_label_derive(const sw_label *label, const char *name,
                          sw_product *product, bool *settled, sw_error *error)
{
    char unknown[SW_LIST_NAME];
    *settled = false;
    fitting *f = calloc(1, sizeof *f);
    if (!f)
        return sw_fail_memory(error);
    f->label = label;
    f->product_name = name;
    f->product = product;
    f->error = error;
    sw_status status =
        sw_label_list_read(label->derived, &f->list, unknown, error);
    bool known = status == SW_OK && f->list.count > 0 && !*unknown;
    if (status == SW_OK && *unknown)
        sw_notes_add(&product->remarks, SW_SAY_LABEL_SALT_UNKNOWN, unknown,
                     name);
    if (known) {
        add_figures(f);
        status = fit_over_net(f);
    }
    *settled = f->settled;
    if (status == SW_OK)
        status = sw_notes_status(&product->remarks, error);
    free(f);
    return status;
}
