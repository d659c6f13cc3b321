#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A fuzzer that says nothing but what it finds, with the input in base 64: of one
# above 256 bytes libFuzzer itself shows nothing.
#     run.sh FOLDER FUZZER ARGUMENT ...    FOLDER: emptied, for such inputs
folder=$1
shift
rm -rf "$folder" && mkdir -p "$folder" || exit 2
"$@" -verbosity=0 -print_funcs=0 -print_final_stats=1 -max_len=1024 \
    -rss_limit_mb=1024 -artifact_prefix="$folder/" && exit
status=$?
for input in "$folder"/*; do
    echo "== ${input##*/}, in base 64:"
    base64 "$input"
done
exit $status
