#!/usr/bin/env bash
# Writes the equations of the small kiln anew, has SciPy solve them, and writes docs/validation.md anew.
# Needs cargo, and a python with numpy and scipy in PYTHON.
set -euo pipefail
cd "$(dirname "$0")/../../../.."
run() { cargo run --quiet -p glost -- figures heat "$@"; }
run --equations small > crates/heat/tests/outside/small_kiln.txt
"${PYTHON:-python3}" crates/heat/tests/outside/small_kiln.py
run --write docs/validation.md
