/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From converted readings to a water. */
#ifndef SW_RECORDS_WATER_BUILD_H
#define SW_RECORDS_WATER_BUILD_H

#include "quantity/notes.h"
#include "quantity/units.h"

/* How a reading's number becomes an amount: offset + scale * value. */
typedef struct sw_measure {
    sw_parameter parameter;
    double scale;
    double offset;
} sw_measure;

/* Looks up a parameter and its unit.  SW_ERR_NAME, SW_ERR_UNIT. */
sw_status sw_measure_find(const char *parameter, const char *unit,
                          sw_measure *measure, sw_error *error);

/* What a water is put together from: one slot for each. */
typedef enum sw_slot_index {
    /* SW_NO3_N ... SW_F: the component, mg/L */
    SW_SLOT_ALKALINITY = SW_COMPONENT_COUNT, /* meq/L, as the next five */
    SW_SLOT_HCO3,
    SW_SLOT_CO3,
    SW_SLOT_OH,
    SW_SLOT_HARDNESS,
    SW_SLOT_CA_HARDNESS,
    SW_SLOT_PH,
    SW_SLOT_EC,          /* mS/cm */
    SW_SLOT_TDS,         /* mg/L */
    SW_SLOT_TEMPERATURE, /* degC */
    SW_SLOT_NO3_NO2,     /* mg/L of N */
    SW_SLOT_EC_20,       /* mS/cm at 25 degC, by what it was at 20 */
    SW_SLOT_COUNT
} sw_slot_index;

/* The slot of a parameter; SW_SLOT_COUNT when it is in no mass balance. */
int sw_slot_of(const sw_parameter *parameter);

typedef struct sw_slot {
    const sw_reading *reading; /* NULL: not reported */
    double amount;
    double slack; /* half a unit of the last digit written; or the limit */
    bool below;   /* below detection; amount 0 */
} sw_slot;

/* Who is told of each defect, so that one does not end the reading; `tell` may
 * be NULL: the first defect fails. */
typedef struct sw_told {
    void (*tell)(void *context, const sw_error *error);
    void *context;
} sw_told;

/* Half a unit of the last digit of the shortest form of `value`. */
double sw_half_last_digit(double value);

/* A water being put together. */
typedef struct sw_builder {
    sw_water *water;
    sw_slot slots[SW_SLOT_COUNT];
    sw_notes *notes;
    sw_error *error;
    const sw_told *told; /* NULL: nobody */
    bool wrong;          /* somebody was told */
} sw_builder;

/* The water from its readings; measures[i] belongs to reading i.  Where `told`
 * is not NULL only want of memory fails. */
sw_status sw_water_build(sw_water *water, const sw_measure *measures,
                         sw_notes *notes, const sw_told *told, sw_error *error);

/* A note about the water, within the bound. */
void sw_builder_note(sw_builder *builder, sw_severity severity,
                     const char *code, const char *format, ...) SW_PRINTF(4, 5);

/* An error at a reading. */
sw_status sw_builder_fail(const sw_builder *builder, const sw_reading *reading,
                          sw_status status, const char *format, ...)
    SW_PRINTF(4, 5);

/* Steps of sw_water_build, in their order. */
sw_status sw_builder_combine(sw_builder *builder);
void sw_builder_doubt(sw_builder *builder);

#endif
