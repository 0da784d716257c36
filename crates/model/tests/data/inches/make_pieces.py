"""Writes pieces.csv beside this file: 150 invented pieces, the same on every run."""

import csv
import pathlib

COLUMNS = (
    "id what maker shape size foot_size height mass wall clay glazes foot glaze_margin "
    "dryness delicacy stage cone due came_in priority group"
).split()
MAKERS = ["Anno", "Birk", "Cass", "Dov", "Edda", "Finn", "Gwil", "Hesk", "Iva", "Jory", "Kit"]
GLAZES = ["Slate", "Cream", "Slate", "Fern"]


def pick(seed, low, high, step):
    """A number on a grid from low to high that looks random and never changes."""
    count = round((high - low) / step) + 1
    return round(low + step * ((seed * 7919 + 104729) % 1009 % count), 3)


def piece(n):
    kind = n % 10
    row = dict.fromkeys(COLUMNS, "")
    if kind < 5:
        size = pick(n, 3.25, 3.75, 0.125)
        row.update(what="mug", shape="circle", size=size, foot_size=size - 0.75)
        row.update(height=pick(n + 1, 3.5, 4.25, 0.125), mass=pick(n, 0.75, 1.0, 0.05), wall=0.2)
    elif kind < 7:
        size = pick(n, 5, 6.5, 0.25)
        row.update(what="bowl", shape="circle", size=size, foot_size=size / 2)
        row.update(height=pick(n + 1, 2.25, 3.25, 0.125), mass=pick(n, 1.1, 1.6, 0.1), wall=0.25)
    elif kind == 7:
        size = pick(n, 8.5, 10.5, 0.25)
        row.update(what="plate", shape="circle", size=size, foot_size=size - 3)
        row.update(height=1.25, mass=pick(n, 1.8, 2.3, 0.1), wall=0.3)
    elif kind == 8:
        row.update(what="tray", shape="rectangle", size="8x5", foot_size="7.5x4.5")
        row.update(height=1.5, mass=1.6, wall=0.3)
    elif n % 20 == 9:
        size = pick(n, 4, 5.5, 0.25)
        row.update(what="vase", shape="circle", size=size, foot_size=size - 1)
        row.update(height=pick(n + 1, 8, 11, 0.5), mass=pick(n, 2.5, 4, 0.25), wall=0.3)
    else:
        row.update(what="oval dish", shape="ellipse", size="7.5x5", foot_size="5.5x3.5")
        row.update(height=1.75, mass=1.4, wall=0.25)
    row.update(
        id=f"N{n:03}",
        maker=MAKERS[n % len(MAKERS)],
        clay="Dun",
        glazes=GLAZES[n * 3 % 4],
        foot="wiped",
        glaze_margin=0.3,
        dryness="bone-dry",
        stage="glazed",
        came_in=f"2026-11-{n % 24 + 1:02}",
        due="2026-12-04" if n % 6 == 0 else "",
        priority="" if n % 3 else n % 5 + 1,
    )
    return row


path = pathlib.Path(__file__).with_name("pieces.csv")
with path.open("w", newline="", encoding="utf-8") as out:
    sheet = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    sheet.writeheader()
    sheet.writerows(piece(n) for n in range(1, 151))
