#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Runs each golden/NAME.cmd, a shell script in which `saltwright` is the
# command under test, and compares what it prints with golden/NAME.expected:
# standard output, then standard error, then the exit status.
#     run_golden.sh [--rewrite] [NAME ...]
# --rewrite writes what came out as the new expectation: read every line of the
# difference before you commit it.  SALTWRIGHT names the command.
set -uo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
cd "$here/../.." || exit 2
: "${SALTWRIGHT:?names the command under test}"
export NO_COLOR=1 LC_ALL=C

rewrite=
if [ "${1:-}" = --rewrite ]; then
    rewrite=yes
    shift
fi

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$(realpath "$SALTWRIGHT")" "$work/bin/saltwright"

# run NAME : prints what the case prints, with its exit status.
run() {
    local status
    PATH=$work/bin:$PATH TMPDIR=$work bash "$here/golden/$1.cmd" \
        >"$work/out" 2>"$work/err" </dev/null
    status=$?
    cat "$work/out"
    if [ -s "$work/err" ]; then
        echo "--- standard error"
        cat "$work/err"
    fi
    echo "--- exit $status"
}

[ $# -gt 0 ] || set -- $(cd "$here/golden" && ls -- *.cmd | sed 's/\.cmd$//')
failed=0
for name in "$@"; do
    run "$name" >"$work/actual"
    if [ -n "$rewrite" ]; then
        cp "$work/actual" "$here/golden/$name.expected"
    elif ! diff -u "$here/golden/$name.expected" "$work/actual"; then
        echo "FAILED $name"
        failed=$((failed + 1))
    fi
done
echo "$# cases, $failed failed"
[ "$failed" = 0 ]
