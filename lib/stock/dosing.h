/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dosing arithmetic: from tanks through injectors to the finished solution. */
#ifndef SW_STOCK_DOSING_H
#define SW_STOCK_DOSING_H

#include "saltwright.h"

/* Litres of feed per litre of stock. */
#define SW_LEAST_FACTOR 4.0
#define SW_MOST_FACTOR 2000.0

/* Litres of feed from a full tank. */
double sw_dose_feed_l(const sw_stock_setup *setup, sw_tank tank);

/* Litres of stock, of tanks in use, in a litre of feed. */
double sw_dose_stock_share(const sw_stock *stock);

/* Litres of a full tank a gram takes: a liquid by its density, a solid at most
 * 0.6 mL (common practice, no source: salts have densities of 1.5 to 2.7). */
double sw_dose_l_per_g(const sw_product *product);

/* The least of a tank that is water before anything goes in: common practice,
 * no source. */
#define SW_LEAST_FIRST_FILL 0.1

/* SW_ERR_VALUE: a figure of the setup is out of its domain. */
sw_status sw_dose_check(const sw_stock_setup *setup, sw_error *error);

/* Which tanks the placements use; volume and ratio of each into the report. */
void sw_dose_tanks(const sw_stock_setup *setup, sw_stock *stock);

/* A tank's salts per litre of stock, and grams of product per litre. */
void sw_dose_tank(const sw_shelf *shelf, const sw_stock *stock, sw_tank tank,
                  sw_content *salts, double *g_per_l);

/*
 * finished, water_share, feed_l and costs, from placements and tanks.  The
 * make-up water of a stock counts by the litre of stock: what the salts
 * displace of it (under 0.4 % of the finished solution) is left out.
 */
void sw_dose_finish(const sw_mix *mix, const sw_stock_setup *setup,
                    sw_stock *stock);

#endif
