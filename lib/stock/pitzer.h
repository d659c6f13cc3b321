/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Activity coefficients in concentrates: Pitzer's ion-interaction model.
 * Parameters: reference/pitzer.csv.  Equations: reference/methods.md, Stock.
 */
#ifndef SW_STOCK_PITZER_H
#define SW_STOCK_PITZER_H

#include "saltwright.h"

#define SW_ION_LIST(X)                                                         \
    X(SW_ION_H, "H+", 1)                                                       \
    X(SW_ION_NA, "Na+", 1)                                                     \
    X(SW_ION_K, "K+", 1)                                                       \
    X(SW_ION_NH4, "NH4+", 1)                                                   \
    X(SW_ION_MG, "Mg+2", 2)                                                    \
    X(SW_ION_CA, "Ca+2", 2)                                                    \
    X(SW_ION_MN, "Mn+2", 2)                                                    \
    X(SW_ION_CU, "Cu+2", 2)                                                    \
    X(SW_ION_ZN, "Zn+2", 2)                                                    \
    X(SW_ION_CL, "Cl-", -1)                                                    \
    X(SW_ION_NO3, "NO3-", -1)                                                  \
    X(SW_ION_SO4, "SO4-2", -2)                                                 \
    X(SW_ION_HSO4, "HSO4-", -1)                                                \
    X(SW_ION_H2PO4, "H2PO4-", -1)                                              \
    X(SW_ION_HPO4, "HPO4-2", -2)                                               \
    X(SW_ION_HCO3, "HCO3-", -1)                                                \
    X(SW_ION_CO3, "CO3-2", -2)                                                 \
    X(SW_ION_OH, "OH-", -1)                                                    \
    X(SW_ION_CO2, "CO2", 0)                                                    \
    X(SW_ION_H3PO4, "H3PO4", 0)                                                \
    X(SW_ION_UREA, "CO(NH2)2", 0)                                              \
    X(SW_ION_H3BO3, "H3BO3", 0)                                                \
    X(SW_ION_FE, "Fe+2", 2)                                                    \
    X(SW_ION_PO4, "PO4-3", -3)                                                 \
    X(SW_ION_H2BO3, "H2BO3-", -1)                                              \
    X(SW_ION_NH3, "NH3", 0)                                                    \
    X(SW_ION_H4SIO4, "H4SiO4", 0)                                              \
    X(SW_ION_MOO4, "MoO4-2", -2)                                               \
    X(SW_ION_H3CIT, "H3Cit", 0)                                                \
    X(SW_ION_CIT, "Cit-3", -3)

typedef enum sw_ion {
#define SW_ION_ENUM(code, name, charge) code,
    SW_ION_LIST(SW_ION_ENUM)
#undef SW_ION_ENUM
        SW_IONS
} sw_ion;

/* "K+"; static storage. */
const char *sw_ion_name(sw_ion ion);
int sw_ion_charge(sw_ion ion);
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

/* `molality` in mol per kg of water, one per ion. */
void sw_pitzer_activity(const sw_pitzer *pitzer, const double *molality,
                        double a_phi, sw_activity *out);
/*
 * The same beside what no parameters are known of, `others[z]` mol per kg of
 * charge +-z up to 4.
 */
enum { SW_OTHERS = 5 };
void sw_pitzer_activity_beside(const sw_pitzer *pitzer, const double *molality,
                               const double *others, double a_phi,
                               sw_activity *out);
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
