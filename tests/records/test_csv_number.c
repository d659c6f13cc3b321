/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers that read one way, and the refusal of those that read two. */
#include "comma_locale.h"
#include "suite.h"

#include "records/csv_number.h"

#include <math.h>
#include <string.h>

static const sw_place here = {"t.csv", 7, 3};

static double read_in(char separator, const char *text)
{
    sw_decimal_mark decimal = {.separator = separator};
    sw_error error;
    double value = 0.0;
    ck_assert_msg(sw_decimal_read(&decimal, text, &here, &value, &error) ==
                      SW_OK,
                  "%s", error.message);
    return value;
}

typedef struct number_case {
    char separator;
    const char *text;
    double value;
} number_case;

START_TEST_EACH(numbers_are_read, 15)
{
    static const number_case cases[] = {
        {',', "12.5", 12.5},     {',', "12", 12.0},       {',', "+3", 3.0},
        {',', "-3", -3.0},       {',', ".5", 0.5},        {',', "5.", 5.0},
        {',', "1.2e-3", 0.0012}, {',', "1E3", 1000.0},    {',', "1.200", 1.2},
        {';', "7,2", 7.2},       {';', "7.2", 7.2},       {'\t', "0,250", 0.25},
        {';', "1,2e3", 1200.0},  {';', "1234,5", 1234.5}, {',', "-0", 0.0},
    };
    double value = read_in(cases[_i].separator, cases[_i].text);
    ck_assert_double_eq(value, cases[_i].value);
    ck_assert(!signbit(value) || value < 0.0);
}
END_TEST

typedef struct refusal {
    char separator;
    const char *text;
    const char *says; /* part of the message */
} refusal;

START_TEST_EACH(what_is_no_number_is_refused_for_its_own_reason, 27)
{
    static const refusal cases[] = {
        {',', "nan", "not a finite number"},
        {',', "-inf", "not a finite number"},
        {',', "0x10", "hexadecimal"},
        {',', "twelve", "is not a number"},
        {',', "", "is not a number"},
        {',', ".", "is not a number"},
        {',', "12 mg/L", "goes on after its number"},
        {',', "1.2.3", "is not a number"},
        {',', "140-160", "is not a number"},
        {',', "4O", "is not a number"},
        {',', "15 %", "goes on after its number"},
        {',', "48mg/L", "goes on after its number"},
        {',', "1,000", "write 1.0 or 1000"},
        {',', "1,234", "write 1.2340 or 1234"},
        {',', "1e", "is not a number"},
        {',', "2024-01-02", "is not a number"},
        {',', "<0.05", "limit of detection"},
        {',', ">100", "above the range"},
        {',', "1e999", "too large"},
        {',', "1 200", "such as 1200"},
        {',', "1'200", "such as 1200"},
        {',',
         "1\xC2\xA0"
         "200.5",
         "such as 1200.5"},
        {',', "1,200.5", "such as 1200.5"},
        {';', "1.200,5", "such as 1200.5"},
        {',', "1,200,000", "such as 1200000"},
        {',', "7,2", "decimal comma in a file separated by commas"},
        {',', "1,200", "could be 1.2 with"},
    };
    sw_decimal_mark decimal = {.separator = cases[_i].separator};
    sw_error error = {0};
    double value = 0.0;
    ck_assert_int_ne(
        sw_decimal_read(&decimal, cases[_i].text, &here, &value, &error),
        SW_OK);
    ck_assert_msg(strstr(error.message, cases[_i].says) != NULL, "%s",
                  error.message);
    ck_assert_uint_eq(error.line, here.line);
    ck_assert_uint_eq(error.column, here.column);
}
END_TEST

/* The numbers of one file parted by semicolons, one on each line. */
typedef struct file_case {
    const char *texts[3];
    unsigned long refused_line; /* 0: none */
    const char *says;
} file_case;

static sw_status read_all(const file_case *file, sw_error *error)
{
    sw_decimal_mark decimal = {.separator = ';'};
    for (unsigned long i = 0; i < 3 && file->texts[i]; i++) {
        const sw_place place = {"t.csv", i + 1, 1};
        double value = 0.0;
        sw_status status =
            sw_decimal_read(&decimal, file->texts[i], &place, &value, error);
        if (status)
            return status;
    }
    return sw_decimal_finish(&decimal, error);
}

START_TEST_EACH(other_numbers_decide_what_a_mark_means, 12)
{
    static const file_case cases[] = {
        {{"1,200", "7,2"}, 0, ""},
        {{"7,2", "1,200"}, 0, ""},
        {{"1.200", "0.5"}, 0, ""},
        {{"12", "3"}, 0, ""},
        {{"1,200", "3"}, 1, "could be 1,2 with"},
        {{"3", "1.200"}, 2, "could be 1.2 with"},
        {{"-1,200", "3"}, 1, "could be -1,2 with a decimal mark or -1200"},
        {{"1.200", "1,300"}, 1, "could be 1.2 "},
        {{"1,200", "1.300"}, 1, "could be 1,2 "},
        {{"7,2", "1.200"}, 2, "decimal comma of line 1"},
        {{"1.200", "1.300", "7,2"}, 1, "decimal comma of line 3"},
        {{"7.2", "7,2"}, 2, "decimal point of line 1"},
    };
    sw_error error = {0};
    sw_status status = read_all(&cases[_i], &error);
    ck_assert_int_eq(status, cases[_i].refused_line ? SW_ERR_SYNTAX : SW_OK);
    ck_assert_uint_eq(error.line, cases[_i].refused_line);
    ck_assert_msg(strstr(error.message, cases[_i].says) != NULL, "%s",
                  error.message);
}
END_TEST

START_TEST(the_locale_of_the_process_changes_nothing)
{
    if (!set_comma_locale())
        return;
    ck_assert_double_eq(read_in(',', "12.5"), 12.5);
    ck_assert_double_eq(read_in(';', "12,5"), 12.5);
    setlocale(LC_ALL, "C");
}
END_TEST
