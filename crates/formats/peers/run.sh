#!/usr/bin/env bash
# Times the readers beside others, and writes the table between its marks in docs/performance.md anew:
# `bash crates/formats/peers/run.sh` (ROUNDS=9 of each, PYTHON=python3.12 or newer). Takes ten minutes and 150 MB in a
# temporary folder; fetches the crates and, in an environment of its own, the two Python packages.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"

rounds=${ROUNDS:-9}
python=${PYTHON:-python3}
page=../../../docs/performance.md
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

cargo build --release --locked --quiet
program=${CARGO_TARGET_DIR:-target}/release/peers
"$program" write "$folder/logs"
"$python" -m venv "$folder/venv"
"$folder/venv/bin/pip" install --quiet --only-binary :all: fastgpx==0.8.0 polars==2.1.0

crate() { awk -v name="$1" '/^name = / { n = $3 } n == "\"" name "\"" && /^version = / { gsub("\"", "", $3); print $3; exit }' Cargo.lock; }
{
    "$program" time "$folder/logs" "$rounds" > "$folder/crates"
    "$folder/venv/bin/python" peers.py "$folder/logs" "$rounds" "$program" > "$folder/packages"
    printf '<!-- begin: bash crates/formats/peers/run.sh -->\n'
    printf 'Made on %s by `bash crates/formats/peers/run.sh`, medians of %s interleaved rounds after one to warm up, one core:\n' \
        "$(date +%F)" "$rounds"
    printf '%s; %s; crates ' "$(sed -n 's/^model name[[:space:]]*: //p' /proc/cpuinfo | head -1)" "$(rustc --version)"
    for name in gpx quick-xml igc nmea csv fitparser; do printf '%s %s, ' "$name" "$(crate "$name")"; done
    printf 'PyPI fastgpx 0.8.0, polars 2.1.0, %s.\n\n' "$("$folder/venv/bin/python" --version)"
    printf '| log | reader | MB/s, memory / file | ns a fix | its time over ours, memory / file |\n|---|---|---|---|---|\n'
    # Rows of one log stand together, ours first.
    cut -d '|' -f 2 "$folder/crates" | uniq | while read -r log; do
        grep -hF "| $log |" "$folder/crates" "$folder/packages"
    done
    printf '<!-- end -->\n'
} > "$folder/table"

awk -v table="$folder/table" '
    /^<!-- begin: bash crates\/formats\/peers\/run.sh -->$/ { while ((getline line < table) > 0) print line; inside = 1 }
    !inside { print }
    /^<!-- end -->$/ { inside = 0 }' "$page" > "$folder/page"
cp "$folder/page" "$page"
cat "$folder/table"
