"""Reads the equations of a kiln (`glost figures heat --equations NAME`) and integrates them with SciPy.

Written from the description of the equations, not from Glost's code: radiosities are solved densely over all
enclosures at once, laws and their slopes are numpy's, time belongs to scipy.integrate.
"""

import numpy as np
from scipy.integrate import solve_ivp

SIGMA = 5.670374419e-8
STILL_K = 0.5


class Properties:
    """One property for each of many things: a + b T + c / T^2, or straight lines between points."""

    def __init__(self, all_words):
        n = len(all_words)
        self.abc = np.zeros((3, n))
        tables = {}
        for i, words in enumerate(all_words):
            kind, numbers = words[0], [float(w) for w in words[1:]]
            if kind == "table":
                tables.setdefault(tuple(numbers), []).append(i)
            else:
                self.abc[: len(numbers), i] = numbers
        self.tables = []
        for numbers, places in tables.items():
            t, v = np.array(numbers[::2]), np.array(numbers[1::2])
            slopes = np.concatenate([[0.0], np.diff(v) / np.diff(t), [0.0]])
            self.tables.append((np.array(places), t, v, slopes))

    def at(self, t):
        a, b, c = self.abc
        v = a + b * t + c / (t * t)
        for places, ts, vs, _ in self.tables:
            v[places] = np.interp(t[places], ts, vs)
        return v

    def slope(self, t):
        _, b, c = self.abc
        v = b - 2.0 * c / t**3
        for places, ts, _, slopes in self.tables:
            v[places] = slopes[np.searchsorted(ts, t[places], side="right")]
        return v


def corners(wanted, c):
    """Limits of 0 and 1 with rounded corners, and the slope."""
    if wanted <= -c:
        return 0.0, 0.0
    if wanted < c:
        return (wanted + c) ** 2 / (4 * c), (wanted + c) / (2 * c)
    if wanted <= 1 - c:
        return wanted, 1.0
    if wanted < 1 + c:
        d = 1 + c - wanted
        return 1 - d * d / (4 * c), d / (2 * c)
    return 1.0, 0.0


class Kiln:
    """Unknowns: temperatures of bodies (or energy received by held nodes) in the order of the nodes, energy
    drawn, what is left of each sink, set point, integral of each group."""

    def __init__(self, text):
        lines = [line.split() for line in text.splitlines() if line.strip()]
        bodies, held, links, windows, enclosures = {}, {}, [], [], []
        self.constant, roles, self.groups, self.zones, self.ware, self.sinks = {}, {}, [], [], [], []
        self.segments, node, i = [], 0, 0
        while i < len(lines):
            kind, *rest = lines[i]
            i += 1
            if kind == "body":
                bodies[node] = (float(rest[0]), float(rest[1]), rest[2:])
                node += 1
            elif kind == "held":
                held[node] = float(rest[0])
                node += 1
            elif kind == "link":
                links.append((int(rest[0]), int(rest[1]), rest[2], rest[3:]))
            elif kind == "window":
                windows.append(float(rest[0]))
            elif kind == "enclosure":
                count = int(rest[0])
                enclosures.append(lines[i : i + count])
                i += count
            elif kind == "constant":
                self.constant[rest[0]] = float(rest[1])
            elif kind == "wire":
                self.wire = Properties([rest])
            elif kind == "sensor":
                self.sensor, self.offset, self.drift = int(rest[0]), float(rest[1]), float(rest[2])
            elif kind == "role":
                roles[rest[0]] = int(rest[1])
            elif kind == "group":
                self.groups.append(int(rest[0]))
            elif kind == "zone":
                element = None if rest[0] == "-" else int(rest[0])
                self.zones.append((element, float(rest[1]), int(rest[2]), int(rest[3])))
            elif kind == "ware":
                self.ware.append((int(rest[0]), int(rest[1]), int(rest[2]), float(rest[3])))
            elif kind == "sink":
                half = float(rest[4]) if rest[3] == "drying" else None
                self.sinks.append((int(rest[0]), int(rest[1]), float(rest[2]), half))
            elif kind == "segment":
                self.segments.append(tuple(float(w) for w in rest))
            elif kind == "cool":
                self.cool_k = float(rest[0])
            else:
                raise ValueError(f"a line that begins with {kind}")
        self.n = node
        self.reactions = roles["reactions"]
        self.body = np.array(sorted(bodies))
        self.held = np.array(sorted(held))
        self.held_k = np.array([held[i] for i in sorted(held)])
        self.start_k = np.array([bodies[i][0] for i in sorted(bodies)])
        self.mass = np.array([bodies[i][1] for i in sorted(bodies)])
        self.heat_of = Properties([bodies[i][2] for i in sorted(bodies)])
        self.is_body = np.zeros(node, bool)
        self.is_body[self.body] = True
        self.room_k = held[roles["room"]]
        self._links(links)
        self._radiosities(enclosures, windows, [l for l in links if l[2] == "radiation"])
        self.first_sink = node + 1
        self.set = self.first_sink + len(self.sinks)
        self.size = self.set + 1 + len(self.groups)

    def _links(self, links):
        def ends(of):
            return np.array([l[0] for l in of], int), np.array([l[1] for l in of], int)

        plain = [l for l in links if l[2] == "conductance"]
        self.plain = (*ends(plain), np.array([float(l[3][0]) for l in plain]))
        solid = [l for l in links if l[2] == "solid"]
        self.solid = (
            *ends(solid),
            np.array([float(l[3][0]) for l in solid]),
            Properties([l[3][1:] for l in solid]),
        )
        free = [l for l in links if l[2] == "natural"]
        area, coefficient, power = (np.array([float(l[3][k]) for l in free]) for k in range(3))
        self.free = (*ends(free), area * coefficient, power)

    def _radiosities(self, enclosures, windows, direct):
        """Exchange areas between all nodes, from one dense system: J = e E + r H, a window sends out what
        falls on its other side."""
        faces = [row for e in enclosures for row in e]
        m = len(faces)
        views, area, e = np.zeros((m, m)), np.zeros(m), np.zeros(m)
        node, pane, first = [None] * m, {}, 0
        for rows in enclosures:
            for k, row in enumerate(rows):
                i = first + k
                area[i], e[i] = float(row[2]), float(row[3])
                views[i, first : first + len(rows)] = [float(w) for w in row[4:]]
                if row[0] == "node":
                    node[i] = int(row[1])
                else:
                    pane[int(row[1])] = i
            first += len(rows)
        left, emitted = np.eye(m), np.zeros((m, self.n))
        for i in range(m):
            if node[i] is None:
                continue
            left[i] -= (1 - e[i]) * views[i]
            emitted[i, node[i]] = e[i]
        for p, i in pane.items():
            assert abs(area[i] - windows[p // 2]) < 1e-8
            left[i] -= views[pane[p ^ 1]]
        arrives = views @ np.linalg.solve(left, emitted)
        # Heat into nodes, W, for each W/m2 of every node's sigma T^4.
        gain = np.zeros((self.n, self.n))
        for i in range(m):
            if node[i] is not None:
                gain[node[i]] += e[i] * area[i] * arrives[i]
                gain[node[i], node[i]] -= e[i] * area[i]
        for a, b, _, (g,) in direct:
            g = float(g)
            gain[a, a] -= g
            gain[a, b] += g
            gain[b, b] -= g
            gain[b, a] += g
        self.gain = gain

    def start(self):
        y = np.zeros(self.size)
        y[self.body] = self.start_k
        y[self.first_sink : self.set] = 1.0
        y[self.set] = self.room_k
        return y

    def temps(self, y):
        t = y[: self.n].copy()
        t[self.held] = self.held_k
        return t

    def shown(self, t, node):
        return t[node] + self.offset + self.drift * (t[node] - 273.15)

    def wanted(self, y, t, group):
        """Share of power, slope by what is asked, rate of the integral and its slope by what is asked."""
        k = self.constant
        error = y[self.set] - self.shown(t, self.groups[group])
        asked = error / k["band_k"] + y[self.set + 1 + group]
        share, slope = corners(asked, k["corner"])
        rate = error / (k["band_k"] * k["integral_s"]) + (share - asked) / k["unwind_s"]
        return share, slope, rate

    def sink_rate(self, half, t):
        """Rate of drying or of driving out bound water, 1/s, and its slope."""
        k = self.constant
        if half is None:
            r = k["bound_rate"] * np.exp(k["bound_k"] * (1 / k["bound_middle_k"] - 1 / t))
            return r, r * k["bound_k"] / t**2
        warm = min(t, k["dry_k"])
        d = k["diffusion_at_70"] * np.exp(k["diffusion_k"] * (1 / 343.15 - 1 / warm))
        r = np.pi**2 / 4 * d / half**2
        return r, (r * k["diffusion_k"] / warm**2 if t < k["dry_k"] else 0.0)

    def set_rate(self, y, t, rate):
        sign, wait = np.sign(rate), self.constant["wait_k"]
        ahead = (y[self.set] - self.shown(t, self.sensor)) * sign
        if ahead <= wait / 2:
            return rate, 0.0
        if ahead < wait:
            return rate * (wait - ahead) / (wait / 2), -abs(rate) / (wait / 2)
        return 0.0, 0.0

    def heat(self, y, t, powered):
        q = np.zeros(self.n + 1)
        a, b, g = self.plain
        w = g * (t[a] - t[b])
        np.subtract.at(q, a, w)
        np.add.at(q, b, w)
        a, b, s, k = self.solid
        w = s * k.at((t[a] + t[b]) / 2) * (t[a] - t[b])
        np.subtract.at(q, a, w)
        np.add.at(q, b, w)
        a, b, g, p = self.free
        d = t[a] - t[b]
        w = g * (d * d + STILL_K**2) ** (p / 2) * d
        np.subtract.at(q, a, w)
        np.add.at(q, b, w)
        q[: self.n] += self.gain @ (SIGMA * t**4)
        if powered:
            hot = self.wire.at(np.array([self.constant["nameplate_k"]]))[0]
            for element, power, group, _ in self.zones:
                if element is not None:
                    share = self.wanted(y, t, group)[0]
                    p = power * share * hot / self.wire.at(t[[element]])[0]
                    q[element] += p
                    q[self.n] += p
        for i, (skin, core, heat, half) in enumerate(self.sinks):
            rate, _ = self.sink_rate(half, t[skin] / 3 + 2 * t[core] / 3)
            w = heat * rate * y[self.first_sink + i]
            q[skin] -= w / 3
            q[core] -= 2 * w / 3
            q[self.reactions] += w
        return q

    def rates(self, y, aim):
        t = self.temps(y)
        powered = aim[0] != "off"
        q = self.heat(y, t, powered)
        dy = np.zeros(self.size)
        dy[: self.n + 1] = q
        dy[self.body] /= self.mass * self.heat_of.at(t[self.body])
        for i, (skin, core, _, half) in enumerate(self.sinks):
            rate, _ = self.sink_rate(half, t[skin] / 3 + 2 * t[core] / 3)
            dy[self.first_sink + i] = -rate * y[self.first_sink + i]
        if aim[0] == "ramp":
            dy[self.set] = self.set_rate(y, t, aim[1])[0]
        if powered:
            for g in range(len(self.groups)):
                dy[self.set + 1 + g] = self.wanted(y, t, g)[2]
        return dy

    def jacobian(self, y, aim):
        t = self.temps(y)
        powered = aim[0] != "off"
        n, j = self.n, np.zeros((self.size, self.size))

        def pairs(a, b, first, second):
            np.subtract.at(j, (a, a), first)
            np.subtract.at(j, (a, b), second)
            np.add.at(j, (b, a), first)
            np.add.at(j, (b, b), second)

        a, b, g = self.plain
        pairs(a, b, g, -g)
        a, b, s, k = self.solid
        middle, d = (t[a] + t[b]) / 2, t[a] - t[b]
        v, slope = k.at(middle), k.slope(middle)
        pairs(a, b, s * (v + slope * d / 2), s * (-v + slope * d / 2))
        a, b, g, p = self.free
        d = t[a] - t[b]
        r2 = d * d + STILL_K**2
        slope = g * r2 ** (p / 2) * (1 + p * d * d / r2)
        pairs(a, b, slope, -slope)
        j[:n, :n] += self.gain * (4 * SIGMA * t**3)
        k = self.constant
        gain = 1 + self.drift
        if powered:
            hot = self.wire.at(np.array([k["nameplate_k"]]))[0]
            for element, power, group, _ in self.zones:
                if element is None:
                    continue
                share, slope, _ = self.wanted(y, t, group)
                r, by_t = self.wire.at(t[[element]])[0], self.wire.slope(t[[element]])[0]
                p = power * hot / r
                for row in (element, n):
                    j[row, self.set] += p * slope / k["band_k"]
                    j[row, self.groups[group]] -= p * slope / k["band_k"] * gain
                    j[row, self.set + 1 + group] += p * slope
                    j[row, element] -= p * share * by_t / r
        for i, (skin, core, heat, half) in enumerate(self.sinks):
            rate, slope = self.sink_rate(half, t[skin] / 3 + 2 * t[core] / 3)
            here = self.first_sink + i
            left = y[here]
            for row, share in ((skin, -1 / 3), (core, -2 / 3), (self.reactions, 1.0)):
                j[row, skin] += share * heat * slope * left / 3
                j[row, core] += share * heat * slope * left * 2 / 3
                j[row, here] += share * heat * rate
            j[here, here] -= rate
            j[here, skin] -= slope * left / 3
            j[here, core] -= slope * left * 2 / 3
        c = self.mass * self.heat_of.at(t[self.body])
        q = self.heat(y, t, powered)
        j[self.body] /= c[:, None]
        slope = self.mass * self.heat_of.slope(t[self.body])
        j[self.body, self.body] -= q[self.body] * slope / c**2
        j[:, self.held] = 0.0
        if aim[0] == "ramp":
            slope = self.set_rate(y, t, aim[1])[1] * np.sign(aim[1])
            j[self.set, self.set] += slope
            j[self.set, self.sensor] -= slope * gain
        if powered:
            for g, node in enumerate(self.groups):
                slope = self.wanted(y, t, g)[1]
                unwind = (slope - 1) / k["unwind_s"]
                by_set = 1 / (k["band_k"] * k["integral_s"]) + unwind / k["band_k"]
                here = self.set + 1 + g
                j[here, self.set] += by_set
                j[here, node] -= by_set * gain
                j[here, here] += unwind
        return j

    def tiers(self, y):
        """Mean ware of each zone, K; its cone where there is none."""
        t = self.temps(y)
        sums = [[0.0, 0.0] for _ in self.zones]
        for zone, skin, core, mass in self.ware:
            sums[zone][0] += mass * (t[skin] + 2 * t[core]) / 3
            sums[zone][1] += mass
        return [s / m if m else t[z[3]] for (s, m), z in zip(sums, self.zones)]

    def warmest(self, y):
        t = self.temps(y)
        nodes = [w[1] for w in self.ware] + [w[2] for w in self.ware] + [z[3] for z in self.zones]
        return max(t[nodes].max(), t[self.sensor])

    def tolerances(self):
        """Glost's own absolute tolerances."""
        a = np.full(self.size, 1e-3)
        a[self.held] = a[self.n] = 4e2
        a[self.set] = 1e-2
        return a


def fire(kiln, relative, absolute, every_s, longest_s=np.inf):
    """Rows of time, sensor K, tiers K and energy J at multiples of a time; and how much work it was."""
    rows, work = [], {"rates": 0, "jacobians": 0, "factorisations": 0, "steps": 0}
    k, now, y = kiln.constant, 0.0, kiln.start()

    def go(aim, at_most_s, event):
        nonlocal now, y
        event.terminal = True
        first = np.ceil((now + 1e-6) / every_s) * every_s
        times = np.arange(first, now + at_most_s, every_s)
        done = solve_ivp(
            lambda _, y: kiln.rates(y, aim),
            (now, now + at_most_s),
            y,
            method="BDF",
            t_eval=np.append(times, now + at_most_s),
            events=event,
            rtol=relative,
            atol=absolute,
            max_step=longest_s,
            jac=lambda _, y: kiln.jacobian(y, aim),
        )
        if done.status < 0:
            raise RuntimeError(done.message)
        for t, state in zip(done.t, done.y.T):
            if t % every_s == 0:
                shown = kiln.shown(kiln.temps(state), kiln.sensor)
                rows.append((t, shown, *kiln.tiers(state), state[kiln.n]))
        for name, count in (("rates", done.nfev), ("jacobians", done.njev), ("factorisations", done.nlu)):
            work[name] += int(count)
        if done.status == 1:
            now, y = done.t_events[0][0], done.y_events[0][0].copy()
        else:
            now, y = done.t[-1], done.y[:, -1].copy()

    def sensor(y):
        return kiln.shown(kiln.temps(y), kiln.sensor)

    for rate, target, hold in kiln.segments:
        up = target >= y[kiln.set]
        if rate and abs(target - y[kiln.set]) > 1e-6:
            signed = rate if up else -rate
            go(("ramp", signed), 200 * 3600, lambda _, y: (target - y[kiln.set]) * np.sign(signed))
        y[kiln.set] = target
        short = (target - sensor(y)) * (1 if up else -1)
        if short > k["arrived_k"]:
            go(("hold",), 200 * 3600, lambda _, y: (target - sensor(y)) * (1 if up else -1) - k["arrived_k"])
        if hold:
            go(("hold",), hold, lambda _, y: 1.0)
    go(("off",), 80 * 3600, lambda _, y: kiln.warmest(y) - kiln.cool_k)
    return rows, work
