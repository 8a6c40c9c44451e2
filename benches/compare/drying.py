"""The drying of a sheet of dough, one-dimensional, by this program and by two general packages.

    du/dt = D d2u/dx2,  u = u_e at the open face, no flow at the middle

the limit in which diffusion in the dough sets the time (this program still balances heat and
vapour at the face, with a film so large that it does not matter). The time looked for is that at
which a tenth of the moisture above u_e is left; the reference is Crank's series, summed here.
"""

import json
import subprocess
import sys
import time

import numpy as np

D, HALF, LEFT = 1e-9, 0.003, 0.1


def series(fo):
    n = np.arange(200)
    odd = (2 * n + 1) * np.pi / 2
    return float(np.sum(2 / odd**2 * np.exp(-(odd**2) * fo)))


def reference():
    """Fourier number times L^2/D, s, by bisection."""
    low, high = 0.1, 3.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if series(middle) > LEFT else (low, middle)
    return low * HALF**2 / D


def grid(cells):
    """Widths of cells that are finest at the open face, and conductances at their outer sides."""
    edges = HALF * np.sin(0.5 * np.pi * np.arange(cells + 1) / cells)
    width = np.diff(edges)
    gap = np.append(0.5 * (width[1:] + width[:-1]), 0.5 * width[-1])
    return width, gap


def ode(method, cells, tolerance):
    width, gap = grid(cells)

    def rhs(_, u):
        flow = D * np.diff(np.append(u, 0.0)) / gap
        return (flow - np.append(0.0, flow[:-1])) / width

    def reached(_, u):
        return float(np.dot(u, width)) / HALF - LEFT

    start = np.ones(cells)
    if method == "CVODE":
        from sksundae.cvode import CVODE

        def fill(t, u, du):
            du[:] = rhs(t, np.asarray(u))

        def event(t, u, values):
            values[0] = reached(t, np.asarray(u))

        event.terminal, event.direction = [True], [-1]
        begin = time.process_time()
        solver = CVODE(fill, rtol=tolerance, atol=tolerance, eventsfn=event, num_events=1,
                       linsolver="band", lband=1, uband=1)
        out = solver.solve(np.array([0.0, 1e5]), start)
        return time.process_time() - begin, float(np.ravel(out.t_events)[0])
    from scipy.integrate import solve_ivp

    reached.terminal, reached.direction = True, -1
    more = {"lband": 1, "uband": 1} if method == "LSODA" else {}
    begin = time.process_time()
    out = solve_ivp(rhs, (0, 1e5), start, method=method, rtol=tolerance, atol=tolerance,
                    events=reached, **more)
    return time.process_time() - begin, float(out.t_events[0][0])


def fipy_run(cells, step):
    import fipy
    from fipy import CellVariable, DiffusionTerm, TransientTerm

    width, _ = grid(cells)
    begin = time.process_time()
    u = CellVariable(mesh=fipy.Grid1D(dx=width), value=1.0, hasOld=True)
    u.constrain(0.0, u.mesh.facesRight)
    equation = TransientTerm() == DiffusionTerm(coeff=D)
    now, before, mean = 0.0, 1.0, 1.0
    while mean > LEFT:
        u.updateOld()
        equation.solve(var=u, dt=step)
        now += step
        before, mean = mean, float(np.dot(u.value, width)) / HALF
    return time.process_time() - begin, now - step * (LEFT - mean) / (before - mean)


def main():
    out = subprocess.run([sys.argv[1], "compare"], capture_output=True, text=True, check=True)
    own = json.loads(out.stdout)
    truth = reference()
    error = own["dry_s"] / truth - 1
    print(f"sheet of 6 mm: Crank {truth:.1f} s; one solve here {1e3 * own['cpu_s']:.3f} ms, "
          f"error {100 * error:+.3f} %")
    rows = [(m, f"{n} cells, tolerance {tol:g}", *ode(m, n, tol))
            for n in (8, 16, 32) for tol in (1e-3, 1e-5) for m in ("BDF", "LSODA", "CVODE")]
    rows += [("FiPy", f"{n} cells, {step} s", *fipy_run(n, step))
             for n, step in ((16, 200), (16, 50), (16, 20), (32, 10))]
    best = {}
    for tool, what, spent, found in rows:
        off = found / truth - 1
        good = abs(off) <= abs(error)
        print(f"  {tool:6} {what:28} {spent:8.3f} s  error {100 * off:+7.3f} %"
              f" {spent / own['cpu_s']:9.0f} times{'' if good else ' (less exact)'}")
        if good and spent < best.get(tool, (np.inf,))[0]:
            best[tool] = (spent, what)
    for tool, (spent, what) in best.items():
        print(f"  -> {tool} at equal error: {spent / own['cpu_s']:.0f} times ({what})")


if __name__ == "__main__":
    main()
