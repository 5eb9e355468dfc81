#!/usr/bin/env bash
# A season of simulated flights on a Ray cluster of two workers, one of which is killed in the middle; the rows are held
# against those of the program. `bash tests/python/cluster.sh [FLIGHTS]`: 1000 without an argument.
# Prints time, rows and memory. Needs what run.sh needs, and Ray, which it installs beside the tests.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

DRIFTLESS_PYTHON_BUILD_ONLY=1 bash tests/python/run.sh
venv=$PWD/target/python/venv
"$venv/bin/pip" install --quiet --disable-pip-version-check -r tests/python/requirements-cluster.txt
exec "$venv/bin/python" tests/python/cluster.py "${1:-1000}"
