/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is made of the list of options: completion of shells, manual pages. */
#ifndef CLI_IO_SHELLS_H
#define CLI_IO_SHELLS_H

#include <stdio.h>

#include "io/command.h"

/* Completion for "bash", "zsh" or "fish"; false for another. */
bool shell_completion(FILE *out, const char *shell);
/* The manual page of a command, as man reads it. */
void manual_page(FILE *out, const cli_command *command);

#endif
