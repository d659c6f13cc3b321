/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The kernel's builds: each solves so many lanes from `first` on. */
#ifndef SW_CHEMISTRY_KERNEL_H
#define SW_CHEMISTRY_KERNEL_H

#include "chemistry/lanes.h"

void sw_kernel_1(sw_lanes *lanes, int first);
void sw_kernel_2(sw_lanes *lanes, int first);
void sw_kernel_4(sw_lanes *lanes, int first);
void sw_kernel_8(sw_lanes *lanes, int first);

#endif
