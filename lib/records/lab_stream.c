/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Waters of a file in blocks.  Rows of a table with a sample in each are read
 * so many at a time, always the same number, and forgotten once they are
 * waters; so what a block holds has no part in what is made of a row.  Any
 * other layout puts samples together from all over the file, and is read whole.
 */
#include "records/lab.h"

#include "quantity/status.h"

#include <stdint.h>
#include <stdlib.h>

enum {
    READ_ROWS = 256 /* at once; a table's head is among the first of them */
};

struct sw_water_stream {
    sw_lab lab;
    sw_lab_wide *wide; /* NULL: the file is read whole */
    size_t next_row;   /* of the sheet, in `wide` */
    bool begun, found; /* found: a sample, or a defect */
    sw_status broken;  /* why no more can be read, with `error`; or SW_OK */
    sw_error error;
    sw_waters *held; /* read and not yet handed out, */
    size_t next;     /* from this one on */
};

sw_status sw_water_stream_new(FILE *stream, const char *name, const char *units,
                              sw_water_stream **waters, sw_error *error)
{
    SW_REQUIRE_FOR(waters, error, stream, name);
    sw_water_stream *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->lab.name = name;
    made->lab.tells_all = true; /* each of its sample, which has a row */
    sw_status status = sw_given_units_read(units, &made->lab.given, error);
    if (!status)
        status = sw_sheet_begin(stream, name, &made->lab.sheet, error);
    SW_GIVE(status, waters, made, sw_water_stream_free);
}

void sw_water_stream_free(sw_water_stream *stream)
{
    if (!stream)
        return;
    sw_waters_free(stream->held);
    sw_waters_free(stream->lab.waters);
    sw_lab_wide_free(stream->wide);
    sw_lab_clear(&stream->lab);
    free(stream);
}

/* ---- Reading ------------------------------------------------------------ */

/* What is said from here on is said of new waters. */
static sw_status renew_waters(sw_water_stream *s, sw_error *error)
{
    sw_waters_free(s->lab.waters);
    s->lab.waters = calloc(1, sizeof *s->lab.waters);
    return s->lab.waters ? SW_OK : sw_fail_memory(error);
}

static sw_status read_whole(sw_water_stream *s, sw_error *error)
{
    sw_status status = sw_sheet_more(&s->lab.sheet, SIZE_MAX, error);
    return status ? status : sw_lab_read(&s->lab, error);
}

/* Whether each row is a sample, as far as the first ones tell. */
static bool is_by_rows(sw_water_stream *s)
{
    sw_lab_table table;
    sw_lab *lab = &s->lab;
    if (lab->sheet.line_count == 0 || !sw_lab_find_table(lab, &table) ||
        table.is_long || lab->sheet.turned)
        return false;
    lab->streamed = true;
    s->wide = sw_lab_wide_new(lab, &table);
    s->next_row = table.row + 1;
    if (s->wide && sw_lab_wide_is_plain(s->wide))
        return true;
    sw_lab_wide_free(s->wide);
    s->wide = NULL;
    return false;
}

/* The layout is known once its first rows are there. */
static sw_status begin(sw_water_stream *s, sw_error *error)
{
    sw_lab *lab = &s->lab;
    s->begun = true;
    s->broken = sw_sheet_more(&lab->sheet, READ_ROWS, &s->error);
    lab->sheet.ended |= s->broken != SW_OK;
    if (lab->sheet.ended && !s->broken)
        sw_lab_cut_footnotes(&lab->sheet);
    if (is_by_rows(s)) {
        sw_csv_unbind(lab->sheet.reader);
        return SW_OK;
    }
    if (s->broken && error)
        *error = s->error;
    if (s->broken)
        return s->broken;
    lab->streamed = false;
    lab->sheet.turned = false;
    lab->unread[0] = '\0';
    lab->saying_count = 0;
    lab->unit[0] = '\0';
    return renew_waters(s, error);
}

/* The rows held, as waters; then they are let go. */
static sw_status take_rows(sw_water_stream *s, sw_error *error)
{
    sw_lab *lab = &s->lab;
    sw_error unclear;
    sw_lab_wide_take(s->wide, s->next_row);
    if (lab->is_late && !s->broken) {
        s->broken = lab->late.status;
        s->error = lab->late;
        lab->sheet.ended = true;
    }
    if (sw_csv_finish(lab->sheet.reader, &unclear) != SW_OK)
        sw_lab_blame(lab, SW_WHOLE_FILE, NULL, &unclear);
    sw_status status =
        lab->lost ? sw_fail_memory(error) : sw_lab_make_waters(lab, error);
    if (status)
        return status;
    s->found |= lab->waters->count || lab->waters->defect_count;
    if (lab->sheet.ended && !s->found && !s->broken)
        sw_lab_no_readings(lab);
    status = sw_lab_conclude(lab, error);
    s->next_row = sw_lab_wide_forget(s->wide);
    sw_lab_forget(lab);
    return status;
}

/* What stands before a place that cannot be read is waters all the same. */
static sw_status read_rows(sw_water_stream *s, sw_error *error)
{
    sw_sheet *sheet = &s->lab.sheet;
    sw_status status = sw_sheet_more(sheet, READ_ROWS, &s->error);
    if (!status)
        return SW_OK;
    s->broken = status;
    sheet->ended = true;
    if (sheet->line_count > s->next_row)
        return SW_OK;
    if (error)
        *error = s->error;
    return status;
}

static sw_status read_more(sw_water_stream *s, sw_error *error)
{
    bool first = !s->begun;
    sw_status status = renew_waters(s, error);
    if (!status)
        status = first ? begin(s, error) : read_rows(s, error);
    if (!status)
        status = s->wide ? take_rows(s, error) : read_whole(s, error);
    if (status)
        return status;
    s->held = s->lab.waters;
    s->lab.waters = NULL;
    s->next = 0;
    return SW_OK;
}

/* ---- Handing out -------------------------------------------------------- */

/* Defects of the samples of a block, and with its first those of all. */
static sw_status move_defects(sw_water_stream *s, sw_waters *block,
                              sw_error *error)
{
    const sw_waters *from = s->held;
    block->defects = calloc(from->defect_count + 1, sizeof *block->defects);
    if (!block->defects)
        return sw_fail_memory(error);
    for (size_t i = 0; i < from->defect_count; i++) {
        sw_water_defect defect = from->defects[i];
        bool of_all = defect.sample == SW_WHOLE_FILE;
        if (of_all ? s->next > 0
                   : defect.sample < s->next ||
                         defect.sample - s->next >= block->count)
            continue;
        if (!of_all)
            defect.sample -= s->next;
        block->defects[block->defect_count++] = defect;
    }
    return SW_OK;
}

/* Remarks, which tell how a file was understood, are not handed on. */
static sw_status hand_out(sw_water_stream *s, size_t most, sw_waters *block,
                          sw_error *error)
{
    size_t left = s->held->count - s->next;
    size_t count = left < most ? left : most;
    block->items = calloc(count + 1, sizeof *block->items);
    if (!block->items)
        return sw_fail_memory(error);
    block->count = count;
    sw_status status = move_defects(s, block, error);
    if (status) {
        block->count = 0;
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        block->items[i] = s->held->items[s->next + i];
        s->held->items[s->next + i] = (sw_water){.sample = NULL};
    }
    block->notes = s->held->notes;
    s->held->notes = (sw_notes){0};
    s->next += count;
    return SW_OK;
}

static bool is_spent(const sw_water_stream *s)
{
    return !s->held || s->next == s->held->count;
}

sw_status sw_water_stream_next(sw_water_stream *stream, size_t most,
                               sw_waters **block, sw_error *error)
{
    SW_REQUIRE_FOR(block, error, stream);
    sw_status status = SW_OK;
    bool news = false; /* a part without a sample may have defects */
    while (!status && !news && is_spent(stream) &&
           !(stream->begun && stream->lab.sheet.ended)) {
        sw_waters_free(stream->held);
        sw_waters_free(stream->lab.waters);
        stream->held = NULL;
        status = read_more(stream, error);
        news = !status && stream->held->defect_count > 0;
    }
    if (!status && !news && is_spent(stream) && stream->broken) {
        status = stream->broken;
        if (error)
            *error = stream->error;
    }
    if (status || (!news && is_spent(stream)))
        return status;
    sw_waters *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    status = hand_out(stream, most ? most : 1, made, error);
    SW_GIVE(status, block, made, sw_waters_free);
}
