/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Concentrates: what goes into which tank, whether it stays dissolved, what an
 * injector brings, and what to buy. */
#include <math.h>

#include "report/blocks.h"
#include "run/cautions.h"
#include "run/tanks.h"
#include "sentences_text.h"

/* Nobody is to weigh or buy for tanks that must not be used. */
static unsigned places_of(const cli_report *report, unsigned usual)
{
    return report_lacks_tanks(report) || stop_withholds(report) ? DOC_DATA
                                                                : usual;
}

static const char *const facts[] = {"make_up", "feed_l", "days_per_fill",
                                    "cost_per_fill", "cost_per_m3"};
enum { KEYS = sizeof facts / sizeof *facts };

static void put_feed(doc_record *out, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    sw_unit_system system = report->settings->volume_system;
    double days = stock->feed_l / report->settings->per_day_l;
    DOC_NUMBERS(out, {"feed_l", stock->feed_l}, {"days_per_fill", days},
                {"cost_per_fill", stock->cost_per_fill},
                {"cost_per_m3", stock->cost_per_m3});
    doc_reads(out, "feed_l", "%s of feed%s",
              figure_volume(stock->feed_l, system).text,
              tanks_differ(report->setup, stock)
                  ? ", until the first tank is empty"
                  : "");
    if (report->settings->amounts != AMOUNTS_METRIC)
        doc_reads(
            out, "cost_per_m3", "%s, or %s per 1000 gal",
            figure_fixed(stock->cost_per_m3, FIGURE_COST).text,
            figure_fixed(stock->cost_per_m3 * figure_l_per_gal, FIGURE_COST)
                .text);
    doc_reads(out, "cost_per_fill", SAY_IN_CURRENCY_OF,
              figure_fixed(stock->cost_per_fill, FIGURE_COST).text);
    doc_reads(out, "days_per_fill", "%s days at %s a day",
              figure_short(days).text,
              figure_volume(report->settings->per_day_l, system).text);
}

static void put_remedies(doc_record *out, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    const sw_shelf *shelf = report->inputs->shelf;
    if (stock->outcome != SW_CONFLICT)
        return;
    doc_block *block = doc_add(out, "remedies");
    doc_title(block, "No stock at factor %.4g", report->setup->factor);
    if (!report_lacks_tanks(report))
        doc_show_block(block, DOC_DATA);
    if (stock->limit[0])
        doc_before(block, "%s.", stock->limit);
    doc_before(block, "%s",
               stock->remedy_count > 1 ? "Any one of these helps:"
               : stock->remedy_count   ? "This helps:"
                                       : stop_no_remedy);
    for (size_t i = 0; i < stock->remedy_count; i++) {
        const sw_remedy *remedy = &stock->remedies[i];
        doc_record *row = doc_row(block);
        doc_text(row, "kind", sw_remedy_text(remedy->kind));
        doc_number(row, "factor", remedy->factor);
        if (remedy->product < shelf->count)
            doc_text(row, "product", shelf->products[remedy->product].name);
        if (remedy->tank < SW_TANKS)
            doc_text(row, "tank", sw_tank_text(remedy->tank));
        doc_text(row, "text", remedy->text);
    }
}

static void put_product(doc_block *block, const cli_report *report, int tank,
                        size_t index)
{
    const sw_product *product = &report->inputs->shelf->products[index];
    const sw_placement *placement = &report->stock->placements[index];
    double g = placement->g[tank];
    bool liquid = !isnan(product->density_g_per_ml);
    doc_record *row = doc_row(block);
    doc_text(row, "tank", sw_tank_text((sw_tank)tank));
    doc_text(row, "product", product->name);
    report_put_amounts(row, report, index, g);
    report_per_100(row, report, index, g / report->stock->tanks[tank].volume_l);
    doc_number(row, "amount",
               liquid ? printed_ml(report, index, g)
                      : printed_g(report, index, g));
    doc_text(row, "amount_unit", liquid ? "mL" : "g");
    report_put_unsized(row, report, index, g / report->recipe->g_per_l[index]);
    doc_text(row, "reason", placement->reason);
    if (scale_has_solution(report, index))
        doc_words(row, "reason", "");
    report_solution_words(row, "dosed", report, index);
}

static void put_products(doc_record *out, const cli_report *report)
{
    doc_block *block = doc_add(out, "products");
    doc_show_block(block, places_of(report, DOC_BRIEF | DOC_SCREEN |
                                                DOC_EVIDENCE | DOC_DATA));
    report_say_blend(block, report);
    doc_before(block, "%s", report_gear(report).text);
    for (int t = 0; t < SW_TANKS; t++)
        for (size_t i = 0; i < report->stock->count; i++)
            if (report->stock->placements[i].g[t] > 0.0)
                put_product(block, report, t, i);
    if (report->setup->third_tank &&
        !(report->stock->tanks[SW_TANK_C].volume_l > 0.0))
        doc_after(block, SAY_TANK_C_EMPTY);
}

/* "4 x 25.0 kg", or the volume of a liquid. */
static void put_packs(doc_record *row, const cli_report *report, size_t index,
                      const sw_purchase *bought)
{
    const cli_way way = {.us = report->settings->amounts == AMOUNTS_US};
    const cli_way other = {.us = !way.us};
    bool both = report->settings->amounts == AMOUNTS_BOTH;
    double pack_g = report->inputs->shelf->products[index].pack_g;
    doc_words(row, "needed",
              printed_amount(report, index, bought->g, way).text);
    doc_reads(row, "packs", "%.0f x %s%s%s", bought->packs,
              printed_amount(report, index, pack_g, way).text,
              both ? " or " : "",
              both ? printed_amount(report, index, pack_g, other).text : "");
}

static sw_purchase put_purchase(doc_block *block, const cli_report *report,
                                size_t index)
{
    double fills = report->settings->fills;
    const sw_shelf *shelf = report->inputs->shelf;
    sw_purchase bought = sw_stock_purchase(report->stock, shelf, index, fills);
    if (!(bought.g > 0.0))
        return (sw_purchase){.packs = (double)NAN};
    doc_record *row = doc_row(block);
    doc_text(row, "product", shelf->products[index].name);
    DOC_NUMBERS(row, {"needed", bought.g}, {"fills", fills}, {"g", bought.g},
                {"packs", bought.packs},
                {"pack_g", shelf->products[index].pack_g},
                {"cost", bought.cost});
    put_packs(row, report, index, &bought);
    return bought;
}

/* Shown where there is more to say than the tanks do: packs, or batches. */
static void put_purchases(doc_record *out, const cli_report *report)
{
    double total = 0.0;
    double fills = report->settings->fills;
    bool tells = fills > 1.0;
    doc_block *block = doc_add(out, "purchases");
    if (fills > 1.0)
        doc_title(block, SAY_TO_BUY, fills);
    else
        doc_title(block, "To buy for a batch of stock");
    for (size_t i = 0; i < report->stock->count; i++) {
        sw_purchase bought = put_purchase(block, report, i);
        total += bought.cost;
        tells = tells || !isnan(bought.packs);
    }
    if (!tells || stop_is_asked(report))
        doc_show_block(block, DOC_DATA);
    doc_number(out, "purchase_cost", total);
    if (!isnan(total))
        doc_after(block, SAY_TO_BUY_TOGETHER,
                  figure_fixed(total, FIGURE_COST).text);
}

/* The test of an injector: round, and enough for one of 1:2000 to draw what a
 * small jug shows. */
static double test_l(const cli_report *report)
{
    return report->settings->volume_system == SW_US ? 25.0 * figure_l_per_gal
                                                    : 100.0;
}

/* What it must draw from a jug then: "32.0 fl oz (946 mL)", or "1.000 L". */
static void put_draw(doc_record *row, const cli_report *report, double ratio)
{
    double ml = 1000.0 * test_l(report) / ratio;
    if (report->settings->volume_system == SW_US)
        doc_reads(row, "draws", "%s (%s)", figure_liquid_us(ml).text,
                  figure_liquid_metric(ml).text);
    else
        doc_words(row, "draws", figure_liquid_metric(ml).text);
}

/* "N 94, K 190, Ca 118, Fe 2.00"; the forms of nitrogen by their sum. */
static void put_brings(doc_record *row, const cli_report *report,
                       const sw_content *brings)
{
    char list[400] = "";
    doc_block *map = doc_add(row, "brings_mg_per_l");
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        const sw_component_row *told = report_row(report, i);
        double mg_per_l = brings->amount[told->component];
        int decimals = report_row_decimals(told);
        if (mg_per_l > 0.0)
            doc_entry(map, sw_component_name(told->component), mg_per_l);
        if (told->component <= SW_UREA_N ||
            mg_per_l < 0.5 * pow(10.0, -decimals))
            continue;
        text_join(list, sizeof list, ", ", "%s %s",
                  sw_component_name(told->component),
                  figure_fixed(mg_per_l, decimals).text);
    }
    doc_text(row, "brings", list);
}

static void put_head(doc_block *block, const cli_report *report,
                     const sw_head *head)
{
    const sw_chemistry *alone = &head->alone;
    doc_record *row = doc_row(block);
    doc_text(row, "tank", sw_tank_text(head->tank));
    DOC_NUMBERS(row, {"ratio", head->ratio},
                {"draws_ml_per_l", 1000.0 / head->ratio},
                {"draws", 1000.0 / head->ratio},
                {"ec_alone_ms_per_cm", alone->ec_ms_per_cm},
                {"ec_alone_low_ms_per_cm", alone->ec_low_ms_per_cm},
                {"ec_alone_high_ms_per_cm", alone->ec_high_ms_per_cm},
                {"ph_alone", alone->ph});
    put_draw(row, report, head->ratio);
    doc_reads(row, "ec_alone_ms_per_cm", "%s (%s to %s)",
              figure_fixed(alone->ec_ms_per_cm, FIGURE_EC).text,
              figure_fixed(alone->ec_low_ms_per_cm, FIGURE_EC).text,
              figure_fixed(alone->ec_high_ms_per_cm, FIGURE_EC).text);
    put_brings(row, report, &head->brings);
}

static void put_heads(doc_record *out, const cli_report *report)
{
    if (!report->head_count)
        return;
    doc_block *block = doc_add(out, "heads");
    doc_show_block(block,
                   places_of(report, DOC_SCREEN | DOC_EVIDENCE | DOC_DATA));
    for (size_t i = 0; i < report->head_count; i++)
        put_head(block, report, &report->heads[i]);
    doc_after(
        block, SAY_INJECTOR_TEST,
        figure_volume(test_l(report), report->settings->volume_system).text);
    doc_after(block, SAY_INJECTOR_ALONE);
}

static void put_tank(doc_block *block, const cli_report *report, sw_tank tank)
{
    const sw_tank_report *tested = &report->stock->tanks[tank];
    doc_record *row = doc_row(block);
    bool fails = tested->saturation_cold > 1.0 || tested->saturation > 1.0;
    double most = floor(tested->highest_factor); /* 657.9 is no 658 */
    doc_text(row, "tank", sw_tank_text(tank));
    doc_text(
        row, "holds",
        figure_volume(tested->volume_l, report->settings->volume_system).text);
    DOC_NUMBERS(row, {"volume_l", tested->volume_l}, {"ratio", tested->ratio},
                {"salts_g_per_l", tested->salts_g_per_l}, {"ph", tested->ph},
                {"saturation", tested->saturation},
                {"saturation_cold", tested->saturation_cold},
                {"highest_factor", most >= 1.0 ? most : (double)NAN},
                {"coldest_c", tested->coldest_c},
                {"chelate_ph_low", tested->chelate_ph_low},
                {"chelate_ph_high", tested->chelate_ph_high},
                {"ammonia_ppm", tested->ammonia_ppm});
    doc_words(row, "highest_factor",
              most >= 1.0 ? figure_fixed(most, FIGURE_WHOLE).text : "-");
    doc_text(row, "solid", tested->solid);
    doc_text(row, "solid_cold", tested->solid_cold);
    doc_text(row, "first",
             tested->solid_cold[0] ? tested->solid_cold : tested->solid);
    doc_text(row, "no_ph", tested->no_ph);
    if (tested->makes_lime)
        doc_print(row, "purified", SAY_TANK_PURIFIED,
                  figure_fixed(tested->chelate_ph, FIGURE_PH).text);
    doc_text(row, "no_data", tested->no_data);
    doc_text(row, "missing", tested->missing);
    if (fails && !isnan(tested->coldest_c))
        doc_print(row, "keep_above", SAY_KEEP_ABOVE,
                  report_degrees(report, ceil(tested->coldest_c)).text,
                  tested->solid_cold);
    doc_colour(row, fails ? DOC_BAD : DOC_PLAIN);
}

static void put_tanks(doc_record *out, const cli_report *report)
{
    const sw_stock_setup *setup = report->setup;
    doc_block *block = doc_add(out, "tanks");
    doc_title(block, SAY_STAYS_DISSOLVED,
              report_degrees(report, setup->temperature_c).text,
              report_degrees(report, setup->cold_c).text);
    for (int t = 0; t < SW_TANKS; t++)
        if (report->stock->tanks[t].volume_l > 0.0)
            put_tank(block, report, (sw_tank)t);
}

void report_stock(doc_record *record, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    if (!stock)
        return;
    doc_block *block = doc_add(record, "stock");
    doc_record *out = doc_row(block);
    doc_text(out, "outcome", sw_outcome_text(stock->outcome));
    DOC_NUMBERS(out, {"factor", report->setup->factor},
                {"highest_factor", stock->highest_factor});
    doc_text(out, "limit", stock->limit);
    if (report->make_up) {
        doc_text(out, "make_up", report->make_up->sample);
        doc_reads(out, "make_up", "%s, not the source water",
                  report->make_up->sample);
    }
    if (!report_lacks_tanks(report))
        put_feed(out, report);
    for (size_t i = 0; stop_is_asked(report) && i < KEYS; i++)
        doc_words(out, facts[i], "");
    put_remedies(out, report);
    put_products(out, report);
    if (!report_lacks_tanks(report))
        put_purchases(out, report);
    put_heads(out, report);
    put_tanks(out, report);
}
