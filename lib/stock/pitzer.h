/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Activity coefficients in concentrates: Pitzer's ion-interaction model.
 * Parameters: reference/pitzer.csv.  Equations: reference/methods.md, Stock.
 */
#ifndef SW_STOCK_PITZER_H
#define SW_STOCK_PITZER_H

#include "saltwright.h"

#include "chemistry/constants.h"
#include "list_stock_ions.h"

/* reference/stock_ions.csv, in its order. */
typedef enum sw_ion {
#define SW_ION_ENUM(code) code,
    SW_ION_LIST(SW_ION_ENUM)
#undef SW_ION_ENUM
        SW_IONS
} sw_ion;

/* "K+"; static storage. */
const char *sw_ion_name(sw_ion ion);
int sw_ion_charge(sw_ion ion);
/* Of a weak acid the form that the alkalinity refers to; else the ion. */
sw_ion sw_ion_counts_as(sw_ion ion);
/* The master whose total is counted as this ion; SW_MASTER_COUNT: none. */
sw_master sw_ion_total(sw_ion ion);
/* mL that a mol takes in dilute water. */
double sw_ion_molar_volume(sw_ion ion);
/* The ion so named, or SW_IONS. */
sw_ion sw_ion_find(const char *name);

enum { SW_PSI_MAX = 160, SW_LAMBDA_MAX = 64 };

typedef struct sw_pair {
    bool known;
    double beta0, beta1, beta2, c; /* c: C of the pair, not C^phi */
    double theta;                  /* of two of one sign */
    double fit_max_mol_per_kg;     /* of the pure salt; NaN: not stated */
} sw_pair;

typedef struct sw_triple {
    sw_ion ion[3];
    double value;
} sw_triple;

/* The parameters, laid out for use. */
typedef struct sw_pitzer {
    sw_pair pair[SW_IONS][SW_IONS]; /* both ways round */
    bool interacts[SW_IONS];        /* some row is the ion's */
    sw_triple psi[SW_PSI_MAX];
    sw_triple lambda[SW_LAMBDA_MAX]; /* a neutral and an ion or a neutral */
    size_t psi_count, lambda_count;
} sw_pitzer;

typedef struct sw_activity {
    /* Molal; of every ion, present or not.  One without parameters has the
     * Debye-Hueckel term of SIT alone. */
    double ln_gamma[SW_IONS];
    double ln_water; /* of the activity of water */
    double osmotic_coefficient;
    double ionic_strength_mol_per_kg;
} sw_activity;

void sw_pitzer_load(sw_pitzer *pitzer);

/* Debye-Hueckel slope A_phi of the osmotic coefficient. */
struct sw_constants;
double sw_a_phi(const struct sw_constants *constants);

/*
 * `molality` in mol per kg of water, one per ion; beside them what no
 * parameters are known of, `others[z]` mol per kg of charge +-z up to 4.
 */
enum { SW_OTHERS = 5 };
void sw_pitzer_activity(const sw_pitzer *pitzer, const double *molality,
                        const double *others, double a_phi, sw_activity *out);
/* Of an ion without parameters: SIT's term, A = 3 a_phi, B a = 1.5 (Grenthe,
 * Plyasunov & Spahiu 1997, OECD Modelling in Aquatic Chemistry, ch. IX). */
double sw_plain_ln_gamma(int charge, double a_phi,
                         double ionic_strength_mol_per_kg);

/*
 * The term of higher order for two ions of one sign and unlike charge, and its
 * derivative by ionic strength.  Pitzer 1975, J. Solution Chem. 4:249.
 */
void sw_e_theta(int charge_1, int charge_2, double a_phi,
                double ionic_strength_mol_per_kg, double theta[2]);
/* J of that paper and its derivative, by its equation 47. */
void sw_pitzer_j(double x, double j[2]);

#endif
