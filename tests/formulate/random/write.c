/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The way from a program's arguments to its file of records. */
#include "write.h"

#include <stdlib.h>

int write_answers(const sw_writer *writer, char **first_count_file)
{
    static sw_record record;
    unsigned long seed = strtoul(first_count_file[0], NULL, 10);
    unsigned long count = strtoul(first_count_file[1], NULL, 10);
    FILE *file = fopen(first_count_file[2], "wb");
    if (!file)
        return EXIT_FAILURE;
    if (writer->preface)
        writer->preface(file);
    for (; count > 0; seed++) {
        record.count = 0;
        if (!writer->answer(writer->context, seed, &record))
            continue;
        record_write(&record, file);
        count--;
    }
    return fclose(file) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

int write_objective(int argc, char **argv,
                    bool (*answer)(void *asked, unsigned long seed,
                                   sw_record *to))
{
    sw_asked asked = {.objective = SW_CLOSEST};
    sw_writer writer = {.answer = answer, .context = &asked};
    if (argc != 5 ||
        sw_objective_parse(argv[1], &asked.objective, NULL) != SW_OK ||
        sw_solver_new(&asked.solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    int status = write_answers(&writer, argv + 2);
    sw_solver_free(asked.solver);
    return status;
}
