#!/usr/bin/env bash
# Opens the handbook and drawings of the decision graph in headless Chromium and makes pictures of them, to
# be looked at by eye. Not part of the tests: it needs Chromium, and pdftoppm for the printed pages.
#
#   tests/pages/look.sh target/debug/straybelt pictures
set -euo pipefail

straybelt="${1:?usage: look.sh PROGRAM FOLDER}"
out="${2:?usage: look.sh PROGRAM FOLDER}"
browser="${CHROMIUM:-chromium}"
mkdir -p "$out"

run() { "$browser" --headless=new --no-sandbox --disable-gpu --hide-scrollbars --user-data-dir="$out/profile" "$@" 2>/dev/null; }

for entry in idler-build-up first-split runs-toward clean-idler-rolls; do
    "$straybelt" rules graph --around "$entry" --format svg >"$out/$entry.svg"
    run --window-size=1110,1500 --screenshot="$out/$entry.png" "file://$(realpath "$out")/$entry.svg"
done
run --window-size=1110,1500 --force-dark-mode --blink-settings=preferredColorScheme=0 \
    --screenshot="$out/dark.png" "file://$(realpath "$out")/idler-build-up.svg"
"$straybelt" rules graph --format svg >"$out/whole.svg"
run --window-size=2000,7500 --screenshot="$out/whole.png" "file://$(realpath "$out")/whole.svg"

"$straybelt" rules print --format html -o "$out/handbook.html" >/dev/null
page="file://$(realpath "$out")/handbook.html"
# The small book is short enough for one picture of everything.
"$straybelt" rules print --format html --rules examples/small-book -o "$out/small.html" >/dev/null
small="file://$(realpath "$out")/small.html"
run --window-size=1000,6500 --screenshot="$out/small.png" "$small"
run --window-size=1000,6500 --blink-settings=preferredColorScheme=0 --screenshot="$out/small-dark.png" "$small"
run --window-size=420,9000 --screenshot="$out/small-narrow.png" "$small"
run --no-pdf-header-footer --print-to-pdf="$out/handbook.pdf" "$page"
pages="$(pdfinfo "$out/handbook.pdf" | sed -n 's/^Pages: *//p')"
echo "The handbook prints on $pages pages."
pdftoppm -r 60 -gray -png -l 30 "$out/handbook.pdf" "$out/page"

# The demo logbook and what is handed over of a visit: on a wide screen, on a phone, on A4 and Letter.
state="$out/state"
"$straybelt" logbook import examples/ostrel-quay/logbook/oq-04.ndjson --state "$state" >/dev/null
"$straybelt" logbook show examples/ostrel-quay/conveyors/OQ-04.ron --state "$state" --format html -o "$out/logbook.html" >/dev/null
printf '1\n1\n1\n1\n1\n3\n2\n1\n1\n2\n2\ns\n' | "$straybelt" diagnose --plain --state "$state" \
    --conveyor examples/ostrel-quay/conveyors/OQ-04.ron >/dev/null
"$straybelt" visits show 1 --state "$state" --format html -o "$out/visit.html" >/dev/null
"$straybelt" visits sheet 1 --state "$state" --format html -o "$out/sheet.html" >/dev/null
for page in logbook visit sheet; do
    file="file://$(realpath "$out")/$page.html"
    run --window-size=1000,2600 --screenshot="$out/$page.png" "$file"
    run --window-size=420,3400 --screenshot="$out/$page-narrow.png" "$file"
    # The page itself leaves the size of the paper to the printer; here a copy of it is told which.
    for paper in A4 Letter; do
        sed "s/@page { size: auto;/@page { size: $paper;/" "$out/$page.html" >"$out/$page-$paper.html"
        run --no-pdf-header-footer --print-to-pdf="$out/$page-$paper.pdf" "file://$(realpath "$out")/$page-$paper.html"
        pdfinfo "$out/$page-$paper.pdf" | sed -n "s/^Page size: */$page on $paper: /p"
        pdftoppm -r 60 -gray -png -l 3 "$out/$page-$paper.pdf" "$out/$page-$paper"
    done
done
rm -rf "$out/profile" "$state"
echo "Look at the pictures in $out."
