/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Products, and the files of waters, targets, shelves and recipes. */
#ifndef SALTWRIGHT_RECORDS_H
#define SALTWRIGHT_RECORDS_H

/* clang-format off */
#include "saltwright_base.h"
#include "saltwright_hazards.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- The catalogue ------------------------------------------------------ */
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
    bool chelator_open; /* its label says chelated, and not by what */
    sw_notes remarks;   /* on its label, for whoever uses the product */
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
 * CSV as people have it: UTF-8 with or without BOM, UTF-16, Windows-1252; comma,
 * semicolon, bar or tab; decimal comma with all but the first; blank lines and #
 * lines; CRLF; columns in any order.  Every error carries file, line and column.  `name` is what the
 * error calls the stream.  Bounds: see SW_MAX_*. */
enum {
    SW_MAX_LINE_BYTES = 65536, SW_MAX_FIELD_BYTES = 4096, SW_MAX_COLUMNS = 512,
    SW_MAX_LINES = 1000000, /* blank lines and # lines too */
    SW_MAX_SHEET_BYTES = 256 << 20, /* of a file of waters, as it is held */
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
    bool below_detection; /* "<0.05": value is the limit, taken as 0 */
    bool limit_assumed; /* "ND": the report names no limit, so a usual one is */
    sw_reading_kind kind;
    sw_component component; /* with SW_READS_COMPONENT */
    const char *name; /* the parameter's own, static: "As" of arsenic */
    double amount; /* or limit: mg/L (of Cl2), meq/L, mS/cm ...; NaN: a word */
    unsigned long line, column;
} sw_reading;
/* One lab analysis of one source water. */
typedef struct sw_water {
    char *sample, *file; /* sample: the file's name when it gives none */
    /* Of a nutrient solution (feed, drain, tank), not of a source water: false
     * as read; who knows better sets it before anything is made of it. */
    bool is_solution;
    char fed[40]; /* what its report calls it, of what a crop gets or has left:
                     "leachate"; "" */
    bool unsound; /* more is wrong with it than its file's defects tell */
    sw_reading *readings; size_t reading_count;
    sw_content per_l;                  /* from the readings */
    bool reported[SW_COMPONENT_COUNT]; /* false: unknown, taken as 0 */
    bool below_detection[SW_COMPONENT_COUNT];
    bool alkalinity_reported;
    double ph;           /* NaN when not reported, as all below */
    double ec_ms_per_cm; /* at 25 degC */
    double tds_mg_per_l, temperature_c;
    double hardness_meq_per_l, ca_hardness_meq_per_l;
} sw_water;
enum { SW_MAX_DEFECTS = 200 }; /* a last one says that more are left out */
/* A place in a file of waters: of one sample, or SW_WHOLE_FILE. */
#define SW_WHOLE_FILE ((size_t)-1)
/* What cannot be read as it stands, and what to write. */
typedef struct sw_water_defect {
    size_t sample; /* of items */
    sw_error error;
    char choices[192]; /* what of it settles it: "Nitrat=NO3|Nitrat=NO3-N"; "" */
} sw_water_defect;
/* What holds no reading, and what was made of it: a title, a column of methods,
 * a row of units, an encoding, a total beside what is dissolved. */
typedef struct sw_water_remark {
    size_t sample; /* of items */
    unsigned long line, column;
    char *written, *taken_as;
} sw_water_remark;
typedef struct sw_waters {
    sw_water *items; size_t count;
    sw_notes notes; /* improbable values; each names its place */
    sw_water_remark *remarks; size_t remark_count; /* as the file has them */
    sw_water_defect *defects; size_t defect_count; /* of sw_waters_gather */
} sw_waters;
/*
 * A file of one sample or many (an archive), read once: each sample with its
 * readings, what was ignored or understood, and every defect.  Long (a reading
 * a row: `parameter,value,unit`, or an archive's columns), or a sample in each
 * row, or in each column.  A sample with defects, or any where one is of the
 * whole file, has readings as far as they could be read and must not be used:
 * sw_waters_sound says so.  So SW_OK is given for a file full of defects.
 *
 * `units` (NULL: none) gives readings a unit where the file gives them none:
 * parts separated by `;`, each a unit alone, for every parameter it fits and no
 * other part names, or parameters and their unit: "mmol/L; Fe Mn Zn umol/L; EC
 * uS/cm".  A unit in the file stands before it.  pH needs none.  A part with a
 * "=" says what a name or a unit means that says too little, as a defect lists
 * it in `choices`: "Nitrat=NO3", "alkalinity=[mg/L CaCO3]".
 *
 * SW_ERR_UNIT, _NAME (without a file: `units` is wrong), _IO, _LIMIT, _MEMORY;
 * _SYNTAX: no text, or text that cannot be taken apart (an open quote).
 */
SW_API sw_status sw_waters_gather(FILE *stream, const char *name,
                                  const char *units, sw_waters **waters,
                                  sw_error *error);
/* Whether no defect concerns it. */
SW_API bool sw_waters_sound(const sw_waters *waters, const sw_water *water);
/* sw_waters_gather without `units`, for all or nothing: the first defect is the
 * error.  SW_ERR_IO, _SYNTAX, _NAME, _UNIT, _VALUE, _DUPLICATE, _MISSING,
 * _LIMIT, _MEMORY. */
SW_API sw_status sw_waters_read(FILE *stream, const char *name,
                                sw_waters **waters, sw_error *error);
/*
 * The same in blocks of at most so many, for files of any length: a table with
 * a sample in each row is read as it comes, in memory that does not grow with
 * it (SW_MAX_LINES and SW_MAX_ROWS do not hold); any other layout, and one with
 * a further header or rows of marks among its first 256 rows, is read whole at
 * first.  In the former each row is a sample, whatever others are called; what
 * is wrong with a row, such as too few cells, is a defect of its sample; one of
 * the whole file stands in the block that met it, which must not be used, nor
 * what follows; where only what follows cannot be read, that is an error after
 * the rows before.  A number
 * that could be read two ways must be told by another within 256 rows.  Remarks
 * are not kept.
 *
 * `stream` and `name` must outlive it.  *block is NULL at the end; each is freed
 * with sw_waters_free.  Errors as of sw_waters_gather; nothing follows one.
 */
typedef struct sw_water_stream sw_water_stream;
SW_API sw_status sw_water_stream_new(FILE *stream, const char *name,
                                     const char *units,
                                     sw_water_stream **waters,
                                     sw_error *error);
SW_API sw_status sw_water_stream_next(sw_water_stream *waters, size_t most,
                                      sw_waters **block, sw_error *error);
SW_API void sw_water_stream_free(sw_water_stream *waters);
/* What is worth saying about one of them, anew: notes in a file of many are cut
 * short.  Appended.  SW_ERR_MEMORY. */
SW_API sw_status sw_water_notes(const sw_water *water, sw_notes *notes,
                                sw_error *error);
/* The water called `sample`, or the only one that has each of its words (a
 * station, a date), or the only one when NULL; NULL if none. */
SW_API const sw_water *sw_waters_find(const sw_waters *waters,
                                      const char *sample);
SW_API void sw_waters_free(sw_waters *waters);
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
    /* Between these a solve keeps it beside its limits, and no verdict counts
     * them; 0: nothing. */
    double held_low, held_high;
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
/*
 * One more product, by its label alone: the text of a guaranteed analysis as
 * its regulation words it (reference/label_words.csv), with the list of what it
 * is derived from, or in the words of a shelf's column `label`.  Errors as for
 * that column and its product's name, with line and column in `file`;
 * SW_ERR_DUPLICATE (a product of that name), SW_ERR_LIMIT (SW_MAX_PRODUCTS, a
 * text of 4096 characters), SW_ERR_IO, SW_ERR_MEMORY.
 */
SW_API sw_status sw_shelf_add_label(sw_shelf *shelf, const char *product,
                                    FILE *stream, const char *file,
                                    sw_error *error);
/* The whole catalogue as a shelf without limits or prices. */
SW_API sw_status sw_shelf_catalogue(sw_shelf **shelf, sw_error *error);
/* What is assumed of who names no shelf: the common straights of the catalogue
 * (reference/common_straights.csv), with an acid and a base where `target` (or
 * NULL: of no target) has a pH; for stocks in `two_tanks` no base, which comes
 * out with calcium in one and with magnesium in the other.  Free with
 * sw_shelf_free.  SW_ERR_MEMORY. */
SW_API sw_status sw_shelf_common(const sw_target *target, bool two_tanks,
                                 sw_shelf **shelf, sw_error *error);
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
/* Takes from both what the recipe does not use; of a recipe of that shelf. */
SW_API void sw_shelf_keep_used(sw_shelf *shelf, sw_recipe *recipe);
/* to += factor * what the recipe adds per litre.  The shelf holds at least as
 * many products as the recipe has amounts. */
SW_API void sw_content_add_recipe(sw_content *to, double factor,
                                  const sw_shelf *shelf,
                                  const sw_recipe *recipe);

#ifdef __cplusplus
}
#endif

#endif
