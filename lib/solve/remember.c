/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Within one active set the recipe is an affine function of the water, and a
 * shelf has few such sets: those that were found before are tried first.  Which
 * are tried decides how long a solve takes, never what it finds.
 */
#include "solve/form.h"

#include <stdlib.h>
#include <string.h>

/* Hundreds of waters of a shelf need some ten. */
enum { MOST_KEPT = 48 };

/* A set as one letter for each column, then for each row. */
struct sw_kept {
    struct sw_kept *next; /* met less lately */
    size_t columns, rows;
    unsigned char stand[];
};

static bool has_shape(const sw_kept *kept, const sw_form *form)
{
    return kept->columns == form->columns && kept->rows == form->rows;
}

static unsigned char stand_of(const sw_kept *of, const sw_active *active,
                              size_t at)
{
    return (unsigned char)(at < of->columns ? active->column[at]
                                            : active->row[at - of->columns]);
}

bool sw_recall(const sw_solver *solver, const sw_form *form, size_t nth,
               const sw_active *active)
{
    const sw_kept *kept = solver->kept;
    for (; kept; kept = kept->next)
        if (has_shape(kept, form) && nth-- == 0)
            break;
    if (!kept || solver->forgets)
        return false;
    for (size_t j = 0; j < kept->columns; j++)
        active->column[j] = (sw_stand)kept->stand[j];
    for (size_t i = 0; i < kept->rows; i++)
        active->row[i] = (sw_stand)kept->stand[kept->columns + i];
    return true;
}

static bool is_same(const sw_kept *kept, const sw_active *active)
{
    for (size_t at = 0; at < kept->columns + kept->rows; at++)
        if (kept->stand[at] != stand_of(kept, active, at))
            return false;
    return true;
}

/* The link to the set, or to the last one when there is no more room; NULL. */
static sw_kept **find(sw_solver *solver, const sw_form *form,
                      const sw_active *active)
{
    size_t count = 0;
    sw_kept **link = &solver->kept;
    for (; *link; link = &(*link)->next)
        if ((has_shape(*link, form) && is_same(*link, active)) ||
            ++count == MOST_KEPT)
            return link;
    return NULL;
}

/* Without memory for it nothing is kept, which costs time alone. */
void sw_remember(sw_solver *solver, const sw_form *form,
                 const sw_active *active)
{
    sw_kept **link = find(solver, form, active);
    sw_kept *kept = link ? *link : NULL;
    if (kept)
        *link = kept->next;
    if (!kept || !has_shape(kept, form)) {
        free(kept);
        kept = malloc(sizeof *kept + form->columns + form->rows);
    }
    if (!kept)
        return;
    kept->columns = form->columns;
    kept->rows = form->rows;
    for (size_t at = 0; at < form->columns + form->rows; at++)
        kept->stand[at] = stand_of(kept, active, at);
    kept->next = solver->kept;
    solver->kept = kept;
}

void sw_forget(sw_solver *solver)
{
    while (solver->kept) {
        sw_kept *next = solver->kept->next;
        free(solver->kept);
        solver->kept = next;
    }
}
