#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Makes the mixing sheet that fills itself in, from a bare Debian 12 on: one page
# that a browser opens from a disk or a stick, with no network.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 2
source tests/packages.sh

need_packages "${packages_page[@]}" &&
    bash cli/page/build.sh page .build/saltwright.html || exit 4
printf '%s\n' "The page is .build/saltwright.html: open it in a browser."
