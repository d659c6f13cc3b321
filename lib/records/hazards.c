/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A product is in the classes of the substance it is: by its name or formula,
 * or where its content is that of a known salt or acid at some strength.  What
 * is none of these is judged by what it declares.  Rules: reference/methods.md,
 * Hazards.
 */
#include "records/hazards.h"

#include "quantity/components.h"
#include "quantity/formula.h"
#include "quantity/text.h"
#include "table_hazard_classes.h"
#include "table_hazards.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef sw_hazards_row row;

/* Most of a whole per cent, which labels round down to, mg/g and meq/g; of what
 * is much, a share; and rounding of a formula's weights. */
static const double label_room_mg = 8.0, label_room_meq = 1.0;
static const double share_room = 0.07, formula_room = 1e-3;
static const char declared[] = "declared ";

/* ---- Which substance --------------------------------------------------- */

/* A product, the keys it may be called by, "" where it has none, and the pure
 * substance it was held against last, which has a row for each strength. */
typedef struct asked {
    const sw_product *product;
    char formula[SW_KEY_SIZE], name[SW_KEY_SIZE];
    char substance[64];
    sw_content pure;
    sw_status status;
} asked;

/* No substance of the table has more; traces are added to many. */
static const int most_parts = 3;

static bool is_mixture(const sw_product *p)
{
    int parts = 0;
    for (int i = 0; i < SW_N; i++)
        parts += p->per_g.amount[i] > label_room_mg &&
                 !sw_component_is((sw_component)i, SW_IS_TRACE);
    return parts > most_parts;
}

/* Per cent by mass of a pure substance that carries what `p` does; NaN where
 * none does. */
static double share_of_content(const sw_content *pure, const sw_product *p)
{
    double most = 0.0, share = NAN;
    for (int i = 0; i < SW_N; i++)
        if (pure->amount[i] > most) {
            most = pure->amount[i];
            share = p->per_g.amount[i] / most;
        }
    if (!(share > 0.0))
        return NAN;
    for (int i = 0; i < SW_CHELATE_CHARGE; i++) {
        double wanted = share * pure->amount[i];
        double room = (p->label ? share_room : formula_room) * fabs(wanted);
        bool trace = sw_component_is((sw_component)i, SW_IS_TRACE);
        if (p->label && (wanted != 0.0 || !trace)) /* a trace is added */
            room = fmax(room, i < SW_N ? label_room_mg : label_room_meq);
        if (i != SW_N && fabs(p->per_g.amount[i] - wanted) > room + 1e-6)
            return NAN;
    }
    return 100.0 * share;
}

typedef double share_finder(const row *r, asked *a);

static bool is_on_content(const row *r)
{
    return strncmp(r->substance, declared, sizeof declared - 1) == 0;
}

/* Each: per cent by mass of what the row is on in the product; NaN: none of
 * that.  By name or formula; */
static double share_by_name(const row *r, asked *a)
{
    double purity = a->product->purity;
    if (is_on_content(r) || (!sw_text_listed(r->substance, a->formula) &&
                             !sw_text_listed(r->substance, a->name)))
        return NAN;
    return isnan(purity) ? 100.0 : 100.0 * purity;
}

/* by what it carries; */
static double share_by_content(const row *r, asked *a)
{
    char first[64];
    (void)snprintf(first, sizeof first, "%.*s", (int)strcspn(r->substance, "|"),
                   r->substance);
    if (strchr(first, ' ')) /* a name */
        return NAN;
    if (strcmp(first, a->substance) != 0) {
        memcpy(a->substance, first, strlen(first) + 1);
        a->status = sw_formula_content(first, 1.0, &a->pure, NULL, NULL);
    }
    return a->status == SW_OK ? share_of_content(&a->pure, a->product) : NAN;
}

/* ---- What it declares -------------------------------------------------- */

/* As sodium hydroxide; the salts of weak acids are none. */
static double base_mg_per_g(const sw_content *c)
{
    bool weak = c->amount[SW_P] > 0.0 || c->amount[SW_B] > 0.0 ||
                c->amount[SW_CARBON] > 0.0 || c->amount[SW_CITRATE] > 0.0;
    return weak ? 0.0 : 39.997 * fmax(0.0, c->amount[SW_ALKALINITY]);
}

/* by what it declares. */
static double share_declared(const row *r, asked *a)
{
    if (!is_on_content(r))
        return NAN;
    const sw_product *p = a->product;
    const char *what = r->substance + sizeof declared - 1;
    const sw_content *c = &p->per_g;
    const bool solid = isnan(p->density_g_per_ml);
    const struct {
        const char *name;
        double mg_per_g;
    } known[] = {
        /* 80.043 g of it hold 14.007 g of either N */
        {"NH4NO3", solid ? 80.043 / 14.007 *
                               fmin(c->amount[SW_NH4_N], c->amount[SW_NO3_N])
                         : 0.0},
        {"acid", 63.012 * fmax(0.0, -c->amount[SW_ALKALINITY])}, /* HNO3 */
        {"base", base_mg_per_g(c)},
    };
    sw_component metal = sw_component_called(what);
    if (metal < SW_COMPONENT_COUNT)
        return fmax(0.0, sw_unchelated_mg(c, metal)) / 10.0;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].name, what) == 0)
            return known[i].mg_per_g / 10.0;
    return NAN;
}

/* ---- Classes ----------------------------------------------------------- */

/* The class called "Skin Corr. 1B H314" at the start of `list`; the count of
 * classes where there is none. */
static size_t class_at(const char *list)
{
    size_t length = strcspn(list, "|");
    size_t i = 0;
    for (; i < sw_hazard_classes_count; i++) {
        const sw_hazard_classes_row *c = &sw_hazard_classes_table[i];
        size_t code = strlen(c->code), before = strlen(c->class);
        if (length == before + (before > 0) + code &&
            strncmp(list, c->class, before) == 0 &&
            (before == 0 || list[before] == ' ') &&
            strncmp(list + length - code, c->code, code) == 0)
            break;
    }
    return i;
}

/* In its place by strength; of two with one code the stronger stays. */
static void add_class(sw_hazards *to, size_t rank, const row *from)
{
    const sw_hazard_classes_row *c = &sw_hazard_classes_table[rank];
    size_t at = 0;
    while (at < to->count && to->items[at].rank < rank)
        at++;
    for (size_t i = 0; i < to->count; i++)
        if (strcmp(to->items[i].code, c->code) == 0) {
            if (i < at || to->items[i].rank == rank)
                return;
            to->count--;
            memmove(&to->items[i], &to->items[i + 1],
                    (to->count - i) * sizeof *to->items);
        }
    if (to->count == SW_MAX_HAZARDS)
        return;
    memmove(&to->items[at + 1], &to->items[at],
            (to->count - at) * sizeof *to->items);
    to->items[at] = (sw_hazard){.ghs_class = c->class,
                                .code = c->code,
                                .signal = (sw_severity)c->signal,
                                .statement = c->statement,
                                .known = from->known,
                                .source = from->source,
                                .rank = rank};
    to->count++;
}

static void add_row(sw_hazards *to, const row *from)
{
    to->known = from->known;
    to->source = from->source;
    for (const char *list = from->classes; *list;) {
        size_t rank = class_at(list);
        if (rank < sw_hazard_classes_count)
            add_class(to, rank, from);
        list += strcspn(list, "|");
        list += *list == '|';
    }
}

/* What a stronger one says too: burns, of irritation. */
static void drop_covered(sw_hazards *all)
{
    size_t kept = 0;
    for (size_t i = 0; i < all->count; i++) {
        char key[SW_KEY_SIZE];
        bool covered = false;
        sw_text_key(all->items[i].code, key);
        for (size_t k = 0; k < i && !covered; k++)
            covered = sw_text_listed(
                sw_hazard_classes_table[all->items[k].rank].covers, key);
        if (!covered)
            all->items[kept++] = all->items[i];
    }
    all->count = kept;
}

static bool is_within(const row *r, double percent)
{
    return !(percent < r->from_percent) && !(percent >= r->below_percent);
}

/* False where no row is on this product. */
static bool add_rows(sw_hazards *to, share_finder *find, asked *a)
{
    bool any = false;
    for (size_t i = 0; i < sw_hazards_count; i++) {
        const row *r = &sw_hazards_table[i];
        double percent = find(r, a);
        any = any || !isnan(percent);
        if (percent > 0.0 && is_within(r, percent))
            add_row(to, r);
    }
    return any;
}

void sw_hazards_find(sw_product *product, bool own_label)
{
    asked a = {.product = product};
    sw_hazards *found = &product->hazards;
    *found = (sw_hazards){.count = 0};
    sw_text_key(product->formula ? product->formula : "", a.formula);
    sw_text_key(product->catalogue_name ? product->catalogue_name : "", a.name);
    bool named = add_rows(found, share_by_name, &a);
    if ((!named || own_label) &&
        (is_mixture(product) || !add_rows(found, share_by_content, &a)))
        (void)add_rows(found, share_declared, &a);
    drop_covered(found);
}

bool sw_has_hazard(const sw_product *product, const char *code)
{
    for (size_t i = 0; i < product->hazards.count; i++)
        if (strcmp(product->hazards.items[i].code, code) == 0)
            return true;
    return false;
}

/* ---- What to wear ------------------------------------------------------ */

/* By the bits of sw_gear. */
static const char *const gears[] = {"goggles", "face shield",
                                    "chemical-resistant gloves", "apron",
                                    "dust mask"};
enum { GEARS = sizeof gears / sizeof *gears };

unsigned sw_gear_of(const sw_product *product)
{
    unsigned sum = 0;
    if (!product)
        return 0;
    for (size_t i = 0; i < product->hazards.count; i++)
        sum |= (unsigned)sw_hazard_classes_table[product->hazards.items[i].rank]
                   .gear;
    /* dust is of solids, fumes are of liquids */
    sum &= ~(unsigned)(isnan(product->density_g_per_ml) ? SW_GEAR_AIR
                                                        : SW_GEAR_MASK);
    return sum | SW_GEAR_GOGGLES | SW_GEAR_GLOVES;
}

void sw_gear_text(unsigned gear, char *text, size_t size)
{
    if (!size)
        return;
    text[0] = '\0';
    for (size_t g = 0; g < GEARS; g++) {
        unsigned worn = gear & ~(unsigned)SW_GEAR_AIR;
        if (!(worn & 1U << g))
            continue;
        bool last = worn < 2U << g;
        sw_text_join(text, size, last ? " and " : ", ", "%s", gears[g]);
    }
}
