#!/usr/bin/env bash
# Tests of the page in a browser, behind both of its hosts: `bash tests/browser/run.sh`; more arguments go to pytest.
# Builds what is missing. Needs Chromium (apt-get install chromium), Python 3.11 or later, and what .ci/site needs.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

command -v chromium > /dev/null || { echo "chromium is missing: apt-get install chromium" >&2; exit 2; }
venv=$PWD/target/browser/venv
if ! cmp -s tests/browser/requirements.txt "$venv/requirements.txt"; then
    python3 -m venv "$venv"
    "$venv/bin/pip" install --quiet --disable-pip-version-check -r tests/browser/requirements.txt
    cp tests/browser/requirements.txt "$venv"
fi
bash .ci/site target/site/out
bash tests/browser/types.sh
cargo build --release --locked --quiet

status=0
for host in ${DRIFTLESS_HOSTS:-serve site}; do
    "$venv/bin/pytest" -q -p no:cacheprovider tests/browser --host "$host" "$@" || status=$?
done
exit "$status"
