/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a glance at a report finds wrong is what an audit of it does. */
#include "suite.h"

#include "assess/evidence.h"
#include "saltwright.h"

#include <stdio.h>
#include <string.h>

static sw_waters *read_lines(const char *lines)
{
    char text[300];
    sw_waters *waters;
    snprintf(text, sizeof text, "parameter,value,unit\n%s", lines);
    FILE *stream = fmemopen(text, strlen(text), "r");
    ck_assert_int_eq(sw_waters_read(stream, "well", &waters, NULL), SW_OK);
    fclose(stream);
    return waters;
}

/* Whether an audit finds the pH wrong, as a glance has to. */
static bool is_ph_wrong(const char *lines)
{
    sw_waters *waters = read_lines(lines);
    const sw_water *water = &waters->items[0];
    sw_conditions at = sw_conditions_default();
    sw_content per_l;
    sw_notes notes = {0};
    sw_evidence seen, found;
    ck_assert(sw_water_complete(water, &at, &per_l, &notes, NULL) == SW_OK);
    ck_assert(sw_evidence_glance(water, &per_l, &at, &seen, NULL) == SW_OK);
    ck_assert(sw_evidence_weigh(water, &at, &found, NULL) == SW_OK);
    bool wrong = found.rows[SW_CHECK_PH].finding == SW_DISAGREES;
    ck_assert_msg((seen.rows[SW_CHECK_PH].finding == SW_DISAGREES) == wrong,
                  "%s", lines);
    sw_notes_free(&notes);
    sw_evidence_free(&seen);
    sw_evidence_free(&found);
    sw_waters_free(waters);
    return wrong;
}

/* By the CO2 it holds or by its ends, with more iron or less. */
START_TEST(a_ph_is_seen_to_be_wrong_where_an_audit_finds_it_wrong)
{
    static const char *const rest[] = {
        "alkalinity,4,mg/L CaCO3\n", "alkalinity,28,mg/L CaCO3\n",
        "alkalinity,28,mg/L CaCO3\nFe,30,mg/L\n",
        "alkalinity,250,mg/L CaCO3\nFe,9,mg/L\n"};
    int wrong = 0;
    for (int i = 0; i < 4 * 61; i++) {
        char lines[200];
        snprintf(lines, sizeof lines, "Ca,11.8,mg/L\nNa,9,mg/L\n%spH,%.1f,\n",
                 rest[i % 4], 4.0 + 0.1 * (i / 4));
        wrong += is_ph_wrong(lines);
    }
    ck_assert_int_gt(wrong, 20);
    ck_assert_int_lt(wrong, 200);
}
END_TEST

/* What is told of a pH that its calcium does not allow, by the figures of the
 * report; "" where nothing is. */
static void tell_calcite(int calcium, int alkalinity, char told[600])
{
    char lines[200];
    snprintf(lines, sizeof lines,
             "Ca,%d,mg/L\nMg,0,mg/L\nNa,0,mg/L\nK,0,mg/L\nSO4,0,mg/L\n"
             "Cl,0,mg/L\npH,9.6,\nalkalinity,%d,mg/L CaCO3\n",
             calcium, alkalinity);
    sw_waters *waters = read_lines(lines);
    sw_conditions at = sw_conditions_default();
    sw_content per_l;
    sw_notes notes = {0};
    ck_assert(sw_water_complete(&waters->items[0], &at, &per_l, &notes, NULL) ==
              SW_OK);
    const sw_note *note = sw_notes_find(&notes, "calcite-contradicts");
    snprintf(told, 600, "%s", note ? note->text : "");
    sw_notes_free(&notes);
    sw_waters_free(waters);
}

START_TEST(a_ph_beyond_calcite_is_told_with_the_figures_of_the_report)
{
    char told[600], says[80];
    for (int calcium = 120; calcium <= 200; calcium += 20) {
        int alkalinity = calcium * 5 / 2; /* 40.08 g of Ca to 100.09 */
        tell_calcite(calcium, alkalinity, told);
        snprintf(says, sizeof says,
                 "of 9.6, an alkalinity of %d mg/L CaCO3 "
                 "and %d",
                 alkalinity, calcium);
        ck_assert_msg(strstr(told, says) != NULL, "%s: '%s'", says, told);
    }
    tell_calcite(2, 5, told);
    ck_assert_str_eq(told, "");
}
END_TEST
