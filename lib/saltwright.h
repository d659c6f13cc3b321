/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Saltwright: from a lab analysis of the source water, a crop's targets and
 * the fertilisers on the shelf to weights for the scale.
 * The way of the data:
 *     sw_waters_read, sw_target_read, sw_shelf_read    files to records
 *     sw_water_complete                                carbonate of a water
 *     sw_formulate                                     problem to recipe
 *     sw_assess                                        recipe to judgement
 *     sw_stock_plan, sw_weigh, sw_mixing_order         recipe to tanks
 *
 * Conventions.  Every call that can fail returns sw_status and fills the
 * caller's sw_error (which may be NULL).  On failure the out-pointer is NULL
 * and nothing leaks; NULL where something is needed is SW_ERR_MISSING.  What a
 * _read or _new call returned, the matching _free releases; every _free takes
 * NULL.  Strings inside records belong to the record.  The library never
 * prints, never exits and keeps no global state; different threads may work on
 * different objects at once.
 * A number that was not given is NaN.  Amounts are mg/L of finished solution
 * unless the name ends in another unit.
 */
#ifndef SALTWRIGHT_H
#define SALTWRIGHT_H

/* Its parts, in the way of the data; each may be included alone. */
/* clang-format off */
#include "saltwright_base.h"      /* errors, notes, components, units */
#include "saltwright_records.h"   /* products, waters, targets, shelves, recipes */
#include "saltwright_chemistry.h" /* a water completed; a solution at equilibrium */
#include "saltwright_formulate.h" /* a problem to its recipe, and what is proved of it */
#include "saltwright_assess.h"    /* the finished solution judged */
#include "saltwright_audit.h"     /* a lab report judged */
#include "saltwright_stock.h"     /* tanks, weighable amounts, the order of mixing */
#include "saltwright_ph.h"        /* acid and base for a pH alone */
#include "saltwright_premix.h"    /* bought premixes */
#include "saltwright_crops.h"     /* published targets of crops */
#include "saltwright_decide.h"    /* how sure the result is */
#include "saltwright_meter.h"     /* what a meter should show, and what went wrong */
#include "saltwright_why.h"       /* why this recipe, or none; what fit costs */
#include "saltwright_which.h"     /* which water, how strong, which stage */
#include "saltwright_many.h"      /* one recipe for several waters */
#include "saltwright_renew.h"     /* a recirculating solution brought back */

#endif
