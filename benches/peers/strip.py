"""The narrowest rectangle by spyrrow: strip packing by overlap minimisation, polygons only.

Round outlines become 32-gons inside the true outline, so that spyrrow has the slightly easier task. The
distance that it keeps between outlines, it keeps to the rectangle's sides too.
"""

import math

import spyrrow


def polygon(shape):
    """Corners in mm."""
    if shape["form"] == "rectangle":
        a, b = 500 * shape["length"], 500 * shape["width"]
        return [(-a, -b), (a, -b), (a, b), (-a, b)]
    length = shape.get("diameter", shape.get("length"))
    width = shape.get("diameter", shape.get("width"))
    turns = [math.tau * i / 32 for i in range(32)]
    return [(500 * length * math.cos(t), 500 * width * math.sin(t)) for t in turns]


def narrowest_m(instance, seconds, seed, workers):
    """Width found, m."""
    items = [
        spyrrow.Item(
            str(i), polygon(s), 1, [0.0] if s["form"] == "circle" else None
        )
        for i, s in enumerate(instance["shapes"])
    ]
    height = 1000 * instance["container"]["depth"]
    strip = spyrrow.StripPackingInstance(instance["name"], height, items)
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=1000 * instance["gap_m"],
        total_computation_time=max(1, round(seconds)),
        num_workers=workers,
        seed=seed,
    )
    return strip.solve(config).width / 1000
