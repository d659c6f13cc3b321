/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The shelf of somebody who names none: reference/common_straights.csv, read as
 * a shelf file would be.
 *
 * Calcium nitrate is sold as a double salt with ammonium nitrate, and growers
 * call it by the same name as the pure salt: the trade's grade is assumed
 * wherever the nitrogen and ammonium that come with its calcium have room.
 */
#include "saltwright.h"

#include <math.h>

#include "quantity/components.h"
#include "quantity/status.h"
#include "records/targets.h"

enum {
    SW_ASSUMED_ALWAYS,
    SW_ASSUMED_WITH_PH,
    SW_ASSUMED_BORNE,   /* with a pH, where nothing is to bear it in store */
    SW_ASSUMED_ROOM,    /* where the grade of the trade has room */
    SW_ASSUMED_NO_ROOM, /* in its place */
    SW_ASSUMED_CHLORIDE
};

#include "table_common_straights.h"

static bool is_nitrogen(sw_component c)
{
    return c == SW_N || sw_component_is(c, SW_IS_FORM);
}

static double most_of(const sw_target_row *row)
{
    return isnan(row->target) ? row->max : row->target;
}

/* Whether the product, with the calcium of `ca`, stays within what its stage
 * asks of nitrogen; one that names nitrate alone asks for no ammonium. */
static bool has_room(const sw_target *target, const sw_target_row *ca,
                     const sw_product *product)
{
    double g_per_l = ca->target / product->per_g.amount[SW_CA];
    bool named[SW_COMPONENT_COUNT] = {false};
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || !is_nitrogen(row->component) ||
            !sw_same_stage(row, ca))
            continue;
        named[row->component] = true;
        if (g_per_l * product->per_g.amount[row->component] > most_of(row))
            return false;
    }
    return !named[SW_NO3_N] || named[SW_NH4_N] || named[SW_N];
}

/* Equivalents of a row, signed, in meq/L; N is nitrate but for the ammonium
 * that the grade brings with the calcium. */
static double charge_of(const sw_target_row *row, const sw_target_row *ca,
                        const sw_product *grade)
{
    double ammonium =
        ca->target * grade->per_g.amount[SW_NH4_N] / grade->per_g.amount[SW_CA];
    if (row->component != SW_N)
        return row->target * sw_charge_per_mg(row->component);
    return (row->target - ammonium) * sw_charge_per_mg(SW_NO3_N) +
           ammonium * sw_charge_per_mg(SW_NH4_N);
}

/* Whether its cations are more than its anions can balance: chloride, which
 * nobody asks for, has to. */
static bool lacks_anions(const sw_target *target, const sw_target_row *ca,
                         const sw_product *grade)
{
    static const double spare_share = 0.05;
    double cations = 0.0, sum = 0.0;
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || !sw_same_stage(row, ca) ||
            !(row->target > 0.0))
            continue;
        double meq_per_l = charge_of(row, ca, grade);
        sum += meq_per_l;
        cations += fmax(meq_per_l, 0.0);
    }
    return sum > spare_share * cations;
}

/* What the target asks for, in any of its stages. */
typedef struct wants {
    bool pure, chloride, ph, borne;
} wants;

static wants wants_of(const sw_target *target, const sw_product *grade)
{
    wants out = {.ph = sw_target_ph(target)};
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || row->component != SW_CA ||
            !(row->target > 0.0))
            continue;
        out.pure |= !has_room(target, row, grade);
        out.chloride |= lacks_anions(target, row, grade);
    }
    return out;
}

static bool is_wanted(const wants *w, int assumed)
{
    switch (assumed) {
    case SW_ASSUMED_ROOM:
        return !w->pure;
    case SW_ASSUMED_NO_ROOM:
        return w->pure;
    case SW_ASSUMED_CHLORIDE:
        return w->chloride;
    case SW_ASSUMED_WITH_PH:
        return w->ph;
    case SW_ASSUMED_BORNE:
        return w->ph && w->borne;
    default:
        return true;
    }
}

/* The rows that the target asks for, as a shelf file. */
static void write_shelf(const wants *w, FILE *out)
{
    fputs("product\n", out);
    for (size_t i = 0; i < sw_common_straights_count; i++)
        if (is_wanted(w, sw_common_straights_table[i].assumed))
            fprintf(out, "%s\n", sw_common_straights_table[i].product);
}

static sw_status find_grade(sw_product **grade, sw_error *error)
{
    size_t i = 0;
    while (sw_common_straights_table[i].assumed != SW_ASSUMED_ROOM)
        i++;
    return sw_catalogue_find(sw_common_straights_table[i].product, grade,
                             error);
}

sw_status sw_shelf_common(const sw_target *target, bool two_tanks,
                          sw_shelf **shelf, sw_error *error)
{
    SW_REQUIRE(error, shelf);
    char text[2048];
    sw_product *grade;
    *shelf = NULL;
    sw_status status = find_grade(&grade, error);
    if (status)
        return status;
    wants w = wants_of(target, grade);
    w.borne = !two_tanks;
    sw_product_free(grade);
    FILE *stream = fmemopen(text, sizeof text, "w+");
    if (!stream)
        return sw_fail_memory(error);
    write_shelf(&w, stream);
    rewind(stream);
    status = sw_shelf_read(stream, "common straights", shelf, error);
    fclose(stream);
    return status;
}
