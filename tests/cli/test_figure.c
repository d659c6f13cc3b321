/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include <math.h>

#include "io/figure.h"

START_TEST(a_figure_has_three_digits_and_four_after_a_one)
{
    ck_assert_str_eq(figure_plain(943.4).text, "943");
    ck_assert_str_eq(figure_plain(1046.4).text, "1046");
    ck_assert_str_eq(figure_plain(104.64).text, "104.6");
    ck_assert_str_eq(figure_plain(0.05041).text, "0.0504");
    ck_assert_str_eq(figure_plain(0.12345).text, "0.1235");
    ck_assert_str_eq(figure_plain(23456.0).text, "23500");
    ck_assert_str_eq(figure_plain(18927.06).text, "18930");
    ck_assert_str_eq(figure_plain(-2.5).text, "-2.50");
}
END_TEST

START_TEST(rounding_is_never_worse_than_half_a_percent)
{
    for (double value = 1e-4; value < 1e6; value *= 1.0137) {
        double shown = strtod(figure_plain(value).text, NULL);
        ck_assert_double_le(fabs(shown / value - 1.0), 0.005);
    }
}
END_TEST

START_TEST(nothing_is_shown_as_zero_and_the_unknown_as_a_dash)
{
    ck_assert_str_eq(figure_plain(0.0).text, "0");
    ck_assert_str_eq(figure_plain((double)NAN).text, "-");
    ck_assert_str_eq(figure_fixed(-0.0004, 2).text, "0.00");
    ck_assert_str_eq(figure_signed((double)NAN, 1).text, "-");
}
END_TEST

START_TEST(a_limit_is_shown_without_zeros_at_its_end)
{
    ck_assert_str_eq(figure_short(3.0).text, "3");
    ck_assert_str_eq(figure_short(120.0).text, "120");
    ck_assert_str_eq(figure_short(0.7).text, "0.7");
    ck_assert_str_eq(figure_short(141.8).text, "142");
    ck_assert_str_eq(figure_short((double)NAN).text, "-");
}
END_TEST

START_TEST(a_difference_carries_its_sign_unless_it_is_nothing)
{
    ck_assert_str_eq(figure_signed(12.3, 0).text, "+12");
    ck_assert_str_eq(figure_signed(-3.0, 1).text, "-3.0");
    ck_assert_str_eq(figure_signed(0.04, 1).text, "0.0");
    ck_assert_str_eq(figure_signed(-0.04, 1).text, "0.0");
}
END_TEST

/* Three digits, the last never short of the value; 1.1 * 100 is a bit over 110.
 */
START_TEST(what_is_rounded_outward_is_not_short_and_no_further)
{
    ck_assert_str_eq(figure_outward(1.1, true).text, "1.1");
    ck_assert_str_eq(figure_outward(1.1, false).text, "1.1");
    ck_assert_str_eq(figure_outward(1.1001, true).text, "1.11");
    ck_assert_str_eq(figure_outward(1.1099, false).text, "1.1");
    ck_assert_str_eq(figure_outward(45.61, true).text, "45.7");
    ck_assert_str_eq(figure_outward(45.69, false).text, "45.6");
    ck_assert_str_eq(figure_outward(1234.0, true).text, "1240");
}
END_TEST

START_TEST(what_was_typed_is_shown_as_it_was_typed)
{
    ck_assert_str_eq(figure_given(1234.5).text, "1234.5");
    ck_assert_str_eq(figure_given(50.0 * 3.785411784 / 3.785411784).text, "50");
    ck_assert_str_eq(figure_given(0.25).text, "0.25");
    ck_assert_str_eq(figure_given(100000.0).text, "100000");
    ck_assert_str_eq(figure_given(30.0 * 3.785411784).text, "114");
    ck_assert_str_eq(figure_given(99999999.0).text, "100000000");
    ck_assert_str_eq(figure_given(0.0012346).text, "0.0012346");
    ck_assert_str_eq(figure_given(0.00123456789).text, "0.00123");
    ck_assert_str_eq(figure_given((double)NAN).text, "-");
}
END_TEST

START_TEST(a_volume_has_its_own_unit_whole_and_three_digits_of_the_other)
{
    double l = 5000.0 * 3.785411784;
    ck_assert_str_eq(figure_volume(l, SW_US).text, "5000 gal");
    ck_assert_str_eq(figure_volume_both(l, SW_US).text, "5000 gal (18900 L)");
    ck_assert_str_eq(figure_volume_both(1500.0, SW_METRIC).text,
                     "1500 L (396 gal)");
}
END_TEST

START_TEST(what_is_not_known_gets_no_unit)
{
    ck_assert_str_eq(figure_amount(figure_short(2.5), "mL").text, "2.5 mL");
    ck_assert_str_eq(figure_amount(figure_short((double)NAN), "mL").text, "-");
    ck_assert_str_eq(figure_percent(0.667).text, "67 %");
    ck_assert_str_eq(figure_percent((double)NAN).text, "-");
}
END_TEST

/* Definitions: NIST SP 811 (2008), appendix B.8. */
START_TEST(masses_come_in_the_unit_a_scale_shows)
{
    ck_assert_str_eq(figure_mass_metric(0.12).text, "0.1200 g");
    ck_assert_str_eq(figure_mass_metric(606.0).text, "606 g");
    ck_assert_str_eq(figure_mass_metric(2345.0).text, "2.35 kg");
    ck_assert_str_eq(figure_mass_us(453.59237).text, "1.000 lb");
    ck_assert_str_eq(figure_mass_us(28.349523125).text, "1.000 oz");
    ck_assert_str_eq(figure_mass_us(2.0).text, "2.00 g");
}
END_TEST

START_TEST(liquids_come_in_the_unit_a_jug_shows)
{
    ck_assert_str_eq(figure_liquid_metric(427.0).text, "427 mL");
    ck_assert_str_eq(figure_liquid_metric(2500.0).text, "2.50 L");
    ck_assert_str_eq(figure_liquid_us(29.5735295625).text, "1.000 fl oz");
    ck_assert_str_eq(figure_liquid_us(1.321 * 3785.411784).text, "169.1 fl oz");
    ck_assert_str_eq(figure_liquid_us(2.0 * 3785.411784).text, "2.00 gal");
    ck_assert_str_eq(figure_liquid_us(1.5).text, "1.500 mL");
}
END_TEST

START_TEST(a_bound_keeps_the_digits_it_was_given)
{
    ck_assert_str_eq(figure_band(0.25, 0.5, 1).text, "0.25 to 0.50");
    ck_assert_str_eq(figure_band(0.25, 0.5, 0).text, "0.25 to 0.50");
    ck_assert_str_eq(figure_band(37.5, 62.5, 0).text, "38 to 62");
    ck_assert_str_eq(figure_kept(0.0, 1).text, "0.0");
    ck_assert_str_eq(figure_kept((double)NAN, 1).text, "-");
}
END_TEST
