/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Names of salts taken apart into words of ions: reference/ion_words.csv.  A
 * word that is not made of such words alone ends what belongs together.
 */
#include "records/name_ions.h"

#include "quantity/components.h"
#include "quantity/text.h"
#include "records/name_side.h"
#include "table_refusals.h"

#include <ctype.h>
#include <string.h>

enum {
    SW_PART_CATION,
    SW_PART_ADJECTIVE,
    SW_PART_ANION,
    SW_PART_WITH,
    SW_PART_OF,
    SW_PART_FREE
};

#include "table_ion_words.h"

typedef sw_ion_words_row ion;

enum { MOST_PARTS = 24, MOST_IONS = 6 };

/* The parts of a name in their order; NULL: a word that is none. */
typedef struct parts {
    const ion *part[MOST_PARTS];
    size_t count;
} parts;

/* A salt: its anion, and what it is of. */
typedef struct salt {
    const ion *ions[MOST_IONS];
    size_t count;
} salt;

/* The row with the longest word that begins at `at` within `length`. */
static const ion *find_word(const char *at, size_t length, size_t *longest)
{
    char word[SW_KEY_SIZE];
    const ion *found = NULL;
    *longest = 0;
    for (size_t i = 0; i < sw_ion_words_count; i++) {
        const char *list = sw_ion_words_table[i].words;
        while (sw_text_next_words(&list, word)) {
            size_t size = strlen(word);
            if (size > *longest && size <= length && !strncmp(at, word, size)) {
                *longest = size;
                found = &sw_ion_words_table[i];
            }
        }
    }
    return found;
}

static void add_part(parts *p, const ion *part)
{
    if (p->count < MOST_PARTS)
        p->part[p->count++] = part;
}

/* Takes a word apart, "kaliumnitraat", or it is none. */
static void add_word(parts *p, const char *word, size_t length)
{
    size_t before = p->count, size;
    for (size_t at = 0; at < length; at += size) {
        const ion *part = find_word(word + at, length - at, &size);
        if (!part) {
            p->count = before;
            add_part(p, NULL);
            return;
        }
        add_part(p, part);
    }
}

static parts take_apart(const char *text)
{
    parts p = {.count = 0};
    while (*text) {
        size_t length = 0;
        while (isalpha((unsigned char)text[length]))
            length++;
        if (length)
            add_word(&p, text, length);
        text += length ? length : 1;
    }
    return p;
}

static bool is_part(const parts *p, size_t i, int part)
{
    return i < p->count && p->part[i] && p->part[i]->part == part;
}

static bool is_between(const parts *p, size_t i)
{
    return is_part(p, i, SW_PART_WITH) || is_part(p, i, SW_PART_OF);
}

static void add_ion(salt *s, const ion *one)
{
    if (s->count < MOST_IONS)
        s->ions[s->count++] = one;
}

/* "potassium magnesium sulfate": ahead of it. */
static void add_ahead(salt *s, const parts *p, size_t anion)
{
    for (size_t i = anion; i > 0; i--) {
        if (is_part(p, i - 1, SW_PART_CATION))
            add_ion(s, p->part[i - 1]);
        else if (!is_between(p, i - 1))
            return;
    }
}

/* "sulfate de potassium", "nitrato cálcico": behind it. */
static void add_behind(salt *s, const parts *p, size_t anion)
{
    bool of = false;
    for (size_t i = anion + 1; i < p->count; i++) {
        of = of || is_part(p, i, SW_PART_OF);
        if (is_part(p, i, SW_PART_ADJECTIVE) ||
            (of && is_part(p, i, SW_PART_CATION)))
            add_ion(s, p->part[i]);
        else if (!is_between(p, i))
            return;
    }
}

/* The first salt that the name names; a count of 0: none. */
static salt find_salt(const char *name)
{
    salt found = {.count = 0};
    char folded[SW_NAME_BYTES];
    sw_text_lower(name, folded, sizeof folded);
    parts p = take_apart(folded);
    for (size_t i = 0; i < p.count && !found.count; i++) {
        if (!is_part(&p, i, SW_PART_ANION) || is_part(&p, i + 1, SW_PART_FREE))
            continue;
        add_ahead(&found, &p, i);
        if (!found.count)
            add_behind(&found, &p, i);
        if (found.count)
            add_ion(&found, p.part[i]);
    }
    return found;
}

/* ---- Beside the product -------------------------------------------------- */

static bool holds(const sw_content *per_g, int component)
{
    if (component == SW_CARRIED_COUNT || per_g->amount[component] > 0.0)
        return true;
    int held = component < SW_N ? (int)sw_chelated_part((sw_component)component)
                                : SW_CARRIED_COUNT;
    return held != SW_CARRIED_COUNT && per_g->amount[held] > 0.0;
}

/* Whether it holds an ion that the salt is not of. */
static bool holds_others(const sw_content *per_g, const salt *s)
{
    for (size_t i = 0; i < sw_ion_words_count; i++) {
        int component = sw_ion_words_table[i].component;
        bool named = component >= SW_N || !(per_g->amount[component] > 0.0);
        for (size_t k = 0; k < s->count; k++)
            named = named || s->ions[k]->component == component;
        if (!named)
            return true;
    }
    return false;
}

/* The English noun of an ion. */
static void say_ion(const ion *one, char word[40])
{
    const char *words = one->words;
    for (size_t i = 0; i < sw_ion_words_count; i++)
        if (one->part == SW_PART_ADJECTIVE &&
            sw_ion_words_table[i].part == SW_PART_CATION &&
            sw_ion_words_table[i].component == one->component)
            words = sw_ion_words_table[i].words;
    (void)snprintf(word, 40, "%.*s", (int)strcspn(words, "|"), words);
}

sw_status sw_product_check_ions(const sw_product *product, const char *name,
                                sw_error *error)
{
    salt s = find_salt(name);
    char one[40], anion[40], lacking[40];
    for (size_t i = 0; i < s.count; i++) {
        if (holds(&product->per_g, s.ions[i]->component) ||
            (product->label && !holds_others(&product->per_g, &s)))
            continue;
        say_ion(s.ions[0], one);
        say_ion(s.ions[s.count - 1], anion);
        say_ion(s.ions[i], lacking);
        return sw_fail(error, SW_BAD_NAME_NOT_IONS, name, one, anion,
                       product->label ? product->label : product->formula,
                       lacking);
    }
    return SW_OK;
}
