/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ctrl-C: a search ends with the best it has; files are whole or absent. */
#ifndef CLI_IO_INTERRUPT_H
#define CLI_IO_INTERRUPT_H

#include <stdbool.h>

/*
 * From here on the first Ctrl-C only sets what is returned, until
 * interrupt_end; a second one ends the program as ever.
 */
const volatile int *interrupt_wait(void);
/* Whether Ctrl-C breaks off what is being read, until it is said again. */
void interrupt_reading(bool breaks);
/* Whether there was one so far, for any thread. */
bool interrupt_asked(void);
/* Whether there was one; what follows ends the program again. */
int interrupt_end(void);

/* From now on what ends the program says that nothing is shown: of many waters
 * judged together there is no part. */
void interrupt_say_nothing(void);

/* What would end the program from now on calls `first` before; that may do
 * what a handler of signals may. */
void interrupt_tidy(void (*first)(void));

/* While files take their places every signal waits, then does what it does. */
void interrupt_hold(void);
void interrupt_release(void);

#endif
