/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Greedy: of the products left, in the order of the trade, the first from
 * which nothing new comes out goes in next; where there is none, the one that
 * clouds least.  More water first is tried until nothing clouds.  What the
 * finished mixture is oversaturated with decides nothing, since no order helps
 * it.
 */
#include "stock/mixing_sequence.h"

#include "chemistry/equilibrate.h"
#include "chemistry/lanes.h"
#include "quantity/status.h"
#include "quantity/ties.h"
#include "stock/product_classes.h"
#include "stock/dosing.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { SOLIDS_MAX = SW_STOCK_SOLIDS_MAX };
_Static_assert((int)SW_SOLID_COUNT <= (int)SOLIDS_MAX,
               "a set of solids holds those of a feed too");

/* The water first: shares of the full vessel tried, as far as there is room. */
static const double fills[] = {0.75, 0.9, 0.95};
enum { FILLS = sizeof fills / sizeof *fills };
/* Growth of an index that does not matter. */
static const double hardly = 0.05;
/* Where liquids leave less room than the first of them: in these steps. */
static const double fill_step = 0.05;

/* Everything in one: more than two of the main nutrients. */
static bool is_premix(const sw_product *p)
{
    static const sw_component main_ones[] = {SW_N, SW_P, SW_K, SW_CA, SW_MG};
    int carried = 0;
    for (int i = 0; i < 5; i++)
        carried += p->per_g.amount[main_ones[i]] > 5;
    return carried > 2;
}

sw_turn sw_turn_of(const sw_product *p)
{
    unsigned classes = sw_classes_of(p);
    if (classes & SW_CLASS_SILICATE || p->per_g.amount[SW_SI] > 5)
        return SW_TURN_SILICATE;
    if (classes & SW_CLASS_ACID)
        return SW_TURN_ACID;
    if (classes & SW_CLASS_BASE)
        return SW_TURN_BASE;
    if (is_premix(p))
        return SW_TURN_PREMIX;
    if (classes & SW_CLASS_CALCIUM)
        return SW_TURN_CALCIUM;
    if (classes & SW_CLASS_PHOSPHATE)
        return SW_TURN_PHOSPHATE;
    if (classes & SW_CLASS_CHELATE)
        return SW_TURN_CHELATE;
    if (classes & SW_CLASS_SULFATE && !sw_is_micro(p))
        return SW_TURN_SULFATE;
    return SW_TURN_OTHER;
}

const char *sw_vessel_solid(const sw_vessel *vessel, int solid)
{
    return vessel->solubility ? sw_stock_solid_name((size_t)solid)
                              : sw_solid_name((sw_solid)solid);
}

sw_solids sw_solids_beyond(const sw_solids *set, const sw_solids *other)
{
    sw_solids out;
    for (int i = 0; i < SOLIDS_MAX; i++)
        out.has[i] = set->has[i] && !other->has[i];
    return out;
}

bool sw_solids_any(const sw_solids *set)
{
    for (int i = 0; i < SOLIDS_MAX; i++)
        if (set->has[i])
            return true;
    return false;
}

/* ---- A mixture ---- */

/* What is in the vessel, in all. */
typedef struct contents {
    sw_content water, salts;
    double l;
} contents;

static contents open_vessel(const sw_vessel *v, double l)
{
    contents c = {.l = l};
    sw_content_add(&c.water, l, v->water);
    return c;
}

static void pour(const sw_vessel *v, size_t product, contents *c)
{
    double g = v->g[product];
    sw_content_add(&c->salts, g, &v->shelf->products[product].per_g);
    c->l += g * sw_dose_l_per_g(&v->shelf->products[product]);
}

/* log10 of how far each solid is over saturation; 0 where it is not. */
typedef struct excess {
    double over[SOLIDS_MAX];
    bool unknown;
} excess;

static sw_tank_content litre_of(const contents *c, double dilution)
{
    sw_tank_content per_l = {.make_up = {{0}}};
    sw_content_add(&per_l.make_up, 1 / (c->l * dilution), &c->water);
    sw_content_add(&per_l.salts, 1 / (c->l * dilution), &c->salts);
    return per_l;
}

/* At most SW_LANES reservoirs; where one cannot be told each is asked alone. */
static void judge_reservoirs(const sw_vessel *v, const contents *c,
                             size_t count, double dilution, excess *out)
{
    double index[SW_LANES][SW_SOLID_COUNT];
    sw_content all[SW_LANES] = {{{0}}};
    for (size_t k = 0; k < count; k++) {
        sw_tank_content per_l = litre_of(&c[k], dilution);
        all[k] = per_l.make_up;
        sw_content_add(&all[k], 1, &per_l.salts);
    }
    bool unknown = sw_equilibrate_indices(all, count, &v->conditions, index,
                                          NULL) != SW_OK;
    if (unknown && count > 1) {
        for (size_t k = 0; k < count; k++)
            judge_reservoirs(v, &c[k], 1, dilution, &out[k]);
        return;
    }
    for (size_t k = 0; k < count; k++) {
        out[k] = (excess){.unknown = unknown};
        for (int i = 0; i < SW_SOLID_COUNT && !unknown; i++)
            if (!sw_seldom_forms((sw_solid)i) && index[k][i] > 0)
                out[k].over[i] = index[k][i];
    }
}

/* What a tank may lose of a solid is its report's to say, and no step's. */
static void judge_tank(const sw_vessel *v, const sw_tank_content *per_l,
                       excess *out)
{
    sw_mixture m;
    sw_mixture_make(v->solubility, per_l, 1, &m);
    out->unknown = m.brine.water_kg_per_l <= 0;
    for (size_t i = 0; i < m.deposit_count && !out->unknown; i++) {
        const sw_deposit *d = &m.deposits[i];
        if (d->counts && d->forms)
            out->over[d->solid] = log10(d->degree);
    }
}

static void judge(const sw_vessel *v, const contents *c, double dilution,
                  excess *out)
{
    sw_tank_content per_l = litre_of(c, dilution);
    *out = (excess){.unknown = false};
    if (v->solubility)
        judge_tank(v, &per_l, out);
    else
        judge_reservoirs(v, c, 1, dilution, out);
}

static sw_solids solids_of(const excess *e)
{
    sw_solids set;
    for (int i = 0; i < SOLIDS_MAX; i++)
        set.has[i] = e->over[i] > 0;
    return set;
}

/* Of the solids that an order may still keep away. */
static double sum_of(const excess *e, const sw_solids *beside)
{
    double sum = e->unknown ? 1 : 0;
    for (int i = 0; i < SOLIDS_MAX; i++)
        sum += beside->has[i] ? 0 : e->over[i];
    return sum;
}

/* ---- An order ---- */

typedef struct search {
    const sw_vessel *vessel;
    excess alone;  /* of the water before anything is in it */
    size_t *order; /* all products, in the order of the trade */
    size_t products;
    size_t *left; /* those not yet in, likewise */
    size_t count;
    sw_sequence *found;
    double clouding; /* of all its mixtures */
    /* The mixtures that come next if each product fits, and of them those that
     * are behind already. */
    contents ahead[SW_LANES];
    excess ahead_over[SW_LANES];
    size_t ahead_count, behind;
} search;

/* Silicate after the acid where the water alone clouds already. */
static int rank_of(const search *s, size_t product)
{
    sw_turn turn = sw_turn_of(&s->vessel->shelf->products[product]);
    sw_solids clouds = solids_of(&s->alone);
    bool late = turn == SW_TURN_SILICATE && sw_solids_any(&clouds);
    return late ? 2 * SW_TURN_ACID + 1 : 2 * (int)turn;
}

static void line_up(search *s)
{
    for (size_t j = 0; j < s->vessel->shelf->count; j++) {
        if (!(s->vessel->g[j] > 0))
            continue;
        size_t at = s->products++;
        int rank = rank_of(s, j);
        for (; at > 0 && rank < rank_of(s, s->order[at - 1]); at--)
            s->order[at] = s->order[at - 1];
        s->order[at] = j;
    }
}

static void note_mixture(search *s, size_t product, const contents *c,
                         const excess *e)
{
    s->found->items[s->found->count++] = (sw_poured){
        .product = product, .volume_l = c->l, .clouds = solids_of(e)};
    s->found->unknown = s->found->unknown || e->unknown;
    s->clouding += sum_of(e, &s->found->at_last);
}

/* A product that might be next. */
typedef struct candidate {
    contents with;
    excess e;
    double clouding;
    bool fits; /* nothing new comes out, and hardly more of the rest */
} candidate;

/* As a rule each fits, and a reservoir's are judged in lanes. */
static void look_ahead(search *s, contents c)
{
    size_t most = s->vessel->solubility ? 1 : SW_LANES;
    s->behind = 0;
    s->ahead_count = s->count < most ? s->count : most;
    for (size_t k = 0; k < s->ahead_count; k++) {
        pour(s->vessel, s->left[k], &c);
        s->ahead[k] = c;
    }
    if (s->vessel->solubility)
        judge(s->vessel, &s->ahead[0], 1, &s->ahead_over[0]);
    else
        judge_reservoirs(s->vessel, s->ahead, s->ahead_count, 1, s->ahead_over);
}

static void look_at(search *s, const contents *c, size_t i, double clouding,
                    candidate *out)
{
    const sw_sequence *found = s->found;
    const sw_solids *before = &found->items[found->count - 1].clouds;
    if (i == 0) {
        if (s->behind == s->ahead_count)
            look_ahead(s, *c);
        out->with = s->ahead[s->behind];
        out->e = s->ahead_over[s->behind++];
    } else {
        out->with = *c;
        pour(s->vessel, s->left[i], &out->with);
        judge(s->vessel, &out->with, 1, &out->e);
    }
    out->clouding = sum_of(&out->e, &found->at_last);
    sw_solids after = solids_of(&out->e);
    after = sw_solids_beyond(&after, before);
    after = sw_solids_beyond(&after, &found->at_last);
    out->fits = !sw_solids_any(&after) && !out->e.unknown &&
                out->clouding <= clouding + hardly;
}

/* Pours the first that fits, or else what clouds least; returns how much. */
static double pour_next(search *s, contents *c, double clouding)
{
    candidate best = {.clouding = INFINITY}, next;
    size_t at = 0;
    for (size_t i = 0; i < s->count && !best.fits; i++) {
        look_at(s, c, i, clouding, &next);
        if (!next.fits && !sw_is_less(next.clouding, best.clouding, SW_SOLVED))
            continue;
        best = next;
        at = i;
    }
    if (at != 0)
        s->behind = s->ahead_count;
    note_mixture(s, s->left[at], &best.with, &best.e);
    *c = best.with;
    s->count--;
    memmove(s->left + at, s->left + at + 1, (s->count - at) * sizeof *s->left);
    return best.clouding;
}

static void try_fill(search *s, double fill)
{
    const sw_vessel *v = s->vessel;
    contents c = open_vessel(v, fill * v->full_l);
    s->found->count = 0;
    s->found->unknown = false;
    s->clouding = 0;
    note_mixture(s, SIZE_MAX, &c, &s->alone);
    s->count = s->products;
    memcpy(s->left, s->order, s->count * sizeof *s->left);
    s->behind = s->ahead_count;
    double clouding = s->clouding;
    while (s->count > 0)
        clouding = pour_next(s, &c, clouding);
}

/* The share of the vessel that water may take before anything else. */
static double room_of(const sw_vessel *v)
{
    contents all = {.l = 0};
    for (size_t j = 0; j < v->shelf->count; j++)
        pour(v, j, &all);
    double room = 1 - all.l / v->full_l;
    double most = fmax(fill_step, fill_step * floor(room / fill_step + 1e-9));
    return fmax(most, v->held_l / v->full_l);
}

static sw_solids judge_last(const sw_vessel *v)
{
    contents all = open_vessel(v, v->full_l);
    excess e;
    for (size_t j = 0; j < v->shelf->count; j++)
        pour(v, j, &all);
    all.l = v->full_l;
    judge(v, &all, 1, &e);
    return solids_of(&e);
}

/* ---- What helps ---- */

static bool is_free_of(const sw_vessel *v, const contents *c, double dilution,
                       const sw_solids *solids)
{
    excess e;
    judge(v, c, dilution, &e);
    for (int i = 0; i < SOLIDS_MAX; i++)
        if (solids->has[i] && e.over[i] > 0)
            return false;
    return !e.unknown;
}

static sw_relief relief_of(const sw_vessel *v, const contents *c,
                           const sw_solids *fresh)
{
    contents neutral = *c;
    double *water = &neutral.water.amount[SW_ALKALINITY];
    double *salts = &neutral.salts.amount[SW_ALKALINITY];
    *water = fmin(*water, 0);
    *salts = fmin(*salts, 0);
    return is_free_of(v, &neutral, 1, fresh) ? SW_RELIEF_ACID
           : is_free_of(v, c, 2, fresh)      ? SW_RELIEF_WATER
                                             : SW_RELIEF_NONE;
}

/* At each mixture that something comes out of anew. */
static void find_relief(const sw_vessel *v, sw_sequence *found)
{
    contents c = open_vessel(v, found->items[0].volume_l);
    sw_solids before = {{false}};
    for (size_t i = 0; i < found->count; i++) {
        sw_poured *m = &found->items[i];
        if (m->product != SIZE_MAX)
            pour(v, m->product, &c);
        sw_solids fresh = sw_solids_beyond(&m->clouds, &before);
        if (sw_solids_any(&fresh))
            m->relief = relief_of(v, &c, &fresh);
        before = m->clouds;
    }
}

/* The fill that clouds least, the first of such, into *sequence. */
static void find_fill(search *s, sw_sequence *sequence)
{
    double most = room_of(s->vessel), least = INFINITY, tried = 0;
    for (int i = 0; i < FILLS && least > 0 && tried < most; i++) {
        tried =
            fmin(most, fmax(fills[i], s->vessel->held_l / s->vessel->full_l));
        try_fill(s, tried);
        if (i > 0 && !sw_is_less(s->clouding, least, SW_SOLVED))
            continue;
        sw_sequence other = *sequence;
        least = s->clouding;
        *sequence = *s->found;
        *s->found = other;
    }
}

sw_status sw_sequence_find(const sw_vessel *vessel, sw_sequence *sequence,
                           sw_error *error)
{
    size_t room = vessel->shelf->count + 1;
    *sequence = (sw_sequence){.items = calloc(room, sizeof(sw_poured))};
    sw_sequence trial = {.items = calloc(room, sizeof(sw_poured))};
    search s = {.vessel = vessel,
                .order = calloc(2 * room, sizeof *s.order),
                .found = &trial};
    bool has_room = s.order && sequence->items && trial.items;
    if (has_room) {
        contents water = open_vessel(vessel, vessel->full_l);
        s.left = s.order + room;
        trial.at_last = sequence->at_last = judge_last(vessel);
        judge(vessel, &water, 1, &s.alone);
        line_up(&s);
        find_fill(&s, sequence);
        find_relief(vessel, sequence);
    } else {
        sw_sequence_free(sequence);
    }
    sw_sequence_free(&trial);
    free(s.order);
    return has_room ? SW_OK : sw_fail_memory(error);
}

void sw_sequence_free(sw_sequence *sequence)
{
    free(sequence->items);
    *sequence = (sw_sequence){.items = NULL};
}
