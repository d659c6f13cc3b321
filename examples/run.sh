#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Builds Saltwright, from a bare Debian 12 on, and lets it answer the questions
# of examples/README.md.  SALTWRIGHT names another command to use instead.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 2
source tests/packages.sh

build() {
    need_packages "${packages_build[@]}" &&
        cmake -G Ninja -S . -B .build/examples -DBUILD_TESTING=OFF \
            >.build/examples.log 2>&1 &&
        cmake --build .build/examples >>.build/examples.log 2>&1 && return
    tail -n 40 .build/examples.log
    echo "The build failed; its log is .build/examples.log" >&2
    exit 4
}

# ask QUESTION COMMAND ... : 1 is an answer too: not every target is met.
ask() {
    local status
    printf '\n%s\n\n$ saltwright %s\n' "# $1" "${*:2}"
    # Unquoted: the command may come with options of its own.
    $SALTWRIGHT "${@:2}"
    status=$?
    [ $status -le 1 ] || { echo "exit status $status" >&2; exit $status; }
}

mkdir -p .build
if [ -z "${SALTWRIGHT:-}" ]; then
    build
    SALTWRIGHT=.build/examples/cli/saltwright
fi

ask "Is the report of the well believable, and is the well fit for use?" \
    audit --water examples/well.csv
ask "The harbour's pepper mixture in the hill's well: what goes wrong?" \
    check --water examples/well.csv --target examples/pepper.csv \
    --shelf examples/straights.csv --recipe examples/recipe.csv
ask "The premix at its label rate in the harbour's water: will it do?" \
    check --water examples/town.csv --target examples/basil.csv \
    --shelf examples/premix.csv --recipe examples/label-rate.csv
ask "The same basil in each water, side by side." \
    compare --water examples/waters.csv --target examples/basil.csv \
    --shelf examples/straights.csv
ask "Well or town, or a mix of both and purified water?" \
    compare --water examples/well.csv --water examples/town.csv \
    --purified typical --blend --target examples/basil.csv \
    --shelf examples/straights.csv --sheet .build/which-water.html
ask "Pepper at three stages in the harbour's water: what for each?" \
    formulate --water examples/town.csv --target examples/pepper-stages.csv \
    --shelf examples/straights.csv --sheet .build/pepper-stages.html
ask "The well changes through the year: by how much does the mixture?" \
    batch --water examples/seasons.csv --target examples/pepper.csv \
    --shelf examples/straights.csv
ask "How often must the hill's basil mixture be changed as the well changes?" \
    recipes --water examples/seasons.csv --target examples/basil.csv \
    --shelf examples/straights.csv
ask "The harbour keeps concentrates: what goes into which tank?" \
    stock --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv --tank 200L --factor 100
ask "The pepper mixture shows too little EC: what went wrong?" \
    check --water examples/town.csv --target examples/pepper.csv \
    --shelf examples/straights.csv --recipe examples/recipe.csv \
    --measured-ec 1.93mS/cm --measured-ph 6.2
ask "The recirculating solution has gathered sodium: what to drain?" \
    renew --solution examples/return.csv:late --holds 900L --volume 1000L \
    --water examples/town.csv --target examples/basil.csv \
    --shelf examples/straights.csv
ask "What does the hill weigh out for basil in 400 gallons?" \
    formulate --water examples/well.csv --target examples/basil.csv \
    --shelf examples/straights.csv --volume 400gal --sheet .build/basil.html
SALTWRIGHT="$SALTWRIGHT" bash examples/pictures.sh .build || exit 4
printf '\n%s\n' "The same as a page to take along: .build/basil.html"
printf '%s\n' "Pictures of its first page and chart: .build/basil-*.svg"
printf '%s\n' "Which water, as a page: .build/which-water.html"
printf '%s\n' "The stages of the pepper as a page: .build/pepper-stages.html"
