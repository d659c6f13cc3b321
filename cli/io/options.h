/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of every command, listed once: parsing, help and the tests of
 * the manual and the completion all read this list. */
#ifndef CLI_IO_OPTIONS_H
#define CLI_IO_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "io/exit_code.h"

/*      id               name           argument           repeats  help */
#define OPTION_LIST(X)                                                         \
    X(OPT_WATER, "water", "FILE[:SAMPLE]", true,                               \
      "lab report of the source water; may be repeated")                       \
    X(OPT_SHARE, "share", "PERCENTS", false,                                   \
      "of each water, in that order, such as 70,30; without it formulate "     \
      "finds the best blend")                                                  \
    X(OPT_READ_AS, "read-as", "READING=OTHER", true,                           \
      "take a reading as another, as audit proposes: SO4=SO4-S")               \
    X(OPT_PURIFIED, "purified", "FILE[:SAMPLE]", false,                        \
      "purified water beside the others; \"typical\": as reverse osmosis "     \
      "usually gives it")                                                      \
    X(OPT_BLEND, "blend", NULL, false,                                         \
      "also find the closest or cheapest mix")                                 \
    X(OPT_ONE_RECIPE, "one-recipe", NULL, false,                               \
      "one recipe for all waters, as near to the target as it can be")         \
    X(OPT_WATER_PRICE, "water-price", "PRICES", false,                         \
      "of 1000 L of each water, in that order, such as 1.90,0")                \
    X(OPT_TARGET, "target", "FILE|NAME", false,                                \
      "what the finished solution should hold")                                \
    X(OPT_TARGETS, "targets", NULL, false,                                     \
      "the built-in targets of crops in place of the products")                \
    X(OPT_STAGE, "stage", "NAME", false,                                       \
      "of the crop, where the target holds several")                           \
    X(OPT_SHELF, "shelf", "FILE", false, "the products at hand")               \
    X(OPT_RECIPE, "recipe", "FILE", false,                                     \
      "amounts somebody has written down")                                     \
    X(OPT_DOSE, "dose", "PRODUCT=RATE", true,                                  \
      "a product at its label rate, such as \"premix=0.6g/L\", or "            \
      "\"premix=best\": at the rate that suits best; "                         \
      "\"A=best:2g/L\" \"B=best:3g/L\": in that proportion")                   \
    X(OPT_TOP_UP, "top-up", NULL, false,                                       \
      "keep the given amounts and let the rest of the shelf fill what they "   \
      "leave open")                                                            \
    X(OPT_SOLUTION, "solution", "FILE[:SAMPLE]", false,                        \
      "analysis of the recirculating solution, like a lab report of water")    \
    X(OPT_HOLDS, "holds", "VOLUME", false,                                     \
      "what the tank holds of it now: 600L; --volume is what it is filled to") \
    X(OPT_VOLUME, "volume", "VOLUME", false,                                   \
      "of finished solution: 400gal, 1500L, 2m3 (default 1000L)")              \
    X(OPT_SCALE_STEP, "scale-step", "MASS", false,                             \
      "weigh every amount in whole steps of the scale: 10g, 0.5oz; liquids "   \
      "are measured to three figures")                                         \
    X(OPT_FINE_STEP, "fine-step", "MASS", false,                               \
      "the same of the scale for trace elements (default: as --scale-step)")   \
    X(OPT_TRACE_SOLUTION, "trace-solution", "VOLUME", false,                   \
      "trace elements of less than 20 steps are dissolved in this much water " \
      "and dosed in mL (default 1L; none: weighed as they are)")               \
    X(OPT_WHOLE_PACKS, "whole-packs", NULL, false,                             \
      "use whole packs of products whose pack the shelf names")                \
    X(OPT_SEARCH_TIME, "search-time", "SECONDS", false,                        \
      "for whole steps at most (default 10s); what is left open is said")      \
    X(OPT_STOCKS, "stocks", "FILE", false,                                     \
      "what somebody has put into each tank: tank,product,amount,unit")        \
    X(OPT_TANK, "tank", "[TANK=]VOLUME", true,                                 \
      "each stock tank, filled to the mark: 50gal, 200L; one that differs: "   \
      "B=100L")                                                                \
    X(OPT_FACTOR, "factor", "NUMBER", false,                                   \
      "litres of feed from a litre of each stock (default 100)")               \
    X(OPT_HEAD, "head", "TANK=NUMBER", true,                                   \
      "the same of a tank's injector where it differs: B=128")                 \
    X(OPT_THIRD_TANK, "third-tank", NULL, false,                               \
      "there is a third tank, C: for acid, or else what is alkaline")          \
    X(OPT_MAKE_UP, "make-up", "FILE[:SAMPLE]", false,                          \
      "the water that fills the tanks (default: the source water)")            \
    X(OPT_PER_DAY, "per-day", "VOLUME", false,                                 \
      "of feed that the crop takes: how many days a batch of stock lasts")     \
    X(OPT_FILLS, "fills", "NUMBER", false,                                     \
      "how many batches of stock to buy for (default 1)")                      \
    X(OPT_STORE, "store", "WARM,COLD", false,                                  \
      "temperatures of the tanks in use and in cold store (default 20C,5C)")   \
    X(OPT_OBJECTIVE, "objective", "WORD", false,                               \
      "closest to the target (default), even or cheapest")                     \
    X(OPT_EQUAL, "equal-within", "PERCENT", false,                             \
      "recipes this near to the closest in every nutrient count as equal: "    \
      "fewest products, then cheapest (default 2%; 0: the closest itself)")    \
    X(OPT_TO_EC, "to-ec", "EC", false,                                         \
      "as strong as to read this EC at 25 degrees Celsius, such as 1.8 (in "   \
      "mS/cm) or 1800uS/cm: scales the target, or for check the amounts "      \
      "given")                                                                 \
    X(OPT_TEMPERATURE, "temperature", "DEGREES", false,                        \
      "of the solution: 18, 18C or 65F (default 25C)")                         \
    X(OPT_METER_AT, "meter-temperature", "DEGREES", false,                     \
      "where an EC meter without compensation is read: 15, 15C or 59F")        \
    X(OPT_AMOUNTS, "amounts", "WORD", false,                                   \
      "metric, us or both (default: metric, and both for gallons)")            \
    X(OPT_TRADE_OFF, "trade-off", "WORD", false,                               \
      "what fit is bought with, in cost or in products, from the closest "     \
      "recipe on")                                                             \
    X(OPT_CURVE, "curve", "FILE", false,                                       \
      "also write the curve of --trade-off, to FILE.svg")                      \
    X(OPT_WHY, "why", NULL, false,                                             \
      "say what each limit and product is worth, and what the shelf lacks")    \
    X(OPT_HOW_SURE, "how-sure", NULL, false,                                   \
      "say between what bounds the solution lies when lab, labels, scale "     \
      "and fill are a little off, and which of them matters most")             \
    X(OPT_MEASURED_EC, "measured-ec", "EC", false,                             \
      "what the meter shows of the fresh mix, such as 2.1 (in mS/cm) or "      \
      "2100uS/cm: say what may have gone wrong")                               \
    X(OPT_MEASURED_PH, "measured-ph", "PH", false,                             \
      "the same of its pH, such as 5.9")                                       \
    X(OPT_DOUBT, "doubt", "SOURCE=SPREAD", true,                               \
      "how far off one may be, as a standard deviation: lab=5%, lab-ph=0.1, "  \
      "label=2%, fill=2%, injector=5%, meter-ec=2%, meter-ph=0.05, or a "      \
      "step: scale=1g, fine-scale=0.01g (these are the defaults)")             \
    X(OPT_FORMAT, "format", "WORD", false, "text (default), json or csv")      \
    X(OPT_BRIEF, "brief", NULL, false,                                         \
      "on the screen no more than what counts")                                \
    X(OPT_ONLY, "only", "BLOCK,...", false,                                    \
      "no more than these parts of the result, named as in JSON")              \
    X(OPT_OUTPUT, "output", "FILE", false,                                     \
      "write the result to FILE instead of standard output")                   \
    X(OPT_SHEET, "sheet", "FILE", false,                                       \
      "also write the mixing sheet, to FILE.html; its chart alone to "         \
      "FILE.svg")                                                              \
    X(OPT_FOR, "for", "TEXT", false, "for whom the sheet is, in any words")    \
    X(OPT_HELP, "help", NULL, false, "show this help")

typedef enum option_id {
#define OPTION_ENUM(id, name, argument, repeats, help) id,
    OPTION_LIST(OPTION_ENUM)
#undef OPTION_ENUM
        OPT_COUNT
} option_id;

typedef struct cli_option_spec {
    const char *name;
    const char *argument; /* NULL: it takes none */
    bool repeats;
    const char *help;
} cli_option_spec;

const cli_option_spec *option_spec_of(option_id id);

struct cli_command;

/* What was given; the texts are those of argv. */
typedef struct cli_options {
    const struct cli_command *command;
    struct {
        option_id id;
        const char *value; /* "" for an option without argument */
    } * given;
    size_t given_count;
    char **operands;
    size_t operand_count;
} cli_options;

/*
 * Reads argv[1] and on for `command`.  On EXIT_DONE release with options_free;
 * anything else has been complained about.
 */
exit_code options_read(const struct cli_command *command, int argc, char **argv,
                       cli_options *out);
void options_free(cli_options *options);

size_t options_count(const cli_options *options, option_id id);
/* The nth value of an option, NULL when there is none. */
const char *options_value(const cli_options *options, option_id id, size_t nth);
bool options_has(const cli_options *options, option_id id);

/* EXIT_USAGE with a complaint when one that the command requires is absent. */
exit_code options_require(const cli_options *options);
/* The same of one option that only some runs of a command need. */
exit_code options_need(const cli_options *options, option_id id);

#endif
