/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Invented problems, the same for the same seed. */
#ifndef SW_TESTS_FORMULATE_INVENT_H
#define SW_TESTS_FORMULATE_INVENT_H

#include "saltwright.h"

enum { MOST_ROWS = 28, MOST_PRODUCTS = 24, MOST_WATERS = 3 };

typedef struct invention {
    sw_content water[MOST_WATERS];
    double fraction[MOST_WATERS];
    sw_target_row row[MOST_ROWS];
    sw_product product[MOST_PRODUCTS];
    char name[MOST_PRODUCTS][24];
    char row_name[MOST_ROWS][24];
    sw_target target;
    sw_shelf shelf;
    sw_problem problem;
} invention;

/*
 * Salts and premixes on the shelf, some the mixture of two others, some
 * fixed or bounded, some without a price; targets with limits, ratios, zeros
 * and weights; waters below and above them, some to be blended.  With
 * SW_CHEAPEST every product has a price.  The numbers are invented.
 */
void invent(invention *to, unsigned long seed, sw_objective objective);
/* An acid for the first product, whose name it takes, and a pH. */
void invent_ph(invention *in, unsigned long seed);
/* The kth water for the shelf and target: each content by itself from half to
 * one and a half of what was invented. */
sw_content invent_water(const invention *in, unsigned long seed, int k);

#endif
