#!/bin/sh
# Installs what is missing, builds the release and runs the main job on the demo. Debian 12, as root or with sudo.
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
. "$root/assets/demo/common.sh"
cd "$root"

install_packages run
say "Building (build/release)"
mkdir -p build
cmake --preset release -DRAKELIGHT_TESTS=OFF > build/configure.log 2>&1 || { cat build/configure.log; stop "CMake could not configure the build"; }
cmake --build --preset release --target rakelight || stop "the build failed"

rakelight=build/release/rakelight
job=assets/demo/home.toml
out=build/demo
mkdir -p "$out"

say "Checking $job"
"$rakelight" check "$job" || stop "the demo job has errors"

say "Which joints show, when and from where"
"$rakelight" assess "$job" > "$out/assessment.txt" || stop "assess failed"
cat "$out/assessment.txt"
"$rakelight" assess "$job" --json > "$out/assessment.json" || stop "assess --json failed"

say "Pictures"
"$rakelight" render "$job" --surface long --moment "evening sun, midsummer" -o "$out/long-evening-sun.png" || stop "render failed"
"$rakelight" render "$job" --surface long --moment "overcast noon, November" -o "$out/long-overcast.png" || stop "render failed"
"$rakelight" render "$job" --surface long --moment "downlight after dark" -o "$out/long-downlight.png" || stop "render failed"
"$rakelight" render "$job" --viewer doorway --moment "evening sun, midsummer" -o "$out/room-evening-sun.png" || stop "render failed"
"$rakelight" render "$job" --surface long --moment "evening sun, midsummer" -o "$out/long-evening-sun.exr" || stop "render failed"
"$rakelight" render "$job" --surface long --map raking --moment "evening sun, midsummer" -o "$out/map-raking.png" || stop "render --map failed"
"$rakelight" render "$job" --surface long --map visibility --moment "evening sun, midsummer" -o "$out/map-visibility.png" || stop "render --map failed"
"$rakelight" render "$job" --viewer doorway --from 2026-06-21T19:30 --to 2026-06-21T20:45 --frames 6 --frame-ms 400 --size 640x360 -o "$out/evening.webp" || stop "render --from failed"
"$rakelight" compare "$job" --levels 3,4,5 -o "$out/levels.png" || stop "compare failed"

say "Which way round the sheets go, and where every joint lands"
"$rakelight" sheets "$job" > "$out/sheets.txt" || stop "sheets failed"
cat "$out/sheets.txt"
"$rakelight" sheets "$job" -o "$out/setting-out" || stop "sheets -o failed"

say "A joint's section, coat by coat"
"$rakelight" profile "$job" --joint long/B1 -o "$out/section-B1.png" || stop "profile failed"

say "The paper, quantities, and a sheet to fill in on site"
"$rakelight" report "$job" -o "$out/paper.pdf" || stop "report failed"
"$rakelight" report "$job" -o "$out/paper.html" || stop "report failed"
"$rakelight" quantities "$job" > "$out/quantities.txt" || stop "quantities failed"
"$rakelight" survey -o "$out/survey.pdf" || stop "survey failed"

say "Done"
echo "Findings: $out/assessment.txt and $out/assessment.json"
echo "Pictures:"
ls "$out"/*.png "$out"/*.exr "$out"/*.webp | sed 's/^/  /'
echo "On paper: $out/paper.pdf, $out/paper.html, $out/survey.pdf"
