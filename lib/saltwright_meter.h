/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a meter should show, and what went wrong when it does not. */
#ifndef SALTWRIGHT_METER_H
#define SALTWRIGHT_METER_H

#include "saltwright_decide.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- What the meters say ------------------------------------------------*/

/* What was read off in the finished solution, and how far off a meter is. */
typedef struct sw_readings {
    double ec_ms_per_cm; /* at 25 degC; NaN: not measured, as below */
    double ph;           /* fresh, or with some of its CO2 gone */
    double ec_error;     /* relative standard deviation */
    double ph_error;     /* standard deviation */
} sw_readings;

/* No reading yet; errors as in reference/methods.md, Decide. */
SW_API sw_readings sw_readings_default(void);

/* Up to such a misfit a mistake fits. */
#define SW_MISFIT_MARGIN 2.0
/* Up to such a misfit the readings of a mix as meant do not contradict it. */
#define SW_MISFIT_AS_MEANT 3.0

/* One thing that may have gone wrong between recipe and tank. */
#define SW_MISTAKE_LIST(X)                                                     \
    X(SW_NOTHING_WRONG, "nothing wrong")                                       \
    X(SW_CO2_LEFT, "CO2 left")                                                 \
    X(SW_LEFT_OUT, "left out")                                                 \
    X(SW_DOUBLED, "doubled")                                                   \
    X(SW_OTHER_FORM, "other form")                                             \
    X(SW_HEAD_OFF, "injector off")                                             \
    X(SW_FILL_OFF, "fill off")                                                 \
    X(SW_NOTHING_IN, "nothing put in")
typedef enum sw_mistake_kind {
#define SW_MISTAKE_ENUM(code, text) code,
    SW_MISTAKE_LIST(SW_MISTAKE_ENUM)
#undef SW_MISTAKE_ENUM
        SW_MISTAKE_KINDS
} sw_mistake_kind;
SW_API const char *sw_mistake_text(sw_mistake_kind kind); /* static */

typedef struct sw_mistake {
    sw_mistake_kind kind;
    size_t product; /* of the shelf: left out, doubled, other form */
    int head;       /* head off */
    /* Times what was meant: 0, of an acid or base left out also 0.5; 2, the
     * other form's strength; as fitted to the
     * readings, what a head delivers, the volume filled, or how far the pH has
     * gone from fresh, 0, to aired, 1. */
    double factor;
    char form[96];           /* the catalogue's name of the other form; or "" */
    double ec_ms_per_cm, ph; /* to be expected with it */
    double belief;   /* share of the belief in all candidates; NaN where the
                        readings are explained by none */
    double distance; /* of the readings from it, in standard deviations */
    /* What was read less what it gives, waters, weights and fill as they fit
     * best on average; NaN: not measured.  And the two together, in standard
     * deviations of meter and model. */
    double ec_off_ms_per_cm, ph_off, misfit;
    size_t entry; /* of the list, from 0: the most believed, or nearest */
} sw_mistake;

/* Something to look at or to have analysed next. */
typedef enum sw_look_kind {
    SW_LOOK_COMPONENT, /* an analysis of one component, mg/L */
    SW_LOOK_EC,
    SW_LOOK_PH,      /* the meter not yet used */
    SW_LOOK_PRODUCT, /* what is gone from its bag, times what was meant */
    SW_LOOK_FILL,    /* the volume filled, times what was meant */
    SW_LOOK_HEAD     /* what a head delivers, times what was meant */
} sw_look_kind;
typedef struct sw_look {
    sw_look_kind kind;
    sw_component component;
    size_t product;
    int head;
    double error;     /* standard deviation taken for it, relative; pH: in pH */
    double bits;      /* that it is expected to tell of the cause */
    double *expected; /* for each mistake of the diagnosis, in its order */
} sw_look;

typedef struct sw_diagnosis {
    sw_mistake *mistakes; /* entry by entry, in each the most believed first;
                             not explained: the nearest first */
    size_t mistake_count, entry_count; /* 0 while nobody knows the alkalinity,
                                          or the CO2, of the water */
    double ec_ms_per_cm, ph;           /* of the recipe as it is on paper */
    bool
        aired; /* where a pH aired alone is asked for: it, and whatever has gone
                  wrong, is taken as read after airing, else in the fresh mix */
    /* How far the readings are from the nearest that any candidate gives, in
     * standard deviations; beyond 3 none of them explains it. */
    double distance;
    bool explained;
    /* "Nothing wrong", or that and CO2 gone, is of the most believed, and its
     * misfit at most SW_MISFIT_AS_MEANT: they do not contradict the recipe. */
    bool as_meant;
    double in_order; /* belief that nothing is wrong, or something that these
                        meters cannot tell from the fresh mix of that; NaN where
                        nothing explains the readings */
    /* Where CO2 gone explains the pH better than a fresh mix does: the most
     * believed mistake that explains the readings as well as that, whatever was
     * believed before; NULL: none, or no pH was measured. */
    const sw_mistake *or_else;
    sw_look *looks; /* most telling first; at least 0.05 bit each; none where
                       nothing explains the readings */
    size_t look_count;
    sw_notes notes; /* what harms in the readings themselves, and what to do */
} sw_diagnosis;

/*
 * Weighs every single mistake, "nothing wrong", and CO2 gone from that, by
 * Bayes' rule against the readings.  Candidates whose EC and pH differ by less
 * than the meters' error share an entry.  With tolerances->head, heads can be
 * off; without, the fill. Method, prior beliefs and what they were found to be
 * worth: reference/methods.md, Decide.  SW_ERR_VALUE (tolerances as of
 * sw_uncertainty_find; no reading, or one out of its domain: EC above 0 to 500,
 * pH 0 to 14, errors above 0 to 0.5 and to 2; contents or conditions out of
 * their domain), SW_ERR_NUMERIC, SW_ERR_MEMORY.
 */
SW_API sw_status sw_diagnose(const sw_mix *mix, const sw_tolerances *tolerances,
                             const sw_readings *readings,
                             sw_diagnosis **diagnosis, sw_error *error);
SW_API void sw_diagnosis_free(sw_diagnosis *diagnosis);

#ifdef __cplusplus
}
#endif

#endif
