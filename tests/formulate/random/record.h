/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem and its answer as raw doubles, for scripts. */
#ifndef SW_TESTS_FORMULATE_RECORD_H
#define SW_TESTS_FORMULATE_RECORD_H

#include "invent.h"

#include <stdio.h>

typedef struct sw_record {
    double value[4096];
    size_t count;
} sw_record;

void record_put(sw_record *to, double value);
void record_problem(sw_record *to, const invention *from);
void record_solution(sw_record *to, const sw_solution *solution);
/* Its length, then its values; ends the program where it cannot. */
void record_write(const sw_record *record, FILE *file);

#endif
