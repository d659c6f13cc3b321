/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Numbers of SW_WIDTH lanes side by side, by the vectors of gcc and clang;
 * plain numbers where SW_WIDTH is 1.  Their operators are those of C.
 */
#ifndef SW_CHEMISTRY_VECTOR_H
#define SW_CHEMISTRY_VECTOR_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum { BYTES = 8 * SW_WIDTH };

#if SW_WIDTH == 1
typedef double v;
typedef int64_t mask;
typedef uint64_t bits;
#define WHERE(test) (-(mask)(test))
#else
typedef double v __attribute__((vector_size(BYTES)));
typedef int64_t mask __attribute__((vector_size(BYTES)));
typedef uint64_t bits __attribute__((vector_size(BYTES)));
#define WHERE(test) ((mask)(test))
#endif
/* The same in the arrays of sw_lanes. */
typedef struct lanes_of {
    v lane;
} __attribute__((packed, aligned(8), may_alias)) lanes_of;

static inline v all(double x)
{
    return x - (v){0};
}

static inline double *lanes_in(v *x)
{
    return (double *)x;
}

static inline v pick(mask where, v one, v other)
{
#if SW_WIDTH == 1
    return where ? one : other;
#else
    return (v)((where & (mask)one) | (~where & (mask)other));
#endif
}

static inline v or_one(v x)
{
    return pick(WHERE(x == 0), all(1), x);
}

static inline v larger(v a, v b)
{
    return pick(WHERE(a > b), a, b);
}

static inline v smaller(v a, v b)
{
    return pick(WHERE(a < b), a, b);
}

static inline v within(v x, v most)
{
    return smaller(larger(x, -most), most);
}

static inline v size_of(v x)
{
    return pick(WHERE(x < 0), -x, x);
}

static inline v root_of(v x)
{
    for (int l = 0; l < SW_WIDTH; l++)
        lanes_in(&x)[l] = sqrt(lanes_in(&x)[l]);
    return x;
}

static inline bool at(const mask *m, int lane)
{
    return ((const int64_t *)m)[lane] != 0;
}

static inline bool any(mask m)
{
    bool some = false;
    for (int l = 0; l < SW_WIDTH; l++)
        some |= at(&m, l);
    return some;
}

static inline v load(const double *from)
{
    return ((const lanes_of *)from)->lane;
}

static inline void store(double *to, v x)
{
    ((lanes_of *)to)->lane = x;
}

/* To the last bit or so between -700 and 700: 2^n times a Taylor series of
 * degree 13 of the rest, which is at most ln 2 / 2 (Cody & Waite 1980). */
static inline v exp_of(v x)
{
    static const double ln2_high = 6.93147180369123816490e-01;
    static const double ln2_low = 1.90821492927058770002e-10;
    static const double to_integer = 6755399441055744.0; /* 1.5 * 2^52 */
    static const double factorial[] = {
        479001600, 39916800, 3628800, 362880, 40320, 5040, 720,
        120,       24,       6,       2,      1,     1};
    x = within(x, all(700));
    v shifted = x * 1.4426950408889634 + to_integer;
    v n = shifted - to_integer;
    v rest = x - n * ln2_high - n * ln2_low;
    v sum = all(1.0 / 6227020800);
    for (size_t i = 0; i < sizeof factorial / sizeof *factorial; i++)
        sum = sum * rest + 1 / factorial[i];
    bits power;
    memcpy(&power, &shifted, sizeof power);
    power = (power << 52) + (UINT64_C(1023) << 52);
    memcpy(&n, &power, sizeof n);
    return sum * n;
}

/* From -most to most: 2 most + 1 of them. */
static inline void set_powers(v *powers, int most, v of)
{
    v inverse = 1 / of;
    powers[most] = all(1);
    for (int n = 0; n < most; n++) {
        powers[most + n + 1] = powers[most + n] * of;
        powers[most - n - 1] = powers[most - n] * inverse;
    }
}

#endif
