/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Put before a program by LD_PRELOAD.
 *   FAULT_NTH     that allocation of the whole process, GLPK's, GSL's and
 *                 libc's too, fails
 *   FAULT_CALL    that call about a file it reads or writes fails, and
 *   FAULT_ERROR   sets this errno; or
 *   FAULT_SIGNAL  this signal comes first, and the call is made
 *   FAULT_STICKY  all after it do so too
 *   FAULT_SHORT   of files never more than a few bytes are taken at once
 *   FAULT_COUNT   a file that takes how many allocations and calls there were
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);

static unsigned long made, called;

static unsigned long number(const char *name)
{
    const char *text = getenv(name);
    return text ? strtoul(text, NULL, 10) : 0;
}

/* Whether this one, of as many as *count, is to fail. */
static bool is_reached(unsigned long *count, const char *which)
{
    unsigned long nth = number(which);
    ++*count;
    return nth > 0 &&
           (*count == nth || (*count > nth && getenv("FAULT_STICKY")));
}

/* ---- Memory --------------------------------------------------------------*/

static bool fails(void)
{
    if (!is_reached(&made, "FAULT_NTH"))
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

/* ---- Files ---------------------------------------------------------------*/

static bool call_fails(void)
{
    if (!is_reached(&called, "FAULT_CALL"))
        return false;
    if (number("FAULT_SIGNAL")) {
        raise((int)number("FAULT_SIGNAL"));
        return false;
    }
    errno = (int)number("FAULT_ERROR");
    return true;
}

static size_t at_once(size_t size)
{
    enum { FEW = 700 };
    return size > FEW && getenv("FAULT_SHORT") ? FEW : size;
}

/* The next of that name, where this call is not to fail. */
#define CALL(type, name, parameters, arguments)                                \
    type name parameters                                                       \
    {                                                                          \
        static type(*real) parameters;                                         \
        if (!real)                                                             \
            *(void **)&real = dlsym(RTLD_NEXT, #name);                         \
        return call_fails() ? -1 : real arguments;                             \
    }

CALL(ssize_t, write, (int f, const void *from, size_t size),
     (f, from, at_once(size)))
CALL(ssize_t, read, (int f, void *to, size_t size), (f, to, at_once(size)))
CALL(int, mkstemp, (char *name), (name))
CALL(int, fchmod, (int f, mode_t mode), (f, mode))
CALL(int, fchown, (int f, uid_t owner, gid_t group), (f, owner, group))
CALL(int, ftruncate, (int f, off_t size), (f, size))
CALL(int, fsync, (int f), (f))
CALL(int, close, (int f), (f))
CALL(int, link, (const char *from, const char *to), (from, to))
CALL(int, rename, (const char *from, const char *to), (from, to))
CALL(int, unlink, (const char *name), (name))

static ssize_t read_on(void *cookie, char *to, size_t size)
{
    FILE *file = cookie;
    return call_fails() ? -1 : (ssize_t)fread(to, 1, at_once(size), file);
}

static int close_on(void *cookie)
{
    return fclose(cookie);
}

FILE *fopen(const char *name, const char *mode)
{
    static FILE *(*real)(const char *, const char *);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "fopen");
    FILE *file = real(name, mode);
    bool counted = file && mode[0] == 'r' && strncmp(name, "/sys/", 5) != 0;
    return counted ? fopencookie(file, mode,
                                 (cookie_io_functions_t){.read = read_on,
                                                         .close = close_on})
                   : file;
}

__attribute__((destructor)) static void tell(void)
{
    const char *name = getenv("FAULT_COUNT");
    FILE *file = name ? fopen(name, "w") : NULL;
    if (!file)
        return;
    fprintf(file, "%lu %lu\n", made, called);
    fclose(file);
}
