/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Behind injectors each tank is filled, and each injector drifts, on its own: a
 * product that is in two tanks counts there as two.
 */
#include "run/sure.h"

#include "io/complain.h"

/* What the library decides on: the recipe as it is or, with stocks, `apart`. */
typedef struct parts {
    sw_mix mix;
    sw_tolerances off;
    sw_apart *apart; /* NULL: without stocks */
} parts;

static sw_status take_apart(const cli_report *report, parts *out,
                            sw_error *error)
{
    const cli_settings *settings = report->settings;
    bool stocks = report->stock && !report_lacks_tanks(report);
    sw_status status = SW_OK;
    *out = (parts){.mix = report_mix(report)};
    if (stocks)
        status = sw_stock_apart(&out->mix, report->stock, &out->apart, error);
    if (out->apart)
        out->mix = out->apart->mix;
    out->off = doubts_tolerances(&settings->doubts, settings->volume_l,
                                 out->apart ? out->apart->head : NULL);
    return status;
}

exit_code sure_find(const cli_report *report, sw_tolerances *off,
                    sw_uncertainty *sure)
{
    sw_error error;
    parts of;
    sw_status status = take_apart(report, &of, &error);
    if (status == SW_OK)
        status = sw_uncertainty_find(&of.mix, &of.off, sure, &error);
    *off = of.off;
    off->head = NULL;
    sw_apart_free(of.apart);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

/* From rows of parts back to products of the shelf in their tanks. */
static void tell_tanks(const sw_apart *apart, sw_diagnosis *diagnosis)
{
    for (size_t i = 0; i < diagnosis->mistake_count; i++) {
        sw_mistake *mistake = &diagnosis->mistakes[i];
        if (mistake->kind == SW_HEAD_OFF)
            continue;
        mistake->head = apart->head[mistake->product];
        mistake->product = apart->product[mistake->product];
    }
    for (size_t i = 0; i < diagnosis->look_count; i++) {
        sw_look *look = &diagnosis->looks[i];
        if (look->kind != SW_LOOK_PRODUCT)
            continue;
        look->head = apart->head[look->product];
        look->product = apart->product[look->product];
    }
}

exit_code meter_find(const cli_report *report, sw_diagnosis **diagnosis)
{
    sw_error error;
    parts of;
    sw_readings readings = report_readings(report);
    sw_status status = take_apart(report, &of, &error);
    if (status == SW_OK)
        status = sw_diagnose(&of.mix, &of.off, &readings, diagnosis, &error);
    if (status == SW_OK && of.apart)
        tell_tanks(of.apart, *diagnosis);
    sw_apart_free(of.apart);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}
