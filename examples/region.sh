#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A region of invented wells: for which share of them is purified water needed
# to feed basil, and how much acid does the region take?
#
#     examples/region.sh [WELLS [FOLDER]]     100000 wells in .build/region
#
# Made as a public archive would send them, a reading a line under the columns of
# the Water Quality Portal, a file for each 1,000 wells; then a row for each well
# by saltwright batch, two files at a time, under GNU parallel where that is
# installed.  Nothing in it is measured: the wells are drawn, always the same
# ones, around what limestone, gravel and coast give.  SALTWRIGHT names another
# command to use.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
wells=${1:-100000} folder=${2:-.build/region}
export SALTWRIGHT=${SALTWRIGHT:-saltwright}

# wells_of FIRST LAST : their readings.  Numbers are drawn by Park & Miller's
# minimal standard (1988, Comm. ACM 31:1192-1201), so that every awk has the
# same ones; charges balance: what the cations leave is alkalinity.
wells_of() {
    awk -v first="$1" -v last="$2" '
    function draw() { state = (16807 * state) % 2147483647
                      return state / 2147483647 }
    function normal() { return sqrt(-2 * log(draw())) * cos(6.283185307 * draw()) }
    function spread(middle, factor) { return middle * exp(log(factor) * normal()) }
    function say(what, fraction, value, unit) {
        printf "%s,2024-%02d-%02d,%s,%s,%s,%s,,,\r\n",
            well, month, day, what, fraction, value, unit }
    function unseen(what, limit) {
        printf "%s,2024-%02d-%02d,%s,Dissolved,,,Not Detected,%s,ug/l\r\n",
            well, month, day, what, limit }
    BEGIN {
        printf "MonitoringLocationIdentifier,ActivityStartDate,"
        printf "CharacteristicName,ResultSampleFractionText,"
        printf "ResultMeasureValue,ResultMeasure/MeasureUnitCode,"
        printf "ResultDetectionConditionText,"
        printf "DetectionQuantitationLimitMeasure/MeasureValue,"
        printf "DetectionQuantitationLimitMeasure/MeasureUnitCode\r\n"
        for (i = first; i <= last; i++) {
            state = (48271 * i + 11) % 2147483647
            for (k = 0; k < 3; k++) draw()
            well = sprintf("INVENTED-%06d", i)
            month = 1 + int(12 * draw()); day = 1 + int(28 * draw())
            kind = draw()
            ca = kind < 0.5 ? spread(85, 1.5) : spread(32, 1.7)
            mg = ca * spread(0.22, 1.5)
            na = kind > 0.88 ? spread(95, 2.0) : spread(14, 1.8)
            k_ = spread(2.2, 1.7)
            cl = na * spread(1.35, 1.25); so4 = spread(28, 2.0)
            no3 = spread(1.5, 3.0); if (no3 > 30) no3 = 30
            hco3 = ca / 20.04 + mg / 12.15 + na / 22.99 + k_ / 39.1 \
                   - cl / 35.45 - so4 / 48.03 - no3 / 14.007
            if (hco3 < 0.2) { so4 = 0; hco3 = 0.2 }
            ph = 6.6 + 0.25 * log(1 + 4 * hco3) + 0.25 * normal()
            say("pH", "", sprintf("%.1f", ph), "std units")
            say("\"Alkalinity, total\"", "Total", sprintf("%.0f", 50.04 * hco3),
                "mg/l CaCO3")
            say("Calcium", "Dissolved", sprintf("%.3g", ca), "mg/l")
            say("Magnesium", "Dissolved", sprintf("%.3g", mg), "mg/l")
            say("Sodium", "Dissolved", sprintf("%.3g", na), "mg/l")
            say("Potassium", "Dissolved", sprintf("%.2g", k_), "mg/l")
            say("Chloride", "Dissolved", sprintf("%.3g", cl), "mg/l")
            say("Sulfate", "Dissolved", sprintf("%.3g", so4), "mg/l")
            say("Nitrate", "Dissolved", sprintf("%.2g", no3), "mg/l as N")
            say("Boron", "Dissolved", sprintf("%.0f", spread(40, 2)), "ug/l")
            if (draw() < 0.4) unseen("Iron", 10)
            else say("Iron", "Dissolved", sprintf("%.0f", spread(30, 3)), "ug/l")
        }
    }' </dev/null
}

# Rows of one file, a JSON object a line; 1 and 3 are answers too: a target is
# missed, a well cannot be used.
rows_of() {
    local status=0
    "$SALTWRIGHT" batch --water "$1" --target examples/basil.csv \
        --shelf examples/straights.csv --format ndjson --jobs 1 \
        --output "${1%.csv}.ndjson" 2>"${1%.csv}.txt" || status=$?
    [ $status -le 1 ] || [ $status = 3 ]
}
export -f rows_of

# What the rows come to.
answer() {
    awk '
    function of(key,  at) {
        at = index($0, "\"" key "\":")
        return at ? substr($0, at + length(key) + 3) + 0 : 0 }
    { wells++ }
    /"outcome":"failed"/ { failed++; next }
    /"all_met":true/ { met++; acid += of("nitric acid 38 %"); next }
    /"purified_share":/ { needs++; share += of("purified_share"); next }
    { neither++ }
    END {
        printf "%d invented wells; %d could not be used.\n", wells, failed
        used = wells - failed; if (!used) exit 3
        printf "Every target met with the well alone:   %5.1f %%\n",
            100 * met / used
        printf "Purified water needed:                  %5.1f %%, %.0f %% of " \
            "the water on average\n", 100 * needs / used,
            needs ? 100 * share / needs : 0
        printf "No share of purified water meets all:   %5.1f %%\n",
            100 * neither / used
        if (met)
            printf "Nitric acid 38 %% for wells used alone:  %.3g kg per m3 " \
                "of feed, %.4g kg for 1 m3 at each\n", acid / met, acid
    }'
}

mkdir -p "$folder"
files=()
for ((first = 1; first <= wells; first += 1000)); do
    last=$((first + 999 < wells ? first + 999 : wells))
    file=$folder/wells-$(printf '%06d' "$first").csv
    [ -s "$file" ] || wells_of "$first" "$last" >"$file"
    files+=("$file")
done
if command -v parallel >/dev/null; then
    parallel --will-cite -j2 rows_of ::: "${files[@]}"
else
    printf '%s\0' "${files[@]}" | xargs -0 -n1 -P2 bash -c 'rows_of "$1"' _
fi
cat "${files[@]/%.csv/.ndjson}" | answer
