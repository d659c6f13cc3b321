/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ions of the source water by charge, for its chart and its table. */
#include "sheet/parts.h"

/* Mass of a mole of charge, IUPAC 2021 abridged atomic weights. */
typedef struct carrier {
    const char *name;
    sw_component component;
    double mg_per_meq;
} carrier;

static const carrier cations[] = {{"Ca", SW_CA, 40.078 / 2.0},
                                  {"Mg", SW_MG, 24.305 / 2.0},
                                  {"Na", SW_NA, 22.990},
                                  {"K", SW_K, 39.098},
                                  {"NH4", SW_NH4_N, 14.007}};
/* Alkalinity is in meq: on paper it is bicarbonate. */
static const carrier anions[] = {
    {"HCO3", SW_ALKALINITY, 1.0}, {"SO4", SW_S, 32.06 / 2.0},
    {"Cl", SW_CL, 35.45},         {"NO3", SW_NO3_N, 14.007},
    {"F", SW_F, 18.998},          {"PO4", SW_P, 30.974}};
/* What is less has no room in a chart and no weight in a balance. */
static const double least_meq_per_l = 0.005;

size_t sheet_ions(const cli_sheet *sheet, bool of_cations, cli_ion ions[])
{
    const sw_content *water = &sheet->report->assessment->water;
    const carrier *list = of_cations ? cations : anions;
    size_t size = of_cations ? sizeof cations / sizeof cations[0]
                             : sizeof anions / sizeof anions[0];
    double rest = of_cations ? sheet->water->cations_meq_per_l
                             : sheet->water->anions_meq_per_l;
    size_t count = 0;
    for (size_t i = 0; i < size; i++) {
        double meq = water->amount[list[i].component] / list[i].mg_per_meq;
        if (meq < least_meq_per_l)
            continue;
        ions[count++] = (cli_ion){list[i].name, meq};
        rest -= meq;
    }
    if (rest >= least_meq_per_l)
        ions[count++] = (cli_ion){"other", rest};
    return count;
}
