#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Checks everything, from a bare Debian 12 on; installs what it lacks.
#     tests/run.sh            every stage
#     tests/run.sh STAGE ...  some of: gcc clang valgrind format tidy bench
#     tests/run.sh threads    many waters by several threads under ThreadSanitizer;
#                             some minutes, and only when it is named
#     tests/run.sh deb        the package in a bare Debian; needs root, a network
#                             and some minutes, and runs only when it is named
#     tests/run.sh page       the offline page in two browsers, and the static
#                             command; as root, to take the network away
# By name only; but for the first some hours on one core each:
#     tests/run.sh faults     every allocation of every public call and of the
#                             commands, and every call about a file, lost:
#                             a quarter of an hour
#     tests/run.sh fuzz       every fuzzer; SW_FUZZ_MINUTES in all (240)
#     tests/run.sh mutants    does the suite notice?  SW_MUTANTS small faults (500)
# Builds go to .build/, which is ignored.  Ends with "N passed, N failed".
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 2
source tests/packages.sh

source=$PWD
build=$source/.build
passed=0 failed=0
export NO_COLOR=1 LC_ALL=C.UTF-8

# configure NAME OPTION ... : configures .build/NAME and builds it.
configure() {
    local name=$1
    shift
    cmake -G Ninja -S . -B "$build/$name" "$@" >"$build/$name.log" 2>&1 &&
        cmake --build "$build/$name" >>"$build/$name.log" 2>&1 ||
        { tail -n 60 "$build/$name.log"; return 1; }
}

# run_tests NAME OPTION ... : ctest in .build/NAME; counts its tests.
run_tests() {
    local name=$1 log=$build/$1.ctest total bad
    shift
    ctest --test-dir "$build/$name" -j2 --output-on-failure "$@" >"$log" 2>&1
    grep -E '^ *[0-9]+/[0-9]+ Test|tests passed' "$log"
    read -r bad total < <(sed -nE \
        's/.*tests passed, ([0-9]+) tests failed out of ([0-9]+)/\1 \2/p' "$log")
    [ -n "${total:-}" ] || { tail -n 60 "$log"; return 1; }
    echo $((total - bad)) "$bad" >"$build/counts"
    [ "$bad" = 0 ] || { tail -n 200 "$log"; return 1; }
}

ours() {
    git ls-files 'lib/*.[ch]' 'cli/*.[ch]' 'reference/*.[ch]' "$@"
}

stage_gcc() {
    configure gcc -DCMAKE_C_COMPILER=gcc -DSW_WERROR=ON &&
        run_tests gcc -LE bench
}

build_clang() {
    configure clang -DCMAKE_C_COMPILER=clang -DSW_WERROR=ON \
        -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG="-O1 -g" \
        -DSW_SANITIZE=address,undefined -DSW_COVERAGE=ON
}

# covered : the branches of the library that the tests of stage_clang took.
covered() {
    local object objects=()
    while read -r object; do
        objects+=(-object "$object")
    done < <(find "$build/clang/tests" -type f -executable -name 'test_*')
    llvm-profdata merge -sparse "$build"/profiles/*.profraw \
        -o "$build/profiles/all.profdata" &&
        llvm-cov export -summary-only "$build/clang/lib/libsaltwright.so" \
            "${objects[@]}" -instr-profile="$build/profiles/all.profdata" |
        tests/covered.py lib/chemistry/=96 lib/=95
}

# Sanitizers and the count of branches share one build and one run.
stage_clang() {
    rm -rf "$build/profiles"
    build_clang &&
        LLVM_PROFILE_FILE="$build/profiles/%4m.profraw" \
            run_tests clang -LE bench && covered
}

stage_valgrind() {
    configure gcc -DCMAKE_C_COMPILER=gcc -DSW_WERROR=ON &&
        SALTWRIGHT="valgrind -q --error-exitcode=99 --leak-check=full
            --errors-for-leak-kinds=all $build/gcc/cli/saltwright" \
            bash examples/run.sh >"$build/valgrind.log" 2>&1 ||
        { tail -n 60 "$build/valgrind.log"; return 1; }
}

stage_format() {
    ours 'tests/*.[ch]' 'tests/*.cpp' |
        xargs clang-format --dry-run -Werror
}

# One file a process: with several, version 14 takes a va_list of the second for
# one never started; and once, though several targets compile it.  The largest
# first, so that none is waited for at the end.
stage_tidy() {
    build_clang && mkdir -p "$build/tidy" &&
        python3 -c 'import json, sys
json.dump([*{c["file"]: c for c in json.load(sys.stdin)}.values()], sys.stdout)' \
            <"$build/clang/compile_commands.json" \
            >"$build/tidy/compile_commands.json" || return
    ours | grep '\.c$' | xargs ls -S |
        xargs -P2 -n1 clang-tidy -p "$build/tidy" --quiet >"$build/tidy.out" \
            2>"$build/tidy.err" || { cat "$build/tidy.out"; return 1; }
}

stage_bench() {
    configure gcc -DCMAKE_C_COMPILER=gcc -DSW_WERROR=ON &&
        run_tests gcc -L bench
}

# Waters worked on by several threads, also while they are stopped.
stage_threads() {
    cmake -G Ninja -S . -B "$build/threads" -DCMAKE_C_COMPILER=clang \
        -DSW_SANITIZE=thread -DBUILD_TESTING=OFF >"$build/threads.log" 2>&1 &&
        cmake --build "$build/threads" --target saltwright_cli \
            >>"$build/threads.log" 2>&1 ||
        { tail -n 60 "$build/threads.log"; return 1; }
    SALTWRIGHT=$build/threads/cli/saltwright PYTHONDONTWRITEBYTECODE=1 \
        python3 tests/cli/test_batch.py SameRows Rows Stopping
}

stage_deb() {
    need_packages "${packages_deb[@]}" &&
        configure deb -DBUILD_TESTING=OFF && rm -f "$build"/deb/*.deb &&
        cmake --build "$build/deb" --target package >>"$build/deb.log" 2>&1 ||
        { tail -n 60 "$build/deb.log"; return 1; }
    lintian --fail-on error "$build"/deb/*.deb &&
        bash tests/package/bare.sh "$build"/deb/*.deb
}

# Every golden case by the page's code and by the static command, then the page
# in browsers that reach nothing but the disk; pictures in .build/page/shots.
stage_page() {
    local page=$build/saltwright.html native=$build/native/cli/saltwright
    local browser status=0
    export PAGE_TOOLS=$build/page/tools
    need_packages "${packages_page[@]}" "${packages_browsers[@]}" || return
    command -v npm >/dev/null || need_packages npm || return
    configure native -DBUILD_TESTING=OFF &&
        bash cli/page/build.sh node "$build/page/node.js" &&
        bash cli/page/build.sh page "$page" &&
        bash cli/page/build.sh static "$build/saltwright-static" || return
    npm install --loglevel=error --no-audit --no-fund --prefix "$PAGE_TOOLS" \
        puppeteer-core@24.43.1 axe-core@4.14.1 || return
    printf '#!/bin/sh\nexec node %s "$@"\n' \
        "$build/page/node.js" >"$build/page/by-node"
    chmod +x "$build/page/by-node"
    SALTWRIGHT=$build/saltwright-static bash tests/cli/run_golden.sh || status=1
    SALTWRIGHT=$build/page/by-node bash tests/cli/run_golden.sh || status=1
    for browser in chromium firefox; do
        unshare -n sh -c 'ip link set lo up && exec node "$@"' - \
            tests/page/test_page.mjs "$browser" "$page" "$native" \
            "$build/page/shots" || status=1
    done
    return $status
}

# What test_faults.py and test_every_call sample in the stage gcc, all of it; both
# at once.
stage_faults() {
    local calls status=0
    configure gcc -DCMAKE_C_COMPILER=gcc -DSW_WERROR=ON || return
    SW_EACH=1 "$build/gcc/tests/memory/test_every_call" &
    calls=$!
    SALTWRIGHT=$build/gcc/cli/saltwright python3 -B \
        tests/cli/test_faults.py "$build/gcc/tests/cli/libfault.so" all || status=1
    wait $calls && return $status
}

# What the fuzzers find new stays in .build/fuzz; half of the time is the
# pipeline's.
stage_fuzz() {
    local corpus name share seconds=$((${SW_FUZZ_MINUTES:-240} * 6)) status=0
    build_clang || return
    for name in pipeline records label formula doses; do
        corpus=$build/fuzz/$name share=1
        [ $name != pipeline ] || share=6
        mkdir -p "$corpus"
        cp -n "$build/clang/tests/fuzz/corpus_$name"/* "$corpus" 2>/dev/null
        [ $name != pipeline ] || cp -n tests/fuzz/corpus/* "$corpus"
        [ $name != records ] ||
            cp -n tests/bad/*.csv tests/fuzz/records/* "$corpus"
        LLVM_PROFILE_FILE=/dev/null tests/fuzz/run.sh "$build/fuzz/found-$name" \
            "$build/clang/tests/fuzz/fuzz_$name" -close_fd_mask=1 \
            -max_total_time=$((share * seconds)) "$corpus" \
            >"$build/fuzz/$name.log" 2>&1 ||
            { tail -n 100 "$build/fuzz/$name.log"; status=1; }
        sed -n "s/^stat::number_of_executed_units/fuzz_$name/p" \
            "$build/fuzz/$name.log"
    done
    return $status
}

stage_mutants() {
    need_packages ccache && python3 -B tests/mutants.py "${SW_MUTANTS:-500}"
}

# beside NAME : starts a stage that keeps one core busy beside another one's; it
# is told of in its turn.
beside() {
    "stage_$1" >"$build/$1.beside" 2>&1 &
    started[$1]=$!
}

# end_of NAME : runs the stage, or waits for it where it was started.
end_of() {
    local result
    [ -n "${started[$1]:-}" ] || { "stage_$1"; return; }
    wait "${started[$1]}"
    result=$?
    unset "started[$1]"
    cat "$build/$1.beside"
    return $result
}

# stage NAME : runs it, counts it, says how long it took.
stage() {
    local start=$SECONDS more=(1 0) result
    rm -f "$build/counts"
    echo "== $1"
    if end_of "$1"; then
        result=passed
    else
        result=FAILED more=(0 1)
    fi
    [ ! -s "$build/counts" ] || read -ra more <"$build/counts"
    [ $result = passed ] || [ "${more[1]}" -gt 0 ] || more[1]=1
    passed=$((passed + more[0])) failed=$((failed + more[1]))
    printf '== %s %s, %d.%d min\n' "$1" $result $(((SECONDS - start) / 60)) \
        $(((SECONDS - start) % 60 / 6))
}

mkdir -p "$build"
need_packages "${packages_test[@]}" || exit 2
[ $# -gt 0 ] || set -- format gcc tidy valgrind clang bench
declare -A started=()
while [ $# -gt 0 ]; do
    # Neither builds what the other does.
    [ "$1 ${2:-}" != "tidy valgrind" ] || beside valgrind
    stage "$1"
    shift
done
printf 'in all %d.%d min\n' $((SECONDS / 60)) $((SECONDS % 60 / 6))
echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
