/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of what a label's product is derived from. */
#ifndef SW_RECORDS_LABEL_LIST_H
#define SW_RECORDS_LABEL_LIST_H

#include "saltwright.h"

enum { SW_LIST_NAMES = 32, SW_LIST_SALTS = 96, SW_LIST_NAME = 64 };

/* A row of the catalogue that a name of the list may mean. */
typedef struct sw_label_salt {
    size_t row;  /* of the catalogue */
    size_t name; /* of the list, from 0 */
    sw_content per_g;
    sw_chelator chelator;
    double g_per_g; /* in a gram of the product, once that is found */
} sw_label_salt;

typedef struct sw_label_list {
    char names[SW_LIST_NAMES][SW_LIST_NAME];
    size_t name_count;
    sw_label_salt sources[SW_LIST_SALTS];
    size_t count;
} sw_label_list;

/*
 * Fills *list, which is all zero; `unknown` is the first name that is not in
 * the catalogue, or "".  SW_ERR_LIMIT (too long a list), SW_ERR_MEMORY.
 */
sw_status sw_label_list_read(const char *text, sw_label_list *list,
                             char unknown[SW_LIST_NAME], sw_error *error);

/* How many names a list has, and how many of them say acid or hydroxide. */
typedef struct sw_label_kinds {
    int names, acids, bases;
} sw_label_kinds;
sw_label_kinds sw_label_list_kinds(const char *text);

#endif
