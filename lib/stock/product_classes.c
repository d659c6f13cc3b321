/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The tank rule of the trade, product by product: calcium apart from sulfate
 * and phosphate; acids, bases and chelates where they survive.  Common
 * practice; reference/methods.md, Stock.
 */
#include "stock/product_classes.h"

#include "assess/agent.h"
#include "quantity/components.h"
#include "table_hazard_pairs.h"

#include <math.h>
#include <string.h>

/* mg per g from which a product counts as a carrier. */
static const double carrier_mg_per_g = 5.0, metal_mg_per_g = 0.5;
static const double nitrate_mg_per_g = 50.0;
/* meq per g from which one is an acid or a base. */
static const double acid_meq_per_g = -1.0, base_meq_per_g = 1.0;
/* meq per mg: a borate takes half an acid an atom, a molybdate two. */
static const double borate_meq_per_mg = 0.5 / 10.81;
static const double molybdate_meq_per_mg = 2.0 / 95.95;
/* HPO4 is no strong base: ammonium and magnesium beside it are a matter of
 * amounts, which the tank's pH and saturation tell. */
static const double hpo4_meq_per_mg = 1.0 / 30.974;
/* mg of silicon per g from which one is a silicate, and meq per mg: half that
 * of the least alkaline water glasses sold (mixture.c). */
static const double silicon_mg_per_g = 1.0;
static const double silicate_meq_per_mg = 0.225 / 28.086;
/* A chelate that stands up to here stands beside carbonates too. */
static const double sturdy_ph = 9.5;

static const struct {
    const char *name;
    sw_class class;
} names[] = {
    {"calcium", SW_CLASS_CALCIUM},
    {"sulfate", SW_CLASS_SULFATE},
    {"phosphate", SW_CLASS_PHOSPHATE},
    {"acid", SW_CLASS_ACID},
    {"base", SW_CLASS_BASE},
    {"chelate", SW_CLASS_CHELATE},
    {"magnesium", SW_CLASS_MAGNESIUM},
    {"metal", SW_CLASS_METAL},
    {"ammonium", SW_CLASS_AMMONIUM},
    {"silicate", SW_CLASS_SILICATE},
    {"EDTA, HEDTA or DTPA chelate", SW_CLASS_FRAIL},
    {"any other product", SW_CLASS_OTHER},
    {"nitric acid", SW_CLASS_NITRIC},
    {"sulfuric acid", SW_CLASS_SULFURIC},
    {"corrosive base", SW_CLASS_CORROSIVE},
    {"carbonate", SW_CLASS_CARBONATE},
    {"organic", SW_CLASS_ORGANIC},
    {"nitrate", SW_CLASS_NITRATE},
};

sw_class sw_class_called(const char *name)
{
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (*names[i].name == *name && strcmp(names[i].name, name) == 0)
            return names[i].class;
    return (sw_class)0;
}

static double unchelated(const sw_content *c)
{
    double sum = 0;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (sw_chelated_part((sw_component)i) != SW_CARRIED_COUNT)
            sum += sw_unchelated_mg(c, (sw_component)i);
    return sum;
}

static bool is_chelate(const sw_product *p)
{
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        sw_component held = sw_chelated_part((sw_component)i);
        if (held != SW_CARRIED_COUNT && p->per_g.amount[held] > 0)
            return true;
    }
    return false;
}

/*
 * Of borax and molybdates a stock holds too little to matter, and calcium and
 * metals stay dissolved beside them: what is basic in them by B and Mo is none.
 */
static double basic_meq(const sw_content *c)
{
    return c->amount[SW_ALKALINITY] - borate_meq_per_mg * c->amount[SW_B] -
           molybdate_meq_per_mg * c->amount[SW_MO];
}

static double strong_base(const sw_content *c)
{
    return basic_meq(c) - hpo4_meq_per_mg * c->amount[SW_P];
}

static bool is_silicate(const sw_content *c)
{
    double silicon = c->amount[SW_SI];
    return silicon > silicon_mg_per_g &&
           c->amount[SW_ALKALINITY] > silicate_meq_per_mg * silicon;
}

/* What its alkalinity makes of it. */
static unsigned alkaline_classes(const sw_product *p, unsigned others)
{
    /* what a label leaves out of a phosphate premix is no base */
    bool sure = p->formula || !(others & SW_CLASS_PHOSPHATE);
    unsigned c = 0;
    c |= is_silicate(&p->per_g) ? SW_CLASS_SILICATE : 0;
    c |= sure && basic_meq(&p->per_g) > base_meq_per_g ? SW_CLASS_ALKALINE : 0;
    if (c & SW_CLASS_SILICATE ||
        (sure && strong_base(&p->per_g) > base_meq_per_g))
        c |= SW_CLASS_BASE | SW_CLASS_ALKALINE;
    bool hydroxide = c & SW_CLASS_BASE && !others && !sw_is_carbonate(p);
    return hydroxide || c & SW_CLASS_SILICATE ? c : c | SW_CLASS_OTHER;
}

/* What else a worker must know of it. */
static unsigned cautious_classes(const sw_product *p, unsigned of)
{
    const double *a = p->per_g.amount;
    unsigned c = 0;
    bool acid = of & SW_CLASS_ACID;
    if (acid && a[SW_NO3_N] > carrier_mg_per_g)
        c |= SW_CLASS_NITRIC;
    if (acid && a[SW_S] > carrier_mg_per_g)
        c |= SW_CLASS_SULFURIC;
    if (of & SW_CLASS_BASE && sw_has_hazard(p, "H314"))
        c |= SW_CLASS_CORROSIVE;
    c |= sw_is_carbonate(p) ? SW_CLASS_CARBONATE : 0;
    if (a[SW_UREA_N] > carrier_mg_per_g || a[SW_CITRATE] > 0.0)
        c |= SW_CLASS_ORGANIC;
    return !acid && a[SW_NO3_N] > nitrate_mg_per_g ? c | SW_CLASS_NITRATE : c;
}

unsigned sw_classes_of(const sw_product *p)
{
    const double *a = p->per_g.amount;
    unsigned c = 0;
    c |= a[SW_CA] > carrier_mg_per_g ? SW_CLASS_CALCIUM : 0;
    c |= a[SW_S] > carrier_mg_per_g && !sw_is_micro(p) ? SW_CLASS_SULFATE : 0;
    c |= a[SW_P] > carrier_mg_per_g ? SW_CLASS_PHOSPHATE : 0;
    c |= a[SW_NH4_N] > carrier_mg_per_g ? SW_CLASS_AMMONIUM : 0;
    c |= a[SW_MG] > carrier_mg_per_g ? SW_CLASS_MAGNESIUM : 0;
    c |= unchelated(&p->per_g) > metal_mg_per_g ? SW_CLASS_METAL : 0;
    c |= is_chelate(p) ? SW_CLASS_CHELATE : 0;
    c |= sw_chelate_range_of(p).high < sturdy_ph ? SW_CLASS_FRAIL : 0;
    /* a salt acid by hydrolysis: its class says so, its ions do not */
    if (a[SW_ALKALINITY] < acid_meq_per_g ||
        (a[SW_ALKALINITY] <= 0.0 && sw_has_hazard(p, "H290")) || sw_is_acid(p))
        c |= SW_CLASS_ACID;
    c |= alkaline_classes(p, c);
    return c | cautious_classes(p, c);
}

bool sw_is_micro(const sw_product *p)
{
    return sw_is_for_traces(&p->per_g);
}

/* ---- Heat ---- */

/* mmol of water in a gram, if all that is not a known ion is water. */
static double water_mmol_per_g(const sw_content *c)
{
    const double *a = c->amount;
    double ions = a[SW_NO3_N] * 62.005 / 14.007 +
                  a[SW_NH4_N] * 18.039 / 14.007 + a[SW_P] * 96.987 / 30.974 +
                  a[SW_S] * 96.06 / 32.06 + a[SW_K] + a[SW_CA] + a[SW_MG] +
                  a[SW_NA] + a[SW_CL];
    return fmax(0, 1000 - ions) / 18.015;
}

static double meq_per_g(const sw_product *p, sw_component c)
{
    return p->per_g.amount[c] * sw_meq_per_mg(c);
}

/*
 * Salts of calcium and magnesium with little water heat what dissolves them:
 * CaCl2 81, CaCl2 with 2 H2O 45, MgSO4 91 and MgCl2 160 kJ/mol, while the
 * hydrates with 4 H2O or more, and nitrates with half an H2O or more, cool it
 * or do little (values from memory).
 */
static bool is_dry_salt(const sw_product *p)
{
    double two = (meq_per_g(p, SW_CA) + meq_per_g(p, SW_MG)) / 2;
    double one =
        meq_per_g(p, SW_K) + meq_per_g(p, SW_NA) + meq_per_g(p, SW_NH4_N);
    double nitrate = meq_per_g(p, SW_NO3_N);
    return two > one &&
           water_mmol_per_g(&p->per_g) < (nitrate > two ? 0.5 : 2.5) * two;
}

bool sw_heats(const sw_product *p)
{
    if (sw_is_micro(p))
        return false;
    return sw_classes_of(p) & (SW_CLASS_ACID | SW_CLASS_BASE) ||
           fabs(p->per_g.amount[SW_ALKALINITY]) > 1 || is_dry_salt(p);
}

/* ---- Feuds ---- */

/* The rows of the table whose products share no stock are its first. */
size_t sw_feud_count(void)
{
    size_t count = 0;
    while (count < sw_hazard_pairs_count && *sw_hazard_pairs_table[count].stock)
        count++;
    return count;
}

sw_feud sw_feud_at(size_t index)
{
    const sw_hazard_pairs_row *row = &sw_hazard_pairs_table[index];
    return (sw_feud){sw_class_called(row->one), sw_class_called(row->other),
                     row->gives};
}

const char *sw_feud_between(unsigned one, unsigned other)
{
    size_t count = sw_feud_count();
    for (size_t i = 0; i < count; i++) {
        sw_feud feud = sw_feud_at(i);
        if ((one & feud.one && other & feud.other) ||
            (one & feud.other && other & feud.one))
            return feud.why;
    }
    return NULL;
}
