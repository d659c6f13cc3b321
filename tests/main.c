/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of every suite that has no main of its own. */
#include "suite.h"

int main(void)
{
    return run_suite(suite_of_all());
}
