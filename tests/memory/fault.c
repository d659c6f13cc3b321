/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Put before a program by LD_PRELOAD: allocation FAULT_NTH of the whole
 * process, GLPK's, GSL's and libc's too, fails, and with FAULT_STICKY all after
 * it. FAULT_COUNT names a file that takes their number.
 */
#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);

static unsigned long made, nth;
static bool ready, sticky;

static bool fails(void)
{
    if (!ready) {
        const char *text = getenv("FAULT_NTH");
        nth = text ? strtoul(text, NULL, 10) : 0;
        sticky = getenv("FAULT_STICKY") != NULL;
        ready = true;
    }
    made++;
    if (nth == 0 || made < nth || (made > nth && !sticky))
        return false;
    errno = ENOMEM;
    return true;
}

void *malloc(size_t size)
{
    return fails() ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *block, size_t size)
{
    return fails() ? NULL : __libc_realloc(block, size);
}

__attribute__((destructor)) static void tell(void)
{
    const char *name = getenv("FAULT_COUNT");
    FILE *file = name ? fopen(name, "w") : NULL;
    if (!file)
        return;
    fprintf(file, "%lu\n", made);
    fclose(file);
}
