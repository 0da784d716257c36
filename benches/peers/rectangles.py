"""The most area of rectangles on a rectangle, by rectpack and by OR-tools CP-SAT.

Every rectangle is grown by the gap, and the shelf drawn in by the distance to its edge and grown by the gap: then
plain non-overlap keeps all distances. Whole millimetres.
"""

import itertools
import random
import time

import rectpack
from ortools.sat.python import cp_model


def in_mm(instance):
    """Shelf and rectangles in mm, with their areas before they were grown."""
    gap = round(1000 * instance["gap_m"])
    edge = round(1000 * instance["edge_gap_m"])
    shelf = tuple(
        round(1000 * instance["container"][k]) - 2 * edge + gap
        for k in ("width", "depth")
    )
    sides = [
        (round(1000 * s["length"]), round(1000 * s["width"]))
        for s in instance["shapes"]
    ]
    grown = [(a + gap, b + gap) for a, b in sides]
    return shelf, grown, [a * b for a, b in sides]


ALGORITHMS = [
    getattr(rectpack, name)
    for name in dir(rectpack)
    if name.startswith(("MaxRects", "Skyline", "Guillotine"))
]
SORTS = [
    rectpack.SORT_AREA,
    rectpack.SORT_PERI,
    rectpack.SORT_DIFF,
    rectpack.SORT_SSIDE,
    rectpack.SORT_LSIDE,
    rectpack.SORT_RATIO,
]


def by_rectpack(instance, seconds, seed):
    """Every algorithm with every sort order, then with orders and choices mixed at random, until the time is up."""
    shelf, grown, areas = in_mm(instance)
    rng = random.Random(seed)
    end = time.monotonic() + seconds
    best = 0

    def run(algorithm, sort, order):
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline if sort else rectpack.PackingMode.Online,
            bin_algo=rectpack.PackingBin.BFF,
            pack_algo=algorithm,
            sort_algo=sort or rectpack.SORT_NONE,
            rotation=True,
        )
        packer.add_bin(*shelf)
        for i in order:
            packer.add_rect(*grown[i], rid=i)
        if sort:
            packer.pack()
        return sum(areas[r[5]] for r in packer.rect_list())

    everything = range(len(grown))
    for algorithm, sort in itertools.product(ALGORITHMS, SORTS):
        if time.monotonic() > end:
            break
        best = max(best, run(algorithm, sort, everything))
    while time.monotonic() < end:
        spread = rng.choice([0.1, 0.3, 0.6])
        size = {i: areas[i] * rng.uniform(1 - spread, 1 + spread) for i in everything}
        order = sorted(everything, key=lambda i: -size[i])
        best = max(best, run(rng.choice(ALGORITHMS), None, order))
    return best / 1e6


def by_cp_sat(instance, seconds, seed, workers):
    """Optional intervals, upright or turned, that do not overlap."""
    (width, depth), grown, areas = in_mm(instance)
    model = cp_model.CpModel()
    xs, ys, chosen = [], [], []
    for i, (a, b) in enumerate(grown):
        x = model.new_int_var(0, width, f"x{i}")
        y = model.new_int_var(0, depth, f"y{i}")
        ways = []
        for k, (p, q) in enumerate([(a, b), (b, a)] if a != b else [(a, b)]):
            on = model.new_bool_var(f"on{i}.{k}")
            xs.append(model.new_optional_fixed_size_interval_var(x, p, on, f"w{i}.{k}"))
            ys.append(model.new_optional_fixed_size_interval_var(y, q, on, f"d{i}.{k}"))
            model.add(x + p <= width).only_enforce_if(on)
            model.add(y + q <= depth).only_enforce_if(on)
            ways.append(on)
        model.add_at_most_one(ways)
        chosen.append((areas[i], ways))
    model.add_no_overlap_2d(xs, ys)
    # No more grown area than the shelf has: said outright, the bound is found at once.
    model.add(
        sum(a * b * w for (a, b), (_, ways) in zip(grown, chosen) for w in ways)
        <= width * depth
    )
    model.maximize(sum(area * w for area, ways in chosen for w in ways))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return 0.0
    return solver.objective_value / 1e6
