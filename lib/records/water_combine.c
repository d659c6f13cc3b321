/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the readings of a water say together: components, alkalinity from its
 * parts, Ca and Mg from the hardness, and what is missing.  Rules:
 * reference/methods.md, Records.
 */
#include "quantity/components.h"
#include "quantity/text.h"
#include "records/water_build.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <string.h>

/* Shares of the larger: the same titration, and the sum of two metals. */
static const double alkalinity_agreement = 0.05;
static const double hardness_agreement = 0.10;
/* Above it a water holds carbonate, which some reports leave out. */
static const double carbonate_ph = 8.3;
/* pK2 of carbonic acid, 10.33 (Plummer & Busenberg 1982), less 0.3 for the
 * ionic strength of salty waters. */
static const double lowest_pk2 = 10.0;

static bool has(const sw_builder *b, int slot)
{
    return b->slots[slot].reading != NULL;
}

static double amount_or_nan(const sw_builder *b, int slot)
{
    return has(b, slot) ? b->slots[slot].amount : NAN;
}

static void set_component(sw_water *water, sw_component component,
                          double mg_per_l, bool below)
{
    water->per_l.amount[component] = mg_per_l;
    water->reported[component] = true;
    water->below_detection[component] = below;
}

static const sw_reading *nitrite_of(const sw_water *water)
{
    for (size_t i = 0; i < water->reading_count; i++)
        if (!strcmp(water->readings[i].name, "NO2-N") &&
            !isnan(water->readings[i].amount))
            return &water->readings[i];
    return NULL;
}

/* Nitrate where only its sum with nitrite is reported, less the nitrite where
 * that is: in wells and rivers there is hardly any (common practice, no
 * source). */
static void take_nitrate(sw_builder *b)
{
    const sw_slot *sum = &b->slots[SW_SLOT_NO3_NO2];
    const sw_reading *nitrite = nitrite_of(b->water);
    sw_slot *nitrate = &b->slots[SW_NO3_N];
    const char *says = "is taken as nitrate-N; nitrite, which harms roots, is "
                       "in it: where there may be some, have it reported apart";
    if (!sum->reading || nitrate->reading)
        return;
    *nitrate = *sum;
    if (nitrite) {
        double apart = nitrite->below_detection ? 0.0 : nitrite->amount;
        nitrate->amount = fmax(0.0, sum->amount - apart);
        says = "less the nitrite reported apart is taken as nitrate-N";
    }
    sw_builder_note(b, SW_SAY_TAKEN_AS, b->water->sample,
                    sum->reading->parameter, says, b->water->file,
                    sum->reading->line);
}

static void take_ec(sw_builder *b)
{
    const sw_slot *cold = &b->slots[SW_SLOT_EC_20];
    if (!cold->reading || has(b, SW_SLOT_EC))
        return;
    b->slots[SW_SLOT_EC] = *cold;
    sw_builder_note(b, SW_SAY_EC_AT_20, b->water->sample, cold->amount,
                    b->water->file, cold->reading->line);
}

static void combine_components(sw_builder *b)
{
    for (int i = 0; i < SW_N; i++)
        if (has(b, i))
            set_component(b->water, (sw_component)i, b->slots[i].amount,
                          b->slots[i].below);
}

/* N is the sum of its forms; below detection when all reported ones are. */
static void combine_nitrogen(sw_water *water)
{
    bool below = true;
    double sum = 0.0;
    for (int i = SW_NO3_N; i <= SW_UREA_N; i++) {
        sum += water->per_l.amount[i];
        below &= water->below_detection[i] || !water->reported[i];
        water->reported[SW_N] |= water->reported[i];
    }
    water->per_l.amount[SW_N] = sum;
    water->below_detection[SW_N] = below && water->reported[SW_N];
}

/* ---- Hardness ---------------------------------------------------------- */

/* What a component of the water comes to, meq/L. */
static double meq_of(const sw_builder *b, sw_component metal)
{
    return b->water->per_l.amount[metal] * sw_meq_per_mg(metal);
}

/* A metal from what is left of a hardness; slightly negative is none. */
static void derive(sw_builder *b, sw_component metal, double meq_per_l)
{
    const sw_slot *slot =
        &b->slots[has(b, SW_SLOT_HARDNESS) ? SW_SLOT_HARDNESS
                                           : SW_SLOT_CA_HARDNESS];
    const sw_reading *hardness = slot->reading;
    set_component(b->water, metal, fmax(meq_per_l, 0.0) / sw_meq_per_mg(metal),
                  slot->below);
    sw_builder_note(b, SW_SAY_METAL_OF_HARDNESS, sw_component_name(metal),
                    b->water->per_l.amount[metal], b->water->file,
                    hardness->line, hardness->column);
}

static void doubt_hardness(sw_builder *b, const sw_slot *hardness,
                           const char *what, double metals_meq_per_l)
{
    sw_builder_note(b, SW_SAY_HARDNESS_CONTRADICTS,
                    hardness->reading->parameter, hardness->reading->value,
                    hardness->reading->unit, b->water->file,
                    hardness->reading->line, hardness->reading->column,
                    hardness->amount, what, metals_meq_per_l);
}

static bool exceeds(double a, double b, double slack)
{
    return a - b > hardness_agreement * fmax(a, b) + slack;
}

/* What a metal below its limit of detection may be, meq/L. */
static double hidden(const sw_builder *b, sw_component metal)
{
    const sw_slot *slot = &b->slots[metal];
    return slot->reading && slot->below ? slot->slack * sw_meq_per_mg(metal)
                                        : 0.0;
}

static void use_ca_hardness(sw_builder *b)
{
    const sw_slot *slot = &b->slots[SW_SLOT_CA_HARDNESS];
    double ca = meq_of(b, SW_CA);
    if (!slot->reading)
        return;
    if (!b->water->reported[SW_CA])
        derive(b, SW_CA, slot->amount);
    else if (exceeds(ca, slot->amount, slot->slack) ||
             exceeds(slot->amount, ca, slot->slack + hidden(b, SW_CA)))
        doubt_hardness(b, slot, "the Ca readings", ca);
}

/* Total hardness beside both metals, one of them, or none. */
static void use_hardness(sw_builder *b)
{
    const sw_slot *slot = &b->slots[SW_SLOT_HARDNESS];
    const sw_water *w = b->water;
    double ca = meq_of(b, SW_CA), mg = meq_of(b, SW_MG);
    double unseen = hidden(b, SW_CA) + hidden(b, SW_MG);
    bool both = w->reported[SW_CA] && w->reported[SW_MG];
    if (!slot->reading)
        return;
    if (!w->reported[SW_CA] && !w->reported[SW_MG])
        sw_builder_note(b, SW_SAY_HARDNESS_OF_BOTH, slot->reading->parameter,
                        w->file, slot->reading->line, slot->reading->column);
    else if (exceeds(ca + mg, slot->amount, slot->slack) ||
             (both && exceeds(slot->amount, ca + mg, slot->slack + unseen)))
        doubt_hardness(b, slot, "Ca and Mg", ca + mg);
    else if (!w->reported[SW_MG])
        derive(b, SW_MG, slot->amount - ca);
    else if (!w->reported[SW_CA])
        derive(b, SW_CA, slot->amount - mg);
}

/* ---- Alkalinity -------------------------------------------------------- */

/* HCO3, CO3 and OH as far as reported. */
static sw_slot sum_of_parts(const sw_builder *b)
{
    sw_slot sum = {0};
    for (int i = SW_SLOT_OH; i >= SW_SLOT_HCO3; i--) {
        if (!has(b, i))
            continue;
        sum.reading = b->slots[i].reading;
        sum.amount += b->slots[i].amount;
        sum.slack += b->slots[i].slack;
    }
    return sum;
}

/*
 * Whether carbonate that is not reported explains the difference: alkalinity
 * over HCO3 is 1 + 2 * 10^(pH - pK2) at most.
 */
static bool carbonate_explains(const sw_builder *b, const sw_slot *parts)
{
    const sw_slot *total = &b->slots[SW_SLOT_ALKALINITY];
    double ph = amount_or_nan(b, SW_SLOT_PH);
    double most = parts->amount * (1.0 + 2.0 * pow(10.0, ph - lowest_pk2));
    return ph >= carbonate_ph && !has(b, SW_SLOT_CO3) &&
           parts->amount < total->amount &&
           total->amount <= most * (1.0 + alkalinity_agreement);
}

static sw_status fail_alkalinity(const sw_builder *b, const sw_slot *parts)
{
    const sw_slot *total = &b->slots[SW_SLOT_ALKALINITY];
    double ratio = parts->amount / total->amount;
    /* 61.016 mg of HCO3 and 50.043 mg of CaCO3 are one meq */
    bool unit = fabs(ratio - 0.820) < 0.02 || fabs(ratio - 1.219) < 0.03;
    return sw_builder_fail(
        b, total->reading, SW_BAD_ALKALINITY_CONTRADICTS, total->amount,
        parts->reading->line, parts->reading->column, parts->amount,
        unit ? " (the ratio is that of mg/L mistaken for mg/L CaCO3)" : "");
}

static sw_status compare_alkalinity(sw_builder *b, const sw_slot *parts)
{
    const sw_slot *total = &b->slots[SW_SLOT_ALKALINITY];
    double larger = fmax(parts->amount, total->amount);
    if (fabs(parts->amount - total->amount) <=
        alkalinity_agreement * larger + parts->slack + total->slack)
        sw_builder_note(b, SW_SAY_ALKALINITY_AGREES, b->water->file,
                        total->reading->line, total->reading->column,
                        parts->reading->line, parts->reading->column);
    else if (carbonate_explains(b, parts))
        sw_builder_note(b, SW_SAY_ALKALINITY_OVER_HCO3, b->water->file,
                        total->reading->line, total->reading->column);
    else
        return fail_alkalinity(b, parts);
    return SW_OK;
}

static void use_parts(sw_builder *b, const sw_slot *parts)
{
    b->water->per_l.amount[SW_ALKALINITY] = parts->amount;
    b->water->alkalinity_reported = has(b, SW_SLOT_HCO3) || parts->amount > 0.0;
    if (has(b, SW_SLOT_HCO3) && !has(b, SW_SLOT_CO3) &&
        amount_or_nan(b, SW_SLOT_PH) >= carbonate_ph)
        sw_builder_note(b, SW_SAY_ALKALINITY_HIGHER,
                        b->slots[SW_SLOT_PH].amount, b->water->file,
                        parts->reading->line, parts->reading->column);
}

static sw_status combine_alkalinity(sw_builder *b)
{
    const sw_slot parts = sum_of_parts(b);
    if (has(b, SW_SLOT_ALKALINITY)) {
        b->water->per_l.amount[SW_ALKALINITY] =
            b->slots[SW_SLOT_ALKALINITY].amount;
        b->water->alkalinity_reported = true;
        return parts.reading ? compare_alkalinity(b, &parts) : SW_OK;
    }
    if (parts.reading)
        use_parts(b, &parts);
    return SW_OK;
}

/* ---- The whole --------------------------------------------------------- */

static void reset(sw_water *water)
{
    memset(&water->per_l, 0, sizeof water->per_l);
    memset(water->reported, 0, sizeof water->reported);
    memset(water->below_detection, 0, sizeof water->below_detection);
    water->alkalinity_reported = false;
}

static void combine_measures(sw_builder *b)
{
    b->water->ph = amount_or_nan(b, SW_SLOT_PH);
    b->water->ec_ms_per_cm = amount_or_nan(b, SW_SLOT_EC);
    b->water->tds_mg_per_l = amount_or_nan(b, SW_SLOT_TDS);
    b->water->hardness_meq_per_l = amount_or_nan(b, SW_SLOT_HARDNESS);
    b->water->ca_hardness_meq_per_l = amount_or_nan(b, SW_SLOT_CA_HARDNESS);
    b->water->temperature_c = amount_or_nan(b, SW_SLOT_TEMPERATURE);
}

/* What decides salts and acid in most waters, where it is not reported; of a
 * solution the pH tells the alkalinity. */
static void note_missing(sw_builder *b)
{
    static const sw_component needed[] = {SW_CA, SW_MG,    SW_NA,
                                          SW_CL, SW_NO3_N, SW_S};
    const sw_water *w = b->water;
    bool alkalinity = w->alkalinity_reported || w->is_solution;
    char list[96] = "";
    for (size_t i = 0; i < sizeof needed / sizeof *needed; i++)
        if (!w->reported[needed[i]])
            sw_text_join(list, sizeof list, ", ", "%s",
                         sw_component_name(needed[i]));
    if (!alkalinity)
        sw_text_join(list, sizeof list, ", ", "alkalinity");
    bool grave = !(w->ec_ms_per_cm < SW_PURE_MS_PER_CM) &&
                 (!alkalinity || !w->reported[SW_CA] || !w->reported[SW_MG]);
    if (*list)
        sw_builder_note(b, grave ? SW_WARNING : SW_INFO, "not-reported",
                        SW_SAY_NOT_REPORTED_ALL, w->sample, list, w->file);
}

sw_status sw_builder_combine(sw_builder *builder)
{
    reset(builder->water);
    take_nitrate(builder);
    take_ec(builder);
    combine_components(builder);
    combine_nitrogen(builder->water);
    combine_measures(builder);
    use_ca_hardness(builder);
    use_hardness(builder);
    sw_status status = combine_alkalinity(builder);
    if (!status)
        note_missing(builder);
    return status;
}
