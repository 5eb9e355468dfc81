#!/usr/bin/env bash
# Driftless against general libraries: `bash tests/differential/run.sh`. Builds the Python package (tests/python/run.sh), puts the
# libraries beside it, and the two examples that answer questions.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

DRIFTLESS_PYTHON_BUILD_ONLY=1 bash tests/python/run.sh
python=$PWD/target/python/venv/bin/python
"$python" -m pip install --quiet --disable-pip-version-check -r tests/differential/requirements.txt
cargo build --release --locked --quiet -p driftless-statistics --example answers
cargo build --release --locked --quiet -p driftless-track --example local
exec "$python" -W ignore::DeprecationWarning -P tests/differential/differential.py
