/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The usual cautions for handling acids, bases, oxidisers and dusts (common
 * practice, no source).  They stand in for no label and no local rule, and say
 * so.
 */
#include "cautions.h"

#include "memory.h"

typedef struct cli_caution {
    unsigned hazard; /* 0: with every recipe */
    const char *code;
    const char *text;
} cli_caution;

static const cli_caution list[] = {
    {SW_HAZARD_ACID, "caution-acid",
     "Acid: always pour acid into water, never water into acid, slowly and "
     "with stirring. Wear goggles, face shield, acid-proof gloves and apron; "
     "work in moving air with running water near. Keep acids away from bases, "
     "chlorine products and metals."},
    {SW_HAZARD_BASE, "caution-base",
     "Strong base: burns skin and eyes and heats when dissolved. Add it to "
     "cold water slowly, with goggles and gloves. Never mix it with an acid "
     "undiluted."},
    {SW_HAZARD_OXIDISER, "caution-oxidiser",
     "Oxidising nitrate: keep it dry and away from heat, fuel, oil, sulfur, "
     "sawdust and other organic matter; store it as local rules ask."},
    {SW_HAZARD_TOXIC, "caution-toxic",
     "Harmful if swallowed: keep it locked away from food, children and "
     "animals, and wash after weighing."},
    {SW_HAZARD_DUST, "caution-dust",
     "Fine powder: weigh it out of the wind with a dust mask and goggles."},
    {CAUTION_STOCKS, "caution-stocks",
     "Concentrates: tanks A and B never meet undiluted, nor does either meet "
     "undiluted acid. Mark every tank with what is in it, and keep all of them "
     "out of the reach of children."},
    {0, "caution-label",
     "The label and safety data sheet of each product and the local rules "
     "come before this page. Where a hose or injector is joined to drinking "
     "water, a backflow preventer as the local code asks must be there."}};

enum { CAUTION_COUNT = sizeof list / sizeof list[0] };

unsigned cautions_hazards(const cli_report *report)
{
    unsigned hazards = report->stock ? CAUTION_STOCKS : 0;
    for (size_t i = 0; report->recipe && i < report->recipe->count; i++)
        if (report_uses(report, i))
            hazards |= report->inputs->shelf->products[i].hazards;
    return hazards;
}

void cautions_find(unsigned hazards, sw_notes *cautions)
{
    sw_note *items = memory_array(CAUTION_COUNT, sizeof *items);
    size_t count = 0;
    for (size_t i = 0; i < CAUTION_COUNT; i++) {
        if (list[i].hazard && !(hazards & list[i].hazard))
            continue;
        sw_note *note = &items[count++];
        note->severity = list[i].hazard ? SW_DANGER : SW_INFO;
        snprintf(note->code, sizeof note->code, "%s", list[i].code);
        snprintf(note->text, sizeof note->text, "%s", list[i].text);
    }
    *cautions = (sw_notes){items, count};
}
