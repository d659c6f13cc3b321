#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# build.sh page OUT.html    the whole command in one page, by emscripten
# build.sh static OUT       the command for any Linux of this kind, by musl
# build.sh node OUT.js      the page's code as a command of node, for tests
# Builds in .build/page; libraries.sh fetches the sources of what both link.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
top=$(cd "$here/../.." && pwd)
cache=$top/.build/page
kind=${1:-} out=$(realpath -m "${2:?a name for the result}")
mkdir -p "$cache" "$(dirname "$out")"

# loud LOG COMMAND ... : its output to a file, and shown where it fails.
loud() {
    local log=$1
    shift
    "$@" >"$log" 2>&1 || { tail -n 40 "$log" >&2; return 1; }
}

# What makes tables of C of reference/ runs here, whatever they are for.
compile_table() {
    local csv=$cache/sources/libcsv made=$cache/compile_table
    [ "$top/reference/compile_table.c" -nt "$made" ] ||
        [ "$top/lib/quantity/keys.c" -nt "$made" ] || return 0
    cc -std=c17 -O1 -D_POSIX_C_SOURCE=200809L "-I$csv" "-I$top/lib" -o "$made" \
        "$top/reference/compile_table.c" "$top/lib/quantity/keys.c" \
        "$csv/libcsv.c"
}

# command_of NAME FLAGS LINKING OPTION ... : the command against the libraries in
# $cache/NAME, in $cache/build-NAME.
command_of() {
    local libraries=$cache/$1 flags=$2 linking=$3 build=$cache/build-$1
    shift 3
    compile_table
    export PKG_CONFIG_LIBDIR=$libraries/lib/pkgconfig PKG_CONFIG_PATH=
    ! command -v ccache >/dev/null || set -- "$@" -DCMAKE_C_COMPILER_LAUNCHER=ccache
    loud "$build.log" cmake -G Ninja -S "$top" -B "$build" "$@" \
        -DCMAKE_BUILD_TYPE=None -DBUILD_SHARED_LIBS=OFF -DBUILD_TESTING=OFF \
        -DSW_COMPILE_TABLE="$cache/compile_table" \
        -DCMAKE_C_FLAGS="$flags -I$libraries/include" \
        -DCMAKE_EXE_LINKER_FLAGS="-L$libraries/lib $linking" \
        -DGLPK_LIBRARY="$libraries/lib/libglpk.a" \
        -DGLPK_INCLUDE_DIR="$libraries/include" \
        -DCSV_LIBRARY="$libraries/lib/libcsv.a" \
        -DCSV_INCLUDE_DIR="$libraries/include"
    loud "$build.log" cmake --build "$build" --target saltwright_cli
}

# wasm LINKING : in WebAssembly, compiled by what is under emcc, which takes a third
# of a second to start for each file, and linked by emcc.
wasm() {
    local flags
    # Where Debian has what emcc asks of node, whichever node it is.
    export NODE_PATH=${NODE_PATH:-/usr/share/nodejs}
    flags="$(emcc --cflags) -Os"
    "$here/libraries.sh" "$cache" wasm "clang-14 $flags" emar
    command_of wasm "$flags" "-Os -sEXIT_RUNTIME=1 -sALLOW_MEMORY_GROWTH=1 $1" \
        -DCMAKE_SYSTEM_NAME=Generic -DCMAKE_C_COMPILER=clang-14 \
        -DCMAKE_AR="$(command -v emar)" -DCMAKE_RANLIB="$(command -v emranlib)" \
        -DCMAKE_TRY_COMPILE_TARGET_TYPE=STATIC_LIBRARY \
        -DCMAKE_EXECUTABLE_SUFFIX_C=.js \
        -DCMAKE_C_LINK_EXECUTABLE="emcc <LINK_FLAGS> <OBJECTS> -o <TARGET> <LINK_LIBRARIES>"
}

# As a factory of instances, since each run takes a fresh one; without leave to
# make code of text.
page() {
    wasm "-sMODULARIZE=1 -sEXPORT_NAME=saltwright -sENVIRONMENT=worker \
        -sINVOKE_RUN=0 -sFORCE_FILESYSTEM=1 -sDYNAMIC_EXECUTION=0 \
        -sEXPORTED_RUNTIME_METHODS=callMain,FS"
    python3 "$here/join.py" "$cache/build-wasm/cli/saltwright" "$out"
}

node() {
    wasm "-sNODERAWFS=1 -sENVIRONMENT=node -sSINGLE_FILE=1"
    cp "$cache/build-wasm/cli/saltwright.js" "$out"
}

static() {
    "$here/libraries.sh" "$cache" musl "musl-gcc -O2" ar
    command_of musl -O2 -static -DCMAKE_C_COMPILER=musl-gcc
    strip -o "$out" "$cache/build-musl/cli/saltwright"
}

case $kind in
page | static | node) "$kind" ;;
*) sed -n '3,6s/^# //p' "$0" >&2 && exit 2 ;;
esac
(cd "$(dirname "$out")" && sha256sum "$(basename "$out")")
