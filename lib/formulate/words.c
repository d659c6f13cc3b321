/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Objectives, outcomes and rules as words, and back. */
#include "formulate/model.h"
#include "quantity/status.h"
#include "quantity/text.h"

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

const char *sw_levers_text(sw_levers levers)
{
    static const char *const texts[] = {
        [SW_LEVERS_AGENTS] = SW_SAY_LEVERS_AGENTS,
        [SW_LEVERS_BUFFERS] = SW_SAY_LEVERS_BUFFERS,
        [SW_LEVERS_ALL] = SW_SAY_LEVERS_ALL,
    };
    return (size_t)levers < sizeof texts / sizeof *texts ? texts[levers] : NULL;
}

/* Of each origin a word, and the rule as it stands behind a limit. */
static const struct {
    const char *text, *rule;
} origins[] = {
    [SW_GIVEN] = {"given", ""},
    [SW_BY_RANGE] = {"accepted range", "accepted range of its target"},
    [SW_OWN_CEILING] = {"ceiling", "our ceiling: the target does not name it"},
    [SW_OWN_CAP] = {"cap", "our limit: target + 10 % while a pH is sought"},
    [SW_OWN_RANGE] = {"usual pH", "our limit: as far as acid or base serve"},
    [SW_OWN_LITRE] = {"litre", "our limit: no litre holds more of it"},
    [SW_GAVE_WAY] = {"gave way", "gave way to this"},
    [SW_BY_LAB] = {"lab error",
                   "accepted range of its target + 10 %, lab error"},
    [SW_FOR_SULFUR] = {"sulfur", "our limit: as far as it gives way to sulfur"},
};

const char *sw_origin_text(sw_origin origin)
{
    return (size_t)origin < sizeof origins / sizeof *origins
               ? origins[origin].text
               : NULL;
}

const char *sw_origin_rule(sw_origin origin)
{
    return origins[origin].rule;
}

const char *sw_left_out_text(sw_left_out rule)
{
    static const char *const texts[] = {[SW_IN_USE] = "",
                                        [SW_LEFT_ACID] = SW_SAY_LEFT_AGENT,
                                        [SW_LEFT_BASE] = SW_SAY_LEFT_AGENT,
                                        [SW_LEFT_TRACE] = SW_SAY_LEFT_TRACE};
    return (size_t)rule < sizeof texts / sizeof *texts ? texts[rule] : "";
}

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
