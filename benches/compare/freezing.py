"""The freezing of a slab and of a box with films, by this program and by two general packages.

The same equations, by hand (see ../README.md):

    dH/dt = div grad phi(H),  phi = k_s (T - T_f) below, k_l (T - T_f) above the freezing point
    k dT/dn = h (T_air - T) at every face

with the constant properties of the reference medium. The time looked for is that at which no
liquid is left. Each package is run over a few meshes and steps; its cheapest run whose error is
no greater than that of this program counts. The packages compute half of the slab and an eighth
of the box; this program uses the mirror planes of the outline only, the whole slab and a quarter
of the box.
"""

import json
import subprocess
import sys
import time

import numpy as np

RHO, L, C_S, C_L, K_S, K_L = 917.0, 333_430.0, 2050.0, 4200.0, 2.22, 0.57
FILM, AIR, START = 10.0, -18.0, 20.0
SLAB = (0.04,)
BOX = (0.10, 0.06, 0.04)
LATENT = RHO * L
# Errors below this count as equal: the reference itself is not better.
LEAST = 5e-4


def temperature(h):
    """Temperature above the freezing point, K, of an enthalpy, J/m3."""
    return np.where(h < 0, h / (RHO * C_S), np.maximum(h - LATENT, 0) / (RHO * C_L))


def potential(h):
    return np.where(h < 0, h * K_S / (RHO * C_S), np.maximum(h - LATENT, 0) * K_L / (RHO * C_L))


def when_solid(times, cores):
    """First time at which the wettest cell has passed an enthalpy of zero, by interpolation."""
    after = int(np.argmax(np.asarray(cores) <= 0))
    if after == 0:
        return float("nan")
    (t0, t1), (h0, h1) = times[after - 1 : after + 1], cores[after - 1 : after + 1]
    return t0 + (t1 - t0) * h0 / (h0 - h1)


class Symmetric:
    """One half, quarter or eighth of a slab or box: `counts` equal cells along each axis."""

    def __init__(self, sizes, counts):
        self.counts = counts
        self.step = [0.5 * size / count for size, count in zip(sizes, counts)]
        self.cells = int(np.prod(counts))

    def rate(self, h):
        """dH/dt of every cell, W/m3; all faces are on the far side of each axis."""
        h = h.reshape(self.counts)
        phi, rate = potential(h), np.zeros(self.counts)
        for axis, step in enumerate(self.step):
            flow = np.diff(phi, axis=axis) / step**2
            inner = [slice(None)] * h.ndim
            inner[axis] = slice(0, -1)
            outer = list(inner)
            outer[axis] = slice(1, None)
            rate[tuple(inner)] += flow
            rate[tuple(outer)] -= flow
            last = [slice(None)] * h.ndim
            last[axis] = slice(-1, None)
            edge = phi[tuple(last)]
            wall = edge * 2 / step - FILM * (0.0 - AIR)
            k = np.where(wall < 0, K_S, K_L)
            wall = wall / (2 * k / step + FILM)
            rate[tuple(last)] -= FILM * (wall - AIR) / step
        return rate.ravel()

    def start(self):
        return np.full(self.cells, LATENT + RHO * C_L * START)

    def sparsity(self):
        from scipy.sparse import diags, identity, kron

        total = None
        for axis, count in enumerate(self.counts):
            line = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(count, count))
            whole = identity(1)
            for other, size in enumerate(self.counts):
                whole = kron(whole, line if other == axis else identity(size))
            total = whole if total is None else total + whole
        return (total != 0).astype(float).tocsc()


def ode(problem, method, tolerance, limit):
    """The method of lines through scipy's solve_ivp."""
    from scipy.integrate import solve_ivp

    scale = LATENT

    def rhs(_, y):
        return problem.rate(y * scale) / scale

    def solid(_, y):
        return y.max()

    solid.terminal, solid.direction = True, -1
    options = dict(method=method, rtol=tolerance, atol=tolerance, events=solid, max_step=600)
    if method == "BDF":
        options["jac_sparsity"] = problem.sparsity()
    if method == "LSODA" and len(problem.counts) == 1:
        options.update(lband=1, uband=1)
    begin = time.process_time()
    out = solve_ivp(rhs, (0, limit), problem.start() / scale, **options)
    spent = time.process_time() - begin
    return spent, float(out.t_events[0][0]) if len(out.t_events[0]) else float("nan")


def cvode(problem, tolerance, limit):
    """The method of lines through CVODE of SUNDIALS."""
    from sksundae.cvode import CVODE

    scale, (times, cores) = LATENT, ([], [])

    def rhs(_, y, dy):
        dy[:] = problem.rate(np.asarray(y) * scale) / scale

    def solid(_, y, events):
        events[0] = np.max(y)

    solid.terminal, solid.direction = [True], [-1]
    options = dict(method="BDF", rtol=tolerance, atol=tolerance, eventsfn=solid, num_events=1)
    options["max_num_steps"] = 1_000_000
    options["max_step"] = 600.0
    if len(problem.counts) == 1:
        options.update(linsolver="band", lband=1, uband=1)
    else:
        options.update(linsolver="gmres")
    begin = time.process_time()
    out = CVODE(rhs, **options).solve(np.array([0.0, limit]), problem.start() / scale)
    spent = time.process_time() - begin
    found = out.t_events
    return spent, float(found[0]) if found is not None and len(found) else float("nan")


def fipy_run(sizes, counts, step, limit, sweeps=3, width=0.02):
    """Enthalpy linearised about the last sweep (Voller & Swaminathan 1991), implicit in time.

    Latent heat is released over `width` kelvins, as the package has no enthalpy of its own.
    """
    import fipy
    from fipy import CellVariable, DiffusionTerm, ImplicitSourceTerm

    make = {1: fipy.Grid1D, 2: fipy.Grid2D, 3: fipy.Grid3D}[len(counts)]
    names = ("x", "y", "z")
    lengths = [0.5 * size / count for size, count in zip(sizes, counts)]
    begin = time.process_time()
    grid = make(**{f"d{n}": d for n, d in zip(names, lengths)},
                **{f"n{n}": c for n, c in zip(names, counts)})
    t = CellVariable(mesh=grid, value=START)

    def curve(h):
        """Temperature, K, and dH/dT, J/m3K, of an enthalpy."""
        frozen, liquid = h < 0, h > LATENT
        value = np.where(frozen, h / (RHO * C_S) - width, np.minimum(h / LATENT - 1, 0) * width)
        value = np.where(liquid, (h - LATENT) / (RHO * C_L), value)
        slope = np.where(frozen, RHO * C_S, np.where(liquid, RHO * C_L, LATENT / width))
        return value, slope

    h = np.full(grid.numberOfCells, LATENT + RHO * C_L * START)
    k = CellVariable(mesh=grid, value=K_L)
    between = fipy.FaceVariable(mesh=grid, value=0.0)
    inner = ~np.asarray(grid.exteriorFaces)
    sides = np.asarray(grid.faceCellIDs)[:, inner]
    capacity = CellVariable(mesh=grid, value=1.0)
    source = CellVariable(mesh=grid, value=0.0)
    far = grid.facesRight
    if len(counts) > 1:
        far = far | grid.facesTop
    if len(counts) > 2:
        far = far | (grid.exteriorFaces & (grid.faceCenters[2] > max(grid.faceCenters[2]) - 1e-9))
    half = fipy.FaceVariable(mesh=grid, value=1.0)
    for axis, length in enumerate(lengths):
        centres = np.asarray(grid.faceCenters[axis])
        half.setValue(0.5 * length, where=np.asarray(far) & (centres > centres.max() - 1e-9))
    conductance = far / (1 / FILM + half / k.arithmeticFaceValue)
    exchange = (conductance * grid.faceNormals).divergence
    equation = (ImplicitSourceTerm(capacity) + ImplicitSourceTerm(exchange)
                == DiffusionTerm(between) + exchange * AIR + source)
    times, cores, now = [0.0], [h.max()], 0.0
    while now < limit and cores[-1] > 0:
        before = h
        for _ in range(sweeps):
            value, slope = curve(h)
            k.setValue(np.where(h < LATENT, K_S, K_L))
            # Kirchhoff's mean: the conductivity that gives the difference of phi.
            [a, b], [phi_a, phi_b] = value[sides], potential(h)[sides]
            apart = np.abs(a - b) > 1e-3
            mean = np.where(apart, (phi_a - phi_b) / np.where(apart, a - b, 1), k.value[sides[0]])
            faces = np.zeros(grid.numberOfFaces)
            faces[inner] = np.clip(mean, K_L, K_S)
            between.setValue(faces)
            capacity.setValue(slope / step)
            source.setValue((before - h + slope * value) / step)
            equation.solve(var=t)
            h = h + slope * (t.value - value)
        now += step
        times.append(now)
        cores.append(h.max())
    return time.process_time() - begin, when_solid(times, cores)


def ours(binary):
    """Seconds of one solve on each grid, its answer and the converged one, from the bench `solves`."""
    out = subprocess.run([binary, "compare"], capture_output=True, text=True, check=True).stdout
    return [json.loads(line) for line in out.splitlines()]


def report(name, own, rows):
    """Prints all runs, coarse to fine, and for each grid here the cheapest that is as exact."""
    own = [row for row in own if row["name"] == name]
    reference = own[0]["converged_s"]
    print(f"\n{name}: converged {reference:.1f} s")
    for tool, what, spent, solid in rows:
        print(f"  {tool:6} {what:32} {spent:9.3f} s  error {100 * (solid / reference - 1):+6.2f} %")
    for row in own:
        error = row["solid_s"] / reference - 1
        print(f"  this program, {row['grid'].lower()} grid: {1e3 * row['cpu_s']:.3f} ms, "
              f"error {100 * error:+.2f} %")
        for chosen in dict.fromkeys(tool for tool, *_ in rows):
            runs = [(abs(solid / reference - 1), spent, what)
                    for tool, what, spent, solid in rows if tool == chosen]
            # Errors of mesh and step can cancel: a run counts if all finer ones are as exact.
            first = len(runs)
            while first > 0 and runs[first - 1][0] <= max(abs(error), LEAST):
                first -= 1
            counted = runs[first:] or [min(runs)]
            off, spent, what = min(counted, key=lambda run: run[1])
            words = "" if first < len(runs) else f", and is less exact: {100 * off:.2f} %"
            print(f"    {chosen} takes {spent / row['cpu_s']:,.0f} times as long ({what}){words}")


def main():
    own, rows = ours(sys.argv[1]), []
    for tolerance in (1e-3, 1e-5):
        for cells in (4, 8, 16):
            problem = Symmetric(SLAB, (cells,))
            what = f"{cells} cells, tolerance {tolerance:g}"
            for method in ("BDF", "LSODA"):
                rows.append((method, what, *ode(problem, method, tolerance, 1e6)))
            rows.append(("CVODE", what, *cvode(problem, tolerance, 1e6)))
    for cells, step in ((4, 120), (4, 60), (8, 30)):
        rows.append(("FiPy", f"{cells} cells, {step} s", *fipy_run(SLAB, (cells,), step, 1e5)))
    report("slab", own, rows)
    rows = []
    for counts in ((5, 3, 2), (8, 5, 3), (10, 6, 4), (12, 8, 5)):
        problem = Symmetric(BOX, counts)
        what = f"{problem.cells} cells (an eighth)"
        rows.append(("BDF", what, *ode(problem, "BDF", 1e-3, 1e6)))
        rows.append(("CVODE", what, *cvode(problem, 1e-3, 1e6)))
    steps = (((5, 3, 2), 300), ((5, 3, 2), 120), ((8, 5, 3), 120), ((10, 6, 4), 60), ((12, 8, 5), 40))
    for counts, step in steps:
        what = f"{int(np.prod(counts))} cells (an eighth), {step} s"
        rows.append(("FiPy", what, *fipy_run(BOX, counts, step, 1e5)))
    report("box", own, rows)


if __name__ == "__main__":
    main()
