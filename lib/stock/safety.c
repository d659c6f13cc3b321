/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Pairs that must not meet, from reference/hazard_pairs.csv.  A side of a pair
 * is a kind of product, told by its content, or else a thing on no shelf:
 * water, metals, bleach.
 */
#include "stock/safety.h"

#include "stock/product_classes.h"
#include "table_hazard_pairs.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

/* ---- Pairs ------------------------------------------------------------- */

size_t sw_meeting_count(void)
{
    return sw_hazard_pairs_count;
}

sw_meeting sw_meeting_at(size_t index)
{
    const sw_hazard_pairs_row *r = &sw_hazard_pairs_table[index];
    return (sw_meeting){.one = r->one,
                        .other = r->other,
                        .gives = r->gives,
                        .advice = r->advice,
                        .known = r->known,
                        .source = r->source,
                        .is_product = sw_class_called(r->other) != 0};
}

bool sw_meeting_side_is(const char *side, const sw_product *product)
{
    return sw_classes_of(product) & sw_class_called(side);
}

/* ---- Sentences --------------------------------------------------------- */

typedef struct sentences {
    char *text;
    size_t size, used;
} sentences;

/* One more, begun with a capital, where it fits whole. */
static void say(sentences *to, const char *words, const char *between,
                const char *more)
{
    char sentence[256];
    int length = snprintf(sentence, sizeof sentence, "%s%s%s%s.",
                          to->used ? " " : "", words, between, more);
    if (length < 0 || (size_t)length >= sizeof sentence ||
        to->used + (size_t)length >= to->size)
        return;
    char *first = &sentence[to->used ? 1 : 0];
    *first = (char)toupper((unsigned char)*first);
    memcpy(to->text + to->used, sentence, (size_t)length + 1);
    to->used += (size_t)length;
}

/* "Danger. Causes severe skin burns and eye damage (H314)." */
static void say_hazards(sentences *to, const sw_hazards *hazards)
{
    for (size_t i = 0; i < hazards->count; i++) {
        const sw_hazard *h = &hazards->items[i];
        char code[24];
        if (i == 0 && h->signal)
            say(to, sw_signal_text(h->signal), "", "");
        snprintf(code, sizeof code, " (%s)", h->code);
        say(to, h->statement, code, "");
    }
}

/* The first pair of the product with water, which comes before the others. */
static void say_water(sentences *to, const sw_product *p)
{
    for (size_t i = 0; i < sw_meeting_count(); i++) {
        sw_meeting pair = sw_meeting_at(i);
        if (strcmp(pair.other, "water") != 0 ||
            !sw_meeting_side_is(pair.one, p))
            continue;
        say(to, pair.advice, "", "");
        return;
    }
}

/* Whether some of them are on one side of the pair, products of these classes
 * on the other; most pairs concern none. */
static bool meet(const sw_meeting *pair, unsigned classes,
                 const sw_product *const *held, size_t count)
{
    unsigned one = sw_class_called(pair->one);
    unsigned other = sw_class_called(pair->other);
    unsigned facing = (classes & one ? other : 0) | (classes & other ? one : 0);
    for (size_t k = 0; k < count && facing; k++)
        if (sw_classes_of(held[k]) & facing)
            return true;
    return false;
}

static void say_meetings(sentences *to, const sw_product *added,
                         const sw_product *const *held, size_t count)
{
    unsigned classes = sw_classes_of(added);
    for (size_t i = 0; i < sw_meeting_count(); i++) {
        sw_meeting pair = sw_meeting_at(i);
        if (*pair.advice && meet(&pair, classes, held, count))
            say(to, pair.gives, ": ", pair.advice);
    }
}

void sw_safety_of_adding(const sw_product *added, const sw_product *const *held,
                         size_t count, char *text, size_t size)
{
    char gear[160];
    sentences to = {.text = text, .size = size};
    text[0] = '\0';
    const sw_hazards *hazards = &added->hazards;
    say_hazards(&to, hazards);
    say_water(&to, added);
    say_meetings(&to, added, held, count);
    sw_gear_text(sw_gear_of(added), gear, sizeof gear);
    if (hazards->count && hazards->items[0].signal == SW_DANGER)
        say(&to, "wear ", gear, "");
}

void sw_advice_of_adding(const sw_product *added, const sw_product *const *held,
                         size_t count, char *text, size_t size)
{
    sentences to = {.text = text, .size = size};
    text[0] = '\0';
    say_water(&to, added);
    say_meetings(&to, added, held, count);
}
