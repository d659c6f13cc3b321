/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The finished solution judged against its target. */
#ifndef SALTWRIGHT_ASSESS_H
#define SALTWRIGHT_ASSESS_H

/* clang-format off */
#include "saltwright_chemistry.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Assess ------------------------------------------------------------- */
/* What acid or base that is not sized is poured into-> */
typedef struct sw_pouring {
    double feed_l;    /* of finished solution; 0: it is told per 1000 L */
    const char *tank; /* static: "A"; "": in no stock; NULL: the solution */
    size_t step;      /* from 1, that pours what is surely needed; 0: not told */
    double held_g;    /* what of that is in the tank, of several */
} sw_pouring;
/* A recipe in a water against a target; nothing else is known. */
typedef struct sw_mix {
    const sw_content *water; /* completed, per litre */
    const sw_target *target; const sw_shelf *shelf; const sw_recipe *recipe;
    sw_conditions conditions;
    /* Lab reports of the waters in it and their shares, report_count of each:
     * for chlorine and heavy metals; may be none. */
    const sw_water *const *reports; const double *shares; size_t report_count;
    bool unguarded; /* not held against reference/harm.csv: no notes on it */
    /* No ph_onset of solids, nor in a note the pH below which one stays clear:
     * they take several times as long as the rest; nor what pH does in
     * air, nor on what this rests. */
    bool brief;
    bool fresh; /* `aired` is as `mixed`, where the target has no aired pH */
    /* In which acid or base that is not sized is told: of the finished solution
     * (0: per 1000 L), or one for each product of the shelf. */
    double volume_l;
    const sw_pouring *pourings;
} sw_mix;
typedef enum sw_verdict {
    SW_VERDICT_NONE, SW_MET, SW_SHORT, SW_OVER, /* NONE: no target */
    SW_OPEN /* labels leave open which of them, or acid that is not sized; of a
               pH, an alkalinity that nobody knows; a ratio of nothing */
} sw_verdict;
/* "met", "short", "over", "open"; "" for none. */
SW_API const char *sw_verdict_text(sw_verdict verdict);

typedef struct sw_component_row {
    sw_component component;
    double water_mg_per_l, added_mg_per_l, finished_mg_per_l;
    bool water_reported; /* else counted as 0, as is what is unseen: */
    double water_unseen_mg_per_l; /* at most, below detection */
    double target_mg_per_l;             /* NaN when none, as below */
    double min_mg_per_l, max_mg_per_l;  /* limits as given */
    double low_mg_per_l, high_mg_per_l; /* verdict's: limits, or target -+10 % */
    double residual_mg_per_l;
    sw_verdict verdict;
    char reason[160]; /* "water alone brings 212 mg/L", or ""; of a solution that
                         is kept, "what is kept and the water bring ..." */
} sw_component_row;
/* What is judged against its target: a component, a ratio, the pH (a target's
 * accepted range: -+0.5) or the EC. */
typedef struct sw_row {
    sw_target_kind kind;
    sw_component component; /* of a component's */
    bool aired; /* a pH in equilibrium with the air, as in sw_target_row */
    char name[64];
    const char *unit; /* "mg/L", "mS/cm", ""; static */
    double finished, target, min, max, low, high;
    sw_verdict verdict;
} sw_row;
typedef enum sw_fitness { /* not seen: detection's limit is above the row's */
    SW_FIT, SW_CARE, SW_UNFIT, SW_NOT_REPORTED, SW_NOT_SEEN
} sw_fitness;
SW_API const char *sw_fitness_text(sw_fitness fitness); /* "suitable" ... */

/* A published limit a water or a finished solution was held against. */
typedef struct sw_guideline_row {
    char name[32], use[32], unit[16]; /* "Na", "wetted leaves", "mg/L" */
    double value;
    bool below;             /* the limits bound from below */
    bool gas;               /* acid drives it out of the water, and it kills */
    bool soil; /* of irrigated soil: says nothing of a feed, counts for nothing */
    double caution, severe; /* restricted, unsuitable from here on; NaN when none */
    double danger;          /* no crop should get past it; NaN when none */
    sw_fitness fitness;
    double purified_share; /* audit: of purified water, to the limit; or NaN */
    char source[192];
    const char *remedy; /* what to do; static; "" */
} sw_guideline_row;
/* What labels leave open of a finished solution.  A product known by label
 * counts as a neutral salt; where the ions it leaves out could move the pH by
 * more than 0.2, keep acid or base from being sized, or take chloride or sodium
 * above a limit, the result has to say so: NaN and "" where none matters. */
typedef struct sw_undeclared {
    double anions_meq_per_l, cations_meq_per_l; /* left out; 0: none */
    /* By how much the alkalinity may be lower, or higher, than is counted. */
    double open_acid_meq_per_l, open_base_meq_per_l;
    /* As mixed, with what is not sized once it is poured, between these. */
    double ph_low, ph_high;
    double cl_mg_per_l, na_mg_per_l; /* finished, if all were Cl, or Na */
    /* With acid or base that is not sized: the pH to pour it to, measuring,
     * and the EC from none of it to all. */
    double until_ph_low, until_ph_high, ec_low_ms_per_cm, ec_high_ms_per_cm;
    char text[1024];                 /* the same in a few sentences */
} sw_undeclared;
typedef struct sw_assessment {
    sw_content water, finished;
    sw_component_row rows[SW_COMPONENT_COUNT];
    sw_row *measures; size_t measure_count;
    sw_guideline_row *guidelines; size_t guideline_count;
    /* CO2 kept; in equilibrium with the air.  What rests on an alkalinity that
     * nobody knows, or as mixed on a CO2, is NaN: pH, alkalinity, ammonia; no
     * saturation is defined, and acid that may find alkalinity is not free.
     * With acid or base that is not sized, pH, ammonia and saturation are those
     * of the solution as it is poured, at undeclared.until_ph_high; its
     * alkalinity, and what it does in air where no target is for that, are NaN.
     */
    sw_chemistry mixed, aired;
    double cost_per_m3; /* NaN when a used product has no price */
    bool all_met;       /* every target's verdict is "met" */
    sw_undeclared undeclared;
    sw_notes notes;
} sw_assessment;
/* SW_ERR_NUMERIC, SW_ERR_MEMORY, SW_ERR_VALUE (recipe of another shelf). */
SW_API sw_status sw_assess(const sw_mix *mix, sw_assessment **assessment,
                           sw_error *error);
/* How to pour acid or base that is not sized, in the mix's volume: "in portions
 * to a pH of 5.8, measuring after each: no more than 11.2 mL in all", or into
 * the mix's tanks.  False and "" of a product that is sized. */
enum { SW_UNSIZED_BYTES = 448 };
SW_API bool sw_unsized_text(const sw_mix *mix, size_t product, char *text,
                            size_t size);
SW_API void sw_assessment_free(sw_assessment *assessment);
/* Every row there is, components first (whose verdict is NONE where nothing is
 * asked for), then the measures: the same rows in the same order of all
 * assessments against one target. */
SW_API size_t sw_row_count(const sw_assessment *assessment);
SW_API sw_row sw_row_at(const sw_assessment *assessment, size_t index);
SW_API bool sw_is_missed(sw_verdict verdict); /* short or over */
/* Targets met, of components and measures, and how many have a verdict. */
SW_API void sw_count_met(const sw_assessment *assessment, size_t *met,
                         size_t *all);

/* Adds to the notes of a water that fills stock tanks what harms there, before
 * any feed thins it: what acid drives out of it past what reference/harm.csv
 * allows (SW_ABOUT_GAS), and charges so far apart that nobody knows what
 * settles out with it (SW_ABOUT_DOUBT; not where its report is said to be
 * false).  For the caller to free.  SW_ERR_MEMORY. */
SW_API sw_status sw_make_up_judge(const sw_water *make_up, sw_notes *notes,
                                  sw_error *error);

#ifdef __cplusplus
}
#endif

#endif
