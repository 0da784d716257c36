"""Runs Glost and its peers on the same instances for the same time, one after the other, and prints one table.

Usage: beside.py GLOST QUERIES SECONDS SEED [--keep figures.csv]
"""

import argparse
import csv
import json
import subprocess
import tempfile
from importlib.metadata import version

import rectangles
import strip
from machine import machine

WORKERS = 2
JAGUA = "jagua-rs 1.1.0 greedy"


def run(*command):
    done = subprocess.run(command, stdout=subprocess.PIPE, check=True, text=True)
    return json.loads(done.stdout)


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("glost")
    ask.add_argument("queries")
    ask.add_argument("seconds", type=float)
    ask.add_argument("seed", type=int)
    ask.add_argument("--keep")
    a = ask.parse_args()

    def instance(name):
        return run(a.glost, "figures", "placing", "--instance", name, "--json")

    def ours(row):
        done = run(
            a.glost, "figures", "placing", "--only", row, "--json",
            "--seconds", str(a.seconds), "--seed", str(a.seed),
        )  # fmt: skip
        return done["rows"][0]["values"]

    def greedy(name):
        with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
            json.dump(instance(name), file)
            file.flush()
            return run(a.queries, file.name, str(a.seconds), str(a.seed))["density"]

    # instance, row of ours, unit, larger is better, peers
    spyrrow = f"spyrrow {version('spyrrow')}"
    rectpack = f"rectpack {version('rectpack')}"
    cp_sat = f"ortools {version('ortools')} CP-SAT"
    plan = [
        ("discs-30", "round-shelf", "density", True, {JAGUA: lambda: greedy("discs-30")}),
        ("mixed-30", "round-shelf", "density", True, {JAGUA: lambda: greedy("mixed-30")}),
        ("strip-30", "strip", "width m", False, {
            spyrrow: lambda: strip.narrowest_m(instance("strip-30"), a.seconds, a.seed, WORKERS),
        }),
        ("rectangles-36", "rectangle-shelf", "area m2", True, {
            rectpack: lambda: rectangles.by_rectpack(instance("rectangles-36"), a.seconds, a.seed),
            cp_sat: lambda: rectangles.by_cp_sat(instance("rectangles-36"), a.seconds, a.seed, WORKERS),
        }),
    ]  # fmt: skip
    print(f"Machine: {machine()}")
    glost = subprocess.run([a.glost, "--version"], stdout=subprocess.PIPE, check=True, text=True)
    print(f"Versions: {glost.stdout.strip()}; {JAGUA}; {spyrrow}; {rectpack}; {cp_sat}")
    print(f"{a.seconds:g} s each, seed {a.seed}; {WORKERS} threads for spyrrow and CP-SAT, 1 for all others\n")
    print("| instance | figure | ours | peer | peer's | ours is better by |")
    print("| - | - | - | - | - | - |")
    kept, measured = [], {}
    for name, row, unit, larger, peers in plan:
        if row not in measured:
            measured[row] = ours(row)
        mine = measured[row].get(name)
        for peer, measure in peers.items():
            theirs = measure()
            kept.append((name, peer, f"{theirs:.6f}", f"{a.seconds:g}", machine()))
            if mine is None:
                print(f"| {name} | {unit} | none | {peer} | {theirs:.5f} | |", flush=True)
                continue
            ratio = mine / theirs if larger else theirs / mine
            better = f"{100 * (ratio - 1):+.2f} %"
            print(f"| {name} | {unit} | {mine:.5f} | {peer} | {theirs:.5f} | {better} |", flush=True)
    if a.keep:
        with open(a.keep, "w", newline="", encoding="utf-8") as file:
            out = csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_NONE, escapechar="\\")
            out.writerow(("instance", "peer", "figure", "seconds", "machine"))
            out.writerows(kept)


if __name__ == "__main__":
    main()
