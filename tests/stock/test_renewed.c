/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps of a tank that a crop is fed from and that is renewed, and the room
 * that what is dissolved first has in a reservoir. */
#include "suite.h"

#include "recipes.h"

#include <math.h>

static size_t place_of_kind(const sw_steps *steps, sw_step_kind kind)
{
    size_t i = 0;
    while (i < steps->count && steps->items[i].kind != kind)
        i++;
    return i;
}

static size_t place_of_text(const sw_steps *steps, const char *text)
{
    size_t i = 0;
    while (i < steps->count && !strstr(steps->items[i].text, text))
        i++;
    return i;
}

START_TEST(a_renewed_tank_is_drained_and_then_filled_no_lower_than_it_is)
{
    static const double kept[] = {0, 300, 800, 1000};
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        sw_steps *o;
        stocked s;
        stock_up(&s, &published[5]);
        sw_mixing mixing = {.mix = &s.mix,
                            .volume_l = 1000,
                            .kept_l = kept[i],
                            .drained_l = 40};
        ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_OK);
        size_t drain = place_of_kind(o, SW_STEP_DRAIN);
        size_t fill = place_of_kind(o, SW_STEP_FILL);
        ck_assert_uint_lt(place_of_text(o, "Shut the flow"), drain);
        ck_assert_uint_lt(drain, fill);
        ck_assert_uint_lt(fill, place_of_kind(o, SW_STEP_ADD));
        ck_assert_double_eq(o->items[drain].volume_l, kept[i]);
        ck_assert_double_eq_tol(o->items[fill].volume_l, fmax(750, kept[i]),
                                1e-9);
        ck_assert_ptr_nonnull(
            strstr(o->items[fill].text, kept[i] > 750 ? "Leave what is in"
                                        : kept[i] > 0 ? "with fresh water"
                                                      : "Fill the reservoir"));
        sw_steps_free(o);
    }
}
END_TEST

START_STOCKED_TEST(no_more_is_kept_than_the_tank_holds, &published[5])
{
    sw_steps *o;
    sw_mixing mixing = {.mix = &s->mix, .volume_l = 10, .kept_l = 10.5};
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_VALUE);
    mixing.kept_l = 10;
    mixing.drained_l = NAN;
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_ERR_VALUE);
}
END_TEST

/* ---- A reservoir ------------------------------------------------------ */

/* Litres of water that a step dissolves a product in; NAN: a bucket. */
static double dissolved_in(const sw_step *step)
{
    static const char words[] = "Dissolve it by itself in ";
    char unit[3] = "";
    double l = NAN;
    const char *at = strstr(step->text, words);
    if (at && sscanf(at + sizeof words - 1, "%lf %2s", &l, unit) == 2)
        l = *unit == 'm' ? l / 1000 : l;
    return at ? l : 0;
}

static void expect_room(double volume_l)
{
    stocked s;
    sw_steps *o;
    stock_up(&s, &published[5]);
    sw_mixing mixing = {.mix = &s.mix, .volume_l = volume_l};
    ck_assert_int_eq(sw_mixing_order(&mixing, &o, NULL), SW_OK);
    double l = o->items[place_of_kind(o, SW_STEP_FILL)].volume_l;
    size_t buckets = 0;
    for (size_t i = 0; i < o->count; i++) {
        const sw_step *step = &o->items[i];
        bool adds = step->kind == SW_STEP_ADD;
        double in_l = adds ? dissolved_in(step) : 0;
        buckets += isnan(in_l) ? 1 : 0;
        l += isnan(in_l) ? 10 : in_l;
        ck_assert(!(in_l > 0) || step->g <= 100 * in_l);
        l += step->concentrate_g > 0 ? step->dose_ml / 1000 : 0;
    }
    ck_assert_double_le(l, volume_l);
    ck_assert_int_eq(buckets > 0, volume_l > 500);
    sw_steps_free(o);
}

START_TEST(what_is_dissolved_first_has_room_in_the_reservoir)
{
    static const double volumes[] = {5, 20, 100, 1000};
    for (size_t i = 0; i < sizeof volumes / sizeof *volumes; i++)
        expect_room(volumes[i]);
}
END_TEST
