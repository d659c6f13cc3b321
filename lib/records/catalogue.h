/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The catalogue's rows by what they are called and made of. */
#ifndef SW_RECORDS_CATALOGUE_H
#define SW_RECORDS_CATALOGUE_H

#include "saltwright.h"

enum { SW_MOST_CHOICES = 8 };

/* The rows a name may mean. */
typedef struct sw_catalogue_matches {
    size_t index[SW_MOST_CHOICES];
    size_t count;
} sw_catalogue_matches;
sw_catalogue_matches sw_catalogue_match(const char *name);
/* The same of the longest name at its start, before a grade, a number, a
 * bracket or its form: "potassium sulfate 0-0-50". */
sw_catalogue_matches sw_catalogue_match_start(const char *name);

/* What a row is made of; static storage. */
typedef struct sw_salt {
    const char *name;
    const char *formula; /* "" where only a label is known */
    bool is_liquid, has_label;
    double purity, density_g_per_ml; /* NaN: of a label; of a solid */
} sw_salt;
sw_salt sw_catalogue_salt(size_t index);
/* What a gram of it carries, and by what its metals are held. */
sw_status sw_catalogue_content(size_t index, sw_content *per_g,
                               sw_chelator *chelator, sw_error *error);

#endif
