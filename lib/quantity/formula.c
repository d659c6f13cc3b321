/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From a parsed formula to what a gram of it carries.  Each part between the
 * dots is sorted into ions by stated rules (reference/methods.md,
 * Composition) and must be neutral with them; what no rule covers is an error,
 * never dropped.
 */
#include "quantity/formula.h"

#include "quantity/formula_parse.h"
#include "quantity/status.h"
#include "table_refusals.h"

/* One part being sorted; indices of the elements the rules speak of. */
typedef struct sorter {
    double count[SW_SPECIES_COUNT];
    double coefficient;
    double carbonate; /* inorganic carbon, atoms */
    double fe_state;  /* oxidation number of Fe */
    int h, c, n, o, fe;
    sw_place place;
    sw_error *error;
} sorter;

static sorter sorter_of(const sw_formula_part *part, sw_error *error)
{
    sorter s = {
        .coefficient = part->coefficient,
        .h = sw_element_index("H", 1),
        .c = sw_element_index("C", 1),
        .n = sw_element_index("N", 1),
        .o = sw_element_index("O", 1),
        .fe = sw_element_index("Fe", 2),
        .place = {NULL, 0, part->column},
        .error = error,
    };
    for (int i = 0; i < SW_SPECIES_COUNT; i++)
        s.count[i] = part->count[i];
    return s;
}

/* Moves k of a group from loose atoms into the group's own count. */
static void gather(sorter *s, int group, double k)
{
    const sw_group *g = sw_group_of(group);
    s->count[s->h] -= k * g->h;
    s->count[s->c] -= k * g->c;
    s->count[s->n] -= k * g->n;
    s->count[s->o] -= k * g->o;
    s->count[group] += k;
}

static bool others_present(const sorter *s)
{
    for (int i = 0; i < SW_SPECIES_COUNT; i++)
        if (s->count[i] > 0 && i != s->h && i != s->c && i != s->n && i != s->o)
            return true;
    return false;
}

/*
 * Urea: amide groups as in CO(NH2)2 with their CO; or, written as bare atoms,
 * a part that is CH4N2O and nothing else.
 */
static void gather_urea(sorter *s)
{
    double amide = s->count[SW_GROUP_NH2];
    double *n = &s->count[s->n];
    s->count[SW_GROUP_NH2] = 0;
    *n += amide;
    s->count[s->h] += 2 * amide;
    double k = *n / 2;
    if (k != s->count[s->c] || s->count[s->o] < k || s->count[s->h] < 4 * k)
        return;
    if (amide > 0 ||
        (!others_present(s) && s->count[s->o] == k && s->count[s->h] == 4 * k))
        gather(s, SW_GROUP_UREA, k);
}

/* A chelator or citrate written as atoms: C10H12FeN2NaO8, C6H8O7. */
static void gather_ligand(sorter *s, int group)
{
    const sw_group *g = sw_group_of(group);
    double k = s->count[s->c] / g->c;
    if (k > 0 && s->count[s->n] == k * g->n && s->count[s->o] == k * g->o &&
        s->count[s->h] >= k * g->h)
        gather(s, group, k);
}

static void gather_organic(sorter *s)
{
    gather_urea(s);
    for (int g = SW_GROUP_EDTA; g <= SW_GROUP_CITRATE; g++)
        gather_ligand(s, g);
}

static sw_status check_nitrogen(const sorter *s)
{
    if (s->count[SW_GROUP_NO2] > 0)
        return sw_fail_at(s->error, &s->place, SW_BAD_FORMULA_NITRITE);
    if (s->count[s->n] > 0)
        return sw_fail_at(s->error, &s->place, SW_BAD_FORMULA_NITROGEN);
    return SW_OK;
}

/* Carbon left over is inorganic: CO3, HCO3 or CO2; nothing else has a rule. */
static sw_status sort_carbon(sorter *s)
{
    double c = s->count[s->c];
    bool carbon_dioxide =
        s->count[s->o] == 2 * c && s->count[s->h] == 0 && !others_present(s);
    if (c > 0 && s->count[s->o] < 3 * c && !carbon_dioxide)
        return sw_fail_at(s->error, &s->place, SW_BAD_FORMULA_ORGANIC);
    s->carbonate = c;
    return SW_OK;
}

static double charge_without_iron(const sorter *s)
{
    double charge = 0;
    for (int i = 0; i < sw_element_count(); i++)
        if (s->count[i] != 0)
            charge += s->count[i] * sw_element_at(i).oxidation_number;
    for (int g = SW_GROUP_NO3; g < SW_SPECIES_COUNT; g++)
        charge += s->count[g] * sw_group_of(g)->charge;
    return charge;
}

/*
 * A part is neutral with the usual oxidation numbers, and Fe has the one,
 * 2 or 3, that makes it so.  This finds a lost subscript as well as sulfite,
 * phosphite, thiosulfate, permanganate, peroxide.
 */
static sw_status check_neutral(sorter *s)
{
    double charge = charge_without_iron(s);
    double iron = s->count[s->fe];
    s->fe_state = iron > 0 ? -charge / iron : 0;
    if (iron > 0 && s->fe_state != 2 && s->fe_state != 3)
        return sw_fail_at(s->error, &s->place, SW_BAD_FORMULA_IRON);
    if (iron == 0 && charge != 0)
        return sw_fail_at(s->error, &s->place, SW_BAD_FORMULA_CHARGE, charge);
    return SW_OK;
}

static double chelators(const sorter *s)
{
    double k = 0;
    for (int g = SW_GROUP_EDTA; g <= SW_GROUP_EDDHA; g++)
        k += s->count[g];
    return k;
}

static double alkalinity_of(const sorter *s, int index)
{
    if (index == s->fe)
        return s->fe_state;
    return sw_element_at(index).alkalinity;
}

/*
 * Each chelator must hold one metal.  Its anion's charge balances the
 * counter-ions, so that the chelate's alkalinity is 0 (or minus the protons
 * of an acid form).  Writes mg and meq per mole of the part.
 */
static sw_status sort_chelate(const sorter *s, sw_content *per_mol)
{
    double held = 0;
    double charge = 0;
    if (chelators(s) == 0)
        return SW_OK;
    for (int i = 0; i < sw_element_count(); i++) {
        sw_element metal = sw_element_at(i);
        sw_component part = sw_chelated_part(metal.component);
        if (part == SW_CARRIED_COUNT)
            continue;
        double atoms = s->count[i];
        held += atoms;
        charge += atoms * alkalinity_of(s, i);
        per_mol->amount[part] += atoms * metal.weight_g_per_mol * 1e3;
        /* Its own charge is taken back; it counts with the chelate. */
        per_mol->amount[SW_ALKALINITY] -= 1e3 * atoms * alkalinity_of(s, i);
    }
    if (held != chelators(s))
        return sw_fail_at(s->error, &s->place, SW_BAD_FORMULA_CHELATOR);
    for (int g = SW_GROUP_EDTA; g <= SW_GROUP_EDDHA; g++)
        charge += s->count[g] * sw_group_of(g)->charge;
    per_mol->amount[SW_CHELATE_CHARGE] -= 1e3 * charge;
    per_mol->amount[SW_ALKALINITY] += 1e3 * charge;
    return SW_OK;
}

static void sort_elements(const sorter *s, sw_content *per_mol)
{
    for (int i = 0; i < sw_element_count(); i++) {
        if (s->count[i] == 0)
            continue;
        sw_element e = sw_element_at(i);
        if (e.component == SW_COMPONENT_COUNT)
            continue;
        per_mol->amount[e.component] += 1e3 * s->count[i] * e.weight_g_per_mol;
        per_mol->amount[SW_ALKALINITY] +=
            1e3 * s->count[i] * alkalinity_of(s, i);
    }
}

static void sort_groups(const sorter *s, sw_content *per_mol)
{
    double mg_n = 1e3 * sw_element_at(s->n).weight_g_per_mol;
    double nitrate = s->count[SW_GROUP_NO3];
    double ammonium = s->count[SW_GROUP_NH4] + s->count[SW_GROUP_NH3];
    double urea = s->count[SW_GROUP_UREA];
    per_mol->amount[SW_NO3_N] += mg_n * nitrate;
    per_mol->amount[SW_NH4_N] += mg_n * ammonium;
    per_mol->amount[SW_UREA_N] += mg_n * 2 * urea;
    per_mol->amount[SW_N] += mg_n * (nitrate + ammonium + 2 * urea);
    per_mol->amount[SW_ALKALINITY] += 1e3 * (ammonium - nitrate);
    per_mol->amount[SW_CARBON] += 1e3 * s->carbonate;
    per_mol->amount[SW_CITRATE] += 1e3 * s->count[SW_GROUP_CITRATE];
}

static sw_status part_content(const sw_formula_part *part, sw_content *per_mol,
                              sw_error *error)
{
    sw_content own = {{0}};
    sorter s = sorter_of(part, error);
    gather_organic(&s);
    sw_status status = check_nitrogen(&s);
    if (status == SW_OK)
        status = sort_carbon(&s);
    if (status == SW_OK)
        status = check_neutral(&s);
    if (status == SW_OK)
        status = sort_chelate(&s, &own);
    if (status != SW_OK)
        return status;
    sort_elements(&s, &own);
    sort_groups(&s, &own);
    sw_content_add(per_mol, s.coefficient, &own);
    return SW_OK;
}

sw_status sw_formula_content(const char *formula, double purity,
                             sw_content *per_g, double *molar_mass_g_per_mol,
                             sw_error *error)
{
    sw_parsed_formula parsed;
    sw_content per_mol = {{0}};
    *per_g = per_mol;
    if (!(purity > 0 && purity <= 1))
        return sw_fail(error, SW_BAD_PURITY, purity);
    sw_status status = sw_formula_parse(formula, &parsed, error);
    for (size_t i = 0; status == SW_OK && i < parsed.part_count; i++)
        status = part_content(&parsed.parts[i], &per_mol, error);
    if (status != SW_OK)
        return status;
    double molar_mass = sw_formula_molar_mass(&parsed);
    sw_content_add(per_g, purity / molar_mass, &per_mol);
    if (molar_mass_g_per_mol)
        *molar_mass_g_per_mol = molar_mass;
    return SW_OK;
}
