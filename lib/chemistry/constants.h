/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The reference tables at one temperature: species in terms of the masters
 * the alkalinity refers to, solids, Debye-Hueckel parameters, water.
 */
#ifndef SW_CHEMISTRY_CONSTANTS_H
#define SW_CHEMISTRY_CONSTANTS_H

#include "saltwright.h"

#include "list_masters.h"

/* The natural logarithm of 10. */
#define SW_LN10 2.302585092994046

/*
 * Masters as masters.csv has them.  In here the protonated references of
 * saltwright.h stand for PO4, CO3 and Cit: H2PO4-, CO2 and H3Cit.
 */
typedef enum sw_master {
#define SW_MASTER_ENUM(master) master,
    SW_MASTER_LIST(SW_MASTER_ENUM)
#undef SW_MASTER_ENUM
        SW_MASTER_COUNT,
    /* Species other species are written with. */
    SW_AT_OH = SW_MASTER_COUNT,
    SW_AT_HCO3,
    SW_AT_CO2,
    SW_AT_HPO4,
    SW_AT_H2PO4,
    SW_AT_H2BO3,
    SW_AT_H3Cit,
    SW_AT_MgSO4,
    SW_AT_NH3,
    SW_SYMBOL_COUNT,
    SW_AT_None = SW_SYMBOL_COUNT
} sw_master;

enum {
    SW_SPECIES_MAX = 160,
    SW_CO2_GAS = SW_SOLID_COUNT, /* CO2(g) = CO2(aq), kept with the solids */
    SW_NH3_GAS,                  /* so is NH3(g) */
    SW_PHASE_COUNT
};

/*
 * A species, or the dissolution of a solid: ln activity = ln_beta + sum of
 * count * ln activity of its parts + protons * ln a(H+) + water * ln a(H2O).
 */
typedef struct sw_species {
    const char *name;
    int parts; /* masters in it, 0 to 3 */
    sw_master part[3];
    int count[3];
    int protons; /* above its reference masters */
    int water;
    int charge;
    double ln_beta;
    double size_angstrom; /* NaN: Davies, or 0.1 I for a neutral one */
    double b_kg_per_mol;
    double lambda; /* limiting molar conductivity, S cm^2/mol; 0: none */
} sw_species;

/*
 * A species as a product: beta / gamma, times the activities of its factors and
 * powers of those of the proton and of water.
 */
typedef struct sw_product_term {
    int species; /* its place among sw_constants.species */
    double beta, half_z2;
    int coefficient; /* its class */
    int protons, water;
    int factors; /* unknowns, each as often as it counts */
    int factor[8];
    int unknowns; /* each once, in their order */
    int unknown[4];
    double count[4];
    unsigned needs; /* the same, a bit each */
} sw_product_term;

/* -ln gamma = az2 sqrt(I) / (1 + ba sqrt(I)) - b I, of one or many species. */
typedef struct sw_coefficient {
    double az2, ba, b;
} sw_coefficient;

/*
 * The species prepared for the kernel.  Its unknowns are the masters with more
 * than one species, cations (metals) first, then ligands, then the proton.  No
 * species has two metals: their part of the Hessian is diagonal.
 */
enum {
    SW_UNKNOWN_MAX = SW_MASTER_COUNT + 1,
    SW_METAL_MAX = 12,
    SW_LIGAND_MAX = 12, /* the proton too */
    SW_POWER_MAX = 8    /* of proton and water */
};
typedef struct sw_plan {
    int metals, unknowns;
    int place[SW_MASTER_COUNT]; /* among the unknowns; -1: an ion on its own */
    int ion[SW_MASTER_COUNT];   /* a master's own species */
    double half_z2[SW_MASTER_COUNT]; /* of a master's reference */
    int coefficients;
    sw_coefficient coefficient[SW_SPECIES_MAX];
    int terms;
    sw_product_term term[SW_SPECIES_MAX];
} sw_plan;

/* How each pair of ions that conduct drag on one another (conductivity.c). */
enum { SW_CONDUCTOR_MAX = 64 }; /* of one sign */
typedef struct sw_drags {
    int place[SW_SPECIES_MAX]; /* among the ions of its sign that conduct */
    double of[SW_CONDUCTOR_MAX][SW_CONDUCTOR_MAX]; /* cations, anions */
} sw_drags;

typedef struct sw_constants {
    double temperature_c, temperature_k;
    double debye_a;              /* log10, kg^1/2 mol^-1/2 */
    double debye_b_per_angstrom; /* kg^1/2 mol^-1/2 per angstrom */
    double water_kg_per_l;
    double permittivity; /* relative */
    double viscosity_mpa_s;
    sw_species species[SW_SPECIES_MAX];
    int species_count;
    sw_species solid[SW_PHASE_COUNT]; /* ln_beta: -ln Ksp */
    sw_plan plan;
    bool is_paired; /* has drags: of tables */
    sw_drags drags;
} sw_constants;

/* Everything at a temperature between 0 and 50 degC. */
void sw_constants_at(double temperature_c, sw_constants *constants);

/* The same of `tables` where they are of that temperature, else made in `room`.
 */
const sw_constants *sw_constants_from(const sw_tables *tables,
                                      double temperature_c, sw_constants *room);

/* Prepares the plan from the species. */
void sw_constants_plan(sw_constants *constants);

/* The plan of the unknowns in `there`, a bit each, and no others, in their
 * order: only those terms and classes.  Its ions are not set. */
void sw_plan_restrict(const sw_plan *all, unsigned there, sw_plan *some);

/* ln of the activity coefficient at an ionic strength in mol/kg. */
double sw_ln_gamma(const sw_constants *constants, const sw_species *species,
                   double ionic_strength);

#endif
