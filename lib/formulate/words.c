/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Objectives and outcomes as words, and back. */
#include "quantity/status.h"

#include <string.h>

static const char *const objective_words[] = {
    [SW_CLOSEST] = "closest", [SW_EVEN] = "even", [SW_CHEAPEST] = "cheapest"};

enum { OBJECTIVES = sizeof objective_words / sizeof *objective_words };

const char *sw_objective_text(sw_objective objective)
{
    return (size_t)objective < OBJECTIVES ? objective_words[objective] : NULL;
}

sw_status sw_objective_parse(const char *text, sw_objective *objective,
                             sw_error *error)
{
    for (size_t i = 0; i < OBJECTIVES; i++) {
        if (strcmp(text, objective_words[i]) != 0)
            continue;
        *objective = (sw_objective)i;
        return SW_OK;
    }
    return sw_fail(error, SW_ERR_NAME,
                   "unknown objective \"%.40s\", expected closest, even or "
                   "cheapest",
                   text);
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
