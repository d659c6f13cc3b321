#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# libraries.sh CACHE NAME CC AR : GLPK, GSL, libcsv and jansson as static libraries
# in CACHE/NAME, made with the compiler CC (which may come with options) of
# Debian's sources, fetched by version and checksum (libraries.csv) to
# CACHE/sources.  What was made before by the same is not made again.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
cache=$1 name=$2 cc=$3 ar=$4
sources=$cache/sources out=$cache/$name

# apt-get with lists of its own, of sources alone; those of the machine stay.
sources_of_debian() {
    local apt=$cache/apt
    mkdir -p "$apt/lists/partial" "$apt/archives/partial"
    echo "deb-src [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg]" \
        "http://deb.debian.org/debian bookworm main" >"$apt/sources.list"
    apt-get -qq -o "Dir::Etc::SourceList=$apt/sources.list" \
        -o Dir::Etc::SourceParts=/dev/null -o "Dir::Cache=$apt" \
        -o "Dir::State::Lists=$apt/lists" -o APT::Sandbox::User=root "$@"
}

# fetch NAME VERSION SHA256 : the source as Debian patches it, in sources/NAME.
fetch() {
    local dsc=$1_${2#*:}.dsc
    [ ! -e "$sources/$1" ] || return 0
    echo "fetching $1 $2"
    cd "$sources"
    sources_of_debian source --download-only "$1=$2"
    echo "$3  $dsc" | sha256sum --quiet --check
    # It holds the checksums of the files it names, which are checked.
    dpkg-source --no-check -q -x "$dsc" "$1.fresh"
    mv "$1.fresh" "$1"
}

fetch_all() {
    mkdir -p "$sources"
    local missing=0 name version sum
    while IFS=, read -r name version sum; do
        [ -e "$sources/$name" ] || missing=1
    done < <(tail -n +2 "$here/libraries.csv")
    [ $missing = 1 ] || return 0
    sources_of_debian update
    while IFS=, read -r name version sum; do
        fetch "$name" "$version" "$sum"
    done < <(tail -n +2 "$here/libraries.csv")
}

# library NAME FOLDER OPTION ... : libNAME.a of the files of FOLDER that standard
# input names.
library() {
    local lib=$1 from=$2 objects=$out/objects/$1
    shift 2
    echo "making $lib"
    mkdir -p "$objects"
    # shellcheck disable=SC2016
    xargs -P "$(nproc)" -I{} sh -c '
        file=$1 objects=$2 cc=$3; shift 3
        exec $cc -w -DNDEBUG -DHAVE_CONFIG_H "$@" -c "$file" \
            -o "$objects/$(echo "$file" | tr / -).o"' - \
        "$from/{}" "$objects" "$cc" "-I$out/include" "$@"
    rm -f "$out/lib/lib$lib.a"
    $ar rcs "$out/lib/lib$lib.a" "$objects"/*.o
}

# pc NAME LIBRARIES : what pkg-config is told.
pc() {
    local version
    version=$(sed -n "s/^$1,\([0-9.]*[0-9]\).*/\1/p" "$here/libraries.csv")
    printf '%s: %s\n' Name "$1" Description "$1" Version "$version" \
        Libs "-L$out/lib $2" Cflags "-I$out/include" \
        >"$out/lib/pkgconfig/$1.pc"
}

glpk() {
    local from=$sources/glpk/src folder include=()
    cp "$from/glpk.h" "$out/include/"
    mkdir -p "$out/config/glpk"
    printf '#define HAVE_%s 1\n' SYS_TIME_H GETTIMEOFDAY >"$out/config/glpk/config.h"
    for folder in "$from" "$from"/*/; do
        include+=("-I$folder")
    done
    (cd "$from" && ls {amd,api,bflib,colamd,draft,env,intopt,minisat,misc}/*.c \
        {mpl,npp,proxy,simplex,zlib}/*.c | grep -v '/main\.c$') |
        library glpk "$from" "-I$out/config/glpk" "${include[@]}"
}

gsl() {
    local from=$sources/gsl config=$out/config/gsl folder files file
    mkdir -p "$config" "$out/include/gsl"
    cp "$from"/gsl_*.h "$from"/*/gsl_*.h "$out/include/gsl/"
    {
        printf '#define HAVE_%s 1\n' C99_INLINE COMPLEX_H DECL_{ACOSH,ASINH} \
            DECL_{ATANH,EXPM1,FINITE,FREXP,HYPOT,ISFINITE,ISINF,ISNAN,LDEXP} \
            DECL_LOG1P EXIT_SUCCESS_AND_FAILURE IEEE_{COMPARISONS,DENORMALS} \
            INLINE
        echo '#define RELEASED'
        # The end of config.h is no result of a check.
        sed -n '/^#if HAVE_EXTENDED_PRECISION_REGISTERS/,$p' "$from/config.h.in"
    } >"$config/config.h"
    grep -v '^#' "$here/gsl.txt" | while read -r folder files; do
        for file in $files; do echo "$folder/$file.c"; done
    done | library gsl "$from" "-I$config" "-I$from" "-I$from/sys"
    sed -n 's/^libgslcblas_la_SOURCES = //p' "$from/cblas/Makefile.am" |
        tr ' ' '\n' | library gslcblas "$from/cblas" "-I$config" "-I$from" \
        "-I$from/cblas"
    pc gsl "-lgsl -lgslcblas"
}

libcsv() {
    mkdir -p "$out/include"
    cp "$sources/libcsv/csv.h" "$out/include/"
    echo libcsv.c | library csv "$sources/libcsv"
}

jansson() {
    local from=$sources/jansson/src config=$out/config/jansson
    mkdir -p "$config"
    sed 's/@json_inline@/inline/; s/@json_have_[a-z_]*@/1/' \
        "$from/jansson_config.h.in" >"$out/include/jansson_config.h"
    cp "$from/jansson.h" "$out/include/"
    printf '#define HAVE_%s 1\n' ENDIAN_H FCNTL_H GETTIMEOFDAY LOCALECONV \
        LOCALE_H STDINT_H STRTOLL SYS_TIME_H UNISTD_H ATOMIC_BUILTINS \
        >"$config/jansson_private_config.h"
    (cd "$from" && ls ./*.c) | library jansson "$from" "-I$config"
    pc jansson -ljansson
}

made=$(cat "$here"/{libraries.csv,libraries.sh,gsl.txt} | sha256sum; echo "$cc $ar")
[ "$(cat "$out/made" 2>/dev/null)" != "$made" ] || exit 0
fetch_all
rm -rf "$out"
mkdir -p "$out/lib/pkgconfig" "$out/include"
glpk
gsl
libcsv
jansson
echo "$made" >"$out/made"
