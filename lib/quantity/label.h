/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one gram of a labelled product carries. */
#ifndef SW_QUANTITY_LABEL_H
#define SW_QUANTITY_LABEL_H

#include "saltwright.h"

/*
 * Reads "NO3-N 14.4; NH4-N 1.1; Ca 19": a name and % by mass, separated by `;`,
 * new lines (or by `,` before a letter).  "14.4 %", "14.4 % nitrate nitrogen",
 * "Ca: 19", "Ca = 19", dots before the figure and a decimal comma are
 * understood.  `name`, or NULL, is what the product is called: "iron chelate
 * DTPA" tells the chelator of "Fe 6" as its list would.  Names are those of
 * reference/parameters.csv: components, ions, or the oxides of the trade (P2O5,
 * K2O, CaO ...), each itself and never another; and the words of regulations,
 * reference/label_words.csv.  Of a total, what is available and what dissolves
 * in water the last counts that is printed, and none may be more than the one
 * before.  Nitrogen in total is checked against its forms.  A metal held by a
 * chelator is "Fe-EDTA 13" (or HEDTA, DTPA, EDDHA); beside one, what it does
 * not hold is "free Fe 2".  % w/v and g/L are taken to % by mass with the
 * density on the label, else with the one given (0 or NaN: none).  A grade,
 * "20-20-20", is held against the figures.
 *
 * A label is not a charge analysis: whether its product is an acid, a base or a
 * neutral salt is settled by records/label_charge.h.
 *
 * error->column counts the label's characters from 1.  SW_ERR_SYNTAX,
 * SW_ERR_NAME (unknown, N whose form is not declared, urea that may be the
 * nitrogen or the substance: the message says how), SW_ERR_VALUE (negative,
 * above 100, a sum above 100, parts above their whole, or numbers that look
 * like fractions), SW_ERR_DUPLICATE (two names for one component),
 * SW_ERR_UNIT (% by volume without a density), SW_ERR_LIMIT (its length).
 */
typedef struct sw_label {
    sw_content per_g; /* as printed; alkalinity only where it is declared */
    bool alkalinity_given;
    bool printed[SW_COMPONENT_COUNT];          /* of N: in total */
    bool by_element[SW_COMPONENT_COUNT];       /* "K 38", and not K2O 46 */
    unsigned long columns[SW_COMPONENT_COUNT]; /* of the first figure of it */
    double chelators_mg_per_g; /* of those named, the metals left out */
    double base_meq_per_g;     /* CO3, HCO3 and OH printed */
    double gap_meq_per_g; /* cations less anions printed, these bases aside */
    /* How far the truth may lie from what is printed, each 0 or more. */
    double below_mg_per_g[SW_COMPONENT_COUNT];
    double above_mg_per_g[SW_COMPONENT_COUNT];
    double gap_below_meq_per_g, gap_above_meq_per_g;
    sw_chelator chelator;    /* of iron, else of another metal */
    bool chelator_open;      /* "chelated", and not by what: the one assumed */
    char untabled[12];       /* the one its name says, which we lack; "" */
    bool chelators_listed;   /* the list has several: open, the weakest */
    double n_total_mg_per_g; /* printed; its forms may be fewer where there */
    double n_unformed_mg_per_g; /* is a list; soluble, of no named form */
    bool n_open;                /* some of the total has no form */
    unsigned long n_column;
    double density_g_per_ml; /* 0: not on it */
    char derived[1000];      /* what it says it is derived from; "" */
    char unread[200];        /* lines without a figure of the analysis */
    char lost[200];          /* what does not dissolve, by name */
} sw_label;
sw_status sw_label_read(const char *text, const char *name,
                        double density_g_per_ml, sw_label *label,
                        sw_error *error);

/* N, P and K of what a gram holds as a grade has them, %: of [0] P and K as
 * oxides, of [1], as in some countries, as the elements. */
void sw_grade_of(const sw_content *per_g, double n_mg_per_g, double as[2][3]);

/*
 * SW_ERR_VALUE where a gram cannot hold what is printed, each at the lightest:
 * as oxide, as ammonia, as elemental sulfur.  The message has what fits where
 * figures are read as those of oxides.
 */
sw_status sw_label_check_whole(const sw_label *label, sw_error *error);

/* Whether a gap between cations and anions, meq/g, may be what rounding of the
 * figures, atomic weights and analysis leave of so many charges. */
bool sw_label_closes(const sw_label *label, double gap, double charges);

/*
 * Of figures of elements, "K 46; NO3-N 13", those which as oxides, "K2O 46",
 * close the charges that are open as printed.  False where none do, where what
 * is missing is less than a twentieth of the charges, and where figures of
 * elements may be right: of thiosulfate, sulfur, phosphite, a free acid.
 */
enum { SW_LABEL_REREAD_BYTES = 80 };
bool sw_label_reread(const sw_label *label, char text[SW_LABEL_REREAD_BYTES]);

/* The refusal of nitrogen in total that has no form: SW_ERR_NAME. */
sw_status sw_label_ask_forms(const sw_label *label, sw_error *error);

/* Elements from which a labelled product is a mixture: a premix. */
enum { SW_MIX_ELEMENTS = 4 };

/* Elements a gram carries, the forms of nitrogen being one. */
int sw_content_elements(const sw_content *per_g);

/* Cations less anions of the components alone, meq/g; above 0 a base. */
double sw_content_charge_gap(const sw_content *per_g);

/* The sum of both, meq/g. */
double sw_content_charges(const sw_content *per_g);

/*
 * How far the ions of a product are from neutral: alkalinity over the sum of
 * its charges, -1 to 1.  Acids and bases are far from 0; so is a label that
 * leaves an ion out, which makes its alkalinity wrong.
 */
double sw_content_imbalance(const sw_content *per_g);

#endif
