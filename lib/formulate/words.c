/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Objectives, outcomes and rules as words, and back. */
#include "formulate/model.h"
#include "quantity/status.h"
#include "quantity/text.h"

#include "list_origins.h"
#include "table_words.h"
#include "table_refusals.h"

#include <string.h>

#define PH_DEVIATES                                                            \
    "a pH deviates by 0.1 at the end of its accepted range, in proportion to " \
    "the alkalinity it is off by"

static const sw_objective_facts objectives[] = {
    [SW_CLOSEST] = {"closest", SW_OF_SQUARES, "closest to the target",
                    "distance",
                    "sum over targets of weight x (deviation / target) "
                    "squared; " PH_DEVIATES},
    [SW_EVEN] = {"even", SW_OF_WORST,
                 "smallest worst deviation from the target", "worst deviation",
                 "largest weight x |deviation| / target; " PH_DEVIATES},
    [SW_CHEAPEST] = {"cheapest", SW_OF_AMOUNTS, "cheapest within the limits",
                     "cost", "price x amount of every product, per m3"},
};

enum { OBJECTIVES = sizeof objectives / sizeof *objectives };

const sw_objective_facts *sw_objective_facts_of(sw_objective objective)
{
    return (size_t)objective < OBJECTIVES ? &objectives[objective] : NULL;
}

const char *sw_objective_text(sw_objective objective)
{
    const sw_objective_facts *facts = sw_objective_facts_of(objective);
    return facts ? facts->name : NULL;
}

SW_TEXTS(sw_levers_text, sw_levers,
         NULL, [SW_LEVERS_AGENTS] = SW_SAY_LEVERS_AGENTS,
         [SW_LEVERS_BUFFERS] = SW_SAY_LEVERS_BUFFERS,
         [SW_LEVERS_ALL] = SW_SAY_LEVERS_ALL)

/* Of each origin a word, and the rule as it stands behind a limit. */
#define ORIGIN_TEXT(code, text, rule) [code] = (text),
#define ORIGIN_RULE(code, text, rule) [code] = (rule),
SW_TEXTS(sw_origin_text, sw_origin, NULL, SW_ORIGIN_LIST(ORIGIN_TEXT))
SW_TEXTS(sw_origin_rule, sw_origin, "", SW_ORIGIN_LIST(ORIGIN_RULE))
SW_TEXTS(
    sw_left_out_text, sw_left_out,
    "", [SW_IN_USE] = "", [SW_LEFT_ACID] = SW_SAY_LEFT_AGENT,
    [SW_LEFT_BASE] = SW_SAY_LEFT_AGENT, [SW_LEFT_TRACE] = SW_SAY_LEFT_TRACE,
    [SW_LEFT_OUTLASTED] = SW_SAY_LEFT_OUTLASTED,
    [SW_LEFT_WATER] = SW_SAY_LEFT_WATER)

sw_status sw_objective_parse(const char *text, sw_objective *objective,
                             sw_error *error)
{
    char names[200] = "";
    SW_REQUIRE(error, text, objective);
    for (size_t i = 0; i < OBJECTIVES; i++) {
        sw_text_join(names, sizeof names, i + 1 < OBJECTIVES ? ", " : " or ",
                     "%s", objectives[i].name);
        if (strcmp(text, objectives[i].name) != 0)
            continue;
        *objective = (sw_objective)i;
        return SW_OK;
    }
    return sw_fail(error, SW_BAD_OBJECTIVE_NAME, text, names);
}

SW_TEXTS(sw_outcome_text, sw_outcome, NULL, SW_OUTCOME_LIST(SW_LIST_TEXT))
