#!/usr/bin/env python3
"""Small loads solved exactly by an outside solver, for the test of the bound.

    python3 -m venv /tmp/outside && /tmp/outside/bin/pip install ortools==9.15.6755
    /tmp/outside/bin/python levels.py > ../data/levels.json

The geometry of a shelf is decided by closed forms, so that the solver needs to know none:

row     The shelf is a rectangle 83 mm deep. All pieces are upright boxes 80 mm deep and at least
        70 mm wide: each meets the middle line of the shelf along its width at least, however it is
        turned, so a set fits if and only if the widths and the gaps between them do.
disc    The shelf is round and every piece is, so large that four never fit. Two fit if their
        radii, grown by half the gap, add up to no more than the shelf's grown as much; three if
        also the circle around three that touch one another is no larger (Soddy's formula).

Posts are 1 mm thick and no rule but the gaps of ware, lid, shelf and floor asks for room. Stacks
are those of full shelves, and those that begin with two columns of halves that level out under a
full shelf. All posts in one gap under one shelf are stacked alike, of one to three.
Lengths in mm, masses in grams. The answers are proved by the solver to be the best.
"""

import itertools
import json
import math
import random
import sys

import ortools
from ortools.sat.python import cp_model

GAP, ABOVE, LID, FLOOR, CUT = 2, 12, 25, 20, 2


def three_fit(radii, big):
    a, b, c = sorted((r + GAP / 2 for r in radii), reverse=True)
    big += GAP / 2
    if a + b > big:
        return False
    # Beside two that fill a diameter there is room for this one (Descartes' theorem).
    if 1 / c >= 1 / a + 1 / b - 1 / (a + b):
        return True
    outer = 2 * math.sqrt(a * b * c * (a + b + c)) - (a * b + b * c + c * a)
    return outer > 0 and a * b * c / outer <= big


def make(rng, kind):
    count = rng.randint(5, 10)
    pieces = []
    for _ in range(count):
        if kind == "row":
            width = rng.randint(70, 190)
        else:
            # Radius over the shelf's: four would need less than 1/2.414.
            width = 2 * rng.randint(84, 150)
        height = rng.choice([rng.randint(20, 60), rng.randint(60, 120), rng.randint(120, 240)])
        pieces.append(
            {
                "width": width,
                "height": height,
                "grams": rng.randint(2, 30) * 100,
                "worth": rng.randint(1, 5),
                "due": rng.random() < 0.2,
                "group": None,
            }
        )
    for p, q in zip(pieces[::5], pieces[1::5]):
        if rng.random() < 0.5:
            p["group"] = q["group"] = len([r for r in pieces if r["group"]]) + 1
    lengths = [20] + sorted(rng.sample([40, 50, 60, 75, 100, 125, 150, 200], 3))
    return {
        "kind": kind,
        "height": rng.randint(200, 480),
        "wide": rng.randint(400, 640) if kind == "row" else 400,
        "thick": rng.choice([8, 10, 12, 16]),
        "full": rng.randint(1, 4),
        "half": rng.choice([0, 0, 4]) if kind == "row" else 0,
        "limit_grams": rng.choice([20000, 7000, 5000]),
        "posts": [[mm, rng.choice([3, 5, 6, 9])] if mm > 20 else [mm, 12] for mm in lengths],
        "pieces": pieces,
    }


def solve(case):
    m = cp_model.CpModel()
    pieces, posts = case["pieces"], case["posts"]
    top = max(p["height"] for p in pieces)
    high = case["height"]
    sums = {}
    for n in (1, 2, 3):
        for parts in itertools.combinations_with_replacement(range(len(posts)), n):
            used = tuple(parts.count(k) for k in range(len(posts)))
            mm = sum(posts[k][0] for k in parts)
            if mm <= top + ABOVE + 100:
                sums[used] = mm
    used_posts = [[] for _ in posts]

    def stacked(places, when, least=0):
        """A height of posts, `places` of them stacked alike; 0 when `when` is not."""
        picks = [(m.new_bool_var(""), used, mm) for used, mm in sums.items() if mm >= least]
        m.add(sum(p for p, _, _ in picks) == when)
        for k in range(len(posts)):
            used_posts[k] += [(p, places * used[k]) for p, used, _ in picks if used[k]]
        return sum(p * mm for p, _, mm in picks)

    thick = case["thick"]
    levels = []  # room above, full?, there?
    split = m.new_bool_var("split")
    if case["half"] < 2:
        m.add(split == 0)
    fulls = [m.new_bool_var("") for _ in range(case["full"])]
    for a, b in zip(fulls, fulls[1:]):
        m.add(b <= a)
    m.add(split <= fulls[0])
    # Columns of halves up to the underside of the lowest full shelf.
    under = []
    halves = []
    both = [[], []]
    closing_left = m.new_bool_var("two posts left")
    for side in (0, 1):
        here = [m.new_bool_var("") for _ in range(max(0, case["half"] - 1))]
        if here:
            m.add(here[0] == split)
        for a, b in zip(here, here[1:]):
            m.add(b <= a)
        total = stacked(3, split, FLOOR)
        for k, h in enumerate(here):
            after = here[k + 1] if k + 1 < len(here) else 0
            last = m.new_bool_var("")
            m.add(last == h - after)
            # Under another half three posts; under the full shelf one on one side, two on the other.
            gap = stacked(3, after) if k + 1 < len(here) else 0
            two = m.new_bool_var("")
            one = m.new_bool_var("")
            m.add(two + one == last)
            m.add(two <= (closing_left if side == 0 else 1 - closing_left))
            m.add(one <= (1 - closing_left if side == 0 else closing_left))
            gap = gap + stacked(2, two) + stacked(1, one)
            total = total + thick * h + gap
            levels.append((gap - ABOVE * h, False, h))
            both[side].append(h)
        halves += here
        under.append(total)
    if halves:
        m.add(sum(halves) <= case["half"])
    m.add(under[0] == under[1])
    # Without halves the lowest full shelf stands on the floor.
    floor = stacked(3, m_and_not(m, fulls[0], split), FLOOR)
    at = under[0] + floor
    for k, f in enumerate(fulls):
        after = fulls[k + 1] if k + 1 < len(fulls) else 0
        last = m.new_bool_var("")
        m.add(last == f - after)
        gap = stacked(3, after) if k + 1 < len(fulls) else 0
        at = at + thick * f
        lid = m.new_int_var(0, high, "")
        m.add(lid <= high * last)
        m.add(lid <= high - at + 10 * high * (1 - last))
        levels.append((gap + lid - ABOVE * after - LID * last, True, f))
        m.add(at <= high)
        at = at + gap
    for k, (_, count) in enumerate(posts):
        m.add(sum(n * p for p, n in used_posts[k]) <= count)
    in_it = []
    on = []
    for p in pieces:
        xs = [m.new_bool_var("") for _ in levels]
        for x, (room, _, there) in zip(xs, levels):
            m.add(x <= there)
            m.add(room >= p["height"] - (1 - x) * (top + 2 * ABOVE + 2 * LID))
        on.append(xs)
        here = m.new_bool_var("")
        m.add(here == sum(xs))
        in_it.append(here)
    for i, p in enumerate(pieces):
        for j, q in enumerate(pieces[:i]):
            if p["group"] and p["group"] == q["group"]:
                m.add(in_it[i] == in_it[j])
    for k, (_, is_full, _) in enumerate(levels):
        xs = [xs[k] for xs in on]
        m.add(sum(p["grams"] * x for p, x in zip(pieces, xs)) <= case["limit_grams"])
        if case["kind"] == "row":
            wide = case["wide"] if is_full else case["wide"] / 2 - CUT
            m.add(
                sum(2 * (p["width"] + GAP) * x for p, x in zip(pieces, xs))
                <= int(2 * (wide + GAP))
            )
        else:
            big = case["wide"] / 2
            radius = [p["width"] / 2 for p in pieces]
            m.add(sum(xs) <= 3)
            for i, j in itertools.combinations(range(len(pieces)), 2):
                if radius[i] + radius[j] + GAP > big:
                    m.add(xs[i] + xs[j] <= 1)
            for t in itertools.combinations(range(len(pieces)), 3):
                if not three_fit([radius[i] for i in t], big):
                    m.add(sum(xs[i] for i in t) <= 2)
    value = [p["worth"] * (10 if p["due"] else 1) for p in pieces]
    m.maximize(sum(v * x for v, x in zip(value, in_it)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = 60
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    if solver.solve(m) != cp_model.OPTIMAL:
        return None
    return round(solver.objective_value), bool(solver.value(split))


def m_and_not(m, a, b):
    """a without b."""
    v = m.new_bool_var("")
    m.add(v == a - b)
    return v


def main():
    rng = random.Random(20261125)
    cases = []
    for n in range(60):
        case = make(rng, "disc" if n % 3 == 2 else "row")
        answer = solve(case)
        if answer is None:
            print(f"{n}: not solved in time, left away", file=sys.stderr)
            continue
        case["best"], case["split"] = answer
        cases.append(case)
        print(n, case["kind"], case["half"], answer, file=sys.stderr)
    out = {
        "about": "Made by tests/outside/levels.py, which says what the numbers mean.",
        "solver": f"OR-tools {ortools.__version__}, CP-SAT",
        "cases": cases,
    }
    json.dump(out, sys.stdout, indent=1)
    print()


main()
