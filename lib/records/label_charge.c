/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid, base or salt: what a label's product is, from what is said of it, from
 * the salts its digits fit, and else as a neutral salt with undeclared ions.
 */
#include "records/label_charge.h"

#include <math.h>

#include "quantity/components.h"
#include "quantity/formula.h"
#include "quantity/label.h"
#include "quantity/label_claims.h"
#include "quantity/label_text.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "records/catalogue.h"
#include "table_words.h"
#include "table_refusals.h"

/* How well a label has to fit a salt (common practice, no source). */
typedef struct demand {
    double slack;            /* of each figure, beyond its rounding */
    double least, most;      /* mass of the salt in a gram */
    double foreign_mg_per_g; /* of each component the salt has none of */
} demand;

/* Found by its digits alone a salt must be of commercial grade; one that was
 * named may be dissolved, or be analysed somewhat differently. */
static const demand of_digits = {0.005, 0.90, 1.02, 15};
static const demand of_a_name = {0.10, 0.005, 1.06, 40};

/* A gap above this, of the sum of charges, contradicts a salt's name. */
static const double contradicting = 0.15;
/* meq/g that is no charge. */
static const double no_charge = 1e-6;
/* Equivalents of base a mole of silicon can go with: orthosilicate. */
static const double base_per_silicon = 4;

typedef struct settling {
    const sw_label *label;
    sw_product *product;
    double charges_meq_per_g; /* printed, bases included */
} settling;

/* A salt of which a gram of the product holds `share`. */
typedef struct fit {
    sw_salt salt;
    sw_content content;
    double share;
    int figures; /* of the label that are of the salt */
} fit;

static double alkalinity_of(const fit *f)
{
    return f->share * f->content.amount[SW_ALKALINITY];
}

/* ---- What fits ---------------------------------------------------------- */

/* Bags print nutrients, and these are often none. */
static bool is_often_left_out(int component)
{
    return component == SW_S || component == SW_CL || component == SW_NA;
}

/* The shares at which each figure of the label is that of the salt. */
static bool fits(const sw_label *label, const demand *d, fit *f)
{
    double least = d->least;
    double most = d->most;
    double printed = 0;
    double pure = 0;
    f->figures = 0;
    for (int i = 0; i < SW_N; i++) {
        double has = f->content.amount[i];
        double low = label->per_g.amount[i] - label->below_mg_per_g[i];
        double high = label->per_g.amount[i] + label->above_mg_per_g[i];
        if (has > 0 && label->printed[i]) {
            least = fmax(least, low * (1 - d->slack) / has);
            most = fmin(most, high * (1 + d->slack) / has);
            printed += (low + high) / 2;
            pure += has;
            f->figures++;
        } else if (has > 0 ? !is_often_left_out(i) : low > d->foreign_mg_per_g)
            return false;
    }
    f->share = fmin(1, fmax(least, fmin(most, printed / pure)));
    return pure > 0 && least <= most;
}

/* A row of the catalogue, or SW_ERR_NAME where it has no formula. */
static bool content_of(const char *formula, fit *f)
{
    return *formula &&
           sw_formula_content(formula, 1, &f->content, NULL, NULL) == SW_OK;
}

/* What labels of salts need not print. */
static const sw_component rest[] = {SW_CARBON, SW_CITRATE, SW_S, SW_CL, SW_NA};

static void take_rest(settling *s, const fit *f)
{
    for (size_t k = 0; k < sizeof rest / sizeof *rest; k++) {
        double *amount = &s->product->per_g.amount[rest[k]];
        double brought = f->share * f->content.amount[rest[k]];
        if (*amount > 0 || !(brought > 0))
            continue;
        *amount = brought;
        s->product->taken_as = f->salt.name;
    }
}

static void take(settling *s, const fit *f)
{
    double alkalinity = alkalinity_of(f);
    s->product->per_g.amount[SW_ALKALINITY] = alkalinity;
    if (fabs(alkalinity) > no_charge)
        s->product->taken_as = f->salt.name;
    take_rest(s, f);
}

/* An acid or basic salt whole, since its charge belongs to its nutrients, which
 * stay within what their digits leave open. */
static void take_all(settling *s, const fit *f)
{
    take(s, f);
    for (int i = 0; fabs(alkalinity_of(f)) > no_charge && i <= SW_N; i++)
        s->product->per_g.amount[i] = f->share * f->content.amount[i];
}

/* A salt that was named: whole where the digits are its own. */
static bool take_if_fits(settling *s, fit *f)
{
    if (fits(s->label, &of_digits, f))
        take_all(s, f);
    else if (fits(s->label, &of_a_name, f))
        take(s, f);
    else
        return false;
    return true;
}

/* ---- What is said of it ------------------------------------------------- */

static bool take_formula(settling *s, const char *formula)
{
    fit f = {.salt = {.name = formula}};
    return formula && content_of(formula, &f) && take_if_fits(s, &f);
}

/* Beyond rounding: the least gap there is, with its sign; 0: none. */
static double open_gap(const settling *s, double alkalinity)
{
    double gap = s->label->gap_meq_per_g - alkalinity;
    return sw_label_closes(s->label, gap, s->charges_meq_per_g) ? 0 : gap;
}

/* Of the salts of that name the one it fits; or all of them neutral. */
static bool take_named(settling *s, const char *name)
{
    sw_catalogue_matches found = sw_catalogue_match(name);
    bool neutral = found.count > 0;
    for (size_t i = 0; i < found.count; i++) {
        fit f = {.salt = sw_catalogue_salt(found.index[i])};
        if (!content_of(f.salt.formula, &f))
            return false;
        if (take_if_fits(s, &f))
            return true;
        neutral = neutral && fabs(f.content.amount[SW_ALKALINITY]) < no_charge;
    }
    return neutral &&
           fabs(open_gap(s, 0)) <= contradicting * s->charges_meq_per_g;
}

static bool take_said(settling *s, const sw_label_names *names)
{
    const sw_label *l = s->label;
    double *alkalinity = &s->product->per_g.amount[SW_ALKALINITY];
    const char *name = names->name ? names->name : "";
    if (l->alkalinity_given || take_formula(s, names->formula) ||
        take_named(s, name))
        return true;
    *alkalinity = l->base_meq_per_g;
    if (l->base_meq_per_g > 0)
        return true;
    if (!(open_gap(s, 0) < 0) || !sw_label_says(name, SW_LABEL_ACID))
        return false;
    *alkalinity = l->gap_meq_per_g;
    return true;
}

/* ---- What its digits say ------------------------------------------------ */

/* Whether both bring the same besides what is printed. */
static bool same_rest(const fit *a, const fit *b)
{
    double charge = alkalinity_of(a) - alkalinity_of(b);
    if (fabs(charge) > 0.1 * fabs(alkalinity_of(a)))
        return false;
    for (size_t k = 0; k < sizeof rest / sizeof *rest; k++) {
        double in_a = a->share * a->content.amount[rest[k]];
        double in_b = b->share * b->content.amount[rest[k]];
        if (fabs(in_a - in_b) > 0.1 * fmax(in_a, in_b))
            return false;
    }
    return true;
}

/* The salts of the catalogue that the digits fit: dry ones, so none of a label
 * that gives a density, and sulfates, so none of one that is called a
 * thiosulfate, whose digits are those of a bisulfate. */
typedef struct candidates {
    fit first;
    size_t count;
    bool alike;
    double least, most; /* alkalinity, meq/g */
} candidates;

/* Which chelator it is the figures of a metal do not tell. */
static bool holds_chelate(const sw_content *per_g)
{
    const double *a = per_g->amount;
    return a[SW_CHELATED_FE] + a[SW_CHELATED_MN] + a[SW_CHELATED_ZN] +
               a[SW_CHELATED_CU] >
           0;
}

static candidates find_candidates(const settling *s, const char *name)
{
    candidates c = {.alike = true};
    bool dissolved =
        s->label->density_g_per_ml > 0 || s->product->density_g_per_ml > 0;
    bool other = sw_label_says(name, SW_LABEL_NO_SULFATE);
    size_t count = dissolved || other ? 0 : sw_catalogue_count();
    for (size_t i = 0; i < count && !holds_chelate(&s->label->per_g); i++) {
        fit f = {.salt = sw_catalogue_salt(i)};
        if (f.salt.is_liquid || !content_of(f.salt.formula, &f) ||
            holds_chelate(&f.content) || !fits(s->label, &of_digits, &f))
            continue;
        double alkalinity = alkalinity_of(&f);
        if (!c.count++)
            c.first = f;
        c.alike = c.alike && same_rest(&c.first, &f);
        c.least = fmin(c.least, alkalinity);
        c.most = fmax(c.most, alkalinity);
    }
    return c;
}

/* Cations, traces among them (side 1), or the anions of acids (-1). */
static bool has_any(const sw_label *label, int side)
{
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        sw_component c = (sw_component)i;
        bool counts = side > 0 || !sw_component_is(c, SW_IS_TRACE);
        if (label->per_g.amount[c] > 0 && counts &&
            side * sw_charge_in_water(c) > 0)
            return true;
    }
    return false;
}

/*
 * Anions alone are also the acid's, and may be taken as nothing else; a single
 * cation is also the hydroxide's, unless it reaches the grade of its salt.
 */
static bool may_be_caustic(const sw_label *label, const fit *f)
{
    if (has_any(label, -1) && !has_any(label, 1))
        return !(alkalinity_of(f) < -no_charge);
    return f->figures == 1 && !has_any(label, -1) &&
           f->share <= of_digits.least;
}

/*
 * The salt that the digits fit.  Where several do that differ, or a single
 * figure would make it an acid or a base (33 % K2O alone, a bisulfate), it
 * counts as neutral, and how far they would move the charge is left open.
 */
static bool take_fitting(settling *s, const candidates *c)
{
    bool neutral = c->most - c->least < no_charge;
    if (c->count && c->alike && (neutral || c->first.figures > 1) &&
        !may_be_caustic(s->label, &c->first)) {
        take_all(s, &c->first);
        return true;
    }
    s->product->open_acid_meq_per_g = -c->least;
    s->product->open_base_meq_per_g = c->most;
    return false;
}

/* Silicon dissolves as the silicate of potassium or sodium. */
static bool take_silicate(settling *s)
{
    double silicon = s->label->per_g.amount[SW_SI] / sw_element_weight("Si");
    double gap = s->label->gap_meq_per_g;
    if (!(silicon > 0) || !(gap > 0) || gap > base_per_silicon * silicon ||
        has_any(s->label, -1))
        return false;
    s->product->per_g.amount[SW_ALKALINITY] = gap;
    return true;
}

/* ---- What stays open ---------------------------------------------------- */

/* Potassium, sodium or ammonium and nothing else that has a charge. */
static bool has_alkali_alone(const sw_label *label)
{
    double alkali = 0;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        bool is_alkali = i == SW_K || i == SW_NA || i == SW_NH4_N;
        double amount = label->per_g.amount[i];
        if (is_alkali)
            alkali += amount;
        else if (amount > 0 && sw_charge_in_water((sw_component)i) != 0)
            return false;
    }
    return alkali > 0 && !(label->per_g.amount[SW_SI] > 0);
}

/* Anions and no cation, or an alkali and no anion: acid, salt and base print
 * alike, unless a silicate's or an alkali's figure is that of a salt. */
static sw_status ask(const settling *s, bool fitting, sw_error *error)
{
    const sw_label *l = s->label;
    bool silicon = l->per_g.amount[SW_SI] > 0;
    bool cations = has_any(l, 1);
    bool anions = has_any(l, -1);
    if (!cations && (anions || (silicon && !fitting)))
        return sw_fail(error, SW_BAD_LABEL_NO_CATION,
                       l->per_g.amount[SW_P] > 0 ? "phosphate" : "anions",
                       l->gap_meq_per_g);
    if (fitting || !has_alkali_alone(l))
        return SW_OK;
    return sw_fail(error, SW_BAD_LABEL_NO_ANION, l->gap_meq_per_g);
}

/* Phosphate beside urea may be urea phosphate, an acid, wherever an anion may
 * be missing that hides it. */
static double urea_phosphate_of(const sw_label *label)
{
    const double *a = label->per_g.amount;
    bool all_printed = label->printed[SW_S] && label->printed[SW_CL];
    return all_printed ? 0
                       : fmin(a[SW_P] / sw_element_weight("P"),
                              a[SW_UREA_N] / sw_element_weight("N") / 2);
}

/*
 * A neutral salt.  What is missing, rounding included, may be acid instead,
 * also where anions are missing (bisulfate), or base: beside ammonium, which a
 * stronger base drives out as ammonia, no more than the phosphate takes.
 */
static void leave_open(settling *s, double gap)
{
    const sw_label *l = s->label;
    double phosphate = (l->per_g.amount[SW_P] + l->above_mg_per_g[SW_P]) /
                       sw_element_weight("P");
    bool ammonium = l->per_g.amount[SW_NH4_N] > 0;
    double anions = gap > 0 ? gap + l->gap_above_meq_per_g : 0;
    double cations = gap < 0 ? l->gap_below_meq_per_g - gap : 0;
    double *acid = &s->product->open_acid_meq_per_g;
    double *base = &s->product->open_base_meq_per_g;
    *acid = fmax(*acid, fmax(fmax(anions, cations), urea_phosphate_of(l)));
    *base = fmax(*base, ammonium ? fmin(anions, phosphate) : anions);
}

static const char *called(const sw_label_names *names)
{
    return names->name && *names->name ? names->name : "the product";
}

/*
 * A list whose salts settle nothing still names its acid or hydroxide.  One of
 * nothing else leaves no other ion: what is without a counter-ion is acid or
 * base.  Beside salts that may be theirs, and is asked about.
 */
static sw_status take_listed(settling *s, const sw_label_names *names,
                             bool *settled, sw_error *error)
{
    sw_label_kinds kinds = sw_label_list_kinds(s->label->derived);
    double gap = s->label->gap_meq_per_g;
    bool one_sided = kinds.acids + kinds.bases == kinds.names &&
                     (kinds.acids ? gap < 0 || kinds.bases : gap > 0);
    *settled = (kinds.acids || kinds.bases) && take_formula(s, names->formula);
    if (*settled || !(kinds.acids || kinds.bases))
        return SW_OK;
    if (!one_sided || s->label->base_meq_per_g > 0)
        return sw_fail(error, SW_BAD_LABEL_ACID_LEFT);
    s->product->per_g.amount[SW_ALKALINITY] = gap;
    s->product->open_acid_meq_per_g = s->product->open_base_meq_per_g = 0;
    sw_notes_add(&s->product->remarks, SW_SAY_LABEL_LIST_ACID, called(names),
                 gap < 0 ? "acid" : "base", fabs(gap));
    *settled = true;
    return SW_OK;
}

static sw_status settle(settling *s, const sw_label_names *names,
                        sw_error *error)
{
    double *amount = s->product->per_g.amount;
    if (!take_said(s, names)) {
        candidates c = find_candidates(s, names->name ? names->name : "");
        bool settled = take_fitting(s, &c) || take_silicate(s);
        bool fitting =
            c.count > 1 || (c.count && !may_be_caustic(s->label, &c.first));
        sw_status status = settled ? SW_OK : ask(s, fitting, error);
        if (status != SW_OK)
            return status;
        if (!settled)
            leave_open(s, open_gap(s, 0));
    }
    if (!s->product->taken_as)
        amount[SW_UNDECLARED] = open_gap(s, amount[SW_ALKALINITY]);
    return SW_OK;
}

/* Figures of elements that may be those of oxides. */
static void remark_oxides(settling *s, const char *name)
{
    char meant[SW_LABEL_REREAD_BYTES];
    double gap = s->product->per_g.amount[SW_UNDECLARED];
    if (gap > 0 && sw_label_reread(s->label, meant))
        sw_notes_add(&s->product->remarks, SW_SAY_LABEL_OXIDE, name, gap,
                     meant);
}

/* What was read otherwise than it may look. */
static sw_status remark(settling *s, const sw_label_names *names,
                        sw_error *error)
{
    const sw_label *label = s->label;
    sw_notes *remarks = &s->product->remarks;
    const char *name = called(names);
    double n = sw_sum_of(&s->product->per_g, SW_IS_FORM);
    if (s->product->chelator_open && label->chelators_listed)
        sw_notes_add(remarks, SW_SAY_LABEL_CHELATORS, name,
                     sw_chelator_word(s->product->chelator));
    else if (s->product->chelator_open && *label->untabled)
        sw_notes_add(remarks, SW_SAY_LABEL_CHELATOR_UNTABLED, label->untabled,
                     name);
    else if (s->product->chelator_open)
        sw_notes_add(remarks, SW_SAY_LABEL_CHELATOR_OPEN, name);
    if (label->n_unformed_mg_per_g > 0)
        sw_notes_add(remarks, SW_SAY_LABEL_UNFORMED,
                     100 * label->n_unformed_mg_per_g / n, name);
    if (*label->lost)
        sw_notes_add(remarks, SW_SAY_LABEL_LOST, label->lost, name);
    if (*label->unread)
        sw_notes_add(remarks, SW_SAY_LABEL_UNREAD, name, label->unread);
    remark_oxides(s, name);
    return sw_notes_status(remarks, error);
}

/* By the salts on the label, else by what else there is to go by. */
static sw_status settle_all(settling *s, const sw_label_names *names,
                            sw_error *error)
{
    bool settled = false;
    sw_status status = SW_OK;
    if (*s->label->derived)
        status = sw_label_derive(s->label, called(names), s->product, &settled,
                                 error);
    if (status != SW_OK || (settled && !s->label->alkalinity_given))
        return status;
    if (s->label->n_open && !settled)
        return sw_label_ask_forms(s->label, error);
    if (*s->label->derived && !settled && !s->label->alkalinity_given) {
        status = take_listed(s, names, &settled, error);
        if (status != SW_OK || settled)
            return status;
    }
    if (!settled)
        return settle(s, names, error);
    s->product->per_g.amount[SW_ALKALINITY] =
        s->label->per_g.amount[SW_ALKALINITY];
    s->product->open_acid_meq_per_g = s->product->open_base_meq_per_g = 0;
    return SW_OK;
}

sw_status sw_label_compose(const char *text, const sw_label_names *names,
                           sw_product *product, sw_error *error)
{
    sw_label label;
    sw_status status = sw_label_read(text, names->name,
                                     product->density_g_per_ml, &label, error);
    if (status != SW_OK)
        return status;
    settling s = {&label, product,
                  sw_content_charges(&label.per_g) + label.base_meq_per_g};
    product->per_g = label.per_g;
    if (label.chelator != SW_CHELATOR_NONE)
        product->chelator = label.chelator;
    product->chelator_open = label.chelator_open;
    if (label.density_g_per_ml > 0)
        product->density_g_per_ml = label.density_g_per_ml;
    status = settle_all(&s, names, error);
    if (status == SW_OK)
        status = remark(&s, names, error);
    return status;
}
