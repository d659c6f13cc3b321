/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Objectives, outcomes and rules as words, and back. */
#include "quantity/status.h"
#include "quantity/text.h"

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
    switch (levers) {
    case SW_LEVERS_AGENTS:
        return "acids, bases and the mix of waters alone, since they cannot "
               "take it to where it is asked for; what the others do to it is "
               "taken as it is there";
    case SW_LEVERS_BUFFERS:
        return "acids, bases, the mix of waters and what brings P or Si and "
               "serves a target; what the others do to it is taken as it is "
               "there";
    case SW_LEVERS_ALL:
        return "acids, bases, the mix of waters and every product whose amount "
               "a target or its price keeps in check; what the others do to "
               "it is taken as it is there";
    }
    return NULL;
}

const char *sw_origin_text(sw_origin origin)
{
    switch (origin) {
    case SW_GIVEN:
        return "given";
    case SW_BY_RANGE:
        return "accepted range";
    case SW_OWN_CEILING:
        return "ceiling";
    case SW_OWN_CAP:
        return "cap";
    case SW_OWN_RANGE:
        return "usual pH";
    case SW_OWN_LITRE:
        return "litre";
    case SW_GAVE_WAY:
        return "gave way";
    case SW_BY_LAB:
        return "lab error";
    }
    return NULL;
}

const char *sw_left_out_text(sw_left_out rule)
{
    switch (rule) {
    case SW_IN_USE:
        break;
    case SW_LEFT_ACID:
    case SW_LEFT_BASE:
        return "acid and base never serve together, and this recipe is the "
               "better";
    case SW_LEFT_TRACE:
        return "it serves trace elements, and the target asks for none it "
               "brings";
    }
    return "";
}

sw_status sw_objective_parse(const char *text, sw_objective *objective,
                             sw_error *error)
{
    char names[200] = "";
    SW_REQUIRE(error, text, objective);
    for (size_t i = 0; i < OBJECTIVES; i++) {
        sw_text_add(names, sizeof names, "%s%s",
                    i == 0               ? ""
                    : i + 1 < OBJECTIVES ? ", "
                                         : " or ",
                    objectives[i].name);
        if (strcmp(text, objectives[i].name) != 0)
            continue;
        *objective = (sw_objective)i;
        return SW_OK;
    }
    return sw_fail(error, SW_ERR_NAME,
                   "unknown objective \"%.40s\", expected %s", text, names);
}

const char *sw_outcome_text(sw_outcome outcome)
{
    switch (outcome) {
#define OUTCOME_TEXT(code, text)                                               \
    case code:                                                                 \
        return text;
        SW_OUTCOME_LIST(OUTCOME_TEXT)
#undef OUTCOME_TEXT
    }
    return NULL;
}
