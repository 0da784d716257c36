"""Runs Glost and SciPy's BDF on the same firing, one after the other, and prints one table.

Usage: heat.py GLOST [--keep heat.csv]. The equations come from `glost figures heat --equations timed`; the reader
and its solver are those that check Glost (crates/heat/tests/outside/equations.py). Same tolerances, the
Jacobian worked out by hand for both, one thread. SciPy works out temperatures and energy, Glost cones too.
"""

import argparse
import csv
import json
import subprocess
import sys
import time
from pathlib import Path

import scipy
from machine import machine

sys.path.insert(0, str(Path(__file__).parents[2] / "crates/heat/tests/outside"))
import equations  # noqa: E402

TIMES = 3
EVERY_S = 300.0


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("glost")
    ask.add_argument("--keep")
    a = ask.parse_args()

    def glost(*words):
        done = subprocess.run([a.glost, *words], stdout=subprocess.PIPE, check=True, text=True)
        return done.stdout

    kiln = equations.Kiln(glost("figures", "heat", "--equations", "timed"))

    def ours(row):
        return json.loads(glost("figures", "heat", "--only", row, "--json"))["rows"][0]["values"]

    exact, _ = equations.fire(kiln, 1e-8, kiln.tolerances() * 1e-4, EVERY_S)
    exact = {row[0]: row[2:-1] for row in exact}

    def worst(rows):
        pairs = [(row[2:-1], exact[row[0]]) for row in rows if row[0] in exact]
        return max(abs(x - y) for one, other in pairs for x, y in zip(one, other))

    print(f"Machine: {machine()}")
    print(f"Versions: {glost('--version').strip()}; SciPy {scipy.__version__}")
    print(f"{kiln.size} unknowns; relative tolerance 1e-4; best of {TIMES}; SciPy's error is against its own at 1e-8\n")
    speed, accuracy = ours("speed"), ours("accuracy")
    best, rows, work = float("inf"), [], {}
    for _ in range(TIMES):
        began = time.perf_counter()
        rows, work = equations.fire(kiln, 1e-4, kiln.tolerances(), EVERY_S)
        best = min(best, time.perf_counter() - began)
    again = ours("speed")
    mine = min(speed["best_ms"], again["best_ms"]) / 1e3
    print("| program | time | worst tier and instant | times ours |")
    print("| - | - | - | - |")
    print(f"| glost | {mine * 1e3:.2f} ms | {accuracy['worst_k']:.2f} K | 1 |")
    print(f"| SciPy BDF | {best * 1e3:.0f} ms | {worst(rows):.2f} K | {best / mine:.0f} |")
    print(f"\nSciPy's work: {work['rates']} rates, {work['jacobians']} Jacobians, {work['factorisations']} factorisations")
    if a.keep:
        with open(a.keep, "w", newline="", encoding="utf-8") as file:
            out = csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_NONE, escapechar="\\")
            out.writerow(("instance", "peer", "figure", "seconds", "machine"))
            name = f"SciPy {scipy.__version__} BDF"
            out.writerow(("firing-60h", name, f"{worst(rows):.6f}", f"{best:.4f}", machine()))


if __name__ == "__main__":
    main()
