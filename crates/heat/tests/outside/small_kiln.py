"""Writes small_kiln.csv, what SciPy's BDF makes of small_kiln.txt: temperatures in degrees C, energy in kWh.

The equations come from Glost (`glost figures heat --equations small`), the solution does not. Relative tolerance
1e-8, so that it can count as exact. Needs numpy and scipy: python small_kiln.py
"""

from pathlib import Path

import equations
import scipy

EVERY_S = 1800.0


def main():
    here = Path(__file__).parent
    kiln = equations.Kiln((here / "small_kiln.txt").read_text(encoding="ascii"))
    rows, _ = equations.fire(kiln, 1e-8, kiln.tolerances() * 1e-4, EVERY_S)
    head = ["time_s", "sensor_c", *(f"tier_{i + 1}_c" for i in range(len(kiln.zones))), "energy_kwh"]
    lines = [f"# SciPy {scipy.__version__}, solve_ivp, BDF, rtol 1e-8", ",".join(head)]
    for time, *temps, energy in rows:
        cells = [f"{time:.0f}", *(f"{t - 273.15:.4f}" for t in temps), f"{energy / 3.6e6:.6f}"]
        lines.append(",".join(cells))
    (here / "small_kiln.csv").write_text("\n".join(lines) + "\n", encoding="ascii")


if __name__ == "__main__":
    main()
