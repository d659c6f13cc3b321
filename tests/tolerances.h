/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How far a test lets a number be off, and why.  One block a module, in the
 * order of the alphabet; a relative tolerance unless its name ends in a unit.
 */
#ifndef SW_TESTS_TOLERANCES_H
#define SW_TESTS_TOLERANCES_H

/* assess: published equivalent weights are rounded to four figures. */
#define TOL_ROUNDED_WEIGHT 5e-4
/* assess: published ppm of a design in whole meq/L, three or four figures. */
#define TOL_PUBLISHED_PPM 2e-3

/* formulate: amounts, deviations and prices of problems near 1 solved by hand;
 * orthogonal factors leave a few roundings.  Absolute. */
#define TOL_HAND_SOLVED 1e-12
/* formulate: gap of a proof beside 1 + objective. */
#define TOL_PROOF_GAP 1e-10
/* formulate: scaled violation of the KKT conditions that counts as none. */
#define TOL_KKT 1e-9

/* published: products of the same factors taken in another order. */
#define TOL_TRADE_ARITHMETIC 1e-9

/* records: expected values are written with four digits or more. */
#define TOL_LAB_DIGITS 2e-4

#endif
