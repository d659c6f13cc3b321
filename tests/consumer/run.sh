#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs a build into a prefix of its own and uses it from outside, found
# once by CMake and once by pkg-config.
#     run.sh SOURCE BUILD shared|static
set -euo pipefail
source=$1 build=$2 kind=$3
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
prefix=$dir/prefix
here=$source/tests/consumer

if [ "$kind" = static ]; then
    cmake -G Ninja -S "$source" -B "$dir/static" -DBUILD_SHARED_LIBS=OFF \
        -DBUILD_TESTING=OFF -DCMAKE_BUILD_TYPE=Debug >"$dir/log"
    cmake --build "$dir/static" >>"$dir/log" || { cat "$dir/log"; exit 1; }
    build=$dir/static
fi
cmake --install "$build" --prefix "$dir/first" >"$dir/log"
# The tree is moved: what it says of itself must not depend on its place.
mv "$dir/first" "$prefix"

# saltwright.h and its own parts, nothing else of ours and nobody else's.
other=$(find "$prefix/include" -type f ! -name 'saltwright.h' \
    ! -name 'saltwright_*.h' -printf '%P\n')
[ -z "$other" ] || { echo "installed besides our headers: $other"; exit 1; }

cmake -G Ninja -S "$here" -B "$dir/cmake" -DCMAKE_PREFIX_PATH="$prefix" \
    >"$dir/log" || { cat "$dir/log"; exit 1; }
cmake --build "$dir/cmake" >"$dir/log" || { cat "$dir/log"; exit 1; }
"$dir/cmake/consumer"
"$dir/cmake/consumer_cxx"
echo "found by CMake: runs"

libdir=$(dirname "$(find "$prefix" -name 'libsaltwright.*' -print -quit)")
export PKG_CONFIG_PATH=$libdir/pkgconfig
static=
[ "$kind" = shared ] || static=--static
read -ra flags <<<"$(pkg-config --cflags --libs $static saltwright)"
cc -std=c17 -D_POSIX_C_SOURCE=200809L "$here/consumer.c" -o "$dir/consumer" \
    "${flags[@]}" -lm
LD_LIBRARY_PATH=$libdir "$dir/consumer"
[ "$(pkg-config --modversion saltwright)" = 0.1.0 ]
echo "found by pkg-config: runs"

# A later minor version may break what was built against this one: neither
# CMake nor the loader takes one for the other.
for wanted in 0.0 0.2 1.0; do
    if cmake -S "$here" -B "$dir/cmake-$wanted" -DSW_WANTED=$wanted \
        -DCMAKE_PREFIX_PATH="$prefix" >"$dir/log" 2>&1; then
        echo "CMake takes 0.1.0 for $wanted"
        exit 1
    fi
done
if [ "$kind" = shared ]; then
    readelf -d "$libdir/libsaltwright.so" |
        grep -q 'SONAME.*\[libsaltwright.so.0.1\]' || { echo "soname"; exit 1; }
    others=$(nm -D --defined-only "$libdir/libsaltwright.so" |
        awk '$3 !~ /^sw_/ {print $3}')
    [ -z "$others" ] || { echo "exported besides sw_*: $others"; exit 1; }
fi
if [ -x "$prefix/bin/saltwright" ]; then
    version=$("$prefix/bin/saltwright" --version)
    case $version in *0.1.0*) ;; *) echo "version: $version"; exit 1 ;; esac
    echo "the installed command runs from a moved prefix"
fi
