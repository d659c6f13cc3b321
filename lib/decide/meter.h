/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the meters say: the single mistakes that a recipe can suffer on its way
 * into the tank, what each would make the meters show, and readings against
 * that.
 */
#ifndef SW_DECIDE_METER_H
#define SW_DECIDE_METER_H

#include "saltwright.h"

/* ---- Mistakes, and what is to be expected with them (meter_mistakes.c) -- */

typedef struct sw_mistakes {
    sw_mistake *items; /* "nothing wrong" first, then that and CO2 gone;
                          belief: before any reading */
    size_t count;
} sw_mistakes;

/* The factor of a mistake: its own or, for heads and fill, that at `u`, 0 to 1
 * on the way from the far end to what is still in order: heads evenly, fills
 * evenly in the logarithm; of CO2 gone `u` itself. */
double sw_mistake_factor(const sw_mistake *mistake, double u);

/* What then is in the tank of a product on that head, times what was meant. */
double sw_mistake_times(const sw_mistake *mistake, double factor,
                        size_t product, int head);

enum { SW_OUTLOOK_DRAWS = 128 };

/* What every candidate would make the meters show. */
typedef struct sw_outlook {
    const sw_mix *mix;
    const int *head;
    sw_mistakes mistakes;
    sw_content water[SW_OUTLOOK_DRAWS]; /* as drawn */
    double *g_per_l;    /* of each product, draw by draw, nothing gone wrong */
    double *ln_ec, *ph; /* of each draw, mistake by mistake */
    bool aired;         /* a pH aired alone is asked for: all but CO2_LEFT are
                           measured at rest with the air, else fresh */
    double paper_ec, paper_ph; /* in that state */
    double paper_ph_aired;
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

/* ---- Readings against them (meter.c) ------------------------------------ */

/* sw_diagnose of an outlook that is there already. */
sw_status sw_meter_judge(const sw_outlook *outlook, const sw_readings *readings,
                         sw_diagnosis **diagnosis, sw_error *error);

/* Notes on readings that harm, whatever made them: what to do now.
 * SW_ERR_MEMORY. */
sw_status sw_readings_warn(const sw_outlook *outlook,
                           const sw_readings *readings, sw_notes *notes,
                           sw_error *error);

/* A mistake as the readings leave it. */
typedef struct sw_suspect {
    sw_mistake mistake;
    size_t index;   /* of the outlook's list */
    double fit;     /* log of its likelihood, whatever was believed before */
    double *weight; /* of each of its draws: how well it fits; sum 1 */
    double merit;   /* what it is sorted by: its belief or, where nothing
                       explains the readings, its nearness; then its entry's */
} sw_suspect;

/* Fills in diagnosis->looks, given the suspects of its mistakes
 * (meter_next.c).  SW_ERR_MEMORY. */
sw_status sw_looks_find(const sw_outlook *outlook, const sw_readings *readings,
                        const sw_suspect *suspects, sw_diagnosis *diagnosis,
                        sw_error *error);

#endif
