/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A water put together from converted readings: each goes to its slot, where
 * a second reading of the same thing must agree with the first.  What the
 * slots say together is water_combine.c; what is improbable, water_doubt.c.
 */
#include "records/water_build.h"

#include "records/table.h"
#include "records/water.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <stdarg.h>

/* Two readings of one thing agree within this share of the larger. */
static const double agreement = 0.05;
/* More mg in a litre of water than anything can be. */
static const double most_mg_per_l = 1e6;

/* The unit alone, for measure->parameter. */
static sw_status find_unit(sw_measure *measure, const char *unit,
                           sw_error *error)
{
    double at_zero = 0.0;
    double at_one = 0.0;
    const sw_parameter *p = &measure->parameter;
    sw_status status = sw_reading_convert(p, 0.0, unit, &at_zero, error);
    if (!status)
        status = sw_reading_convert(p, 1.0, unit, &at_one, error);
    measure->offset = at_zero;
    measure->scale = at_one - at_zero;
    return status;
}

sw_status sw_measure_find(const char *parameter, const char *unit,
                          sw_measure *measure, sw_error *error)
{
    sw_status status =
        sw_parameter_find_in(parameter, unit, &measure->parameter, error);
    return status ? status : find_unit(measure, unit, error);
}

sw_status sw_notes_bounded(sw_notes *notes, const sw_note *note)
{
    const sw_notes one = {(sw_note *)note, 1};
    if (notes->count >= SW_MAX_NOTES)
        return SW_OK;
    if (notes->count == SW_MAX_NOTES - 1)
        return sw_notes_add(notes, SW_SAY_NOTES_LEFT_OUT);
    return sw_notes_append(notes, &one);
}

void sw_builder_note(sw_builder *builder, sw_severity severity,
                     const char *code, const char *format, ...)
{
    va_list args;
    sw_note note = {.severity = severity};
    (void)snprintf(note.code, sizeof note.code, "%s", code);
    va_start(args, format);
    (void)vsnprintf(note.text, sizeof note.text, format, args);
    va_end(args);
    (void)sw_notes_bounded(builder->notes, &note);
}

sw_status sw_builder_fail(const sw_builder *builder, const sw_reading *reading,
                          sw_status status, const char *format, ...)
{
    va_list args;
    char text[sizeof builder->error->message];
    const sw_place place = {builder->water->file, reading->line,
                            reading->column};
    va_start(args, format);
    (void)vsnprintf(text, sizeof text, format, args);
    va_end(args);
    return sw_fail_at(builder->error, &place, status, "%s", text);
}

/* ---- One reading ------------------------------------------------------- */

static sw_status check_value(const sw_builder *b, const sw_reading *r)
{
    bool scale_free = r->kind == SW_READS_PH || r->kind == SW_READS_TEMPERATURE;
    if (r->below_detection && scale_free)
        return sw_builder_fail(b, r, SW_BAD_READING_BELOW_DETECTION,
                               r->parameter,
                               r->kind == SW_READS_PH ? "7.2" : "14");
    if (r->value < 0.0 && r->kind == SW_READS_ALKALINITY)
        return sw_builder_fail(b, r, SW_BAD_READING_ACID, r->parameter,
                               r->value);
    if (r->value < 0.0 && r->kind != SW_READS_TEMPERATURE)
        return sw_builder_fail(b, r, SW_BAD_READING_NEGATIVE, r->parameter,
                               r->value);
    return SW_OK;
}

static sw_status check_amount(const sw_builder *b, const sw_reading *r,
                              double amount)
{
    if (r->kind == SW_READS_PH && amount > 14.0)
        return sw_builder_fail(b, r, SW_BAD_READING_PH, amount);
    if (r->kind == SW_READS_TEMPERATURE && (amount < -10.0 || amount > 100.0))
        return sw_builder_fail(b, r, SW_BAD_READING_TEMPERATURE, amount);
    if (!(amount <= most_mg_per_l))
        return sw_builder_fail(b, r, SW_BAD_READING_OVER_LITRE, r->parameter,
                               r->value, r->unit);
    return SW_OK;
}

/* "HCO3", "HCO3 as CaCO3", "bicarbonate alkalinity"; CO3, OH likewise. */
static int slot_of_part(const char *name)
{
    if (*name == 'H' || *name == 'b')
        return SW_SLOT_HCO3;
    return *name == 'O' ? SW_SLOT_OH : SW_SLOT_CO3;
}

int sw_slot_of(const sw_parameter *p)
{
    switch (p->kind) {
    case SW_READS_COMPONENT:
        return p->partial ? SW_SLOT_NO3_NO2 : (int)p->component;
    case SW_READS_ALKALINITY:
        return p->partial ? slot_of_part(p->name) : SW_SLOT_ALKALINITY;
    case SW_READS_HARDNESS:
        return SW_SLOT_HARDNESS;
    case SW_READS_CA_HARDNESS:
        return SW_SLOT_CA_HARDNESS;
    case SW_READS_PH:
        return SW_SLOT_PH;
    case SW_READS_EC:
        return p->partial ? SW_SLOT_EC_20 : SW_SLOT_EC;
    case SW_READS_TDS:
        return SW_SLOT_TDS;
    case SW_READS_TEMPERATURE:
        return SW_SLOT_TEMPERATURE;
    default:
        return SW_SLOT_COUNT;
    }
}

double sw_half_last_digit(double value)
{
    double unit = 1.0;
    for (int decimals = 0; decimals < 6; decimals++, unit /= 10.0) {
        double steps = value / unit;
        if (fabs(steps - round(steps)) < 1e-6)
            break;
    }
    return unit / 2.0;
}

/* ---- Two readings ------------------------------------------------------ */

static sw_status fail_repeated(const sw_builder *b, const sw_slot *first,
                               const sw_reading *r)
{
    return sw_builder_fail(b, r, SW_BAD_READING_AGAIN, r->parameter,
                           *r->unit ? " in " : "", r->unit,
                           first->reading->line, first->reading->column);
}

static sw_status fail_contrary(const sw_builder *b, const sw_slot *first,
                               const sw_slot *second)
{
    const sw_reading *f = first->reading;
    const sw_reading *r = second->reading;
    return sw_builder_fail(b, r, SW_BAD_READING_CONTRADICTS, r->parameter,
                           r->value, r->unit, f->parameter, f->value, f->unit,
                           f->line, f->column, second->amount, first->amount);
}

static void note_agreement(sw_builder *b, const sw_slot *first,
                           const sw_slot *second)
{
    const sw_slot *kept = first->slack <= second->slack ? first : second;
    sw_builder_note(
        b, SW_SAY_READINGS_AGREE, first->reading->parameter,
        second->reading->parameter, b->water->file, first->reading->line,
        first->reading->column, second->reading->line, second->reading->column,
        kept->reading->parameter, kept->reading->value, kept->reading->unit);
}

/* pH and temperature have no natural zero to take a share of. */
static bool agree(const sw_slot *a, const sw_slot *b)
{
    sw_reading_kind kind = a->reading->kind;
    bool share = kind != SW_READS_PH && kind != SW_READS_TEMPERATURE;
    double larger = fmax(a->amount, b->amount);
    return fabs(a->amount - b->amount) <=
           a->slack + b->slack + (share ? agreement * larger : 0.0);
}

static sw_status add_second(sw_builder *b, sw_slot *slot, const sw_slot *second)
{
    const sw_reading *f = slot->reading;
    const sw_reading *r = second->reading;
    if (sw_same_name(f->parameter, r->parameter) &&
        sw_same_name(f->unit, r->unit))
        return fail_repeated(b, slot, r);
    if (!agree(slot, second))
        return fail_contrary(b, slot, second);
    note_agreement(b, slot, second);
    if (second->slack < slot->slack)
        *slot = *second;
    return SW_OK;
}

static sw_status sort_one(sw_builder *b, sw_reading *r,
                          const sw_measure *measure)
{
    r->kind = measure->parameter.kind;
    r->component = measure->parameter.component;
    r->name = measure->parameter.name;
    r->amount = measure->offset + measure->scale * r->value;
    int place = sw_slot_of(&measure->parameter);
    if (sw_parameter_is_bare(&measure->parameter) || isnan(r->value))
        return SW_OK;
    sw_status status = check_value(b, r);
    if (!status)
        status = check_amount(b, r, r->amount);
    if (status || place == SW_SLOT_COUNT)
        return status;
    sw_slot slot = {.reading = r, .below = r->below_detection};
    slot.amount = slot.below ? 0.0 : r->amount;
    slot.slack = slot.below
                     ? r->amount
                     : fabs(measure->scale) * sw_half_last_digit(r->value);
    if (b->slots[place].reading)
        return add_second(b, &b->slots[place], &slot);
    b->slots[place] = slot;
    return SW_OK;
}

/* Passes a defect on where somebody is told, and goes on then. */
static sw_status pass_on(sw_builder *b, sw_status status)
{
    if (!status || status == SW_ERR_MEMORY || !b->told)
        return status;
    b->told->tell(b->told->context, b->error);
    b->wrong = true;
    return SW_OK;
}

static sw_status sort_readings(sw_builder *builder, const sw_measure *measures)
{
    sw_water *water = builder->water;
    for (size_t i = 0; i < water->reading_count; i++) {
        sw_status status = pass_on(
            builder, sort_one(builder, &water->readings[i], &measures[i]));
        if (status)
            return status;
    }
    return SW_OK;
}

sw_status sw_water_build(sw_water *water, const sw_measure *measures,
                         sw_notes *notes, const sw_told *told, sw_error *error)
{
    sw_error own;
    sw_builder builder = {.water = water,
                          .notes = notes,
                          .error = error ? error : &own,
                          .told = told};
    sw_status status = sort_readings(&builder, measures);
    if (!status && !builder.wrong)
        status = pass_on(&builder, sw_builder_combine(&builder));
    if (!status && !builder.wrong)
        sw_builder_doubt(&builder);
    return status ? status : sw_notes_status(notes, error);
}
