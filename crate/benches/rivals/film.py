"""The film on a mesh that stands still, by SciPy: LSODA with a compiled right-hand side and its exact banded Jacobian, and BDF as it is
usually written (NumPy, sparsity pattern). Takes a file of meshes and a C compiler's name; prints one JSON line per solve."""

import ctypes
import json
import subprocess
import sys
import tempfile
import time
import warnings
from pathlib import Path

import numpy as np
from scipy.integrate import odeint, solve_ivp
from scipy.sparse import diags

DOUBLES = ctypes.POINTER(ctypes.c_double)
NAMES = ["kappa", "inv", "fixed", "below", "own", "above", "along", "drive"]


class Mesh(ctypes.Structure):
    _fields_ = [("n", ctypes.c_int)] + [(name, DOUBLES) for name in NAMES]


def pointer(array):
    return array.ctypes.data_as(DOUBLES)


def compiled(compiler):
    folder = Path(tempfile.mkdtemp())
    library = folder / "film.so"
    source = Path(__file__).with_name("film.c")
    subprocess.run([compiler, "-O3", "-march=native", "-shared", "-fPIC", "-o", library, source, "-lm"], check=True)
    return ctypes.CDLL(str(library))


def lsoda(library, case, tolerance):
    n = case["cells"]
    arrays = {name: np.array(case[name]) for name in NAMES}
    mesh = Mesh(n, *(pointer(arrays[name]) for name in NAMES))
    # A structure keeps addresses only.
    mesh.kept = arrays
    h, p, out, jac = np.empty(n), np.empty(n), np.empty(n), np.empty((5, n))
    work = [pointer(x) for x in (h, p)]
    out_at, jac_at = pointer(out), pointer(jac)

    def rate(zeta, _):
        library.film_rate(ctypes.byref(mesh), pointer(np.ascontiguousarray(zeta)), *work, out_at)
        return out.copy()

    def jacobian(zeta, _):
        library.film_jacobian(ctypes.byref(mesh), pointer(np.ascontiguousarray(zeta)), *work, jac_at)
        return jac.copy()

    def solve():
        return odeint(
            rate, np.array(case["zeta"]), [0.0, case["phi"]], Dfun=jacobian, ml=2, mu=2,
            rtol=tolerance, atol=tolerance * 1e-5, mxstep=50_000,
        )[-1]

    return solve


def bdf(case, tolerance):
    n = case["cells"]
    a = {name: np.array(case[name]) for name in NAMES}
    pattern = diags([np.ones(n - abs(k)) for k in range(-2, 3)], range(-2, 3))

    def rate(_, zeta):
        h = 2 * zeta / (1 + np.sqrt(np.maximum(1 + 2 * a["kappa"] * zeta, 0.25)))
        p = a["fixed"] + a["own"] * h
        p[1:] += a["below"][1:] * h[:-1]
        p[:-1] += a["above"][:-1] * h[1:]
        h = np.maximum(h, 1e-12)
        left, right = h[:-1], h[1:]
        mean = (left * right) ** 1.5
        d, s = (right - left) ** 4, (right + left) ** 4
        along = a["along"][1:-1]
        up = np.where(along >= 0, left, right)
        q = np.zeros(n + 1)
        q[1:-1] = along * (mean + d / (s + d) * (up**3 - mean)) + mean * a["drive"][1:-1] * (p[:-1] - p[1:])
        q[-1] = max(a["along"][-1], 0.0) * h[-1] ** 3
        return (q[:-1] - q[1:]) * a["inv"]

    def solve():
        return solve_ivp(
            rate, (0.0, case["phi"]), np.array(case["zeta"]), method="BDF", jac_sparsity=pattern,
            rtol=tolerance, atol=tolerance * 1e-5,
        ).y[:, -1]

    return solve


def timed(name, case, tolerance, solve, times):
    best = float("inf")
    for _ in range(times):
        # The processor's time: others may be at work on this machine.
        start = time.process_time()
        zeta = solve()
        best = min(best, time.process_time() - start)
    said = {"rival": name, "mesh": case["mesh"], "tolerance": tolerance, "ms": best * 1e3, "zeta": list(zeta)}
    print(json.dumps(said), flush=True)


def main():
    warnings.simplefilter("ignore")
    cases = json.loads(Path(sys.argv[1]).read_text())
    library = compiled(sys.argv[2])
    for case in cases:
        for tolerance in (1e-3, 1e-4):
            timed("LSODA, banded, compiled", case, tolerance, lsoda(library, case, tolerance), 2)
        # Minutes on the finer meshes.
        if case["cells"] < 600:
            timed("BDF as usually written", case, 1e-3, bdf(case, 1e-3), 1)


main()
