/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The readings of a water file, sample by sample, long or wide. */
#ifndef SW_RECORDS_WATER_FILE_H
#define SW_RECORDS_WATER_FILE_H

#include "records/given_units.h"
#include "records/table.h"

/* The readings of one sample while they are gathered. */
typedef struct sw_gathered {
    char *sample; /* owned */
    sw_reading *readings;
    sw_measure *measures; /* one per reading */
    size_t count;
    size_t room;
    bool owns_texts; /* the readings' texts are this list's to free */
} sw_gathered;

void sw_gathered_clear(sw_gathered *gathered);

/* A column of a wide file. */
typedef struct sw_water_column {
    char *parameter;
    char *unit;
    sw_measure measure;
} sw_water_column;

typedef struct sw_water_file {
    const char *name;
    sw_csv_reader *reader;
    sw_given_units given; /* where the file states no unit */
    bool wide;
    bool done;
    sw_table table;           /* long: parameter, value, unit */
    sw_water_column *columns; /* wide: one per cell of the header */
    size_t width;
} sw_water_file;

/* Opens the file and reads its header; `units` as sw_given_units_read takes
 * them.  On failure nothing is left open. */
sw_status sw_water_file_open(sw_water_file *file, FILE *stream,
                             const char *name, const char *units,
                             sw_error *error);
void sw_water_file_close(sw_water_file *file);

/* The readings of the next sample; a sample of NULL at the end. */
sw_status sw_water_file_next(sw_water_file *file, sw_gathered *gathered,
                             sw_error *error);

#endif
