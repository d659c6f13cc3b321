/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A chemical formula as counts of atoms and of the groups that matter. */
#ifndef SW_QUANTITY_FORMULA_PARSE_H
#define SW_QUANTITY_FORMULA_PARSE_H

#include "quantity/components.h"

enum { SW_MAX_FORMULA = 200, SW_MAX_PARTS = 12 };

/*
 * What is counted: elements by their index, then groups that are met as
 * written.  The atoms of a group are not counted among the elements.
 */
enum {
    SW_GROUP_NO3 = SW_MAX_ELEMENTS,
    SW_GROUP_NO2,
    SW_GROUP_NH4,
    SW_GROUP_NH3,
    SW_GROUP_NH2,
    SW_GROUP_EDTA, /* the chelators' names, as fully deprotonated ions */
    SW_GROUP_HEDTA,
    SW_GROUP_DTPA,
    SW_GROUP_EDDHA,
    SW_GROUP_CITRATE, /* recognised by its atoms, never parsed */
    SW_GROUP_UREA,    /* likewise */
    SW_SPECIES_COUNT
};

/* One part between hydrate dots. */
typedef struct sw_formula_part {
    double coefficient;
    unsigned long column; /* where it starts, in characters from 1 */
    double count[SW_SPECIES_COUNT];
} sw_formula_part;

typedef struct sw_parsed_formula {
    sw_formula_part parts[SW_MAX_PARTS];
    size_t part_count;
} sw_parsed_formula;

/* Atoms and charge of a group. */
typedef struct sw_group {
    const char *name;
    int h, c, n, o;
    int charge;
} sw_group;

/* The group of a species from SW_GROUP_NO3 on. */
const sw_group *sw_group_of(int species);

/* SW_ERR_SYNTAX, SW_ERR_NAME, SW_ERR_VALUE as sw_formula_content says. */
sw_status sw_formula_parse(const char *text, sw_parsed_formula *formula,
                           sw_error *error);

/* g/mol of one mole of the whole. */
double sw_formula_molar_mass(const sw_parsed_formula *formula);

/* Atoms of an element in one mole of the whole, those in groups included. */
double sw_formula_atoms(const sw_parsed_formula *formula, const char *symbol);

#endif
