/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The allocator of a program that tests/memory/fault.c is put before, which
 * knows what nothing points to any more.  A word anywhere in the variables of
 * the program and its libraries, on the stack, or in a block that is not lost,
 * is taken for a pointer if it points into a block.
 */
#define _GNU_SOURCE
#include "leaks.h"

#include <link.h>
#include <setjmp.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>

void *__libc_malloc(size_t size);
void __libc_free(void *block);
extern void *__libc_stack_end;

/* Before each block; the mark is turned once something points to it. */
typedef struct block {
    struct block *before, *after;
    size_t size;
    uintptr_t mark;
} block;

enum { MOST_BLOCKS = 1 << 18 };
static const uintptr_t OURS = 0x5A17B10C5A17B10C;

static block *first; /* of the list, which one thread changes at a time */
static atomic_flag is_changing = ATOMIC_FLAG_INIT;
static block *sorted[MOST_BLOCKS], *to_look_at[MOST_BLOCKS];
static size_t count, waiting;
static void *excused;

static void begin_change(void)
{
    while (atomic_flag_test_and_set(&is_changing))
        ;
}

static void end_change(void)
{
    atomic_flag_clear(&is_changing);
}

void *leaks_malloc(size_t size)
{
    block *b = size < SIZE_MAX / 2 ? __libc_malloc(sizeof *b + size) : NULL;
    if (!b)
        return NULL;
    begin_change();
    *b = (block){.after = first, .size = size, .mark = OURS};
    if (first)
        first->before = b;
    first = b;
    end_change();
    return b + 1;
}

/* What the C library took elsewhere is its own. */
static block *block_of(void *memory)
{
    block *b = memory ? (block *)memory - 1 : NULL;
    return b && b->mark == OURS ? b : NULL;
}

size_t leaks_size(void *memory)
{
    const block *b = block_of(memory);
    return b ? b->size : 0;
}

void leaks_free(void *memory)
{
    block *b = block_of(memory);
    if (!b) {
        __libc_free(memory);
        return;
    }
    begin_change();
    *(b->before ? &b->before->after : &first) = b->after;
    if (b->after)
        b->after->before = b->before;
    b->mark = 0;
    end_change();
    __libc_free(b);
}

void leaks_excuse(void *memory)
{
    excused = memory;
}

static int by_place(const void *a, const void *b)
{
    const block *const *left = a, *const *right = b;
    return (*left > *right) - (*left < *right);
}

/* The block that a word points into. */
static block *pointed_at(uintptr_t word)
{
    size_t low = 0, high = count;
    if (count == 0 || word < (uintptr_t)(sorted[0] + 1))
        return NULL;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        *((uintptr_t)(sorted[middle] + 1) <= word ? &low : &high) = middle;
    }
    block *b = sorted[low];
    return word - (uintptr_t)(b + 1) <= b->size ? b : NULL;
}

static void look(const void *from, const void *to)
{
    const uintptr_t last = (uintptr_t)to;
    uintptr_t at = ((uintptr_t)from + 7) & ~(uintptr_t)7;
    for (; at + sizeof(uintptr_t) <= last; at += sizeof(uintptr_t)) {
        block *b = pointed_at(*(const uintptr_t *)at);
        if (b && b->mark == OURS) {
            b->mark = ~OURS;
            to_look_at[waiting++] = b;
        }
    }
}

/* The variables of one program or library; our own know every block. */
static int look_at_object(struct dl_phdr_info *info, size_t size, void *unused)
{
    (void)size, (void)unused;
    for (int i = 0; i < info->dlpi_phnum; i++) {
        const ElfW(Phdr) *part = &info->dlpi_phdr[i];
        const char *from = (const char *)info->dlpi_addr + part->p_vaddr;
        const char *to = from + part->p_memsz;
        bool ours = (const char *)&first >= from && (const char *)&first < to;
        if (part->p_type == PT_LOAD && part->p_flags & PF_W && !ours)
            look(from, to);
        if (part->p_type == PT_TLS && info->dlpi_tls_data)
            look(info->dlpi_tls_data,
                 (const char *)info->dlpi_tls_data + part->p_memsz);
    }
    return 0;
}

size_t leaks_count(void)
{
    jmp_buf registers;
    size_t lost = 0;
    setjmp(registers);
    count = waiting = 0;
    for (block *b = first; b && count < MOST_BLOCKS; b = b->after)
        sorted[count++] = b;
    qsort(sorted, count, sizeof *sorted, by_place);
    look(&registers, __libc_stack_end);
    look(&excused, &excused + 1);
    dl_iterate_phdr(look_at_object, NULL);
    while (waiting > 0) {
        const block *b = to_look_at[--waiting];
        look(b + 1, (const char *)(b + 1) + b->size);
    }
    for (size_t i = 0; i < count; i++) {
        lost += sorted[i]->mark == OURS;
        sorted[i]->mark = OURS; /* it may be freed yet */
    }
    return lost;
}
