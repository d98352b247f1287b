"""Compares the vortex lattice with a straightforward program in numpy and scipy, on the same mesh and in one run.

    /usr/bin/python3 aerolib/lattice/testdata/compare.py        (Debian: python3-numpy python3-scipy libopenblas0-pthread)

It runs the benchmarks of the package, then does the same here: vectorised assembly, and a sweep of 21 angles of attack, 11 centres of gravity and 11
deflections, with one LAPACK solution for each case, with lu_factor once and lu_solve for each case, and with lu_solve for all cases at once. Where a
sweep would take minutes some of its cases are timed and the rest is counted as equal; the table says so. Lift, moment and drag of the last case must agree.
The mesh is a swept, tapered wing with a flap along its trailing edge, without use of symmetry. Times are the least of several.
"""

import pathlib
import re
import subprocess
import sys
import time

import numpy as np
import scipy.linalg as linalg

SPAN, ROOT, TIP, SWEEP, FLAP = 8.0, 1.2, 0.8, 0.4, 0.25
AREA, CHORD = 8.0, 1.0
SIZES = {200: (4, 50), 1000: (20, 50), 2000: (20, 100)}
CASES = 21 * 11 * 11


class Wing:
    """The mesh: horseshoe vortices from A to B with legs along x, control points, normals along z."""

    def __init__(self, rows, strips):
        half = strips // 2
        y = SPAN / 2 * np.cos(np.pi / 2 * (1 - np.arange(half + 1) / half))
        middle = SPAN / 2 * np.cos(np.pi / 2 * (1 - (np.arange(half) + 0.5) / half))
        y, middle = np.concatenate([-y[:0:-1], y]), np.concatenate([-middle[::-1], middle])
        aft = int(round(FLAP * rows))
        edges = np.concatenate([np.linspace(0, 1 - FLAP, rows - aft + 1), np.linspace(1 - FLAP, 1, aft + 1)[1:]])
        size = np.diff(edges)
        lead = lambda y: np.abs(y) * np.tan(SWEEP)
        chord = lambda y: ROOT + (TIP - ROOT) * np.abs(y) / (SPAN / 2)

        def place(y, fraction):  # strip by strip
            x = lead(y)[:, None] + chord(y)[:, None] * fraction[None, :]
            return np.stack([x, np.broadcast_to(y[:, None], x.shape), np.zeros_like(x)], -1).reshape(-1, 3)

        quarter = edges[:-1] + size / 4
        self.a, self.b = place(y[:-1], quarter), place(y[1:], quarter)
        share = np.repeat((middle - y[:-1]) / np.diff(y), rows)[:, None]
        self.bound = self.a + share * (self.b - self.a)
        self.control = place(middle, edges[:-1] + 0.75 * size)
        hinge = lambda y: lead(y) + (1 - FLAP) * chord(y)
        side = np.stack([hinge(y[1:]) - hinge(y[:-1]), np.diff(y)], -1)
        turn = side[:, 1] / np.hypot(side[:, 0], side[:, 1])
        self.flap = np.where(np.tile(edges[:-1] >= 1 - FLAP - 1e-12, strips), np.repeat(turn, rows), 0)
        self.rows, self.y, self.middle = rows, y, middle


def induced(points, a, b):
    """Velocities at points, of horseshoes of unit circulation: an array of points by horseshoes by 3."""
    ra, rb = points[:, None] - a[None], points[:, None] - b[None]
    na, nb = np.linalg.norm(ra, axis=-1), np.linalg.norm(rb, axis=-1)
    product = na * nb
    with np.errstate(divide="ignore", invalid="ignore"):
        bound = np.cross(ra, rb) * ((na + nb) / (product * (product + (ra * rb).sum(-1))))[..., None]
    bound = np.nan_to_num(bound, nan=0.0, posinf=0.0, neginf=0.0)

    def leg(r, n):
        factor = (1 + r[..., 0] / n) / (r[..., 1] ** 2 + r[..., 2] ** 2)
        return np.stack([np.zeros_like(factor), -r[..., 2] * factor, r[..., 1] * factor], -1)

    return (bound + leg(rb, nb) - leg(ra, na)) / (4 * np.pi)


def assembly(w):
    return induced(w.control, w.a, w.b)[..., 2]


class Sweep:
    """What does not change between cases: velocities where vortices bear force, wash far behind. It is not timed."""

    def __init__(self, w):
        self.w = w
        v = np.concatenate([induced(w.bound[i : i + 100], w.a, w.b) for i in range(0, len(w.bound), 100)])
        own = np.arange(len(w.bound))
        bound = induced_legs_only(w)
        v[own, own] = bound
        self.x, self.y, self.z = (np.ascontiguousarray(v[..., k]) for k in range(3))
        self.segment = w.b - w.a
        gap = lambda edge: 1 / (2 * np.pi * (w.middle[:, None] - edge[None, :]))
        self.far = gap(w.y[1:]) - gap(w.y[:-1])
        self.cases = [(np.radians(i - 5), 0.5 + 0.1 * j, np.radians(k - 5)) for i in range(21) for j in range(11) for k in range(11)]

    def rhs(self, case):
        alpha, _, delta = case
        return -(np.sin(alpha) + delta * np.cos(alpha) * self.w.flap)

    def coefficients(self, case, gamma):
        """CL, Cm and CDi; the small force on vortices along the chords, which carry no lift, is left out."""
        alpha, cg, _ = case
        v = np.stack([np.cos(alpha) + self.x @ gamma, self.y @ gamma, np.sin(alpha) + self.z @ gamma], -1)
        f = 2 * gamma[:, None] * np.cross(v, self.segment)
        total = f.sum(0)
        pitch = (self.w.bound[:, 2] * f[:, 0] - (self.w.bound[:, 0] - cg) * f[:, 2]).sum()
        strips = gamma.reshape(-1, self.w.rows).sum(1)
        drag = -(strips * (self.far @ strips) * np.diff(self.w.y)).sum()
        lift = total[2] * np.cos(alpha) - total[0] * np.sin(alpha)
        return lift / AREA, pitch / (AREA * CHORD), drag / AREA


def induced_legs_only(w):
    """Velocity of each horseshoe's own legs at the middle of its bound vortex, which itself gives none there."""
    out = np.zeros_like(w.bound)
    for vertex, sign in ((w.b, 1), (w.a, -1)):
        r = w.bound - vertex
        out[:, 2] += sign * r[:, 1] * (1 + r[:, 0] / np.linalg.norm(r, axis=-1)) / r[:, 1] ** 2 / (4 * np.pi)
    return out


def least(f, seconds=3.0, most=15):
    """Returns the least time of f, and its value."""
    times, value, begun = [], None, time.perf_counter()
    while len(times) < most and (not times or time.perf_counter() - begun < seconds):
        start = time.perf_counter()
        value = f()
        times.append(time.perf_counter() - start)
    return min(times), value


def per_case(sweep, solve, budget=8.0):
    """Returns the time of all cases, how many were timed, and the coefficients of the last."""
    cases, done, begun, out = sweep.cases[::-1], 0, time.perf_counter(), []
    for case in cases:
        out.append(sweep.coefficients(case, solve(sweep.rhs(case))))
        done += 1
        if time.perf_counter() - begun > budget:
            break
    return (time.perf_counter() - begun) * CASES / done, done, out[0]


def at_once(sweep, factors):
    gammas = linalg.lu_solve(factors, np.stack([sweep.rhs(c) for c in sweep.cases], 1), check_finite=False)
    return [sweep.coefficients(c, gammas[:, i]) for i, c in enumerate(sweep.cases)]


def ours():
    """Runs the benchmarks several times and returns the least time of each in seconds, and what the sweep found last."""
    command = ["go", "test", "-run", "^$", "-bench", "Assembly|Factorisation|Sweep|Trim", "-benchtime", "0.5s", "-count", "3", "."]
    package = pathlib.Path(__file__).resolve().parent.parent
    text = subprocess.run(command, cwd=package, check=True, capture_output=True, text=True).stdout
    times, found = {}, {}
    for name, ns, rest in re.findall(r"^Benchmark(\S+?)-\d+\s+\d+\s+([\d.]+) ns/op(.*)$", text, re.M):
        times[name] = min(times.get(name, 1e9), float(ns) * 1e-9)
        found[name] = {unit: float(v) for v, unit in re.findall(r"([-\d.e+]+) (CL|Cm|CDi)\b", rest)}
    return times, found


def main():
    times, found = ours()
    print(f"numpy {np.__version__}, scipy {sys.modules['scipy'].__version__}; ratio = numpy's time over ours")
    print(f"{'panels':>6} {'part':<44} {'ours':>10} {'numpy':>10} {'ratio':>8}")

    def row(n, part, mine, theirs):
        print(f"{n:>6} {part:<44} {mine*1e3:>7.2f} ms {theirs*1e3:>7.1f} ms {theirs/mine:>8.2f}", flush=True)

    for n, (rows, strips) in SIZES.items():
        w = Wing(rows, strips)
        t, a = least(lambda: assembly(w))
        row(n, "assembly", times[f"Assembly/{n}"], t)
        t, factors = least(lambda: linalg.lu_factor(a, check_finite=False))
        row(n, "factorisation", times[f"Factorisation/{n}"], t)
        sweep = Sweep(w)
        mine = times[f"Sweep/{n}"]
        t, done, last = per_case(sweep, lambda b: np.linalg.solve(a, b))
        row(n, f"sweep, a LAPACK solution per case ({done} timed)", mine, t)
        t, done, _ = per_case(sweep, lambda b: linalg.lu_solve(factors, b, check_finite=False))
        row(n, f"sweep, lu_solve per case ({done} timed)", mine, t)
        t, _ = least(lambda: at_once(sweep, factors), most=2)
        row(n, "sweep, lu_solve of all cases at once", mine, t)
        for name, value, tolerance in zip(("CL", "Cm", "CDi"), last, (0.005, 0.005, 1e-3)):
            mine = found[f"Sweep/{n}"][name]
            if not abs(mine - value) <= tolerance * abs(value):
                sys.exit(f"{n} panels: {name} is {mine}, numpy has {value}")
    for name, what in (("Trim/400", "from the geometry on"), ("Trim/400/factorised", "factorised before")):
        print(f"trim of two surfaces with 400 panels, {what}: {times[name]*1e3:.2f} ms")


main()
