/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is read off in a tank can harm a crop whatever made it so; then what to
 * do comes before what may have gone wrong.  Limits and steps are common
 * practice, no source.
 */
#include "decide/meter.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/harm.h"

#include <math.h>

/* Hardly any crop is burnt by less. */
static const double ec_harmless = 2.5;
/* Times what the recipe makes: a crop is used to that. */
static const double times_high = 1.5, times_harmful = 2.0;

static const char measure_again[] =
    "Do not feed this. Measure again with a freshly calibrated meter";

/* Where roots take up well; `below` its low end (reference/harm.csv). */
static double usual_ph(bool below)
{
    sw_feed_limit limit = {.usual = NAN};
    sw_feed_limit_of(SW_TARGET_PH, SW_COMPONENT_COUNT, below, &limit);
    return limit.usual;
}

/* The target's own limits on pH, or the usual ones. */
static bool suits(const sw_target *target, double ph)
{
    const sw_target_row *row = sw_target_ph(target);
    row = row && row->aired ? NULL : row; /* the tank may hold CO2 yet */
    double low = row && !isnan(row->min) ? row->min : usual_ph(true);
    double high = row && !isnan(row->max) ? row->max : usual_ph(false);
    return ph >= low && ph <= high;
}

static sw_status warn_of_ph(const sw_target *target, double ph, sw_notes *notes)
{
    bool low = ph < usual_ph(true);
    if (isnan(ph))
        return SW_OK;
    if (sw_feed_harms(SW_TARGET_PH, SW_COMPONENT_COUNT, ph))
        return sw_notes_add(
            notes, SW_DANGER, "measured-ph-harmful",
            "The pH measured is %.2f, which harms roots. %s. If it stays so, "
            "keep the crop off it, find out what went in, and correct it with "
            "a little %s at a time, stirred and measured each time, with "
            "gloves and goggles on and as the label and local rules say; or "
            "make a new mix (common practice, no source).",
            ph, measure_again, low ? "base" : "acid");
    if (suits(target, ph))
        return SW_OK;
    return sw_notes_add(
        notes, SW_WARNING, "measured-ph-off",
        "The pH measured is %.2f, outside %s: some nutrients are taken up "
        "badly there. Measure again with a calibrated meter before it is "
        "corrected (common practice, no source).",
        ph,
        ph < usual_ph(true) || ph > usual_ph(false) ? "5.0 to 6.5"
                                                    : "the target's limits");
}

static sw_status warn_of_ec(double made, double ec, sw_notes *notes)
{
    bool harmful = sw_feed_harms(SW_TARGET_EC, SW_COMPONENT_COUNT, ec) ||
                   (ec > ec_harmless && ec > times_harmful * made);
    if (harmful)
        return sw_notes_add(
            notes, SW_DANGER, "measured-ec-harmful",
            "The EC measured is %.2f mS/cm, %.1f times what the recipe makes: "
            "so much salt burns roots. %s. If it stays so, keep the crop off "
            "it, and thin it with water and measure again, or make a new mix; "
            "what the crop has had of it is washed out with weak feed (common "
            "practice, no source).",
            ec, ec / made, measure_again);
    if (ec > ec_harmless && ec > times_high * made)
        return sw_notes_add(
            notes, SW_WARNING, "measured-ec-high",
            "The EC measured is %.2f mS/cm, %.1f times what the recipe makes. "
            "Measure again with a calibrated meter before this is fed; young "
            "plants are burnt first (common practice, no source).",
            ec, ec / made);
    return SW_OK;
}

sw_status sw_readings_warn(const sw_outlook *outlook,
                           const sw_readings *readings, sw_notes *notes,
                           sw_error *error)
{
    sw_status status =
        warn_of_ec(outlook->paper_ec, readings->ec_ms_per_cm, notes);
    if (status == SW_OK)
        status = warn_of_ph(outlook->mix->target, readings->ph, notes);
    return status == SW_OK ? status : sw_fail_memory(error);
}
