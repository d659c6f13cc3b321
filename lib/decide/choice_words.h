/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a choice, from its figures. */
#ifndef SW_DECIDE_CHOICE_WORDS_H
#define SW_DECIDE_CHOICE_WORDS_H

#include "saltwright.h"

/* Fills the verdict, and the reason of each that was not chosen. */
void sw_choice_tell(const sw_candidate *candidates, sw_choice *choice);

#endif
