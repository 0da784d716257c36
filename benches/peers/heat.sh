#!/usr/bin/env bash
# Measures Glost and SciPy's BDF on the same equations of a firing in one run. Needs python3 with venv, and cargo.
# KEEP=1 writes SciPy's figures to heat.csv, which `glost figures heat` shows.
# GLOST names a binary to measure in place of a release build.
set -euo pipefail
cd "$(dirname "$0")"

[ -x .venv-heat/bin/python ] || python3 -m venv .venv-heat
.venv-heat/bin/pip install --quiet --disable-pip-version-check -r requirements-heat.txt

targets=${CARGO_TARGET_DIR:-$PWD/../../target}
if [ -z "${GLOST:-}" ]; then
  CARGO_TARGET_DIR="$targets" cargo build --quiet --release --locked --manifest-path ../../Cargo.toml -p glost
  GLOST=$targets/release/glost
fi

keep=()
[ -z "${KEEP:-}" ] || keep=(--keep heat.csv)
OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 .venv-heat/bin/python heat.py "$GLOST" "${keep[@]}"
