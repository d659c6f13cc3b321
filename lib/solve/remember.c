/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Within one active set the recipe is an affine function of the water, and a
 * shelf has few such sets; nor do its waters differ much in which corner is the
 * cheapest, or in why a product cannot be left out.  What was found before is
 * tried first.  Which is tried decides how long a solve takes, never what it
 * finds.
 */
#include "solve/form.h"

#include <stdlib.h>
#include <string.h>

/* Of each kind; hundreds of waters of a shelf need some ten of a question. */
static const size_t most_kept[SW_KINDS_KEPT] = {48, 96, 128};

/* An active set, as one letter for each column, then for each row; or the
 * sw_row_prices of a proof. */
struct sw_kept {
    struct sw_kept *next; /* met less lately */
    size_t columns, rows; /* of the form */
    uint64_t of;          /* the question that it answered */
    size_t bytes;
    double data[];
};

typedef struct sw_kept sw_kept;

static sw_kept *open_kept(const sw_form *form, uint64_t of, size_t bytes)
{
    sw_kept *made = malloc(sizeof *made + bytes);
    if (made)
        *made = (sw_kept){NULL, form->columns, form->rows, of, bytes};
    return made;
}

static const sw_kept *nth_of(const sw_solver *solver, sw_kind_kept kind,
                             const sw_form *form, uint64_t of, size_t nth)
{
    const sw_kept *kept = solver->forgets ? NULL : solver->kept[kind];
    for (; kept; kept = kept->next)
        if (kept->columns == form->columns && kept->rows == form->rows &&
            kept->of == of && nth-- == 0)
            return kept;
    return NULL;
}

static bool is_same(const sw_kept *a, const sw_kept *b)
{
    return a->columns == b->columns && a->rows == b->rows && a->of == b->of &&
           a->bytes == b->bytes && memcmp(a->data, b->data, a->bytes) == 0;
}

/* Puts `made` first, in place of what is the same, or of the last one when
 * there is no more room.  Without memory for it nothing is kept, which costs
 * time alone. */
static void keep(sw_solver *solver, sw_kind_kept kind, sw_kept *made)
{
    if (!made)
        return;
    sw_kept **link = &solver->kept[kind];
    size_t count = 1;
    while (*link && !is_same(*link, made) && count++ < most_kept[kind])
        link = &(*link)->next;
    sw_kept *old = *link;
    if (old)
        *link = old->next;
    free(old);
    made->next = solver->kept[kind];
    solver->kept[kind] = made;
}

void sw_forget(sw_solver *solver)
{
    for (int kind = 0; kind < SW_KINDS_KEPT; kind++)
        while (solver->kept[kind]) {
            sw_kept *next = solver->kept[kind]->next;
            free(solver->kept[kind]);
            solver->kept[kind] = next;
        }
}

bool sw_recall(const sw_solver *solver, sw_kind_kept kind, const sw_form *form,
               uint64_t of, size_t nth, const sw_active *active)
{
    const sw_kept *kept = nth_of(solver, kind, form, of, nth);
    if (!kept)
        return false;
    const unsigned char *stand = (const unsigned char *)kept->data;
    for (size_t j = 0; j < kept->columns; j++)
        active->column[j] = (sw_stand)stand[j];
    for (size_t i = 0; i < kept->rows; i++)
        active->row[i] = (sw_stand)stand[kept->columns + i];
    return true;
}

void sw_remember(sw_solver *solver, sw_kind_kept kind, const sw_form *form,
                 uint64_t of, const sw_active *active)
{
    sw_kept *made = open_kept(form, of, form->columns + form->rows);
    unsigned char *stand = made ? (unsigned char *)made->data : NULL;
    for (size_t j = 0; made && j < form->columns; j++)
        stand[j] = (unsigned char)active->column[j];
    for (size_t i = 0; made && i < form->rows; i++)
        stand[form->columns + i] = (unsigned char)active->row[i];
    keep(solver, kind, made);
}

bool sw_is_known_empty(const sw_solver *solver, const sw_form *form,
                       uint64_t of, const double *ceiling)
{
    const sw_kept *kept;
    for (size_t nth = 0; (kept = nth_of(solver, SW_KEPT_PROOFS, form, of, nth));
         nth++)
        if (sw_is_refuted(form, ceiling, (const sw_row_price *)kept->data,
                          kept->bytes / sizeof(sw_row_price)))
            return true;
    return false;
}

void sw_remember_empty(sw_solver *solver, const sw_form *form, uint64_t of,
                       const double *ceiling, const double *row_price)
{
    size_t count = 0;
    sw_row_price *priced = sw_take(solver, form->rows, sizeof *priced);
    for (size_t i = 0; i < form->rows; i++)
        if (row_price[i] != 0)
            priced[count++] = (sw_row_price){i, row_price[i]};
    if (!sw_is_refuted(form, ceiling, priced, count))
        return;
    sw_kept *made = open_kept(form, of, count * sizeof *priced);
    if (made)
        memcpy(made->data, priced, made->bytes);
    keep(solver, SW_KEPT_PROOFS, made);
}
