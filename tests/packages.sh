# SPDX-License-Identifier: GPL-3.0-or-later
# shellcheck shell=bash
# What the scripts need from Debian 12; sourced by them.

packages_build=(gcc libc6-dev cmake ninja-build pkg-config libglpk-dev
    libgsl-dev libcsv-dev libjansson-dev)
packages_test=("${packages_build[@]}" g++ check clang libclang-rt-14-dev llvm
    clang-format clang-tidy valgrind universal-ctags git binutils mandoc python3
    python3-numpy python3-scipy python3-cvxopt python3-jsonschema parallel)

# shellcheck disable=SC2034
packages_deb=("${packages_build[@]}" dpkg-dev debootstrap lintian)

# What makes the page and the static command of cli/page.
# shellcheck disable=SC2034
packages_page=(gcc libc6-dev cmake ninja-build pkg-config python3 git dpkg-dev
    ca-certificates emscripten clang-14 nodejs musl-tools)

# What opens it, and looks at what it prints.
# shellcheck disable=SC2034
packages_browsers=(chromium firefox-esr fonts-dejavu-core poppler-utils
    iproute2 util-linux)

# Installs those of the packages named that are missing; asks nothing.
need_packages() {
    local package missing=() as_root=()
    for package in "$@"; do
        dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null |
            grep -qx installed || missing+=("$package")
    done
    [ ${#missing[@]} -gt 0 ] || return 0
    [ "$(id -u)" = 0 ] || as_root=(sudo)
    echo "Installing: ${missing[*]}"
    "${as_root[@]}" apt-get update -qq </dev/null
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq \
        --no-install-recommends "${missing[@]}" </dev/null >/dev/null
}
