"""How fast the unsteady kernels are, beside the same loops in C, and what an engine speed costs.

Prints; never fails. Wants gcc for the comparison, and goes on without it.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "pulse"))

from engines import ports, v8
from tubes import AIR, even

from exhaust.pulse.arrays import Run
from exhaust.pulse.cycle import Cycle, settle
from exhaust.pulse.network import Fittings, filled, network
from exhaust.pulse.solver import advance

CELLS, STEPS, REPEATS = 2000, 500, 7
RPM = np.pi / 30
SPEEDS = (3000, 4500, 6000, 7500)
SWEEP = np.linspace(2000, 7500, 12)

# The five loops of exhaust.pulse.scheme, word for word in C; arrays in rows of n.
SOURCE = r"""
#include <math.h>
#include <stdlib.h>
#define MIN(a, b) ((a) < (b) ? (a) : (b))
#define MAX(a, b) ((a) > (b) ? (a) : (b))
typedef double *restrict out; typedef const double *restrict in;
static double primitive(int n, in U0, in U1, in U2, out r, out u, out p, in pw, double g) {
  double f = 0;
  for (int i = 0; i < n; i++) {
    double v = 1 / U0[i], w = U1[i] * v, q = (g - 1) * (U2[i] - .5 * U1[i] * w);
    r[i] = U0[i]; u[i] = w; p[i] = q;
    double s = (fabs(w) + sqrt(g * q * v)) * pw[i]; f = s > f ? s : f; }
  return f; }
static inline double lim(double a, double b) {
  double ab = a * b; return ab > 0 ? 2 * ab / (a + b) : 0; }
static void reconstruct(int n, in rho, in u, in p, out rl, out ul, out pl, out rr, out ur, out pr,
    in pw, in wid, in drag, in heat, in wall, double g, double perR, double half) {
  for (int i = 1; i < n - 1; i++) {
    double r0 = rho[i], u0 = u[i], p0 = p[i];
    double dr = lim(r0 - rho[i-1], rho[i+1] - r0), du = lim(u0 - u[i-1], u[i+1] - u0);
    double dp = lim(p0 - p[i-1], p[i+1] - p0), k = half * pw[i], v = 1 / r0;
    double st = du * k + half * u0 * wid[i], rub = half * drag[i] * u0 * fabs(u0);
    double warm = half * heat[i] * (wall[i] - p0 * v * perR);
    double rh = r0 - k * u0 * dr - r0 * st, uh = u0 - k * (u0 * du + dp * v) - rub;
    double ph = p0 - k * u0 * dp - g * p0 * st + (g - 1) * (warm + r0 * u0 * rub);
    dr *= .5; du *= .5; dp *= .5;
    int good = MIN(rh - fabs(dr), ph - fabs(dp)) > 0;
    rh = good ? rh : r0; uh = good ? uh : u0; ph = good ? ph : p0;
    dr = good ? dr : 0; du = good ? du : 0; dp = good ? dp : 0;
    rl[i] = rh - dr; ul[i] = uh - du; pl[i] = ph - dp;
    rr[i] = rh + dr; ur[i] = uh + du; pr[i] = ph + dp; } }
static void faces(int n, in rl, in ul, in pl, in rr, in ur, in pr, out M, out P, out E, double g) {
  double pg = 1 / (g - 1);
  for (int i = 1; i < n; i++) {
    double ra = rl[i-1], ua = ul[i-1], pa = pl[i-1], rb = rr[i], ub = ur[i], pb = pr[i];
    double ca = sqrt(g * pa / ra), cb = sqrt(g * pb / rb);
    double sa = MIN(ua - ca, ub - cb), sb = MAX(ua + ca, ub + cb);
    double ma = ra * (sa - ua), mb = rb * (sb - ub);
    double sm = (pb - pa + ma * ua - mb * ub) / (ma - mb);
    int left = sm >= 0;
    double r = left ? ra : rb, v = left ? ua : ub, q = left ? pa : pb, s = left ? sa : sb;
    int beyond = left ? s > 0 : s < 0;
    double w = beyond ? v : sm, d = s - v, m = r * d, star = q + m * (w - v), x = w / (s - w);
    M[i] = m * x; P[i] = star + m * x * w;
    E[i] = x * (d * (q * pg + .5 * r * v * v) - q * v + s * star); } }
static void update(int n, out m, out f, out e, in rl, in ul, in pl, in rr, in ur, in pr,
    in M, in P, in E, in drag, in heat, in wall, in pv, in A, double R, double dt) {
  for (int i = 1; i < n - 1; i++) {
    double a = A[i], b = A[i+1], k = dt * pv[i];
    double r = .5 * (rl[i] + rr[i]), u = .5 * (ul[i] + ur[i]), p = .5 * (pl[i] + pr[i]);
    m[i] += k * (a * M[i] - b * M[i+1]);
    f[i] += k * (a * (P[i] - p) - b * (P[i+1] - p)) - dt * drag[i] * r * u * fabs(u);
    e[i] += k * (a * E[i] - b * E[i+1]) + dt * heat[i] * (wall[i] - p / (r * R)); } }
void sweep(int n, int steps, double *U, double *c, double *A, double g, double R, double cfl) {
  double *w = calloc(12 * (n + 1), 8), *W = w, *L = w + 3*n, *Q = w + 6*n, *F = w + 9*n;
  for (int i = 0; i < 6 * n; i++) L[i] = 1;
  for (int s = 0; s < steps; s++) {
    double dt = cfl / primitive(n, U, U+n, U+2*n, W, W+n, W+2*n, c, g);
    reconstruct(n, W, W+n, W+2*n, L, L+n, L+2*n, Q, Q+n, Q+2*n, c, c+2*n, c+3*n, c+4*n, c+5*n,
                g, 1 / R, dt / 2);
    faces(n, Q, Q+n, Q+2*n, L, L+n, L+2*n, F, F+n+1, F+2*n+2, g);
    update(n, U, U+n, U+2*n, L, L+n, L+2*n, Q, Q+n, Q+2*n, F, F+n+1, F+2*n+2,
           c+3*n, c+4*n, c+5*n, c+n, A, R, dt); }
  free(w); }
"""


def best(run: Callable[[], object], prepare: Callable[[], object] = lambda: None) -> float:
    """Return the least time of several runs [s]."""
    times = []
    for _ in range(REPEATS):
        prepare()
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def tube() -> tuple[object, np.ndarray]:
    """Return Sod's tube and what it holds at the start."""
    net = network(AIR, [even(1.0, CELLS - 2)], Fittings(closed=[0, 1]))
    left = np.arange(CELLS) < CELLS // 2
    return net, filled(net, np.where(left, 1e5, 1e4), np.where(left, 348.4, 278.7)).cells


def ours(steps: int = STEPS) -> tuple[float, np.ndarray]:
    """Return million cell-updates a second of the five loops, and the gas at the end."""
    from exhaust.pulse import scheme
    from exhaust.pulse.compiled import kernel

    @kernel
    def sweep(U, mesh, gas, steps):
        n = U.shape[1]
        W, left, right = np.ones((4, n)), np.ones((3, n)), np.ones((3, n))
        flux = np.zeros((3, n + 1))
        for _ in range(steps):
            scheme_primitive(U, W, mesh.per_width, gas.gamma)
            dt = 0.9 / scheme_largest(W[3])
            scheme_reconstruct(W, left, right, mesh, gas, 0.5 * dt)
            scheme_faces(left, right, flux, gas.gamma)
            scheme_update(U, (left, right), flux, mesh, gas.gas_constant, dt)

    scheme_primitive, scheme_largest = scheme.primitive, scheme.largest
    scheme_reconstruct, scheme_faces = scheme.reconstruct, scheme.faces
    scheme_update = scheme.update
    net, start = tube()
    U = start.copy()
    sweep(U, net.mesh, net.gas, 1)
    seconds = best(lambda: sweep(U, net.mesh, net.gas, steps), lambda: np.copyto(U, start))
    return CELLS * steps / seconds / 1e6, U


def in_c(steps: int = STEPS) -> tuple[float, np.ndarray] | None:
    """Return the same of the same loops in C, or nothing where there is no gcc."""
    if shutil.which("gcc") is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        source, library = Path(folder) / "sweep.c", Path(folder) / "sweep.so"
        source.write_text(SOURCE)
        flags = ["-O3", "-march=native", "-ffast-math", "-shared", "-fPIC"]
        subprocess.run(["gcc", *flags, source, "-o", library, "-lm"], check=True)
        sweep = ctypes.CDLL(str(library)).sweep
    net, start = tube()
    rows = np.array(net.mesh[:6])
    pointer = ctypes.POINTER(ctypes.c_double)
    U = start.copy()
    arrays = [x.ctypes.data_as(pointer) for x in (U, rows, net.mesh.face_area)]
    numbers = [ctypes.c_double(x) for x in (1.4, 287.0, 0.9)]
    seconds = best(lambda: sweep(CELLS, steps, *arrays, *numbers), lambda: np.copyto(U, start))
    return CELLS * steps / seconds / 1e6, U


def whole_march() -> float:
    """Return million cell-updates a second of `march` on one long tube, ends and all."""
    net, start = tube()
    state = filled(net, 1e5, 300.0)
    counted: list[int] = []
    seconds = best(
        lambda: counted.append(advance(net, state, Run(2e-4, 0.9, 0.0))),
        lambda: np.copyto(state.cells, start),
    )
    return CELLS * counted[-1] / seconds / 1e6


def settled(rpm: float, cell: float = 0.01) -> tuple[Cycle, int]:
    """Return the steady cycle of a V8 at one speed, and the number of its cells."""
    net = v8(cell)
    state = filled(net, 101325.0, 900.0)
    return settle(net, state, rpm * RPM, ports(net)), net.mesh.per_width.size


def timed(work: Callable[[], object]) -> tuple[float, Any]:
    """Return how long some work takes [s], and what it returns."""
    start = time.perf_counter()
    result = work()
    return time.perf_counter() - start, result


def sweep(workers: int) -> list[np.ndarray]:
    """Return the port traces of all speeds of the sweep, on so many threads."""
    with ThreadPoolExecutor(workers) as pool:
        return [cycle.trace.values for cycle, _ in pool.map(settled, SWEEP)]


def first_calls() -> tuple[float, float]:
    """Return seconds of a first march that must compile, and of one that finds it kept."""
    code = (
        "import time; t = time.perf_counter();"
        "from exhaust.pulse.solver import advance; from exhaust.pulse.arrays import *;"
        "from exhaust.pulse.network import *; from exhaust.pulse.pipes import *;"
        "net = network(Gas(1.4, 287.0), [round_pipe(1.0, 0.05, 0.1)], Fittings(closed=[0, 1]));"
        "advance(net, filled(net, 1e5, 300.0), Run(1e-4, 0.9, 0.0)); print(time.perf_counter() - t)"
    )
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "NUMBA_CACHE_DIR": folder}
        runs = [
            subprocess.run(
                [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
            )
            for _ in range(2)
        ]
    return float(runs[0].stdout), float(runs[1].stdout)


def print_kernel() -> None:
    """Print the speed of the five loops beside C, and of the whole march."""
    speed, gas = ours()
    print(f"five loops, {CELLS} cells: {speed:.0f} million cell-updates a second")
    compared = in_c()
    if compared is not None:
        in_c_speed, its_gas = compared
        apart = np.max(np.abs(gas - its_gas) / np.max(np.abs(gas), axis=1, keepdims=True))
        fair = "a fair yardstick" if in_c_speed >= 100 else "slow: a busy or an old machine"
        print(f"the same in C: {in_c_speed:.0f} ({fair}; 100 is expected)")
        print(f"ratio {speed / in_c_speed:.2f} (0.70 is wanted)")
        print(f"largest difference between the two: {apart:.1e} of each row's largest")
    print(f"march with ends: {whole_march():.0f} million cell-updates a second")


def print_engines() -> None:
    """Print what an engine speed costs, and how that grows as cells halve."""
    for rpm in SPEEDS:
        seconds, (cycle, cells) = timed(partial(settled, rpm))
        done = f"{cycle.outcome} after {cycle.cycles} cycles, {seconds:.2f} s (1.5 s is wanted)"
        print(f"V8, {cells} cells of 10 mm, {rpm} rpm: {done}")
    before = None
    for cell in (0.04, 0.02, 0.01, 0.005):
        seconds, (cycle, cells) = timed(partial(settled, 6000, cell))
        each = 1e3 * seconds / cycle.cycles
        grown = "" if before is None else f", {each / before:.1f} times (4 as cells and steps grow)"
        print(f"V8, {cells} cells of {1e3 * cell:g} mm: {each:.1f} ms a cycle{grown}")
        before = each


def print_threads() -> None:
    """Print what a second thread saves, and whether it changes a bit."""
    one, alone = timed(partial(sweep, 1))
    two, together = timed(partial(sweep, 2))
    same = all(np.array_equal(a, b) for a, b in zip(alone, together, strict=True))
    print(f"{len(SWEEP)} speeds on one thread {one:.2f} s, on two {two:.2f} s")
    print(f"{one / two:.2f} times (1.7 is wanted); the same to the last bit: {same}")


if __name__ == "__main__":
    print_kernel()
    print_engines()
    print_threads()
    cold, warm = first_calls()
    print(f"first call ever {cold:.1f} s (20 s is wanted), first of a session {warm:.2f} s (1 s)")
