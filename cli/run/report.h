/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything a format needs to show one recipe in one water. */
#ifndef CLI_RUN_REPORT_H
#define CLI_RUN_REPORT_H

#include "saltwright.h"

#include "io/figure.h"
#include "run/amounts.h"
#include "run/inputs.h"
#include "run/settings.h"

/* Reviews of the premixes among what was given. */
typedef struct cli_premixes {
    sw_premix **items;
    size_t count;
} cli_premixes;

typedef struct cli_report {
    const char *command;
    const cli_settings *settings;
    const cli_inputs *inputs;
    const sw_solution *solution;     /* NULL: the recipe was given */
    const sw_solution *in_range;     /* another, which meets every target that
                                        the one shown does not; or NULL */
    const sw_recipe *recipe;         /* NULL: there is none, after a conflict */
    const sw_assessment *assessment; /* NULL without a recipe */
    const sw_front *front;           /* what fit is bought with; or NULL */
    const sw_why *why;               /* reasons asked for; or NULL */
    const sw_conflict *conflict;     /* explained; NULL: there is none */
    sw_weighed *weighed;             /* NULL: not in whole steps */
    const sw_stock *stock;           /* NULL: no concentrates */
    const sw_stock_setup *setup;     /* with `stock` */
    const sw_water *make_up;         /* of the tanks; NULL: the source water */
    sw_head heads[SW_TANKS];         /* injectors of the tanks in use */
    size_t head_count;               /* 0: no stocks to dose */
    cli_printed printed;             /* amounts as printed */
    sw_pouring *pourings;            /* into stocks; NULL: straight */
    const sw_steps *steps;           /* order of mixing; NULL: none */
    const sw_uncertainty *sure;      /* NULL: not asked for */
    const sw_tolerances *off;        /* with `sure` */
    const sw_uncertainty *spread;    /* for the worker's page; NULL: none */
    const sw_diagnosis *diagnosis;   /* NULL: nothing was measured */
    bool within; /* it contradicts the recipe, but not the ranges of page 1 */
    const sw_renewal *renewal; /* of a tank; NULL: a fresh mix */
    double holds_l;            /* with `renewal` */
    cli_premixes premixes;     /* none: nothing bought was given */
    sw_notes cautions;         /* what can hurt */
} cli_report;

/* What to measure out of one product. */
typedef struct cli_portion {
    const sw_product *product;
    double g_per_l;
    double ml_per_l; /* NaN for a solid, as below */
    double g;        /* for the volume asked for */
    double ml;
    double cost; /* NaN without a price */
} cli_portion;

/* The recipe of a solution; NULL where it has none. */
const sw_recipe *report_recipe_of(const sw_solution *solution);

/* Portion `index` of the recipe. */
cli_portion report_portion(const cli_report *report, size_t index);
/* Of acid or base that is not sized, what is poured at the most; else 0. */
double report_most_g_per_l(const cli_report *report, size_t index);
/* Whether the recipe uses product `index` at all. */
bool report_uses(const cli_report *report, size_t index);
/* Less of a product is none: rounding of the solver. */
double report_least_g_per_l(void);
/* Product `turn`, from 0, in the order of mixing; the shelf's count if none. */
size_t report_product_at(const cli_report *report, size_t turn);
/* The letter of a product, a for what is mixed first; "" without an order. */
cli_figure report_letter(const cli_report *report, size_t product);
/* Cost of the whole volume; NaN when a product used has no price. */
double report_cost(const cli_report *report);

/* The recipe in the water it was assessed in; it points into the report. */
sw_mix report_mix(const cli_report *report);

/* Whether the recipe's amounts are whole steps of the scale. */
bool report_in_steps(const cli_report *report);
/* Whether a better recipe of that kind may exist: the search was cut short. */
bool report_cut_short(const cli_report *report);
/* What is proved of these amounts, of a solved recipe; with whole steps the
 * certificate of the solution is of the recipe before them. */
const sw_certificate *report_certificate(const cli_report *report);
/* Row `index` in the order of screens: N first, then its forms and the rest. */
const sw_component_row *report_row(const cli_report *report, size_t index);
/* Whether a component is worth a row: it has a target or is there. */
bool report_shows(const sw_component_row *row);
/* Decimals that suit a row of mg/L. */
int report_row_decimals(const sw_component_row *row);
/* Decimals that suit a row of ratios, pH or EC. */
int report_measure_decimals(const sw_row *row);
/* What the finished solution is expected to do with a solid. */
const char *report_saturation_verdict(sw_solid solid,
                                      const sw_saturation *saturation);
/* Share of source `index` in the water, 0 to 1; NaN: not known yet. */
double report_share(const cli_report *report, size_t index);
/* "32 %", of little "0.4 %": those of all that is poured add up to 100. */
cli_figure report_share_words(const cli_report *report, size_t index);
/* Whether it is in the water, as far as is known. */
bool report_pours(const cli_report *report, size_t index);
/* Whether a report gives it of the water; of a blend all, or one gives some. */
bool report_water_known(const sw_component_row *row);
/* What the water brings of it, mg/L; NaN where that is not known. */
double report_water_part(const sw_component_row *row);
/* What counts of the finished solution, mg/L: of iron not the water's own. */
double report_counted(const cli_report *report, const sw_component_row *row);
/* What more may be in it below detection; NaN where nothing may. */
double report_water_unseen(const sw_component_row *row);

/* Alkalinity in mg/L CaCO3 of `meq_per_l`. */
double report_as_caco3(double meq_per_l);

/*
 * 90 % range of the EC: of the estimate and, where it is known, of lab, label,
 * scale and fill with it, as independent errors: the root of the sum of
 * squares.
 */
typedef struct cli_range {
    double low, high;
} cli_range;
cli_range report_ec_range(const cli_report *report);
/* Whether labels leave the pH open; that of the fresh mix, "5.8", then "2.9 to
 * 7.1"; aired, then "not known"; its 90 % range, then those ends. */
bool report_ph_is_open(const sw_assessment *assessment);
cli_figure report_ph(const sw_assessment *assessment, int decimals);
/* The pH that acid or base is poured to which is not sized, "5.8"; else "". */
cli_figure report_ph_poured(const sw_assessment *assessment, int decimals);
cli_figure report_ph_aired(const sw_assessment *assessment, int decimals);
cli_range report_ph_range(const cli_report *report);
/* 90 % range of the pH once aired; as above it needs report->spread. */
cli_range report_ph_aired_range(const cli_report *report);
/* Whether what was measured lies within the ranges that page 1 gives, the pH
 * anywhere from the fresh one to the aired one. */
bool report_is_within(const cli_report *report, const sw_uncertainty *spread);

/* What EC meters show that are read away from 25 degC. */
typedef struct cli_meter {
    double bare_ms_per_cm;        /* without temperature compensation */
    double to_25;                 /* that times this is the EC at 25 degC */
    double two_percent_ms_per_cm; /* compensated by 2 % per degree */
} cli_meter;

/* False where no temperature was asked for. */
bool report_meter(const cli_report *report, cli_meter *meter);

/* What was measured, its EC at 25 degC; where labels leave the pH open with
 * half of that as the error of its reading. */
sw_readings report_readings(const cli_report *report);

/* Whether what was measured contradicts the recipe as it was meant. */
bool report_readings_are_off(const cli_report *report);
/* Whether the pH measured is outside what the target accepts as mixed; then
 * `limit` is the end it is beyond. */
bool report_read_ph_is_off(const cli_report *report, double *limit);
/* Less belief in "nothing wrong" is a doubt. */
extern const double report_least_belief;
/* Whether a mistake explains the readings as well as CO2 gone, and all of them
 * together are likelier than none. */
bool report_readings_are_doubted(const cli_report *report);
/* Whether a reading by itself is a danger to the crop. */
bool report_readings_harm(const cli_report *report);

/* A walk over notes of a report, from {0} on; NULL after the last. */
typedef struct cli_note_walk {
    size_t list, at;
} cli_note_walk;
/* Every note to be shown, in order of appearance: of the solve, the assessment,
 * and what may hurt. */
const sw_note *report_next_note(const cli_report *report, cli_note_walk *walk);
/* Those of one severity, the cautions left out; and how many they are. */
const sw_note *report_next_severe(const cli_report *report,
                                  sw_severity severity, cli_note_walk *walk);
size_t report_count_severity(const cli_report *report, sw_severity severity);
/* Of reading the files: said on standard error already. */
const sw_note *report_next_input_note(const cli_report *report,
                                      cli_note_walk *walk);
/* Whether one of danger is among them, the cautions that every product of its
 * kind has left out. */
bool report_is_dangerous(const cli_report *report);
/* Whether the acid hangs on what a report of its waters leaves in doubt. */
bool report_is_doubted(const cli_report *report);
/* Whether acid drives out of one of them what harms. */
bool report_gives_gas(const cli_report *report);
/* Whether nothing is told but what to find out about a water first. */
bool report_is_undetermined(const cli_report *report);

/* What a renewal does with the tank, litres. */
typedef struct cli_turnover {
    double drained_l, kept_l, fresh_l;
} cli_turnover;
cli_turnover report_turnover(const cli_report *report);

/* Stocks were planned, and none can be made: there is no tank to show. */
bool report_lacks_tanks(const cli_report *report);
/* Stocks as mixed do not stay dissolved, or must not meet. */
bool report_spoils(const cli_report *report);

/* How the run ends: EXIT_DONE, or EXIT_UNMET, which a danger is too. */
exit_code report_exit_code(const cli_report *report);

/* ---- Bought premixes among the amounts given ----------------------------- */

/* The rates of each "premix=best" into the recipe. */
void premix_fit(cli_inputs *inputs, const cli_settings *settings);
/* What was found for a product; NULL where its amount was given. */
const sw_premix_rate *premix_best(const cli_inputs *inputs, size_t product);

/* A review of each premix in the recipe given; none where there is none. */
void premix_review(const cli_report *report, cli_premixes *out);
void premix_free(cli_premixes *premixes);

#endif
