/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the checks of a report found, together. */
#include "assess/evidence.h"

#include "quantity/status.h"
#include "table_checks.h"

#include <math.h>
#include <string.h>

SW_TEXTS(sw_finding_text, sw_finding, "unknown", "not checked", "agrees",
         "doubtful", "disagrees")

const char *sw_check_text(sw_check check)
{
    return sw_checks_table[check].name;
}

void sw_evidence_add_up(sw_evidence *evidence)
{
    evidence->score = 0.0;
    for (int i = 0; i < SW_CHECK_COUNT; i++)
        evidence->score += evidence->z[i] * evidence->z[i];
}

void sw_evidence_drop_stray(sw_evidence *evidence, const sw_water *water)
{
    for (int i = 0; water->is_solution && i < SW_CHECK_COUNT; i++) {
        if (strstr(sw_checks_table[i].judges, "solution"))
            continue;
        evidence->rows[i] = (sw_check_row){.finding = SW_NOT_CHECKED};
        evidence->z[i] = 0.0;
    }
}

sw_chemistry sw_unknown_chemistry(void)
{
    return (sw_chemistry){.ph = NAN,
                          .ionic_strength_mol_per_kg = NAN,
                          .alkalinity_meq_per_l = NAN,
                          .carbon_mmol_per_l = NAN,
                          .co2_atm = NAN,
                          .ec_ms_per_cm = NAN,
                          .ec_low_ms_per_cm = NAN,
                          .ec_high_ms_per_cm = NAN,
                          .ec_sum_cations_ms_per_cm = NAN,
                          .osmotic_pressure_kpa = NAN,
                          .cations_meq_per_l = NAN,
                          .anions_meq_per_l = NAN,
                          .balance_residual = NAN};
}

void sw_evidence_free(sw_evidence *evidence)
{
    sw_notes_free(&evidence->notes);
}

/* A fault of these beside a misread ion is a fault of its own. */
static bool may_be_excused(int check)
{
    return check == SW_CHECK_TDS_EC || check == SW_CHECK_TDS_IONS ||
           check == SW_CHECK_PH || check == SW_CHECK_CALCITE;
}

bool sw_evidence_agrees(const sw_evidence *evidence, const sw_evidence *before)
{
    for (int i = 0; i < SW_CHECK_COUNT; i++) {
        bool was_as_bad = before->rows[i].finding == SW_DISAGREES &&
                          fabs(evidence->z[i]) <= fabs(before->z[i]);
        if (evidence->rows[i].finding == SW_DISAGREES &&
            !(may_be_excused(i) && was_as_bad))
            return false;
    }
    return true;
}

bool sw_evidence_disagrees(const sw_evidence *evidence)
{
    for (int i = 0; i < SW_CHECK_COUNT; i++)
        if (evidence->rows[i].finding == SW_DISAGREES)
            return true;
    return false;
}
