#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Time the closest recipe beside other solvers on the same problems.

    closest.py BENCH COUNT PROGRAM EXAMPLES

In process: the library's whole call (rows built, proof, ties broken)
against the solve alone of SciPy's nnls and lsq_linear (plain problems: no
limit but amounts >= 0) and of CVXOPT's quadratic program.  Whole process:
PROGRAM on the files of EXAMPLES against the start of Python with the peer
imported.  Every peer's objective must agree.
"""
import os
import pathlib
import statistics
import subprocess
import sys
import time

import numpy
import scipy
import scipy.optimize

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent /
                       "formulate" / "random"))
import peers  # noqa: E402

REPEATS = 3
# The peers' own tolerances, not ours, make them differ.
AGREE = {"scipy nnls": 1e-8, "scipy lsq_linear": 1e-4, "cvxopt qp": 1e-4}
FLOOR = 1e-6


def nnls(problem):
    return scipy.optimize.nnls(problem.W, problem.g)[0]


def lsq_linear(problem):
    return scipy.optimize.lsq_linear(problem.W, problem.g, (0, numpy.inf)).x


def cvxopt_qp(problem):
    return peers.interior_point(problem, False)[0]


def best(call, problem):
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        z = call(problem)
        times.append(time.perf_counter() - start)
    return min(times), z


def compare(program, kind, count, others):
    """Seconds by solver, and how often a peer disagreed."""
    times = {name: [] for name in ["saltwright", *others]}
    wrong = {name: 0 for name in others}
    for values in peers.records(program, kind, 1, count):
        record = peers.parse_solved(values)
        if record["outcome"] != peers.OPTIMAL:
            continue
        problem = peers.Problem(record, "closest")
        if kind != "limits":  # what a rule leaves out serves nobody
            left_out = numpy.flatnonzero(record["left_out"])
            problem.W[:, left_out] = 0
        times["saltwright"].append(values.one())
        for name, call in others.items():
            spent, z = best(call, problem)
            times[name].append(spent)
            ours = record["objective"]
            gap = abs(peers.squares(problem, z) - ours)
            wrong[name] += gap > AGREE[name] * max(ours, FLOOR)
    return times, wrong


def show(kind, times, wrong):
    ours = sum(times["saltwright"])
    print(f"{kind}: {len(times['saltwright'])} problems")
    for name, spent in times.items():
        note = f", {wrong[name]} off" if wrong.get(name) else ""
        print(f"  {name:17} median {1e6 * statistics.median(spent):8.1f} us"
              f"   total {sum(spent) / ours:7.2f} x ours{note}")


def process(command):
    times = []
    for _ in range(7):
        start = time.perf_counter()
        subprocess.run(command, check=False, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def show_processes(program, examples):
    ours = process([program, "formulate",
                    "--water", f"{examples}/well.csv",
                    "--target", f"{examples}/basil.csv",
                    "--shelf", f"{examples}/straights.csv",
                    "--volume", "400gal"])
    print(f"whole process\n  saltwright formulate    {1e3 * ours:8.1f} ms")
    for module in ("scipy.optimize", "cvxopt"):
        theirs = process(["/usr/bin/python3", "-c", f"import {module}"])
        print(f"  python, {module:15} {1e3 * theirs:8.1f} ms   "
              f"{theirs / ours:5.1f} x ours, before any solve")
    return ours


def main():
    program, count, command, examples = sys.argv[1:5]
    count = int(count)
    print(f"{os.cpu_count()} cores, one used; SciPy {scipy.__version__}, "
          f"CVXOPT {peers.cvxopt.__version__}, LAPACK threads "
          f"{os.environ.get('OPENBLAS_NUM_THREADS', 'unset')}")
    others = {"scipy nnls": nnls, "scipy lsq_linear": lsq_linear,
              "cvxopt qp": cvxopt_qp}
    times, wrong = compare(program, "plain", count, others)
    show("plain (amounts >= 0 alone)", times, wrong)
    exact = wrong["scipy nnls"]
    times, wrong = compare(program, "limits", count,
                           {"cvxopt qp": cvxopt_qp})
    show("with limits, ratios, blends", times, wrong)
    times, wrong = compare(program, "shelf", count, {"scipy nnls": nnls})
    show("plain, a hundred waters of a shelf one after another", times, wrong)
    exact += wrong["scipy nnls"]
    show_processes(command, examples)
    return 1 if exact else 0


if __name__ == "__main__":
    sys.exit(main())
