/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory as malloc and free have it, with a count of what is lost. */
#ifndef SW_TESTS_MEMORY_LEAKS_H
#define SW_TESTS_MEMORY_LEAKS_H

#include <stddef.h>

void *leaks_malloc(size_t size);
/* Bytes of a block of leaks_malloc. */
size_t leaks_size(void *memory);
void leaks_free(void *memory);
/* One that may be lost. */
void leaks_excuse(void *memory);
/* Blocks that nothing points to. */
size_t leaks_count(void);

#endif
