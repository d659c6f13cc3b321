/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the words of a product's name say that it does to a pH. */
#ifndef SW_RECORDS_NAME_SIDE_H
#define SW_RECORDS_NAME_SIDE_H

#include <stdbool.h>

/* Of a name in lower case; what is beyond is not looked at. */
enum { SW_NAME_BYTES = 200 };

typedef enum sw_name_side {
    SW_NAMES_NONE, /* also where words say both */
    SW_NAMES_ACID,
    SW_NAMES_BASE,
    SW_NAMES_WATER,
    SW_NAMES_PEROXIDE,
    SW_NAMES_VINEGAR /* also acetic acid */
} sw_name_side;

/* Of names in English, German, French, Spanish and Dutch. */
sw_name_side sw_name_side_of(const char *name);

/* Whether a word begins here that any product may have, "solution". */
bool sw_name_is_form(const char *at);

/* Whether it says that it is a liquid: "solution", not "solution grade";
 * "Lauge". */
bool sw_name_is_liquid(const char *name);

/* Whether it is one of an acid or a base that is sold dissolved: "Lauge". */
bool sw_name_is_dissolved(const char *name);

#endif
