/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a product is to the pH and the pH to its chelates; the usual pH. */
#ifndef SW_ASSESS_AGENT_H
#define SW_ASSESS_AGENT_H

#include "saltwright.h"

#include "table_chelates.h"

/* The range usual in feeds (common practice, no source). */
#define SW_USUAL_PH_LOW 5.5
#define SW_USUAL_PH_HIGH 6.5

/* An acid or base takes or gives this much: citric acid and dibasic phosphates
 * do, potassium dihydrogen phosphate (-0.3 at the pH of feeds) does not. */
#define SW_AGENT_MEQ_PER_G 2.0

/* Less of a component than this in a gram makes no source of it. */
#define SW_SOURCE_MG_PER_G 1.0
static inline bool sw_is_source(const sw_product *product,
                                sw_component component)
{
    return product->per_g.amount[component] >= SW_SOURCE_MG_PER_G;
}

/* Takes so much alkalinity, or is citric acid, which has no charges of its
 * own; its basic salts are none. */
bool sw_is_acid(const sw_product *product);

/* The same, or gives so much. */
bool sw_is_agent(const sw_product *product);

/* "11.213 mL" of so many grams, for a page to round in its own unit; "11.2 mL",
 * "20.5 g", per 1000 L. */
enum { SW_AMOUNT_BYTES = 48 };
const char *sw_amount_of(const sw_product *product, double g,
                         char text[SW_AMOUNT_BYTES]);
const char *sw_amount_per_m3(const sw_product *product, double g_per_l,
                             char text[SW_AMOUNT_BYTES]);

/* At least 1 mmol of inorganic carbon in a gram: foams with acid. */
bool sw_is_carbonate(const sw_product *product);

/* Of Fe, Mn, Zn, Cu, B or Mo: borax and molybdic acid
 * are for their trace element, and too little to matter to the pH. */
bool sw_is_trace_source(const sw_product *product);

/* A trace source none of whose trace elements is asked for. */
bool sw_is_idle_trace(const sw_target *target, const sw_product *product);

/* What a product is for in a recipe. */
typedef enum sw_ph_role {
    SW_PH_NEITHER,
    SW_PH_ACID,
    SW_PH_BASE,           /* carbonates, hydroxides; dibasic phosphate where
                             another phosphate stands on the shelf */
    SW_PH_BASIC_NUTRIENT, /* the only source of its P or Si */
} sw_ph_role;

/* Of `effect` on a pH, meq/g: an acid or a base is what gives or takes much
 * charge for its mass; what is basic and brings P or Si, a nutrient. */
sw_ph_role sw_ph_role_of(const sw_product *product, double effect);

/* Makes bases of the basic nutrients of the shelf where a neutral product
 * brings all that they are there for. */
void sw_ph_replace_nutrients(const sw_shelf *shelf, const sw_target *target,
                             sw_ph_role *role);

/* Acid, or base, that a gram of a product in that role gives at least. */
double sw_agent_meq_per_g(const sw_product *product, sw_ph_role role);

/* g/L of a product that fill the target which it fills first. */
double sw_fill_of(const sw_target *target, const sw_content *per_g);

/* False where the shelf fixes the amount or allows none. */
bool sw_ph_can_vary(const sw_product *product);

/* There for the component itself, not for trace elements that it comes along
 * with: a feed without them is worse than a milligram of sodium. */
bool sw_is_meant_for(const sw_content *per_g, sw_component component);

/* The component asked for that the product would bring and that is short. */
const sw_target_row *sw_short_row_of(const sw_target *target,
                                     const sw_product *product,
                                     const sw_content *finished);

/* Acids and bases that are there whatever the pH, by the role of each product:
 * "nitric acid (s.csv line 11)". */
void sw_agents_list_fixed(const sw_shelf *shelf, const sw_ph_role *roles,
                          char *list, size_t size);

/* The row of reference/chelates.csv; NULL: not in the table. */
const sw_chelates_row *sw_chelate_of(sw_chelator chelator, const char *metal);

/* The pH at which every chelate of a product lasts: from `low` to `doubtful`;
 * below the first or above `high` some metal comes loose.  Infinite: not said.
 */
typedef struct sw_chelate_range {
    double low, doubtful, high;
} sw_chelate_range;
sw_chelate_range sw_chelate_range_of(const sw_product *product);

/* The highest pH that a target asks for, as mixed or aired, of a range without
 * one its max; or the middle of the usual range: what chelates are to bear. */
double sw_feed_ph_of(const sw_target *target);

/* Whether each metal it is a source of, chelated or not, stays dissolved. */
bool sw_stays_dissolved(const sw_product *product, double ph);

/* A trace source of which some metal does not stay dissolved at the pH of the
 * feed, while all that is asked for of it has a source that bears a higher one
 * and may bring it all. */
bool sw_is_outlasted(const sw_shelf *shelf, const sw_target *target,
                     const sw_product *product);

#endif
