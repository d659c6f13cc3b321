/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A solution at equilibrium: pH, conductivity, what may precipitate. */
#ifndef SALTWRIGHT_CHEMISTRY_H
#define SALTWRIGHT_CHEMISTRY_H

/* clang-format off */
#include "saltwright_records.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Chemistry ----------------------------------------------------------
 * One solution at equilibrium: extended Debye-Hueckel activities, acids, ion
 * pairs.  Sources: reference/methods.md. */
typedef struct sw_tables sw_tables;
typedef struct sw_start sw_start;
typedef struct sw_conditions {
    double temperature_c; /* of the solution, 5 to 40 */
    double co2_atm;       /* partial pressure of CO2 in the air */
    const sw_tables *tables; /* of that temperature, borrowed; NULL: each call
                                makes its own, which costs as much as a pH */
    const sw_start *start; /* of a solution much like what is asked for: saves
                              work, a poor one costs some, no answer changes
                              but by rounding.  Borrowed of a sw_solution that
                              outlives the call, and only read; or NULL */
} sw_conditions;
/* The constants of a temperature from 5 to 40 degC, made once for many calls,
 * in as many threads as there are; release with sw_tables_free, which takes
 * NULL.  SW_ERR_VALUE, SW_ERR_MEMORY. */
SW_API sw_status sw_tables_new(double temperature_c, sw_tables **tables,
                               sw_error *error);
SW_API void sw_tables_free(sw_tables *tables);
/* 25 degC and the air's CO2 (source in reference/methods.md). */
SW_API sw_conditions sw_conditions_default(void);
#define SW_SOLID_LIST(X)                                                       \
    X(SW_CALCITE, "calcite", "CaCO3")                                          \
    X(SW_GYPSUM, "gypsum", "CaSO4·2H2O")                                       \
    X(SW_BRUSHITE, "brushite", "CaHPO4·2H2O")                                  \
    X(SW_ACP, "amorphous calcium phosphate", "Ca3(PO4)2·xH2O")                 \
    X(SW_HYDROXYAPATITE, "hydroxyapatite", "Ca5(PO4)3OH")                      \
    X(SW_STRUVITE, "struvite", "MgNH4PO4·6H2O")                                \
    X(SW_IRON_PHOSPHATE, "amorphous iron phosphate", "FePO4·xH2O")             \
    X(SW_IRON_HYDROXIDE, "amorphous iron hydroxide", "Fe(OH)3")                \
    X(SW_MANGANESE_PHOSPHATE, "manganese hydrogen phosphate", "MnHPO4")        \
    X(SW_SILICA, "amorphous silica", "SiO2")
typedef enum sw_solid {
#define SW_SOLID_ENUM(code, name, formula) code,
    SW_SOLID_LIST(SW_SOLID_ENUM)
#undef SW_SOLID_ENUM
        SW_SOLID_COUNT
} sw_solid;
SW_API const char *sw_solid_name(sw_solid solid);
SW_API const char *sw_solid_formula(sw_solid solid);
typedef struct sw_saturation {
    bool defined;    /* false: one of its ions is absent */
    double index;    /* log10 of ion activity product over Ksp */
    double ph_onset; /* by sw_onsets, else NaN */
} sw_saturation;
/* Whether feeds are oversaturated with it as a rule and stay clear: hydroxy-
 * apatite, manganese hydrogen phosphate (common practice, no source). */
SW_API bool sw_seldom_forms(sw_solid solid);
/* Within that of saturation, a factor of two, an estimate decides nothing. */
#define SW_SATURATION_MARGIN 0.3
typedef struct sw_chemistry {
    double ph, ionic_strength_mol_per_kg, alkalinity_meq_per_l;
    double carbon_mmol_per_l;                   /* inorganic, all forms */
    double co2_atm; /* of the air that would take and give none; 0: no carbon */
    double ec_ms_per_cm;                        /* at 25 degC */
    /* 90 % interval: of sw_equilibrate, as of an analysed water; of sw_assess,
     * of the water by its analysis and of what is added by weighing. */
    double ec_low_ms_per_cm, ec_high_ms_per_cm;
    double ec_sum_cations_ms_per_cm; /* rule: sum of cations, meq/L, / 10 */
    double osmotic_pressure_kpa;
    double ammonia_n_mg_per_l; /* of NH4-N, what is there as NH3 */
    double cations_meq_per_l; /* analytical, from the contents */
    double anions_meq_per_l;  /* analytical; alkalinity counts as anion */
    double balance_residual;  /* worst relative mass or charge imbalance */
    sw_saturation saturation[SW_SOLID_COUNT];
} sw_chemistry;
/* Inorganic carbon of a water from its pH and alkalinity, into a copy of its
 * contents.  What had to be assumed (pH, alkalinity not reported) is written
 * into *notes.  Where nothing tells the alkalinity, or the report cannot be true
 * (an EC far from its ions, a pH that no such alkalinity has), a note is about
 * SW_ABOUT_REPORT and all of it is SW_UNKNOWN_WATER, in whatever is mixed of it;
 * where nothing tells the pH beside an alkalinity of more than 0.5 meq/L,
 * SW_UNKNOWN_CO2.  Of a solution, alkalinity that is not reported follows from
 * the pH with the air's CO2, and all iron is held by a chelator, since bare iron
 * would not have stayed dissolved.  SW_ERR_VALUE as sw_equilibrate; _NUMERIC,
 * _MEMORY. */
SW_API sw_status sw_water_complete(const sw_water *water,
                                   const sw_conditions *conditions,
                                   sw_content *per_l, sw_notes *notes,
                                   sw_error *error);

/* Inorganic carbon: as mixed, bare iron Fe(II); or CO2 in equilibrium with the
 * air and iron Fe(III). */
typedef enum sw_carbonate {
    SW_CARBONATE_KEPT, SW_CARBONATE_AIRED
} sw_carbonate;
/* pH (from the alkalinity) and everything else of a solution.  SW_ERR_VALUE: a
 * content below 0 or not a number, conditions out of their range, or an ionic
 * strength above 2 mol/kg.  SW_ERR_NUMERIC, SW_ERR_MEMORY. */
SW_API sw_status sw_equilibrate(const sw_content *per_l,
                                const sw_conditions *conditions,
                                sw_carbonate carbonate, sw_chemistry *out,
                                sw_error *error);
/* Sets ph_onset of the solids in `saturation` of that solution: the lowest pH
 * from 3 to 11 at which the index is 0 as strong acid or base moves it; NaN if
 * there is none.  It costs several times what the rest of the chemistry does.
 * Errors as sw_equilibrate. */
SW_API sw_status sw_onsets(const sw_content *per_l,
                           const sw_conditions *conditions,
                           sw_carbonate carbonate,
                           sw_saturation saturation[SW_SOLID_COUNT],
                           sw_error *error);

/* mS/cm that a meter without temperature compensation shows of the solution at
 * `meter_c`, 5 to 40 degC: pH and carbon are those of the conditions.  Errors
 * as sw_equilibrate. */
SW_API sw_status sw_ec_at(const sw_content *per_l,
                          const sw_conditions *conditions, double meter_c,
                          double *ms_per_cm, sw_error *error);
/* The EC a meter shows that takes `ms_per_cm` at `meter_c` to 25 degC by the
 * usual 2 % per degree (common practice). */
SW_API double sw_ec_by_two_percent(double ms_per_cm, double meter_c);
/* Sets the 90 % interval of the EC of a solution, `finished` per litre: the
 * ions of `water` in it are known by an analysis, the rest by weighing. */
SW_API void sw_ec_bound(const sw_content *water, const sw_content *finished,
                        sw_chemistry *chemistry);

#ifdef __cplusplus
}
#endif

#endif
