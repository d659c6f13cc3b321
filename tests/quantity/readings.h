/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A reading of a parameter in a unit, taken or refused. */
#ifndef SW_TESTS_READINGS_H
#define SW_TESTS_READINGS_H

#include "suite.h"

#include "quantity/units.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

static sw_parameter find(const char *name)
{
    sw_parameter parameter;
    ck_assert_int_eq(sw_parameter_find(name, &parameter, NULL), SW_OK);
    return parameter;
}

static void reads(const char *name, double value, const char *unit,
                  double expected)
{
    sw_parameter p = find(name);
    sw_error error = {0};
    double out = 0;
    ck_assert_msg(sw_reading_convert(&p, value, unit, &out, &error) == SW_OK,
                  "%s in '%s': %s", name, unit, error.message);
    ck_assert_msg(fabs(out - expected) <= TOL_UNIT * (1 + fabs(expected)),
                  "%s %g %s is %.15g, expected %.15g", name, value, unit, out,
                  expected);
}

static void unfit(const char *name, const char *unit, const char *words)
{
    sw_parameter p = find(name);
    sw_error error = {0};
    double out = 0;
    ck_assert_msg(sw_reading_convert(&p, 1, unit, &out, &error) == SW_ERR_UNIT,
                  "%s in '%s' was accepted", name, unit);
    ck_assert(isnan(out));
    ck_assert_msg(strstr(error.message, words), "%s in '%s': %s", name, unit,
                  error.message);
}

#endif
