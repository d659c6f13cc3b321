/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings of a sample beside each other: what a name left open means, totals
 * beside what is dissolved, parts that add up.  And samples of one name.
 */
#include "records/lab.h"

#include "table_refusals.h"

#include <stdlib.h>
#include <string.h>

static void drop(sw_lab_sample *sample, size_t index)
{
    memmove(&sample->readings[index], &sample->readings[index + 1],
            (--sample->count - index) * sizeof *sample->readings);
}

static int slot_of(const sw_lab_reading *r)
{
    return r->name->open ? SW_SLOT_COUNT
                         : sw_slot_of(&r->name->measure.parameter);
}

/* What a name left open could mean, where the sample has that apart. */
static bool is_given_apart(const sw_lab_sample *sample, const char *open)
{
    sw_parameter first;
    if (!sw_parameter_may_be(open, &first))
        return false;
    for (size_t i = 0; i < sample->count; i++)
        if (slot_of(&sample->readings[i]) == sw_slot_of(&first))
            return true;
    return false;
}

static void settle_open(sw_lab *lab, size_t index)
{
    sw_lab_sample *sample = &lab->samples[index];
    for (size_t i = sample->count; i-- > 0;) {
        const sw_lab_reading *r = &sample->readings[i];
        if (!r->name->open)
            continue;
        if (is_given_apart(sample, r->name->name))
            sw_lab_remark(lab, index, r->cell,
                          "could mean more than one thing, one of which is "
                          "given apart; ignored");
        else
            sw_lab_blame_name(lab, index, r->cell, r->name);
        drop(sample, i);
    }
}

/* One of which a reading without a word on filtering is of the whole: phosphate
 * beside dissolved phosphorus is not. */
static bool is_trace(const sw_lab_reading *r)
{
    sw_component c = r->name->measure.parameter.component;
    return r->name->measure.parameter.kind == SW_READS_COMPONENT && c != SW_P &&
           c != SW_S && c != SW_NO3_N && c != SW_NH4_N && c != SW_UREA_N;
}

/* Why the second of two readings goes without; NULL: it does not.  A sample
 * loses CO2 on the way to the laboratory, which has its meters at 25 degC
 * (Standard Methods 4500-H+ and 2510, values from memory). */
static const char *superseded_by(const sw_lab *lab, const sw_lab_reading *a,
                                 const sw_lab_reading *b)
{
    int slot = slot_of(a);
    bool here = b->fraction == SW_FRACTION_FIELD;
    bool there = a->fraction == SW_FRACTION_FIELD;
    if (slot == (int)SW_NO3_N && slot_of(b) == SW_SLOT_NO3_NO2)
        return "nitrate is given apart; ignored";
    if (slot == SW_SLOT_EC && slot_of(b) == SW_SLOT_EC_20)
        return "the EC at 25 degC is given too, and used";
    if (slot == SW_SLOT_COUNT || slot != slot_of(b))
        return NULL;
    if (slot == SW_SLOT_EC && here && !there)
        return "measured in the field; the laboratory's is used";
    if ((slot == SW_SLOT_PH || slot == SW_SLOT_TEMPERATURE) && there && !here)
        return "the one measured in the field is used";
    if (a->fraction == SW_FRACTION_DISSOLVED &&
        (b->fraction == SW_FRACTION_TOTAL ||
         (b->fraction == SW_FRACTION_UNSAID && is_trace(b))))
        return "the total; what is dissolved is used";
    bool again = lab->archive && a < b && a->name == b->name &&
                 a->fraction == b->fraction &&
                 a->reading.value == b->reading.value &&
                 a->reading.below_detection == b->reading.below_detection;
    return again ? "the same reading again; ignored" : NULL;
}

static void drop_superseded(sw_lab *lab, size_t index)
{
    sw_lab_sample *sample = &lab->samples[index];
    for (size_t k = sample->count; k-- > 0;)
        for (size_t i = 0; i < sample->count; i++) {
            const sw_lab_reading *r = &sample->readings[k];
            const char *why =
                i == k ? NULL : superseded_by(lab, &sample->readings[i], r);
            if (!why)
                continue;
            sw_lab_remark(lab, index, r->cell, "%s", why);
            drop(sample, k);
            break;
        }
}

/* Which part of an element a reading is of, of those that are reported apart
 * and add up: a valency, an ion of phosphate; "" the whole, or not said. */
static const char *part_of(const sw_lab_reading *r)
{
    static const struct {
        const char *part, *words;
    } parts[] = {{"II", "2+|++|+2|II|ferrous|manganous"},
                 {"III", "3+|+++|+3|III|ferric|manganic"},
                 {"IV", "4+|IV"}};
    const sw_parameter *p = &r->name->measure.parameter;
    if (p->component == SW_P)
        return sw_same_name(p->name, "PO4") || sw_same_name(p->name, "HPO4") ||
                       sw_same_name(p->name, "H2PO4")
                   ? p->name
                   : "";
    bool varies = p->component == SW_FE || p->component == SW_MN;
    for (size_t i = 0; varies && i < sizeof parts / sizeof *parts; i++)
        if (sw_lab_ends_in(r->name->name, parts[i].words))
            return parts[i].part;
    return "";
}

static void ask_parts(sw_lab *lab, size_t index)
{
    const sw_lab_sample *s = &lab->samples[index];
    for (size_t i = 0; i < s->count; i++)
        for (size_t k = 0; k < i; k++) {
            const sw_lab_reading *a = &s->readings[k];
            const sw_lab_reading *b = &s->readings[i];
            if (slot_of(a) == SW_SLOT_COUNT || slot_of(a) != slot_of(b))
                continue;
            const char *one = part_of(a);
            const char *other = part_of(b);
            if (*one && *other && strcmp(one, other) != 0)
                sw_lab_defect(
                    lab, index, b->cell, SW_BAD_LAB_PARTS, b->cell->text,
                    a->cell->text,
                    sw_component_name(b->name->measure.parameter.component));
        }
}

/* Whether `part`, nitrate, is more than `sum`, it and nitrite. */
static bool is_below_part(const sw_lab_reading *sum, const sw_lab_reading *part)
{
    double whole = sum->name->measure.scale * sum->reading.value;
    double given = part->name->measure.scale * part->reading.value;
    return slot_of(sum) == SW_SLOT_NO3_NO2 && slot_of(part) == (int)SW_NO3_N &&
           !sum->reading.below_detection && !part->reading.below_detection &&
           whole < 0.9 * given;
}

/* Laboratories that share an archive may disagree; one does not with itself. */
static void ask_sums(sw_lab *lab, size_t index)
{
    const sw_lab_sample *s = &lab->samples[index];
    for (size_t i = 0; i < s->count && !lab->archive; i++)
        for (size_t k = 0; k < s->count; k++)
            if (is_below_part(&s->readings[i], &s->readings[k]))
                sw_lab_defect(
                    lab, index, s->readings[i].cell, SW_BAD_LAB_PART_EXCEEDS,
                    s->readings[i].cell->text, s->readings[k].cell->text);
}

void sw_lab_settle(sw_lab *lab, size_t index)
{
    settle_open(lab, index);
    ask_parts(lab, index);
    ask_sums(lab, index);
    drop_superseded(lab, index);
}

/* ---- Samples of one name ------------------------------------------------ */

static int by_name(const void *a, const void *b)
{
    const sw_lab_sample *const *first = a;
    const sw_lab_sample *const *second = b;
    return strcmp((*first)->name, (*second)->name);
}

/* The time of day in the key of a sample, "well|2024-05-01T09:30|10:30". */
static const char *time_in(const char *key)
{
    const char *time = strrchr(key, '|');
    const char *date = time ? strpbrk(key, "|") + 1 : "";
    size_t day = strcspn(date, "T |");
    if (time && time[1])
        return time + 1;
    return time && date[day] && date[day] != '|' ? date + day + 1 : "";
}

static void add_time(sw_lab *lab, sw_lab_sample *sample)
{
    const char *time = time_in(sample->key);
    size_t size = strlen(sample->name) + strlen(time) + 2;
    char *name = *time ? malloc(size) : NULL;
    lab->lost |= *time && !name;
    if (!name)
        return;
    (void)snprintf(name, size, "%s %.*s", sample->name, (int)strcspn(time, "|"),
                   time);
    free(sample->name);
    sample->name = name;
}

void sw_lab_tell_apart(sw_lab *lab)
{
    size_t count = lab->streamed ? 0 : lab->sample_count;
    sw_lab_sample **sorted = calloc(count + 1, sizeof(sw_lab_sample *));
    lab->lost |= !sorted;
    if (!sorted)
        return;
    for (size_t i = 0; i < count; i++)
        sorted[i] = &lab->samples[i];
    if (count)
        qsort(sorted, count, sizeof(sw_lab_sample *), by_name);
    for (size_t i = 0, end; i < count; i = end) {
        for (end = i + 1;
             end < count && !strcmp(sorted[end]->name, sorted[i]->name);)
            end++;
        for (size_t k = i; k < end && end > i + 1; k++)
            add_time(lab, sorted[k]);
    }
    free(sorted);
}
