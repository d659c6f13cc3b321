/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "The solution sits at this pH" as one linear row over a content. */
#ifndef SW_CHEMISTRY_PH_ROW_H
#define SW_CHEMISTRY_PH_ROW_H

#include "chemistry/speciate.h"

#include "saltwright.h"

/* In meq/L: coefficients per mg, mmol or meq per litre as in sw_content. */
typedef struct sw_ph_row {
    double coefficient[SW_CARRIED_COUNT];
    double constant;
} sw_ph_row;

/*
 * sum coefficient * content + constant is 0 where the content has that pH,
 * inorganic carbon kept; above 0 where it is more alkaline: exactly at `guess`,
 * to first order in all contents around it, activities and ion pairs included.
 * Refresh the row from the solution found until it settles, and sw_equilibrate
 * agrees exactly.  What `guess` lacks is taken at trace.
 *
 * SW_ERR_VALUE: pH outside 2 to 12, conditions or content out of their domain.
 * SW_ERR_NUMERIC, SW_ERR_MEMORY.
 */
sw_status sw_ph_row_at(double ph, const sw_content *guess,
                       const sw_conditions *conditions, sw_ph_row *row,
                       sw_error *error);

/* A row that is asked for and found, and what the next one starts from; zeroed
 * but for the first five. */
typedef struct sw_ph_memory {
    double ph;
    const sw_content *guess;
    bool aired; /* in equilibrium with the air: CO2 at the conditions' pressure,
                   bare iron Fe(III), as SW_CARBONATE_AIRED */
    const sw_content *possible; /* has of all that any content may have which
                                   the row is for; NULL: of everything */
    sw_constants *room; /* for constants, where the conditions bring none */
    sw_speciation found;
    sw_ph_row row;
} sw_ph_memory;

/* At most SW_LANES rows, each from where its memory stands, under the same
 * conditions: in lanes. */
sw_status sw_ph_rows_near(sw_ph_memory *const *memory, size_t count,
                          const sw_conditions *conditions, sw_error *error);

/* Starts from what is known, unless it has a start that is nearer its pH. */
void sw_ph_start(sw_ph_memory *memory, const sw_ph_memory *known);

/* The sum above without the constant: what a content brings, meq/L. */
double sw_ph_row_sum(const sw_ph_row *row, const sw_content *content);
/* With it: by how much a solution is more alkaline than at the row's pH. */
double sw_ph_row_excess(const sw_ph_row *row, const sw_content *content);

#endif
