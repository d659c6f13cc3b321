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
 *   FAULT_LOCALE  there is none but that of C
 *   FAULT_COUNT   a file that takes how many allocations and calls there were
 *   FAULT_EACH    a child goes on at each allocation without it, in a folder of
 *                 its own; what did not end as out of memory is kept there, as
 *                 NUMBER-STATUS-LEAKS.  FAULT_STICKY likewise;
 *   FAULT_STEP    at every so many allocations only, beginning with
 *   FAULT_FROM
 */
#define _GNU_SOURCE
#include "leaks.h"

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

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

/* ---- A child for each allocation -----------------------------------------*/

static int told[2];        /* what the child says on 1 and 2 */
static unsigned long lost; /* the allocation that this child goes without */
static size_t *leaked;     /* by it; of both of them */
static bool is_aside;      /* what is done here is not the program's */
static bool has_lock;      /* of the locale; a child would wait for it */

static bool is_chosen(void)
{
    static const char *folder;
    static unsigned long step;
    if (!step) {
        step = number("FAULT_STEP") ? number("FAULT_STEP") : 1;
        folder = getenv("FAULT_EACH");
    }
    return folder && made % step == number("FAULT_FROM") % step;
}

/* What is open again, at the same place: else the end of the child would move
 * where its parent reads. */
static void open_again(int file)
{
    char name[32];
    off_t at = lseek(file, 0, SEEK_CUR);
    snprintf(name, sizeof name, "/proc/self/fd/%d", file);
    int own = at < 0 ? -1 : open(name, fcntl(file, F_GETFL));
    if (own < 0)
        return;
    if (lseek(own, at, SEEK_SET) != at || dup2(own, file) != file)
        _exit(99);
    close(own);
}

/* A child of its own folder and ends of what it says.  It might wait for ever
 * for a lock of the C library that its parent held. */
static void begin_child(void)
{
    lost = made;
    if (mkdir("lost", 0777) || chdir("lost") || dup2(told[0], 1) != 1 ||
        dup2(told[1], 2) != 2)
        _exit(99);
    for (int file = 3; file < 32; file++)
        open_again(file);
    alarm(3);
}

static void make_room(void)
{
    enum { SHARED = MAP_SHARED | MAP_ANONYMOUS };
    if (!leaked)
        leaked =
            mmap(NULL, sizeof *leaked, PROT_READ | PROT_WRITE, SHARED, -1, 0);
    for (int i = 0; i < 2; i++)
        told[i] = memfd_create("told", MFD_CLOEXEC);
}

/* What it said, to a file in its folder. */
static void keep_told(int from, const char *name)
{
    char text[4096];
    ssize_t size;
    int to = open(name, O_CREAT | O_WRONLY | O_TRUNC | O_CLOEXEC, 0666);
    for (off_t at = 0; (size = pread(from, text, sizeof text, at)) > 0;
         at += size)
        if (write(to, text, (size_t)size) != size)
            _exit(99);
    close(to);
}

/* Out of memory, in words, with nothing left behind, is what is expected and
 * goes without saying; the folder of any other is kept under its number. */
static void end_child(int status)
{
    char text[256] = "", name[80];
    struct stat out;
    ssize_t size = pread(told[1], text, sizeof text - 1, 0);
    bool empty = rmdir("lost") == 0;
    if (empty && WIFEXITED(status) && WEXITSTATUS(status) == 4 && !*leaked &&
        size > 0 && strstr(text, "error: ") && strstr(text, "memory") &&
        fstat(told[0], &out) == 0 && out.st_size == 0)
        return;
    snprintf(name, sizeof name, "%lu-%d-%zu", made, status, *leaked);
    if ((empty && mkdir("lost", 0777)) || rename("lost", name))
        _exit(99);
    snprintf(text, sizeof text, "%s/1", name);
    keep_told(told[0], text);
    snprintf(text, sizeof text, "%s/2", name);
    keep_told(told[1], text);
}

/* As if a child had ended so. */
static void keep_as(int status)
{
    char name[80];
    snprintf(name, sizeof name, "%lu-%d-0", made, status);
    if (mkdir(name, 0777))
        _exit(99);
}

/* Whether this is a child, and the allocation the one it loses. */
static bool is_child_losing(void)
{
    int status = 0;
    if (is_aside || lost || !is_chosen())
        return false;
    if (has_lock) {
        keep_as(SIGALRM);
        return false;
    }
    is_aside = true;
    make_room();
    *leaked = 0;
    pid_t child = fork();
    if (child == 0) {
        begin_child();
    } else {
        while (waitpid(child, &status, 0) < 0 && errno == EINTR)
            ;
        end_child(status);
        close(told[0]);
        close(told[1]);
    }
    is_aside = false;
    return child == 0;
}

/* ---- Memory --------------------------------------------------------------*/

static bool fails(void)
{
    int before = errno;
    if (!is_aside && (is_reached(&made, "FAULT_NTH") || is_child_losing() ||
                      (lost && getenv("FAULT_STICKY")))) {
        errno = ENOMEM;
        return true;
    }
    errno = before;
    return false;
}

void *malloc(size_t size)
{
    return fails() ? NULL : leaks_malloc(size);
}

void *calloc(size_t many, size_t size)
{
    void *block = NULL;
    if (fails() || (size && many > SIZE_MAX / size))
        return NULL;
    block = leaks_malloc(many * size);
    return block ? memset(block, 0, many * size) : NULL;
}

/* GLPK takes a block off its list before it lets it grow: one that cannot is
 * lost to it, and nobody else can tell. */
static void excuse_glpk(void *block, void *caller)
{
    Dl_info from;
    if (dladdr(caller, &from) && strstr(from.dli_fname, "libglpk"))
        leaks_excuse(block);
}

void *realloc(void *block, size_t size)
{
    bool lacks = fails();
    if (lacks)
        excuse_glpk(block, __builtin_return_address(0));
    void *grown = lacks ? NULL : leaks_malloc(size);
    if (!grown)
        return NULL;
    size_t had = leaks_size(block);
    if (block)
        memcpy(grown, block, had < size ? had : size);
    leaks_free(block);
    return grown;
}

void free(void *block)
{
    int before = errno;
    leaks_free(block);
    errno = before;
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

char *setlocale(int category, const char *locale)
{
    static char *(*real)(int, const char *);
    if (!real)
        *(void **)&real = dlsym(RTLD_NEXT, "setlocale");
    if (getenv("FAULT_LOCALE"))
        return NULL;
    has_lock = true;
    char *name = real(category, locale);
    has_lock = false;
    return name;
}

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
    const char *name = lost ? NULL : getenv("FAULT_COUNT");
    is_aside = true;
    if (lost)
        *leaked = leaks_count();
    FILE *file = name ? fopen(name, "w") : NULL;
    if (!file)
        return;
    fprintf(file, "%lu %lu\n", made, called);
    fclose(file);
}
