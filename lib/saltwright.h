/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Saltwright: from a lab analysis of the source water, a crop's targets and
 * the fertilisers on the shelf to weights for the scale.
 * The way of the data:
 *     sw_waters_read, sw_target_read, sw_shelf_read    files to records
 *     sw_water_complete                                carbonate of a water
 *     sw_formulate                                     problem to recipe
 *     sw_assess                                        recipe to judgement
 *     sw_stock_plan, sw_weigh, sw_mixing_order         recipe to tanks
 *
 * Conventions.  Every call that can fail returns sw_status and fills the
 * caller's sw_error (which may be NULL).  On failure the out-pointer is NULL
 * and nothing leaks.  What a _read or _new call returned, the matching _free
 * releases; every _free takes NULL.  Strings inside records belong to the
 * record.  The library never prints, never exits and keeps no global state;
 * different threads may work on different objects at once.
 * A number that was not given is NaN.  Amounts are mg/L of finished solution
 * unless the name ends in another unit.
 */
#ifndef SALTWRIGHT_H
#define SALTWRIGHT_H

/* clang-format off */
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__) && !defined(SW_STATIC)
#define SW_API __attribute__((visibility("default")))
#else
#define SW_API
#endif
/* "0.1.0"; static storage. */
SW_API const char *sw_version(void);

/* ---- Errors -----------------------------------------------------------
 * An error is a call that could not do its work.  How a solve ended is an
 * sw_outcome instead.  One list gives codes and texts. */
#define SW_STATUS_LIST(X)                                                      \
    X(SW_OK, "ok")                                                             \
    X(SW_ERR_MEMORY, "out of memory")                                          \
    X(SW_ERR_IO, "cannot read or write")                                       \
    X(SW_ERR_SYNTAX, "malformed input")                                        \
    X(SW_ERR_NAME, "unknown or ambiguous name")                                \
    X(SW_ERR_UNIT, "unknown, ambiguous or unfitting unit")                     \
    X(SW_ERR_VALUE, "value out of its domain")                                 \
    X(SW_ERR_DUPLICATE, "given twice")                                         \
    X(SW_ERR_MISSING, "something required is missing")                         \
    X(SW_ERR_LIMIT, "input larger than the stated bounds")                     \
    X(SW_ERR_NUMERIC, "computation did not converge")                          \
    X(SW_ERR_SOLVER, "the solver failed")
typedef enum sw_status {
#define SW_STATUS_ENUM(code, text) code,
    SW_STATUS_LIST(SW_STATUS_ENUM)
#undef SW_STATUS_ENUM
} sw_status;
SW_API const char *sw_status_text(sw_status status); /* static, never NULL */

typedef struct sw_error {
    sw_status status;
    char message[512];    /* one sentence: what, what was expected, example */
    char file[256];       /* as the caller named it; "" when none applies */
    unsigned long line, column; /* characters; from 1; 0 when none applies */
} sw_error;
/* What a call found worth saying without failing. */
typedef enum sw_severity { SW_INFO, SW_WARNING, SW_DANGER } sw_severity;
typedef struct sw_note {
    sw_severity severity;
    char code[32];  /* stable, lower case with dashes: "water-decides" */
    char text[512]; /* one or two sentences */
} sw_note;
typedef struct sw_notes { sw_note *items; size_t count; } sw_notes;
SW_API void sw_notes_free(sw_notes *notes); /* the items, not the struct */
/* "info", "warning", "danger"; static storage. */
SW_API const char *sw_severity_text(sw_severity severity);

/* ---- Components and what carries them ---------------------------------- */
/* Everything that mixes linearly.  A content is per litre (of a water or a
 * finished solution) or per gram (of a product).  Up to SW_N it holds mg; the
 * rest is bookkeeping for charge and pH in the units named.  The components
 * are the rows of reference/components.csv, SW_NO3_N first, in the order of
 * screens; SW_N, the last, is kept as the sum of the three forms of nitrogen. */
#include "saltwright_components.h"
typedef enum sw_component {
#define SW_COMPONENT_ENUM(code, name) code,
    SW_COMPONENT_LIST(SW_COMPONENT_ENUM)
#undef SW_COMPONENT_ENUM
    SW_COMPONENT_COUNT, /* components with a name on screen end here */
    /* Moles of charge of strong cations minus strong anions, references
     * NH4+, H2PO4-, H3BO3, H4SiO4, HF's F-, MoO4 2-, citrate as H3Cit, CO2. */
    SW_ALKALINITY = SW_COMPONENT_COUNT, /* meq */
    SW_CARBON,                          /* inorganic carbon, mmol */
    SW_CITRATE,                         /* mmol */
    SW_CHELATED_FE, SW_CHELATED_MN,     /* mg held by a chelator */
    SW_CHELATED_ZN, SW_CHELATED_CU,
    /* mg of iron that came with the water, which air turns to rust: not in
     * SW_FE, which a crop gets, but in the chemistry and under every max. */
    SW_WATER_FE,
    SW_CHELATE_CHARGE,                  /* meq of anion of metal chelates */
    SW_UNDECLARED, /* meq of anions that labels leave out; below 0 cations */
    SW_CARRIED_COUNT
} sw_component;
typedef struct sw_content { double amount[SW_CARRIED_COUNT]; } sw_content;
/* "NO3-N", "K", ... "N"; static storage; NULL from SW_COMPONENT_COUNT on. */
SW_API const char *sw_component_name(sw_component component);
/* What is true of components alike. */
enum {
    SW_IS_FORM = 1,    /* of nitrogen, told by their sum */
    SW_IS_MAIN = 2,    /* N P K Ca Mg S */
    SW_IS_TRACE = 4,   /* fed in traces: Fe ... Mo */
    SW_IS_SALT = 8,    /* Na, Cl */
    SW_IS_BUFFER = 16, /* P, Si: they hold a pH */
    SW_IS_CAPPED = 32, /* products bring little of it where no target names it */
    SW_IS_PLAIN = 64   /* none of these */
};
/* Whether it is any of these; false from SW_COMPONENT_COUNT on. */
SW_API bool sw_component_is(sw_component component, unsigned roles);
/* to += factor * from, every amount. */
SW_API void sw_content_add(sw_content *to, double factor,
                           const sw_content *from);
/* to += fractions[i] * waters[i], per litre, of each of `count` waters; with
 * NULL for the fractions, each whole. */
SW_API void sw_content_add_waters(sw_content *to, const sw_content *waters,
                                  const double *fractions, size_t count);

/* ---- Volumes, masses and rates as people write them --------------------- */
typedef enum sw_unit_system { SW_METRIC, SW_US } sw_unit_system;
/* "400gal", "1500 L", "2m3", "250mL", "100 impgal" -> litres (1 mL to 1e5 m3)
 * and the system the unit is of (gal: SW_US).  SW_ERR_SYNTAX, _UNIT, _VALUE. */
SW_API sw_status sw_volume_parse(const char *text, double *volume_l,
                                 sw_unit_system *system, sw_error *error);
/* "0.5g", "2 oz" -> grams (> 0, finite); errors as above. */
SW_API sw_status sw_mass_parse(const char *text, double *g, sw_error *error);
/* "2.1mS/cm", "2100 uS/cm" -> mS/cm (> 0, finite); errors as above. */
SW_API sw_status sw_conductivity_parse(const char *text, double *ms_per_cm,
                                       sw_error *error);

/* ---- The catalogue ------------------------------------------------------ */
#include "saltwright_hazards.h"
typedef enum sw_chelator {
    SW_CHELATOR_NONE, SW_EDTA, SW_HEDTA, SW_DTPA, SW_EDDHA, SW_CITRATE_CHELATOR
} sw_chelator;

/* Anything weighed or measured out: in the catalogue, or on a shelf with the
 * shelf's own name, limits and price laid over it. */
typedef struct sw_product {
    char *name, *catalogue_name; /* its user's; NULL when not built in */
    char *formula, *label;   /* "KNO3"; "Ca 19", from which per_g is then */
    char *other_names, *source; /* "MKP|0-52-34"; of the composition */
    sw_content per_g;        /* what one gram carries */
    /* Of a label: the salt whose S, Cl, Na and charge stand for what it does
     * not print (static; NULL: none), and by how much the alkalinity may be
     * lower or higher than in per_g, meq/g: of a product taken as neutral. */
    const char *taken_as;
    double open_acid_meq_per_g, open_base_meq_per_g;
    double purity;           /* mass fraction, 0 to 1; NaN with a label */
    double density_g_per_ml; /* NaN for a solid */
    sw_chelator chelator;
    sw_hazards hazards;
    /* The rest is the shelf's; NaN or NULL in the catalogue. */
    double min_g_per_l, max_g_per_l; /* per litre of finished solution */
    double fixed_g_per_l, price_per_kg, pack_g;
    char *tank, *usual_tank; /* pinned, or NULL; of the trade: "A or B" */
    unsigned long line;      /* in the shelf file; 0 in the catalogue */
} sw_product;
SW_API size_t sw_catalogue_count(void);
/* A fresh copy of entry `index`, or of that with `name` among its names (case
 * and spaces do not matter).  SW_ERR_NAME (unknown: near names are listed;
 * ambiguous, as "nitric acid" is: the choices are), SW_ERR_MEMORY. */
SW_API sw_status sw_catalogue_get(size_t index, sw_product **product,
                                  sw_error *error);
SW_API sw_status sw_catalogue_find(const char *name, sw_product **product,
                                   sw_error *error);
SW_API void sw_product_free(sw_product *product);
/* Whether it is in a class of that code: "H314". */
SW_API bool sw_has_hazard(const sw_product *product, const char *code);
/* Sum of sw_gear; goggles and gloves at the least.  NULL: 0. */
SW_API unsigned sw_gear_of(const sw_product *product);

/* ---- Records ------------------------------------------------------------
 * CSV as people have it: UTF-8 with or without BOM; comma, semicolon or tab;
 * decimal comma with the latter two; blank lines and # lines; CRLF; columns in
 * any order.  Every error carries file, line and column.  `name` is what the
 * error calls the stream.  Bounds: see SW_MAX_*. */
enum {
    SW_MAX_LINE_BYTES = 65536, SW_MAX_FIELD_BYTES = 4096, SW_MAX_COLUMNS = 512,
    SW_MAX_LINES = 1000000, /* blank lines and # lines too */
    SW_MAX_ROWS = 100000, SW_MAX_PRODUCTS = 256, SW_MAX_WATERS = 100000,
    SW_MAX_TARGET_ROWS = 4096, SW_MAX_STAGES = 64
};
/* What a water analysis can report besides components. */
typedef enum sw_reading_kind {
    SW_READS_COMPONENT, SW_READS_ALKALINITY, SW_READS_HARDNESS,
    SW_READS_CA_HARDNESS, SW_READS_PH, SW_READS_EC, SW_READS_TDS,
    SW_READS_TEMPERATURE, SW_READS_OTHER /* in no mass balance: As, turbidity */
} sw_reading_kind;
/* One line of the lab report, kept as given. */
typedef struct sw_reading {
    char *parameter, *unit; /* as written: "SO4", "mg/L" */
    double value;
    bool below_detection; /* "<0.05": value is the limit, reckoned as 0 */
    sw_reading_kind kind;
    sw_component component; /* with SW_READS_COMPONENT */
    const char *name; /* the parameter's own, static: "As" of arsenic */
    double amount; /* or limit: mg/L (of Cl2), meq/L, mS/cm ...; NaN: a word */
    unsigned long line, column;
} sw_reading;
/* One lab analysis of one source water. */
typedef struct sw_water {
    char *sample, *file; /* sample: the file's name when it gives none */
    sw_reading *readings; size_t reading_count;
    sw_content per_l;                  /* from the readings */
    bool reported[SW_COMPONENT_COUNT]; /* false: unknown, reckoned 0 */
    bool below_detection[SW_COMPONENT_COUNT];
    bool alkalinity_reported;
    double ph;           /* NaN when not reported, as all below */
    double ec_ms_per_cm; /* at 25 degC */
    double tds_mg_per_l, temperature_c;
    double hardness_meq_per_l, ca_hardness_meq_per_l;
} sw_water;
typedef struct sw_waters {
    sw_water *items; size_t count;
    sw_notes notes; /* improbable values; each names its place */
} sw_waters;
/* Long (`parameter,value,unit`) or wide (a sample a row).  SW_ERR_IO, _SYNTAX,
 * _NAME, _UNIT, _VALUE, _DUPLICATE, _MISSING, _LIMIT, _MEMORY. */
SW_API sw_status sw_waters_read(FILE *stream, const char *name,
                                sw_waters **waters, sw_error *error);
/* The water called `sample`, or the only one when NULL; NULL if none. */
SW_API const sw_water *sw_waters_find(const sw_waters *waters,
                                      const char *sample);
SW_API void sw_waters_free(sw_waters *waters);
/* One water at a time, the stream's until the next call; NULL at the end, where
 * an unclear decimal mark is refused.  Samples may repeat.  *notes grows. */
typedef struct sw_water_stream sw_water_stream;
SW_API sw_status sw_water_stream_open(FILE *stream, const char *name,
                                      sw_water_stream **waters,
                                      sw_error *error);
SW_API sw_status sw_water_stream_next(sw_water_stream *waters,
                                      const sw_water **water, sw_notes *notes,
                                      sw_error *error);
SW_API void sw_water_stream_close(sw_water_stream *waters);
typedef enum sw_target_kind {
    SW_TARGET_COMPONENT, /* SW_N included */
    SW_TARGET_RATIO,     /* component : other, by mass */
    SW_TARGET_PH, SW_TARGET_EC /* mS/cm at 25 degC */
} sw_target_kind;
/* One row of a target; mg/L, pH, mS/cm or a ratio by mass. */
typedef struct sw_target_row {
    sw_target_kind kind;
    sw_component component, other; /* other: a ratio's denominator */
    char *name;         /* as written */
    double target;      /* NaN when the cell is empty, as below */
    double min, max;    /* limits */
    double weight;      /* >= 0; 1 when the cell is empty */
    unsigned char min_origin, max_origin; /* sw_origin of limits; 0: given */
    bool assumed; /* a ceiling: max is of what products add */
    bool aired;   /* a pH: after CO2 has left, in equilibrium with the air */
    unsigned long line, column; /* in the file, of the target's cell; 0: none */
    char *stage; /* of the crop; NULL: of every stage */
    const char *set; /* built in: sw_target_set's name, static; NULL: a file's */
} sw_target_row;

typedef struct sw_target {
    char *name; /* the stream's */
    sw_target_row *rows; size_t count;
    sw_notes notes;
} sw_target;
/* A pH, or a limit on it, outside 4 to 8.5 is SW_ERR_VALUE: no feed's.  A row
 * `base` takes the rows of a built-in set (saltwright_crops.h) that the file
 * does not replace, or take away by the target `none`. */
SW_API sw_status sw_target_read(FILE *stream, const char *name,
                                sw_target **target, sw_error *error);
SW_API void sw_target_free(sw_target *target);
/* The row on the pH as mixed, else the one on the pH aired; NULL where there is
 * neither, or no target. */
SW_API const sw_target_row *sw_target_ph(const sw_target *target);
/* Stages of the crop in the order of the file; NULL from the last on. */
SW_API const char *sw_target_stage_name(const sw_target *target, size_t index);
/* A copy with the rows of one stage and those of every stage, and no stages in
 * it: what may be solved for.  SW_ERR_NAME (the choices are listed), _MEMORY. */
SW_API sw_status sw_target_stage(const sw_target *target, const char *stage,
                                 sw_target **one, sw_error *error);
typedef struct sw_shelf {
    char *name;
    sw_product *products; size_t count;
    sw_notes notes;
} sw_shelf;
SW_API sw_status sw_shelf_read(FILE *stream, const char *name, sw_shelf **shelf,
                               sw_error *error);
/* The whole catalogue as a shelf without limits or prices. */
SW_API sw_status sw_shelf_catalogue(sw_shelf **shelf, sw_error *error);
SW_API void sw_shelf_free(sw_shelf *shelf);
/* An amount of each product of a shelf per litre of finished solution. */
typedef struct sw_recipe {
    double *g_per_l; size_t count; /* one per product, in the shelf's order */
    /* Acid or base that cannot be sized, since labels in the recipe leave their
     * charge open: g_per_l is what is surely needed of it, this what is poured
     * at the most, in portions and measuring.  0: sized; NULL: all are. */
    double *most_g_per_l;
} sw_recipe;
/* `product,amount,unit` per volume of finished solution.  Products are looked
 * up on `shelf`, then in the catalogue; those not yet on the shelf are
 * appended to it, so that the recipe's order is always the shelf's. */
SW_API sw_status sw_recipe_read(FILE *stream, const char *name, sw_shelf *shelf,
                                sw_recipe **recipe, sw_error *error);
SW_API void sw_recipe_free(sw_recipe *recipe);
/* to += factor * what the recipe adds per litre.  The shelf holds at least as
 * many products as the recipe has amounts. */
SW_API void sw_content_add_recipe(sw_content *to, double factor,
                                  const sw_shelf *shelf,
                                  const sw_recipe *recipe);

/* ---- Chemistry ----------------------------------------------------------
 * One solution at equilibrium: extended Debye-Hueckel activities, acids, ion
 * pairs.  Sources: reference/methods.md. */
typedef struct sw_conditions {
    double temperature_c; /* of the solution, 5 to 40 */
    double co2_atm;       /* partial pressure of CO2 in the air */
} sw_conditions;
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
    double ph_onset; /* lowest pH at which the index is 0; NaN if none 3-11 */
} sw_saturation;
/* Whether feeds are oversaturated with it as a rule and stay clear: hydroxy-
 * apatite, manganese hydrogen phosphate (common practice, no source). */
SW_API bool sw_seldom_forms(sw_solid solid);
/* Within that of saturation, a factor of two, an estimate decides nothing. */
#define SW_SATURATION_MARGIN 0.3
typedef struct sw_chemistry {
    double ph, ionic_strength_mol_per_kg, alkalinity_meq_per_l;
    double carbon_mmol_per_l;                   /* inorganic, all forms */
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
 * into *notes.  SW_ERR_VALUE as sw_equilibrate; _NUMERIC, _MEMORY. */
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

/* mS/cm that a meter without temperature compensation shows of the solution at
 * `meter_c`, 5 to 40 degC: pH and carbon are those of the conditions.  Errors
 * as sw_equilibrate. */
SW_API sw_status sw_ec_at(const sw_content *per_l,
                          const sw_conditions *conditions, double meter_c,
                          double *ms_per_cm, sw_error *error);
/* The EC a meter shows that reckons `ms_per_cm` at `meter_c` to 25 degC by the
 * usual 2 % per degree (common practice). */
SW_API double sw_ec_by_two_percent(double ms_per_cm, double meter_c);
/* Sets the 90 % interval of the EC of a solution, `finished` per litre: the
 * ions of `water` in it are known by an analysis, the rest by weighing. */
SW_API void sw_ec_bound(const sw_content *water, const sw_content *finished,
                        sw_chemistry *chemistry);

#include "saltwright_formulate.h"

/* ---- Assess ------------------------------------------------------------- */
/* A recipe in a water against a target; nothing else is known. */
typedef struct sw_mix {
    const sw_content *water; /* completed, per litre */
    const sw_target *target; const sw_shelf *shelf; const sw_recipe *recipe;
    sw_conditions conditions;
    /* Lab reports of the waters in it and their shares, report_count of each:
     * for chlorine and heavy metals; may be none. */
    const sw_water *const *reports; const double *shares; size_t report_count;
    bool unguarded; /* not held against reference/harm.csv: no notes on it */
} sw_mix;
typedef enum sw_verdict {
    SW_VERDICT_NONE, SW_MET, SW_SHORT, SW_OVER, /* NONE: no target */
    SW_OPEN /* labels leave open which of them, or acid that is not sized */
} sw_verdict;
/* "met", "short", "over", "open"; "" for none. */
SW_API const char *sw_verdict_text(sw_verdict verdict);

typedef struct sw_component_row {
    sw_component component;
    double water_mg_per_l, added_mg_per_l, finished_mg_per_l;
    bool water_reported; /* else counted as 0, as is what is unseen: */
    double water_unseen_mg_per_l; /* at most, below detection */
    double target_mg_per_l;             /* NaN when none, as below */
    double min_mg_per_l, max_mg_per_l;  /* limits as given */
    double low_mg_per_l, high_mg_per_l; /* verdict's: limits, or target -+10 % */
    double residual_mg_per_l;
    sw_verdict verdict;
    char reason[160]; /* "water alone brings 212 mg/L", or "" */
} sw_component_row;
/* A ratio, the pH (a target's band: -+0.5) or the EC against its target. */
typedef struct sw_measure_row {
    sw_target_kind kind;
    bool aired; /* a pH in equilibrium with the air, as in sw_target_row */
    char name[64];
    double finished, target, min, max, low, high;
    sw_verdict verdict;
} sw_measure_row;
typedef enum sw_fitness { /* not seen: detection's limit is above the row's */
    SW_FIT, SW_CARE, SW_UNFIT, SW_NOT_REPORTED, SW_NOT_SEEN
} sw_fitness;
SW_API const char *sw_fitness_text(sw_fitness fitness); /* "suitable" ... */

/* A published limit a water or a finished solution was held against. */
typedef struct sw_guideline_row {
    char name[32], use[32], unit[16]; /* "Na", "wetted leaves", "mg/L" */
    double value;
    bool below;             /* the limits bound from below */
    double caution, severe; /* restricted, unsuitable from here on; NaN when none */
    double danger;          /* no crop should get past it; NaN when none */
    sw_fitness fitness;
    double purified_share; /* audit: of purified water, to the limit; or NaN */
    char source[192];
    const char *remedy; /* what to do; static; "" */
} sw_guideline_row;
/* What labels leave open of a finished solution.  A product known by label
 * counts as a neutral salt; where the ions it leaves out could move the pH by
 * more than 0.2, or chloride or sodium above a limit, the result has to say so:
 * NaN and "" where nothing of it matters. */
typedef struct sw_undeclared {
    double anions_meq_per_l, cations_meq_per_l; /* left out; 0: none */
    /* By how much the alkalinity may be lower, or higher, than is counted. */
    double open_acid_meq_per_l, open_base_meq_per_l;
    double ph_low, ph_high;          /* as mixed, between these */
    double cl_mg_per_l, na_mg_per_l; /* finished, if all were Cl, or Na */
    /* With acid or base that is not sized: the pH to pour it to, measuring,
     * and the EC from none of it to all. */
    double until_ph_low, until_ph_high, ec_low_ms_per_cm, ec_high_ms_per_cm;
    char text[1024];                 /* the same in a few sentences */
} sw_undeclared;
typedef struct sw_assessment {
    sw_content water, finished;
    sw_component_row rows[SW_COMPONENT_COUNT];
    sw_measure_row *measures; size_t measure_count;
    sw_guideline_row *guidelines; size_t guideline_count;
    sw_chemistry mixed, aired; /* CO2 kept; in equilibrium with the air */
    double cost_per_m3; /* NaN when a used product has no price */
    bool all_met;       /* every target's verdict is "met" */
    sw_undeclared undeclared;
    sw_notes notes;
} sw_assessment;
/* SW_ERR_NUMERIC, SW_ERR_MEMORY, SW_ERR_VALUE (recipe of another shelf). */
SW_API sw_status sw_assess(const sw_mix *mix, sw_assessment **assessment,
                           sw_error *error);
/* How to pour acid or base that is not sized: "in portions to a pH of 5.8,
 * measuring after each: no more than 11.2 mL per 1000 L in all".  False and ""
 * of a product that is sized. */
SW_API bool sw_unsized_text(const sw_mix *mix, size_t product, char *text,
                            size_t size);
SW_API void sw_assessment_free(sw_assessment *assessment);
/* Targets met, of components and measures, and how many have a verdict. */
SW_API void sw_count_met(const sw_assessment *assessment, size_t *met,
                         size_t *all);

#ifdef __cplusplus
}
#endif

/* The parts that have a file of their own; this one is all a user includes. */
#include "saltwright_audit.h"
#include "saltwright_ph.h"
#include "saltwright_stock.h"
#include "saltwright_decide.h"
#include "saltwright_why.h"
#include "saltwright_which.h"
#include "saltwright_meter.h"
#include "saltwright_renew.h"
#include "saltwright_many.h"
#include "saltwright_crops.h"
#include "saltwright_premix.h"

#endif
