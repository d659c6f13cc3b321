#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# pictures.sh FOLDER : the pictures of README.md into FOLDER, of the hill's basil:
# page 1 of its mixing sheet as it prints, and the chart of what the crop gets.
# SALTWRIGHT names the command, which may come with options.
set -euo pipefail
folder=${1:?a folder for the pictures}
cd "$(dirname "${BASH_SOURCE[0]}")/.."
tool=${SALTWRIGHT:-saltwright}

draw() {
    $tool formulate --water examples/well.csv --target examples/basil.csv \
        --shelf examples/straights.csv --volume 400gal --sheet "$1" >/dev/null
}

# The page's own marks and style in an image: as on paper, and in light colours.
page_one() {
    local size='width="744" height="850"'
    echo "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 744 850\" $size>"
    echo '<style>'
    sed -n '/<style>/,/<\/style>/{/style>/d;p}' "$1" |
        sed 's/@media print/@media all/; s/@media screen/@media speech/'
    echo 'svg { background: #fff; }'
    echo '</style>'
    echo "<foreignObject $size>"
    echo '<html xmlns="http://www.w3.org/1999/xhtml"><body><main>'
    sed -n '/<h1>/,/<div class="client">/p' "$1" |
        sed '$d; s/<\(input\|br\)\([^>]*\)>/<\1\2\/>/g'
    echo '</main></body></html>'
    echo '</foreignObject></svg>'
}

page=$(mktemp --suffix=.html)
trap 'rm -f "$page" "${page%.html}.svg"' EXIT
draw "$page"
page_one "$page" >"$folder/basil-page.svg"
chart=${page%.html}.svg
draw "$chart"
sed '1s/<svg /<svg style="background: #fff" /' "$chart" >"$folder/basil-chart.svg"
