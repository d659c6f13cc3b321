/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is to be said of filled tanks. */
#ifndef SW_STOCK_TANK_REPORT_H
#define SW_STOCK_TANK_REPORT_H

#include "stock/mixture.h"

/* Saturation, pH and limits of every tank in use, and notes on them. */
void sw_report_tanks(const sw_pitzer *pitzer, const sw_shelf *shelf,
                     const sw_content *make_up, const sw_stock_setup *setup,
                     sw_stock *stock);

/* A note on each pair of products of one tank that must not meet. */
void sw_report_feuds(const sw_shelf *shelf, sw_stock *stock);

#endif
