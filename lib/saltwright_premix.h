/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The part of saltwright.h on bought premixes; saltwright.h includes it:
 * include that one.
 */
#ifndef SALTWRIGHT_PREMIX_H
#define SALTWRIGHT_PREMIX_H

#include "saltwright.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Premix -------------------------------------------------------------*/

/* Whether a product is a premix: known by a label of four elements or more. */
SW_API bool sw_is_premix(const sw_product *product);

/*
 * The amount, g/L, at which `product` brings the mix closest to the targets of
 * its components (least sum of weighted squared relative deviations), what
 * else is in the recipe staying as it is; 0 where none helps.  SW_ERR_VALUE
 * (no such product), SW_ERR_MISSING (it brings nothing that has a target).
 */
SW_API sw_status sw_premix_fit(const sw_mix *mix, size_t product,
                               double *g_per_l, sw_error *error);

/* A component with a target, as the premix brings it. */
typedef struct sw_premix_row {
    sw_component component;
    bool declared;           /* on the label */
    double brought_mg_per_l; /* by the premix */
    double wanted_mg_per_l;  /* what water and the rest leave open, >= 0 */
    double ratio;            /* brought, to that of `base`, by mass */
    double wanted_ratio;     /* the same of what is wanted; NaN: no base */
} sw_premix_row;

typedef struct sw_premix {
    size_t product;
    double g_per_l;
    sw_component base; /* of the ratios: N or the first that both have */
    sw_premix_row rows[SW_COMPONENT_COUNT];
    size_t row_count;
    double ammonium_share, urea_share; /* of its nitrogen; NaN without any */
    sw_notes notes;                    /* what the label leaves open */
} sw_premix;

/* Its proportions against those wanted, and what its label leaves undeclared:
 * elements, a chelator, ions.  SW_ERR_VALUE (no such product), _MEMORY. */
SW_API sw_status sw_premix_review(const sw_mix *mix, size_t product,
                                  sw_premix **premix, sw_error *error);
SW_API void sw_premix_free(sw_premix *premix);

#ifdef __cplusplus
}
#endif

#endif
