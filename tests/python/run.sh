#!/usr/bin/env bash
# Tests of the Python package: `bash tests/python/run.sh`; more arguments go to pytest.
# Builds the wheel and the program, makes a virtual environment, and installs the wheel as anybody would.
# Needs Rust and Python 3.10 or later with venv; DRIFTLESS_PYTHON names another one.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

python=${DRIFTLESS_PYTHON:-python3}
"$python" -c 'import sys; sys.exit(sys.version_info < (3, 10))' \
    || { echo "Python 3.10 or later is needed, $("$python" --version) was found; name one with DRIFTLESS_PYTHON" >&2; exit 2; }
work=$PWD/target/python
venv=$work/venv
stamp=$("$python" -c 'import sys; print(sys.version)'; cat tests/python/requirements.txt)
if [ "$(cat "$venv/stamp" 2> /dev/null)" != "$stamp" ]; then
    rm -rf "$venv"
    "$python" -m venv "$venv"
    "$venv/bin/pip" install --quiet --disable-pip-version-check -r tests/python/requirements.txt
    echo "$stamp" > "$venv/stamp"
fi

# The program, against whose figures those of the package are held. It shares target/ with the wheel, but the features of
# their dependencies differ, so that each has its own build of most crates.
cargo build --release --locked --quiet
rm -rf "$work/wheels"
"$venv/bin/maturin" build --release --locked --quiet --manifest-path crates/python/Cargo.toml \
    --interpreter "$venv/bin/python" --out "$work/wheels"
"$venv/bin/pip" install --quiet --disable-pip-version-check --force-reinstall --no-deps "$work"/wheels/*.whl

if [ "${DRIFTLESS_PYTHON_BUILD_ONLY:-}" = 1 ]; then exit 0; fi
# Not from the source tree, where the package lies without its native half.
exec "$venv/bin/python" -m pytest -q -p no:cacheprovider --rootdir tests/python tests/python "$@"
