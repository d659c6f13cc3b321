/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every candidate mistake would make the meters show. */
#ifndef SW_DECIDE_OUTLOOK_H
#define SW_DECIDE_OUTLOOK_H

#include "decide/mistakes.h"

enum { SW_OUTLOOK_DRAWS = 128 };

typedef struct sw_outlook {
    const sw_mix *mix;
    const int *head;
    sw_mistakes mistakes;
    sw_content water[SW_OUTLOOK_DRAWS]; /* as drawn */
    double *g_per_l;    /* of each product, draw by draw, nothing gone wrong */
    double *ln_ec, *ph; /* of each draw, mistake by mistake */
    double paper_ec, paper_ph;
} sw_outlook;

/* Errors as sw_diagnose.  Free with sw_outlook_free whatever is returned. */
sw_status sw_outlook_find(const sw_mix *mix, const sw_tolerances *tolerances,
                          sw_outlook **outlook, sw_error *error);
void sw_outlook_free(sw_outlook *outlook);

/* The factor of a mistake in a draw. */
double sw_outlook_factor(const sw_outlook *outlook, size_t mistake, int draw);
/* The finished solution of a mistake in a draw, per litre. */
void sw_outlook_finished(const sw_outlook *outlook, size_t mistake, int draw,
                         sw_content *finished);

#endif
