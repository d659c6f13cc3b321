/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Samples of a report while they are gathered; what is wrong and what was left
 * out; and the waters they become.
 */
#include "records/lab.h"

#include "quantity/status.h"
#include "quantity/text.h"
#include "records/water.h"
#include "table_refusals.h"
#include "table_words.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_REMARKS = 20000 };

/* ---- What is said ------------------------------------------------------- */

static void add_defect(sw_lab *lab, size_t sample, const sw_error *error)
{
    sw_waters *w = lab->waters;
    if (w->defect_count >= SW_MAX_DEFECTS && !lab->tells_all) {
        lab->defects_untold++;
        if (sample == SW_WHOLE_FILE)
            lab->untold_of_file = true;
        else
            lab->samples[sample].unsound = true;
        return;
    }
    sw_water_defect *grown =
        sw_grow(w->defects, w->defect_count, sizeof *grown);
    lab->lost |= !grown;
    if (!grown)
        return;
    w->defects = grown;
    w->defects[w->defect_count++] =
        (sw_water_defect){.sample = sample, .error = *error};
}

void sw_lab_blame(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                  const sw_error *error)
{
    sw_error placed = *error;
    if (cell) {
        const sw_place place =
            cell->line ? sw_csv_place_in(lab->sheet.reader, cell, error->column)
                       : (sw_place){lab->name, 0, 0};
        placed.line = place.line;
        placed.column = place.column;
    }
    (void)snprintf(placed.file, sizeof placed.file, "%s", lab->name);
    add_defect(lab, sample, &placed);
}

void sw_lab_blame_name(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                       const sw_lab_name *name)
{
    size_t before = lab->waters->defect_count;
    sw_lab_blame(lab, sample, cell, &name->error);
    if (lab->waters->defect_count == before)
        return;
    sw_water_defect *defect = &lab->waters->defects[before];
    if (name->open)
        sw_name_choices(name->name, defect->choices, sizeof defect->choices);
    else if (*name->unit)
        sw_unit_choices(name->name, &name->measure.parameter, defect->choices,
                        sizeof defect->choices);
}

void sw_lab_blame_near(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                       const char *name)
{
    sw_error error;
    sw_parameter found;
    if (sw_parameter_find(name, &found, &error))
        sw_lab_blame(lab, sample, cell, &error);
    else if (sample == SW_WHOLE_FILE) /* the name is known, what is by it not */
        sw_lab_defect(lab, sample, cell, SW_BAD_LAB_COLUMN_NEAR, cell->text,
                      name);
    else
        sw_lab_defect(lab, sample, cell, SW_BAD_LAB_ROW_NEAR, cell->text, name);
}

void sw_lab_defect(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                   sw_status status, const char *format, ...)
{
    va_list args;
    sw_error error = {.status = status};
    va_start(args, format);
    (void)vsnprintf(error.message, sizeof error.message, format, args);
    va_end(args);
    sw_text_mend(error.message);
    sw_lab_blame(lab, sample, cell, &error);
}

static void remark(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                   const char *written, const char *format, va_list args)
{
    char text[256];
    sw_waters *w = lab->waters;
    if (w->remark_count >= MOST_REMARKS)
        return;
    sw_water_remark *grown =
        sw_grow(w->remarks, w->remark_count, sizeof *grown);
    lab->lost |= !grown;
    if (!grown)
        return;
    w->remarks = grown;
    (void)vsnprintf(text, sizeof text, format, args);
    sw_water_remark *r = &w->remarks[w->remark_count++];
    *r = (sw_water_remark){sample, cell ? cell->line : 0,
                           cell ? cell->column : 0, sw_copy_text(written),
                           sw_copy_text(text)};
    lab->lost |= !r->written || !r->taken_as;
}

void sw_lab_remark(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                   const char *format, ...)
{
    va_list args;
    va_start(args, format);
    remark(lab, sample, cell, cell->text, format, args);
    va_end(args);
}

void sw_lab_remark_of(sw_lab *lab, size_t sample, const sw_csv_cell *cell,
                      const char *written, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    remark(lab, sample, cell, written, format, args);
    va_end(args);
}

void sw_lab_list(char *list, size_t size, const char *name)
{
    size_t used = strlen(list);
    if (strstr(list, name))
        return;
    if (used + strlen(name) + 8 < size)
        sw_text_add(list, size, "%s%s", used ? ", " : "", name);
    else if (used && !strstr(list, ", ..."))
        sw_text_add(list, size, ", ...");
}

void sw_lab_unread(sw_lab *lab, const char *name)
{
    if (lab->archive)
        return;
    sw_lab_list(sw_lab_is_other_ec(name) ? lab->other_ec : lab->unread,
                sizeof lab->unread, name);
}

static void note_list(sw_lab *lab, const char *list, const char *code,
                      const char *before, const char *after)
{
    sw_note note = {.severity = SW_INFO, .about = SW_ABOUT_FILE};
    if (!*list)
        return;
    (void)snprintf(note.code, sizeof note.code, "%s", code);
    (void)snprintf(note.text, sizeof note.text, "%s: %s (%.120s); %s.", before,
                   list, lab->name, after);
    lab->lost |= sw_notes_bounded(&lab->waters->notes, &note) != SW_OK;
}

static void note_lists(sw_lab *lab)
{
    note_list(lab, lab->unread, "not-read",
              "not known as parameters, so not read",
              "give a reading among them its usual name");
    note_list(
        lab, lab->other_ec, "ec-other-degrees",
        "a conductivity at other degrees than 25 or 20, so not read",
        "convert it to 25 degC, about 2 % a degree (common practice), and "
        "head it EC");
    note_list(lab, lab->bare, "no-reading",
              "left out, without a single reading",
              "write what was measured of a sample, or take its row away");
    note_list(lab, lab->marks, "mark-unknown",
              "taken as measured beside a mark that is not known",
              "where the mark means not detected, write <LIMIT, such as <0.05");
    note_list(lab, lab->at_limit, "at-limit",
              "taken as measured though not above the limit beside it",
              "where it was not detected, write <LIMIT, such as <0.05");
}

static void note_left(sw_lab *lab)
{
    note_list(lab, lab->left, "not-of-water",
              "left out as limits, controls or sums, not waters",
              "give a water among them another name");
    note_list(lab, lab->foreign, "not-of-water",
              "left out, for their rows say that they are of no water",
              "where one is, correct that");
    lab->left[0] = lab->foreign[0] = '\0';
}

static void note_apart(sw_lab *lab)
{
    sw_note note = {
        .severity = SW_INFO, .about = SW_ABOUT_FILE, .code = "not-of-water"};
    if (!lab->apart)
        return;
    (void)snprintf(
        note.text, sizeof note.text,
        "%zu reading%s left out as not of the water: a blank or "
        "control, a limit, soil, sediment, a rejected result (%.200s).",
        lab->apart, lab->apart == 1 ? "" : "s", lab->name);
    lab->lost |= sw_notes_bounded(&lab->waters->notes, &note) != SW_OK;
}

/* ---- Samples ------------------------------------------------------------ */

/* "data/well.csv" names the sample "well". */
static char *sample_of_file(const char *name)
{
    const char *slash = strrchr(name, '/');
    char *sample = sw_copy_text(slash && slash[1] ? slash + 1 : name);
    size_t length = sample ? strlen(sample) : 0;
    if (length > 4 && sw_same_name(sample + length - 4, ".csv"))
        sample[length - 4] = '\0';
    return sample;
}

static bool make_sample_room(sw_lab *lab)
{
    sw_lab_sample *grown =
        sw_grow(lab->samples, lab->sample_count, sizeof *grown);
    if (grown)
        lab->samples = grown;
    return grown;
}

size_t sw_lab_sample_of(sw_lab *lab, const char *key, const char *name,
                        unsigned long line)
{
    if (!lab->buckets)
        lab->buckets = calloc(SW_LAB_SAMPLE_BUCKETS, sizeof *lab->buckets);
    size_t *bucket =
        lab->buckets
            ? &lab->buckets[sw_lab_hash(5381, key) % SW_LAB_SAMPLE_BUCKETS]
            : NULL;
    for (size_t i = bucket ? *bucket : 0; i; i = lab->samples[i - 1].next)
        if (!strcmp(lab->samples[i - 1].key, key))
            return i - 1;
    sw_lab_sample made = {.key = sw_copy_text(key), .line = line};
    made.name = *name ? sw_copy_text(name) : sample_of_file(lab->name);
    if (!bucket || !made.key || !made.name || !make_sample_room(lab)) {
        SW_FREE(made.key, made.name);
        lab->lost = true;
        return SW_WHOLE_FILE;
    }
    sw_text_mend(made.name);
    made.next = *bucket;
    lab->samples[lab->sample_count] = made;
    *bucket = ++lab->sample_count;
    return lab->sample_count - 1;
}

void sw_lab_add(sw_lab *lab, size_t sample, const sw_lab_reading *reading)
{
    if (sample == SW_WHOLE_FILE)
        return;
    sw_lab_sample *s = &lab->samples[sample];
    sw_lab_reading *grown = sw_grow(s->readings, s->count, sizeof *grown);
    lab->lost |= !grown;
    if (!grown)
        return;
    s->readings = grown;
    s->readings[s->count] = *reading;
    s->readings[s->count].reading.parameter = reading->name->name;
    s->readings[s->count++].reading.unit = reading->name->unit;
}

void sw_lab_hear_kind(sw_lab *lab, size_t sample, const char *kind)
{
    if (sample == SW_WHOLE_FILE || !sw_word_within(kind, SW_WORD_FED))
        return;
    char *fed = lab->samples[sample].fed;
    (void)snprintf(fed, sizeof lab->samples[sample].fed, "%.39s", kind);
    sw_text_mend(fed);
}

/* ---- Waters ------------------------------------------------------------- */

typedef struct told {
    sw_lab *lab;
    size_t index, item; /* the same sample: as gathered, and as a water */
} told;

static void tell(void *context, const sw_error *error)
{
    const told *t = context;
    t->lab->samples[t->index].unsound = true;
    sw_lab_blame(t->lab, t->item, NULL, error);
}

/* Readings and measures of a sample side by side; false: no memory. */
static bool spread(const sw_lab_sample *s, sw_reading **readings,
                   sw_measure **measures)
{
    *readings = calloc(s->count + 1, sizeof **readings);
    *measures = calloc(s->count + 1, sizeof **measures);
    if (!*readings || !*measures)
        return false;
    for (size_t i = 0; i < s->count; i++) {
        (*readings)[i] = s->readings[i].reading;
        (*measures)[i] = s->readings[i].name->measure;
    }
    return true;
}

static bool is_wrong(const sw_waters *waters, size_t item)
{
    for (size_t i = 0; i < waters->defect_count; i++)
        if (waters->defects[i].sample == item)
            return true;
    return false;
}

/* Main ions that are listed without a value, and nowhere with one. */
static sw_status note_blank(const sw_lab *lab, const sw_lab_sample *s,
                            sw_notes *notes)
{
    static const sw_component main_ions[] = {SW_CA, SW_MG, SW_K,    SW_NA,
                                             SW_S,  SW_CL, SW_NO3_N};
    char list[96] = "";
    for (size_t i = 0; i < sizeof main_ions / sizeof *main_ions; i++) {
        bool blank = s->blank[main_ions[i]];
        for (size_t k = 0; k < s->count && blank; k++) {
            const sw_parameter *p = &s->readings[k].name->measure.parameter;
            blank =
                p->kind != SW_READS_COMPONENT || p->component != main_ions[i];
        }
        if (blank)
            sw_text_join(list, sizeof list, ", ", "%s",
                         sw_component_name(main_ions[i]));
    }
    return *list ? sw_notes_add(notes, SW_SAY_WATER_LISTED_BLANK, s->name, list,
                                lab->name)
                 : SW_OK;
}

/* What is found of a sample with a defect, such as what is not reported, may
 * come of the defect, and is not said. */
static sw_status make_water(sw_lab *lab, size_t index, sw_error *error)
{
    sw_notes unsaid = {0};
    sw_reading *readings;
    sw_measure *measures;
    const sw_lab_sample *s = &lab->samples[index];
    sw_waters *w = lab->waters;
    told context = {lab, index, w->count};
    const sw_told told_to = {tell, &context};
    sw_status status =
        spread(s, &readings, &measures) ? SW_OK : sw_fail_memory(error);
    const sw_gathered gathered = {s->name,  lab->name, s->fed,
                                  readings, measures,  s->count};
    sw_notes *notes = is_wrong(w, w->count) ? &unsaid : &w->notes;
    if (!status)
        status = note_blank(lab, s, notes) ? sw_fail_memory(error) : SW_OK;
    if (!status)
        status =
            sw_water_of(&w->items[w->count], &gathered, notes, &told_to, error);
    sw_notes_free(&unsaid);
    w->items[w->count].unsound = s->unsound;
    w->count += status == SW_OK;
    SW_FREE(readings, measures);
    return status;
}

/* Remarks and defects name samples as they were gathered; those of samples of
 * which nothing is said are left out. */
static void renumber(sw_lab *lab, const size_t *items)
{
    sw_waters *w = lab->waters;
    for (size_t i = 0; i < w->remark_count; i++)
        if (w->remarks[i].sample != SW_WHOLE_FILE)
            w->remarks[i].sample = items[w->remarks[i].sample];
    for (size_t i = 0; i < w->defect_count; i++)
        if (w->defects[i].sample != SW_WHOLE_FILE)
            w->defects[i].sample = items[w->defects[i].sample];
}

/* The place of each sample among the waters; SW_WHOLE_FILE: it is none. */
static void place_samples(sw_lab *lab, size_t *items)
{
    size_t kept = 0;
    const sw_waters *w = lab->waters;
    for (size_t i = 0; i < lab->sample_count; i++) {
        sw_lab_settle(lab, i);
        items[i] = lab->samples[i].count > 0 || lab->samples[i].unsound;
    }
    for (size_t i = 0; i < w->defect_count; i++)
        if (w->defects[i].sample != SW_WHOLE_FILE)
            items[w->defects[i].sample] = true;
    for (size_t i = 0; i < lab->sample_count; i++)
        items[i] = items[i] ? kept++ : SW_WHOLE_FILE;
    renumber(lab, items);
}

sw_status sw_lab_make_waters(sw_lab *lab, sw_error *error)
{
    sw_status status = SW_OK;
    sw_waters *w = lab->waters;
    sw_lab_ask_said(lab);
    sw_lab_tell_apart(lab);
    size_t *items = calloc(lab->sample_count + 1, sizeof *items);
    w->items = calloc(lab->sample_count + 1, sizeof *w->items);
    if (!items || !w->items) {
        free(items);
        return sw_fail_memory(error);
    }
    place_samples(lab, items);
    for (size_t i = 0; !status && i < lab->sample_count; i++)
        if (items[i] != SW_WHOLE_FILE)
            status = make_water(lab, i, error);
    free(items);
    return status;
}

/* ---- The whole ---------------------------------------------------------- */

static void fail_empty(sw_lab *lab)
{
    sw_lab_defect(lab, SW_WHOLE_FILE, NULL, SW_BAD_WATER_EMPTY);
}

void sw_lab_no_readings(sw_lab *lab)
{
    if (lab->apart) {
        sw_lab_defect(lab, SW_WHOLE_FILE, NULL, SW_BAD_WATER_ALL_CHECKS,
                      lab->apart);
        return;
    }
    sw_lab_defect(lab, SW_WHOLE_FILE, NULL, SW_BAD_WATER_NO_READINGS);
}

static void say_encoding(sw_lab *lab)
{
    sw_encoding encoding = sw_csv_encoding(lab->sheet.reader);
    if (encoding != SW_UTF_8)
        sw_lab_remark_of(lab, SW_WHOLE_FILE, NULL, sw_encoding_name(encoding),
                         "the encoding of the file, told by its bytes");
}

static void read_table(sw_lab *lab)
{
    sw_lab_table table;
    sw_error error;
    if (!sw_lab_find_table(lab, &table))
        return;
    if (table.is_long)
        sw_lab_read_long(lab, &table);
    else
        sw_lab_read_wide(lab, &table);
    if (sw_csv_finish(lab->sheet.reader, &error) != SW_OK)
        sw_lab_blame(lab, SW_WHOLE_FILE, NULL, &error);
}

static int by_place(const void *a, const void *b)
{
    const sw_error *first = &((const sw_water_defect *)a)->error;
    const sw_error *second = &((const sw_water_defect *)b)->error;
    if (first->line != second->line)
        return first->line < second->line ? -1 : 1;
    return (first->column > second->column) - (first->column < second->column);
}

/* In the order of the file, and how many had no room. */
static void sort_defects(sw_lab *lab)
{
    sw_waters *w = lab->waters;
    if (w->defect_count)
        qsort(w->defects, w->defect_count, sizeof *w->defects, by_place);
    if (lab->defects_untold == 0)
        return;
    sw_error *last = &w->defects[w->defect_count - 1].error;
    *last = (sw_error){.status = SW_ERR_LIMIT};
    if (lab->untold_of_file)
        w->defects[w->defect_count - 1].sample = SW_WHOLE_FILE;
    (void)snprintf(last->file, sizeof last->file, "%s", lab->name);
    (void)snprintf(last->message, sizeof last->message,
                   "%zu further defects are left out; correct these first",
                   lab->defects_untold + 1);
}

sw_status sw_lab_conclude(sw_lab *lab, sw_error *error)
{
    note_lists(lab);
    note_apart(lab);
    note_left(lab);
    lab->unread[0] = lab->marks[0] = lab->at_limit[0] = '\0';
    lab->apart = 0;
    if (lab->lost)
        return sw_fail_memory(error);
    sort_defects(lab);
    return SW_OK;
}

sw_status sw_lab_read(sw_lab *lab, sw_error *error)
{
    sw_lab_cut_footnotes(&lab->sheet);
    if (lab->sheet.line_count == 0)
        fail_empty(lab);
    else
        read_table(lab);
    say_encoding(lab);
    sw_status status =
        lab->lost ? sw_fail_memory(error) : sw_lab_make_waters(lab, error);
    if (!status && lab->waters->count == 0 && lab->waters->defect_count == 0)
        sw_lab_no_readings(lab);
    return status ? status : sw_lab_conclude(lab, error);
}

static void free_samples(sw_lab *lab)
{
    for (size_t i = 0; i < lab->sample_count; i++) {
        SW_FREE(lab->samples[i].key, lab->samples[i].name,
                lab->samples[i].readings);
    }
    lab->sample_count = 0;
}

void sw_lab_forget(sw_lab *lab)
{
    free_samples(lab);
    lab->saying_count = lab->title_count;
    if (lab->buckets)
        memset(lab->buckets, 0, SW_LAB_SAMPLE_BUCKETS * sizeof *lab->buckets);
    if (lab->name_count > SW_LAB_BUCKETS)
        sw_lab_free_names(lab);
}

void sw_lab_clear(sw_lab *lab)
{
    free_samples(lab);
    sw_lab_free_names(lab);
    sw_sheet_clear(&lab->sheet);
    sw_given_units_clear(&lab->given);
    SW_FREE(lab->samples, lab->buckets);
}
