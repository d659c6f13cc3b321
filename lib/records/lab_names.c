/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names and units of a report, each looked up once. */
#include "records/lab.h"

#include <stdlib.h>
#include <string.h>

/* djb2, of D. J. Bernstein (value from memory). */
size_t sw_lab_hash(size_t hash, const char *text)
{
    for (; *text; text++)
        hash = hash * 33 + (unsigned char)*text;
    return hash * 33;
}

static sw_lab_name *make_name(const char *name, const char *unit)
{
    size_t first = strlen(name) + 1;
    size_t second = strlen(unit) + 1;
    sw_lab_name *made = calloc(1, sizeof *made + first + second);
    if (!made)
        return NULL;
    made->name = memcpy((char *)(made + 1), name, first);
    made->unit = memcpy(made->name + first, unit, second);
    made->status = sw_measure_find(name, unit, &made->measure, &made->error);
    made->open = made->status == SW_ERR_NAME &&
                 sw_parameter_known(name) == SW_KNOWN_OPEN;
    return made;
}

static const sw_lab_name *look_up(sw_lab *lab, const char *name,
                                  const char *unit)
{
    sw_lab_name **at = &lab->names[sw_lab_hash(sw_lab_hash(5381, name), unit) %
                                   SW_LAB_BUCKETS];
    for (; *at; at = &(*at)->next)
        if (!strcmp((*at)->name, name) && !strcmp((*at)->unit, unit))
            return *at;
    *at = make_name(name, unit);
    lab->name_count++;
    lab->lost |= !*at;
    return *at;
}

/* What says too little is taken as somebody states it. */
const sw_lab_name *sw_lab_look_up(sw_lab *lab, const char *name,
                                  const char *unit)
{
    const sw_lab_name *found = look_up(lab, name, unit);
    const sw_given_meaning *stated =
        found && found->status != SW_OK ? sw_given_meaning_of(&lab->given, name)
                                        : NULL;
    if (!stated)
        return found;
    const sw_lab_name *settled =
        look_up(lab, *stated->means ? stated->means : name,
                *stated->unit ? stated->unit : unit);
    return settled && settled->status == SW_OK ? settled : found;
}

static size_t memo_bucket(const char *words)
{
    return sw_lab_hash(5381, words) % SW_LAB_BUCKETS;
}

const sw_lab_memo *sw_lab_recall(const sw_lab *lab, const char *words)
{
    for (const sw_lab_memo *m = lab->memos[memo_bucket(words)]; m; m = m->next)
        if (!strcmp(m->words, words))
            return m;
    return NULL;
}

void sw_lab_keep(sw_lab *lab, const char *words, const sw_lab_name *name,
                 bool names_unit)
{
    size_t size = strlen(words) + 1;
    sw_lab_memo **bucket = &lab->memos[memo_bucket(words)];
    sw_lab_memo *made = malloc(sizeof *made + size);
    lab->lost |= !made;
    if (!made)
        return;
    made->words = memcpy((char *)(made + 1), words, size);
    made->name = name;
    made->names_unit = names_unit;
    made->next = *bucket;
    *bucket = made;
    lab->name_count++;
}

void sw_lab_free_names(sw_lab *lab)
{
    for (size_t i = 0; i < SW_LAB_BUCKETS; i++) {
        for (sw_lab_name *at = lab->names[i], *next; at; at = next) {
            next = at->next;
            free(at);
        }
        for (sw_lab_memo *at = lab->memos[i], *next; at; at = next) {
            next = at->next;
            free(at);
        }
        lab->names[i] = NULL;
        lab->memos[i] = NULL;
    }
    lab->name_count = 0;
}
