/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every program that writes answers for a script has in common. */
#ifndef SW_TESTS_FORMULATE_WRITE_H
#define SW_TESTS_FORMULATE_WRITE_H

#include "record.h"

typedef struct sw_writer {
    /* Fills the empty record of a seed; false passes the seed over. */
    bool (*answer)(void *context, unsigned long seed, sw_record *to);
    void *context;               /* handed to `answer` */
    void (*preface)(FILE *file); /* what comes before the records, or NULL */
} sw_writer;

/*
 * Writes COUNT records, from seed FIRST on, to FILE: the last three of a
 * program's arguments.  Seeds passed over do not count.  Answers what main is
 * to.
 */
int write_answers(const sw_writer *writer, char **first_count_file);

/* The context of an answer that solves for an objective. */
typedef struct sw_asked {
    sw_solver *solver;
    sw_objective objective;
} sw_asked;

/* main of a program called with OBJECTIVE FIRST COUNT FILE. */
int write_objective(int argc, char **argv,
                    bool (*answer)(void *asked, unsigned long seed,
                                   sw_record *to));

#endif
