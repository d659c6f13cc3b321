/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to know of a product that is proposed for the shelf. */
#ifndef CLI_TEXT_ADDITION_H
#define CLI_TEXT_ADDITION_H

#include <stddef.h>

#include "saltwright.h"

/*
 * "corrosive; brings Cl 52 mg/L, which the target leaves open", or "".
 */
void addition_words(const sw_addition *addition, const sw_target *target,
                    char *words, size_t size);

#endif
