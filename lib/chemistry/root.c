/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Brent's method from GSL, with failures as return codes. */
#include "chemistry/root.h"

#include <assert.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stddef.h>

#include "quantity/status.h"
#include "table_refusals.h"

enum { MAX_ROUNDS = 200 };

typedef struct bridge {
    const sw_search *search;
    sw_status status;
    sw_error *error;
} bridge;

static double call(double x, void *context)
{
    bridge *b = context;
    double y = NAN;
    if (b->status == SW_OK)
        b->status = b->search->function(x, b->search->context, &y, b->error);
    return b->status == SW_OK ? y : NAN;
}

static int iterate(gsl_root_fsolver *solver, double tolerance)
{
    int code = GSL_CONTINUE;
    for (int round = 0; round < MAX_ROUNDS && code == GSL_CONTINUE; round++) {
        code = gsl_root_fsolver_iterate(solver);
        if (code == GSL_SUCCESS)
            code = gsl_root_test_interval(gsl_root_fsolver_x_lower(solver),
                                          gsl_root_fsolver_x_upper(solver), 0,
                                          tolerance);
    }
    return code;
}

sw_status sw_root_find(const sw_search *search, double *root, sw_error *error)
{
    bridge b = {search, SW_OK, error};
    gsl_function f = {call, &b};
    max_align_t state[16]; /* no memory is asked for, so none can be lacking */
    gsl_root_fsolver *solver =
        &(gsl_root_fsolver){.type = gsl_root_fsolver_brent, .state = state};
    assert(solver->type->size <= sizeof state);
    gsl_set_error_handler_off();
    int code = gsl_root_fsolver_set(solver, &f, search->low, search->high);
    if (code == GSL_SUCCESS)
        code = iterate(solver, search->relative_tolerance);
    *root = gsl_root_fsolver_root(solver);
    if (b.status != SW_OK)
        return b.status;
    if (code != GSL_SUCCESS)
        return sw_fail(error, SW_BAD_NO_ROOT, search->low, search->high,
                       gsl_strerror(code));
    return SW_OK;
}
