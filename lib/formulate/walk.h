/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last steps to the least squares, where tangents cannot tell. */
#ifndef SW_FORMULATE_WALK_H
#define SW_FORMULATE_WALK_H

#include "formulate/form.h"

/*
 * Walks from point->y, which the form allows, with what `active` holds (held
 * rows and columns independent, as a basis gives them), to the least sum of
 * squares; point's prices and `active` become those of the end.  False when
 * the steps allowed did not suffice.
 */
bool sw_walk(sw_solver *solver, const sw_form *form, const sw_terms *terms,
             const sw_active *active, const sw_point *point);

#endif
