/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every part of Saltwright shares: errors, notes, components, units. */
#ifndef SALTWRIGHT_BASE_H
#define SALTWRIGHT_BASE_H

/* clang-format off */
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "saltwright_components.h"
#include "saltwright_version.h"

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__) && !defined(SW_STATIC)
#define SW_API __attribute__((visibility("default")))
#else
#define SW_API
#endif
/* SW_VERSION of the library that runs; static storage. */
SW_API const char *sw_version(void);

/* ---- Errors -----------------------------------------------------------
 * An error is a call that could not do its work.  How a solve ended is an
 * sw_outcome instead.  One list gives codes and texts. */
#define SW_STATUS_LIST(X)                                                      \
    X(SW_OK, "ok")                                                             \
    X(SW_ERR_MEMORY, "out of memory")                                          \
    X(SW_ERR_IO, "cannot read or write")                                       \
    X(SW_ERR_SYNTAX, "malformed input")                                        \
    X(SW_ERR_NAME, "unknown or ambiguous name")                                \
    X(SW_ERR_UNIT, "unknown, ambiguous or unfitting unit")                     \
    X(SW_ERR_VALUE, "value out of its domain")                                 \
    X(SW_ERR_DUPLICATE, "given twice")                                         \
    X(SW_ERR_MISSING, "something required is missing")                         \
    X(SW_ERR_LIMIT, "input larger than the stated bounds")                     \
    X(SW_ERR_NUMERIC, "computation did not converge")                          \
    X(SW_ERR_SOLVER, "the solver failed")
typedef enum sw_status {
#define SW_STATUS_ENUM(code, text) code,
    SW_STATUS_LIST(SW_STATUS_ENUM)
#undef SW_STATUS_ENUM
} sw_status;
SW_API const char *sw_status_text(sw_status status); /* static, never NULL */

typedef struct sw_error {
    sw_status status;
    char message[512];    /* one sentence: what, what was expected, example */
    char file[256];       /* as the caller named it; "" when none applies */
    unsigned long line, column; /* characters; from 1; 0 when none applies */
} sw_error;
/* What a call found worth saying without failing. */
typedef enum sw_severity { SW_INFO, SW_WARNING, SW_DANGER } sw_severity;
/* What a note is about, for who acts on it; flags. */
enum {
    SW_ABOUT_PH = 1 << 2, /* the first two bits are those of a severity */
    SW_ABOUT_UNASKED = 1 << 3,  /* what the target does not name */
    SW_ABOUT_OVERDOSE = 1 << 4, /* much more than the target asks for */
    SW_ABOUT_FEED = 1 << 5,     /* what no feed holds, though it is asked for */
    SW_ABOUT_TARGET = 1 << 6,   /* what a target should not ask for */
    SW_ABOUT_STRENGTH = 1 << 7, /* the EC */
    SW_ABOUT_WATER = 1 << 8,
    SW_ABOUT_TANK = 1 << 9,      /* of a stock */
    SW_ABOUT_CURE = 1 << 10,     /* acid or base lacking or held back, sized by
                                    the alkalinity of the water */
    SW_ABOUT_EASED = 1 << 11,    /* a limit that gave way */
    SW_ABOUT_RATE = 1 << 12,     /* a best rate held back, or of nothing */
    SW_ABOUT_ADDED = 1 << 13,    /* what a target's set was given from another */
    SW_ABOUT_CHELATE = 1 << 14,
    SW_ABOUT_AMMONIUM = 1 << 15, /* or urea, as a share of the nitrogen */
    SW_ABOUT_IRON = 1 << 16,     /* of the water itself */
    SW_ABOUT_METER = 1 << 17,    /* what a meter read */
    SW_ABOUT_CAUTION = 1 << 18,  /* usual care with a product */
    SW_ABOUT_GEAR = 1 << 19,     /* what is worn */
    SW_ABOUT_REPORT = 1 << 21,   /* a water's, by which it is SW_UNKNOWN_WATER */
    SW_ABOUT_LACK = 1 << 22,     /* an acid or base too little or none, for which
                                    a pH or what it cost is missed */
    SW_ABOUT_DOUBT = 1 << 23,    /* a water's, of which some figure is wrong */
    SW_ABOUT_GAS = 1 << 24,      /* what acid drives out of a water */
    SW_ABOUT_FILE = 1 << 20      /* of a file of waters, not of one of them */
};
typedef struct sw_note {
    sw_severity severity;
    unsigned about; /* of SW_ABOUT_...; 0: nothing of these */
    char code[32];  /* stable, lower case with dashes: "water-decides" */
    char text[512]; /* one or two sentences */
} sw_note;
typedef struct sw_notes { sw_note *items; size_t count; } sw_notes;
SW_API void sw_notes_free(sw_notes *notes); /* the items, not the struct */
/* The first note of that code; NULL: there is none. */
SW_API const sw_note *sw_notes_find(const sw_notes *notes, const char *code);
/* "info", "warning", "danger"; static storage. */
SW_API const char *sw_severity_text(sw_severity severity);
/* The signal word of the GHS: "", "Warning", "Danger"; static storage. */
SW_API const char *sw_signal_text(sw_severity severity);

/* ---- Components and what carries them ---------------------------------- */
/* Everything that mixes linearly.  A content is per litre (of a water or a
 * finished solution) or per gram (of a product).  Up to SW_N it holds mg; the
 * rest is bookkeeping for charge and pH in the units named.  The components
 * are the rows of reference/components.csv, SW_NO3_N first, in the order of
 * screens; SW_N, the last, is kept as the sum of the three forms of nitrogen. */
typedef enum sw_component {
#define SW_COMPONENT_ENUM(code, name) code,
    SW_COMPONENT_LIST(SW_COMPONENT_ENUM)
#undef SW_COMPONENT_ENUM
    SW_COMPONENT_COUNT, /* components with a name on screen end here */
    /* Moles of charge of strong cations minus strong anions, references
     * NH4+, H2PO4-, H3BO3, H4SiO4, HF's F-, MoO4 2-, citrate as H3Cit, CO2. */
    SW_ALKALINITY = SW_COMPONENT_COUNT, /* meq */
    SW_CARBON,                          /* inorganic carbon, mmol */
    SW_CITRATE,                         /* mmol */
    SW_CHELATED_FE, SW_CHELATED_MN,     /* mg held by a chelator */
    SW_CHELATED_ZN, SW_CHELATED_CU,
    /* mg of iron that came with the water, which air turns to rust: not in
     * SW_FE, which a crop gets, but in the chemistry and under every max. */
    SW_WATER_FE,
    SW_CHELATE_CHARGE,                  /* meq of anion of metal chelates */
    SW_UNDECLARED, /* meq of anions that labels leave out; below 0 cations */
    SW_UNKNOWN_WATER, /* litres of water that is not to be mixed yet: nothing
                         tells its alkalinity, or its report cannot be true */
    SW_UNKNOWN_CO2,   /* and of such as has one whose pH nobody knows: none is
                         for a tank that keeps its CO2 */
    SW_CARRIED_COUNT
} sw_component;
typedef struct sw_content { double amount[SW_CARRIED_COUNT]; } sw_content;
/* "NO3-N", "K", ... "N"; static storage; NULL from SW_COMPONENT_COUNT on. */
SW_API const char *sw_component_name(sw_component component);
/* What is true of components alike. */
enum {
    SW_IS_FORM = 1,    /* of nitrogen, told by their sum */
    SW_IS_MAIN = 2,    /* N P K Ca Mg S */
    SW_IS_TRACE = 4,   /* fed in traces: Fe ... Mo */
    SW_IS_SALT = 8,    /* Na, Cl */
    SW_IS_BUFFER = 16, /* P, Si: they hold a pH */
    SW_IS_CAPPED = 32, /* products bring little of it where no target names it */
    SW_IS_PLAIN = 64   /* none of these */
};
/* Whether it is any of these; false from SW_COMPONENT_COUNT on. */
SW_API bool sw_component_is(sw_component component, unsigned roles);
/* Equivalents of its charge in water, without the sign, in meq per mg; 0 where
 * it has none: boron, silicon, urea, and from SW_N on. */
SW_API double sw_meq_per_mg(sw_component component);
/* to += factor * from, every amount. */
SW_API void sw_content_add(sw_content *to, double factor,
                           const sw_content *from);
/* to += fractions[i] * waters[i], per litre, of each of `count` waters; with
 * NULL for the fractions, each whole. */
SW_API void sw_content_add_waters(sw_content *to, const sw_content *waters,
                                  const double *fractions, size_t count);
/* Whether it has no SW_UNKNOWN_WATER: any figure of a report that cannot be
 * true may be the wrong one. */
SW_API bool sw_alkalinity_is_known(const sw_content *per_l);
/* And none of which nobody knows the CO2, with which a pH as mixed goes. */
SW_API bool sw_co2_is_known(const sw_content *per_l);

/* ---- Volumes, masses and rates as people write them --------------------- */
typedef enum sw_unit_system { SW_METRIC, SW_US } sw_unit_system;
/* "400gal", "1500 L", "2m3", "250mL", "100 impgal" -> litres (1 mL to 1e5 m3)
 * and the system the unit is of (gal: SW_US).  SW_ERR_SYNTAX, _UNIT, _VALUE. */
SW_API sw_status sw_volume_parse(const char *text, double *volume_l,
                                 sw_unit_system *system, sw_error *error);
/* "0.5g", "2 oz" -> grams (> 0, finite); errors as above. */
SW_API sw_status sw_mass_parse(const char *text, double *g, sw_error *error);
/* "2.1mS/cm", "2100 uS/cm" -> mS/cm (> 0, finite); errors as above. */
SW_API sw_status sw_conductivity_parse(const char *text, double *ms_per_cm,
                                       sw_error *error);

/* The nearest of `words` to what was typed for one of them, a third of whose
 * letters may be wrong; NULL where none is near.  One of the words. */
SW_API const char *sw_nearest_word(const char *given, const char *const *words,
                                   size_t count);

#ifdef __cplusplus
}
#endif

#endif
