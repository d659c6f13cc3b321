/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which build of the kernel takes the lanes, and a speciation as one of them.
 */
#include "chemistry/lanes.h"

#include <math.h>
#include <string.h>

/* ---- Width -------------------------------------------------------------- */

/* NULL where the processor or the build has not got so many. */
static sw_kernel *kernel_of(int width)
{
#ifdef SW_WIDE_KERNELS
    __builtin_cpu_init();
    if (width == 8)
        return __builtin_cpu_supports("avx512f") ? sw_kernel_8 : NULL;
    bool avx2 = __builtin_cpu_supports("avx2");
    if (width == 4)
        return avx2 ? sw_kernel_4 : NULL;
    if (avx2 && width == 2)
        return sw_kernel_2_avx2;
    if (avx2 && width == 1)
        return sw_kernel_1_avx2;
#endif
    return width == 2 ? sw_kernel_2 : width == 1 ? sw_kernel_1 : NULL;
}

/* A bit for each unknown of which some lane has any. */
static unsigned find_there(const sw_lanes *lanes)
{
    const sw_plan *plan = &lanes->constants->plan;
    unsigned there = 1U << (plan->unknowns - 1); /* the proton */
    if (lanes->carbon_open)
        there |= 1U << plan->place[SW_AT_CO3];
    for (int j = 0; j < plan->unknowns; j++)
        for (int l = 0; l < lanes->count; l++)
            if (lanes->total[j][l] > 0 || lanes->goal[j][l] != 0)
                there |= 1U << j;
    return there;
}

/* Up to the width the last lane is repeated, which costs nothing more. */
static void move_row(const sw_lanes *lanes, int width, const double *from,
                     double *to)
{
    memmove(to, from, SW_LANES * sizeof *to);
    for (int l = lanes->count; l % width != 0; l++)
        to[l] = to[lanes->count - 1];
}

void sw_lanes_prepare(sw_lanes *lanes, int width)
{
    unsigned there = find_there(lanes);
    sw_plan_restrict(&lanes->constants->plan, there, &lanes->plan);
    for (int j = 0, to = 0; to < lanes->plan.unknowns; j++)
        if (there >> j & 1) {
            move_row(lanes, width, lanes->total[j], lanes->total[to]);
            move_row(lanes, width, lanes->goal[j], lanes->goal[to]);
            move_row(lanes, width, lanes->ln_activity[j],
                     lanes->ln_activity[to++]);
        }
    move_row(lanes, width, lanes->alone, lanes->alone);
    move_row(lanes, width, lanes->water, lanes->water);
    move_row(lanes, width, lanes->goal_constant, lanes->goal_constant);
    move_row(lanes, width, lanes->ionic_strength, lanes->ionic_strength);
}

bool sw_lanes_solve_by(sw_lanes *lanes, int width)
{
    sw_kernel *solve = kernel_of(width);
    if (!solve)
        return false;
    sw_lanes_prepare(lanes, width);
    for (int first = 0; first < lanes->count; first += width)
        solve(lanes, first);
    return true;
}

void sw_lanes_solve(sw_lanes *lanes)
{
    int width = 1;
    while (width < lanes->count && kernel_of(2 * width))
        width *= 2;
    (void)sw_lanes_solve_by(lanes, width);
}

/* ---- A speciation ------------------------------------------------------- */

void sw_lanes_ask(sw_lanes *lanes, const sw_speciation *s)
{
    lanes->constants = s->constants;
    lanes->closing = s->ph_given ? SW_PH_GIVEN : SW_PROTONS_BALANCE;
    lanes->carbon_open = s->carbon_open;
    lanes->wants_slope = s->wants_slope;
    lanes->warm = s->warm;
    lanes->count = 1;
}

/* Its unknowns start from the speciation where it is warm and had them. */
static double start_of(const sw_speciation *s, sw_master master)
{
    double total = s->totals.mol_per_kg[master];
    if (total <= 0)
        return 0;
    return s->warm && isfinite(s->ln_activity[master]) ? s->ln_activity[master]
                                                       : log(total) - 1;
}

void sw_lanes_put(sw_lanes *lanes, int lane, const sw_speciation *s)
{
    const sw_plan *plan = &lanes->constants->plan;
    lanes->alone[lane] = 0;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        int j = plan->place[m];
        double total = s->totals.mol_per_kg[m];
        if (j < 0) {
            lanes->alone[lane] += plan->half_z2[m] * total;
            continue;
        }
        lanes->total[j][lane] = total;
        lanes->goal[j][lane] = 0;
        lanes->ln_activity[j][lane] = start_of(s, (sw_master)m);
    }
    int proton = plan->unknowns - 1;
    int carbon = plan->place[SW_AT_CO3];
    if (lanes->carbon_open) {
        lanes->total[carbon][lane] = 0;
        lanes->ln_activity[carbon][lane] = s->ln_co2;
    }
    lanes->total[proton][lane] = -s->totals.alkalinity_eq_per_kg;
    lanes->goal[proton][lane] = 0;
    lanes->goal_constant[lane] = 0;
    lanes->ln_activity[proton][lane] = -SW_LN10 * s->ph;
    lanes->water[lane] = exp(s->ln_water);
    lanes->ionic_strength[lane] = s->ionic_strength;
}

void sw_lanes_aim(sw_lanes *lanes, int lane, const sw_species *solid)
{
    const sw_plan *plan = &lanes->constants->plan;
    for (int k = 0; k < solid->parts; k++)
        lanes->goal[plan->place[solid->part[k]]][lane] = solid->count[k];
    lanes->goal[plan->unknowns - 1][lane] = solid->protons;
    lanes->goal_constant[lane] =
        solid->ln_beta + solid->water * log(lanes->water[lane]);
}

static void take_molalities(const sw_lanes *lanes, int lane, sw_speciation *s)
{
    const sw_plan *plan = &lanes->constants->plan;
    memset(s->molality, 0, sizeof s->molality);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (plan->place[m] < 0)
            s->molality[plan->ion[m]] = s->totals.mol_per_kg[m];
    s->alkalinity = 0;
    for (int i = 0; i < lanes->plan.terms; i++) {
        const sw_product_term *t = &lanes->plan.term[i];
        s->molality[t->species] = lanes->molality[i][lane];
        s->alkalinity -= t->protons * lanes->molality[i][lane];
    }
}

/* Of an ion on its own: its molality and coefficient. */
static double ln_activity_alone(const sw_speciation *s, int master)
{
    const sw_constants *c = s->constants;
    int ion = c->plan.ion[master];
    return log(s->totals.mol_per_kg[master]) +
           (s->ln_gamma ? s->ln_gamma[ion]
                        : sw_ln_gamma(c, &c->species[ion], s->ionic_strength));
}

double sw_lanes_ph(const sw_lanes *lanes, int lane)
{
    int proton = lanes->plan.unknowns - 1;
    return -lanes->ln_activity[proton][lane] / SW_LN10;
}

void sw_lanes_take(const sw_lanes *lanes, int lane, sw_speciation *s)
{
    s->ionic_strength = lanes->ionic_strength[lane];
    s->residual = lanes->residual[lane];
    s->warm = true;
    if (!s->ph_given)
        s->ph = sw_lanes_ph(lanes, lane);
    take_molalities(lanes, lane, s);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        int j = lanes->plan.place[m];
        bool open = m == (int)SW_AT_CO3 && lanes->carbon_open;
        bool there = s->totals.mol_per_kg[m] > 0;
        s->ln_activity[m] = !there && !open ? -HUGE_VAL
                            : j < 0         ? ln_activity_alone(s, m)
                                            : lanes->ln_activity[j][lane];
        s->slope[m] =
            there && !open && lanes->wants_slope ? lanes->slope[m][lane] : 0;
    }
}
