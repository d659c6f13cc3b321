/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The marks of trade facts, once an assessment instead of beside each: which
 * facts were used is told by what is there to be judged, or by a note.
 */
#include "assess/basis.h"

#include "quantity/notes.h"
#include "table_trade_facts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A target judged by an accepted range of ours. */
static bool uses_range(const sw_target *target)
{
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (!isnan(row->target) && isnan(row->min) && isnan(row->max))
            return true;
    }
    return false;
}

static bool uses_saturation(const sw_assessment *a)
{
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        if (a->mixed.saturation[i].defined)
            return true;
    return false;
}

static bool has_note(const sw_assessment *a, const char *begin)
{
    for (size_t i = 0; i < a->notes.count; i++)
        if (!strncmp(a->notes.items[i].code, begin, strlen(begin)))
            return true;
    return false;
}

static bool is_used(const sw_trade_facts_row *fact, const sw_mix *mix,
                    const sw_assessment *a)
{
    if (!strcmp(fact->where, "range"))
        return uses_range(mix->target);
    if (!strcmp(fact->where, "saturation"))
        return uses_saturation(a);
    return !strcmp(fact->where, "always") || has_note(a, fact->where);
}

/* Those whose source begins so, in one sentence. */
static sw_status say(const sw_mix *mix, sw_assessment *a, const char *known,
                     const char *code, const char *lead)
{
    char list[400] = "";
    size_t used = 0;
    for (size_t i = 0; i < sw_trade_facts_count; i++) {
        const sw_trade_facts_row *fact = &sw_trade_facts_table[i];
        if (strncmp(fact->source, known, strlen(known)) != 0 ||
            !is_used(fact, mix, a) || used >= sizeof list)
            continue;
        int n = snprintf(list + used, sizeof list - used, "%s%s",
                         used ? "; " : "", fact->text);
        used += n > 0 ? (size_t)n : 0;
    }
    return used ? sw_notes_add(&a->notes, SW_INFO, code, "%s: %s.", lead, list)
                : SW_OK;
}

sw_status sw_say_basis(const sw_mix *mix, sw_assessment *a)
{
    sw_status status = say(mix, a, "common practice", "common-practice",
                           "Common practice, no source");
    return status == SW_OK ? say(mix, a, "value from memory", "from-memory",
                                 "Values from memory")
                           : status;
}
