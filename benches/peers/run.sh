#!/usr/bin/env bash
# Measures Glost and other programs on the same shelves for the same time. Needs python3 with venv, and cargo.
# run.sh [SECONDS [SEED]]; KEEP=1 writes the peers' figures to figures.csv, which `glost figures placing` shows.
# GLOST names a binary to measure in place of a release build.
set -euo pipefail
cd "$(dirname "$0")"
seconds=${1:-10}
seed=${2:-1}

[ -x .venv/bin/python ] || python3 -m venv .venv
.venv/bin/pip install --quiet --disable-pip-version-check -r requirements.txt

targets=${CARGO_TARGET_DIR:-$PWD/../../target}
CARGO_TARGET_DIR="$targets/peers" cargo build --quiet --release --locked --manifest-path queries/Cargo.toml
if [ -z "${GLOST:-}" ]; then
  CARGO_TARGET_DIR="$targets" cargo build --quiet --release --locked --manifest-path ../../Cargo.toml -p glost
  GLOST=$targets/release/glost
fi

keep=()
[ -z "${KEEP:-}" ] || keep=(--keep figures.csv)
.venv/bin/python beside.py "$GLOST" "$targets/peers/release/queries" "$seconds" "$seed" "${keep[@]}"
