/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What there is to say, by subject; each is written once and reaches every
 * format (write/document.h).
 *
 * To add a column or a fact: a row in fields.csv under its block, in the order
 * of the screen, and a DOC_NUMBERS or doc_text line with that key where the
 * subject fills its records.  `where` says who reads it (none: screen, evidence
 * and data); `digits` how many it deserves; `must` and `values` go to the
 * schema, which tests/cli/schema.py --write makes of this file.
 *
 * To add a block: its own row (no key) and its fields in fields.csv, a row of
 * type block (or part, for one record) in what holds it, and a function here
 * that takes the record it goes into.  Its words are the heading; a block
 * without any goes on under the one before.  A sentence is a row of
 * sentences.csv, SAY_... in the code.
 *
 * To add a command: a block of type record in fields.csv, a file here that
 * fills it (a short one may fill it itself), command/NAME.c with its options,
 * which ends in show_report (command/show.h), its row in command/commands.csv
 * and its paragraph in saltwright.1.
 */
#ifndef CLI_REPORT_BLOCKS_H
#define CLI_REPORT_BLOCKS_H

#include "io/safe.h"
#include "run/audit.h"
#include "run/report.h"
#include "run/catalogue.h"
#include "run/many.h"
#include "run/ph_alone.h"
#include "run/several.h"
#include "write/document.h"

typedef struct report_sentence {
    char text[640];
} report_sentence;

/* Whole reports; release with doc_free. */
doc_record *report_audit(const cli_audit *audit);
doc_record *report_archive(const cli_audit *audit); /* of many samples */
doc_record *report_catalogue(const cli_catalogue *catalogue);
doc_record *report_crops(const cli_crops *crops);
doc_record *report_many(const cli_many *many);
doc_record *report_ph_alone(const cli_ph_alone *alone);
doc_record *report_compare(const cli_several *several);
doc_record *report_stages(const cli_several *several);

/* Subjects, in the record they belong to. */
doc_record *report_begin(const char *command);
doc_record *report_begin_as(const char *name, const char *command);
void report_water(doc_record *record, const char *key, const cli_source *source,
                  double share);
/* Target and shelf, and where they were found where nobody named them. */
void report_target(doc_record *record, const cli_inputs *inputs);
void report_shelf(doc_record *record, const cli_inputs *inputs);
void report_say_assumed(doc_block *block, const cli_inputs *inputs);
/* A nutrient solution beside its feed and its target; and in sentences. */
void report_sample(doc_record *record, const cli_audit *audit);
void report_say_sample(doc_block *verdict, const cli_audit *audit);
/* Block "readings": what each line of the report was taken for; nothing where
 * it came from no file. */
void report_read_as(doc_record *record, const cli_source *source);
/* Published limits: those exceeded, and those met by use. */
void report_limits(doc_record *record, const sw_guideline_row *rows,
                   size_t count);
/* A row of block `block`: the note, in these words. */
doc_record *report_note(doc_block *block, const sw_note *note, const char *text,
                        unsigned places);
/* Where a note on reading a file stands: on the screen what its numbers do not
 * tell, a sample left out, a limit of detection that hides what matters. */
unsigned report_places_of_read(const sw_note *note);
/* Block `block`, of notes. */
void report_notes(doc_block *block, const sw_notes *notes, unsigned places);
/* Those on whole files of waters, each once. */
void report_file_notes(doc_block *block, const cli_sources *sources);

/* Between what bounds: "0.90 to 1.10", "max 1.00", "min 0.55"; "" for none. */
void report_range(doc_record *record, const char *key, double low, double high,
                  int decimals);

/* Whether rounding to `decimals` hides that a value is not between its bounds;
 * and the words for it. */
bool report_is_hidden(double value, double low, double high, int decimals);
extern const char report_hidden[];

/* Of a recipe in a water, all of it into block "report"; and its subjects. */
void report_mixing(doc_record *record, const cli_report *report);
/* Its heading and what is on every printed page. */
void report_title(doc_record *record, const cli_report *report);
/* What to know before it is mixed, and what is not met: at the head of page 1.
 */
void report_before(doc_record *record, const cli_report *report);
/* Of recipes in common, what holds them back, and the notes: each once, with
 * its samples. */
void report_limits_of_many(doc_record *report, const cli_many *many);
void report_notes_of_many(doc_record *report, const cli_many *many);

/* The same warnings in a result; returns how many its notes have, 0 where all
 * are said. */
typedef struct report_remarks {
    size_t full, brief; /* of the brief screen */
} report_remarks;
report_remarks report_say_before(doc_block *verdict, const cli_report *report);
/* What keeps the pH, or what makes room for it, from being met. */
void report_say_reasons(doc_block *verdict, const cli_report *report);
/* All of these and the reasons, after what is there. */
/* Those of completing the waters alone. */
void report_say_before_water(doc_block *verdict, const cli_inputs *inputs);
/* What forbids to mix waters, each once, with the names of which it is. */
void report_say_doubts(doc_block *verdict, const cli_open_water *open,
                       size_t count);
/* Those to ask of, after what is there. */
void report_add_doubts(const cli_report *report, char *text, size_t size);
/* Those of several runs, each once, with the runs that it is of. */
void report_say_before_several(doc_block *verdict, const cli_several *several);
/* Page 1 of the sheet, where it has a spread; and the steps in any case. */
void report_worker(doc_record *record, const cli_report *report);
void report_recipe(doc_record *record, const cli_report *report);
void report_bag(doc_record *record, const cli_report *report);
void report_weighed(doc_record *record, const cli_report *report);
void report_premixes(doc_record *record, const cli_report *report);
void report_stop(doc_record *record, const cli_report *report);
void report_verdict(doc_record *record, const cli_report *report);
void report_asked(doc_record *record, const cli_report *report);
void report_waters(doc_record *record, const cli_report *report);
void report_charges(doc_record *record, const cli_report *report);
void report_components(doc_record *record, const cli_report *report);
void report_measures(doc_record *record, const cli_report *report);
void report_stock(doc_record *record, const cli_report *report);
void report_steps(doc_record *record, const cli_report *report);
/* What was measured of it; with `diagnosis`. */
void report_diagnosis(doc_record *record, const cli_report *report);
/* Room for readings. */
void report_meter_log(doc_record *record, const cli_report *report);
/* How a tank is brought back to its target; with `renewal`. */
void report_renewal(doc_record *record, const cli_report *report);

report_sentence report_words(const char *format, ...)
    __attribute__((format(printf, 1, 2)));
/* Whether what is mixed is of several waters, each there. */
bool report_is_blend(const cli_report *report);
/* Of it: "32 % well, 68 % rain"; and "128 L of well and 272 L of rain" of so
 * many litres. */
report_sentence report_shares(const cli_report *report);
report_sentence report_blend(const cli_report *report, double volume_l);
/* So many litres in the unit of the volume asked for: "134 L". */
cli_figure report_litres(const cli_report *report, double volume_l);
/* Both, above what is to be weighed; nothing of one water. */
void report_say_blend(doc_block *block, const cli_report *report);
/* What to wear: above what is to be weighed. */
report_sentence report_gear(const cli_report *report);
/* Which recipes counted as equal to the closest, within `share` of each target,
 * and what of it `taken` leaves out; the same in words. */
void report_fewest(doc_record *record, const sw_fewer *fewer,
                   const sw_recipe *taken, const sw_shelf *shelf, double share);
report_sentence report_fewest_words(const sw_fewer *fewer,
                                    const sw_shelf *shelf, double share);
/* Whether what the scale shows is in US units: the first of both. */
bool report_is_us(const cli_report *report);
/* An amount as the scale or the jug shows it; and in other units, a liquid's
 * mass too; "" for none. */
typedef struct report_amounts {
    cli_figure first, also;
} report_amounts;
report_amounts report_amounts_of(const cli_report *report, size_t product,
                                 double g);
/* Both, in fields "measure_out" and "or". */
void report_put_amounts(doc_record *row, const cli_report *report,
                        size_t product, double g);
/* "25 °C", "77 °F" or both, as --amounts has it. */
cli_figure report_degrees(const cli_report *report, double celsius);
/* What people read of a sentence of the library, which is metric, under
 * --amounts us: its degrees, and its amounts per 1000 L. */
void report_reads_us(doc_record *row, const char *key,
                     const cli_report *report);
/* The same of a sentence on what is poured by pH: its mL, g and L too, as data
 * in the digits of a jug and a scale; the latter alone. */
void report_reads_poured(doc_record *row, const char *key,
                         const cli_report *report);
void report_mend_poured(doc_record *row, const char *key);
/* "3.22, or 2.12 per 1000 L": what the recipe costs; "3.22" of 1000 L. */
report_sentence report_cost_words(const cli_report *report);
/* What goes into 100 L and into 100 gal, in fields "in_100_l", "in_100_gal". */
void report_per_100(doc_record *row, const cli_report *report, size_t product,
                    double g_per_l);
/* Of acid or base that labels keep from being sized: what of `g_per_l` is
 * surely poured for `batch_l` of feed, and how the rest is found. */
/* "8.64 mL first" of what is not sized, or "by pH" where nothing of it is sure;
 * else the amount as it is. */
report_sentence report_as_sized(const char *amount, double surely,
                                double most_g_per_l);
void report_put_unsized(doc_record *row, const cli_report *report,
                        size_t product, double batch_l);
/* What to dissolve a product in first, where it is dosed from a solution. */
void report_solution_words(doc_record *row, const char *key,
                           const cli_report *report, size_t product);
/* A row of block `block`, of what was tried: a product that would help, its
 * remark beginning with `first`. */
doc_record *report_addition(doc_block *block, const cli_report *report,
                            const sw_addition *addition, const char *first);
/* "Tank A", "Reservoir" */
const char *report_tank_name(sw_tank tank);
void report_recipe_notes(doc_record *record, const cli_report *report);
void report_safety(doc_record *record, const cli_report *report);
void report_sources(doc_record *record, const cli_report *report);
/* The same for who handles these. */
void report_handling(doc_record *record, const cli_handled *handled);
void report_assumptions(doc_record *record, const cli_report *report);
/* Whether what was measured goes with the recipe; nothing without readings. */
void report_say_readings(doc_block *verdict, const cli_report *report);
/* A pH with two decimals that labels leave open: where it is known, none. */
void report_put_open_ph(doc_record *out, const char *key,
                        const sw_assessment *assessment, bool aired);
/* ph_mixed and ph_aired, likewise. */
void report_put_phs(doc_record *row, const sw_assessment *assessment);
/* What labels leave open; nothing where that is nothing. */
void report_undeclared(doc_record *record, const sw_undeclared *undeclared);
void report_finished(doc_record *record, const cli_report *report);
void report_conflict(doc_record *record, const cli_report *report);
/* Where there is no recipe, in sentences: which limits no recipe keeps, "Na max
 * 60 mg/L (basil.csv line 22)", added to `words`: those of a solution, or of a
 * report, which are those that were explained; and what would resolve that, ""
 * where it is not known. */
void report_say_conflict(doc_block *verdict, const cli_report *report);
void report_limits_words(const sw_solution *solution, char *words, size_t size);
void report_members_words(const cli_report *report, char *words, size_t size);
void report_help_words(const cli_report *report, char *words, size_t size);
/* What a proof leaves open: "3e-08"; of less than rounding "below 1e-12". */
/* Squared relative deviations below it are rounding, and so is a gap; what is
 * left of such a sum: 0 where it is rounding, which differs by the machine. */
extern const double report_exact;
double report_sum(double squares);
/* What a proof leaves open: "3.2e-08"; of less than rounding "below 1e-12". */
cli_figure report_gap(const sw_certificate *proof);
void report_proof(doc_record *record, const cli_report *report);
void report_trade_off(doc_record *record, const cli_report *report);
void report_sure(doc_record *record, const cli_report *report);
void report_why(doc_record *record, const cli_report *report);
void report_assessed_limits(doc_record *record, const cli_report *report);

/* Of several runs. */
/* That none of them, or not all, may be used. */
void report_stop_all(doc_record *record, const char *words);
/* What the crop gets of each, a column a run; that between amounts and
 * estimates. */
void report_side_contents(doc_record *record, const cli_several *several);
void report_side(doc_record *record, const cli_several *several);
/* "14 of 16 targets met. Short: pH"; of a run that has a recipe. */
void report_result_words(const cli_report *report, char *text, size_t size);
/* `before`, then what must not be overlooked. */
void report_put_alarms(doc_record *row, const char *key,
                       const cli_report *report, const char *before);

#endif
