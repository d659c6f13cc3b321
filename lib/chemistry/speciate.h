/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The one equilibrium of a solution: how its masters are shared out among the
 * species, at a pH that is given or follows from the alkalinity.
 */
#ifndef SW_CHEMISTRY_SPECIATE_H
#define SW_CHEMISTRY_SPECIATE_H

#include "chemistry/totals.h"

/* mol/kg of ionic strength, where the activities end. */
#define SW_MAX_IONIC 2.0
#define SW_BALANCED 1e-12      /* relative, of a balance; 1e-10 is promised */
#define SW_MAX_STEP 4.0        /* of ln activity, at a time */
#define SW_WATER_PER_MOL 0.017 /* kg/mol: a(H2O) = 1 - 0.017 sum m */

typedef struct sw_speciation {
    /* Given. */
    const sw_constants *constants;
    sw_totals totals;
    bool ph_given;    /* else the proton condition gives it */
    bool carbon_open; /* CO2 of a given activity; the total follows */
    bool wants_slope; /* with ph_given, not with `ln_gamma` */
    bool warm;        /* the found values are a good start; found ones are */
    bool surely;      /* found: the kernel failed, sw_speciate_surely did not */
    double ln_co2;    /* ln of that activity */
    /* ln of the activity coefficient of each species by another model, NaN
     * where one does not form; ln_water then is given too.  NULL: ours. */
    const double *ln_gamma;
    /* Found (ph is given with ph_given). */
    double ph;
    double ionic_strength;
    double ln_water;                     /* ln a(H2O) */
    double ln_activity[SW_MASTER_COUNT]; /* of the references; -inf: absent */
    double molality[SW_SPECIES_MAX];     /* of all species, mol/kg */
    double alkalinity;                   /* of the species, eq/kg */
    double slope[SW_MASTER_COUNT]; /* where wanted: of the alkalinity per mol
                                      of each total, eq/mol; 0: absent */
    double residual; /* worst balance, over the sum of its terms' sizes */
} sw_speciation;

/* What another speciation of a solution much like it may start from. */
struct sw_start {
    double ph, ionic_strength, ln_activity[SW_MASTER_COUNT];
};
void sw_start_keep(const sw_speciation *found, sw_start *start);
void sw_start_from(const sw_start *start, sw_speciation *s);

/*
 * SW_ERR_VALUE: ionic strength above 2 mol/kg, not with `ln_gamma`.
 * SW_ERR_NUMERIC: no convergence.  SW_ERR_MEMORY.
 */
sw_status sw_speciate(sw_speciation *s, sw_error *error);

/* Several, which may ask different things, as many at once as the processor
 * takes; each comes out as it would alone. */
sw_status sw_speciate_all(sw_speciation *const *all, size_t count,
                          sw_error *error);

/* The same from anywhere, at fifteen times the work; without the slope.  Needs
 * ln_water; same errors. */
sw_status sw_speciate_surely(sw_speciation *s, sw_error *error);

/* ln a(H2O) of our own model. */
double sw_ln_water_of(const sw_totals *totals);

/* Inorganic carbon of all species, mol/kg. */
double sw_carbon_of(const sw_speciation *s);

/* ln of the activity of CO2(aq) under a pressure of CO2 in atm. */
double sw_ln_co2(const sw_constants *constants, double co2_atm);

/* ln of activity product over Ksp; NaN when a part is absent. */
double sw_ln_saturation(const sw_speciation *s, const sw_species *solid);

#endif
