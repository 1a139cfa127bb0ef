"""Times our positions beside numpy and scipy in the same run.

`.venv/bin/python tests/outside/mechanism_bench.py` prints positions a second on one core:
a four-bar by numpy's arrays in closed form, by scipy's `fsolve` one after another from the
last position, and by ours; and of the others ours alone. Ours is a release build, made
first. Each is the best of many short bursts, since other work on the machine slows some
of them. Nothing here fails on a time.
"""

import json
import os
import subprocess
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np  # noqa: E402 (threads are set before it is loaded)
from program import ROOT  # noqa: E402
from scipy.optimize import fsolve  # noqa: E402

CRANK, COUPLER, ROCKER, GROUND = 20.0, 70.0, 50.0, 80.0


def ours(name, count):
    command = ["cargo", "run", "--quiet", "--release", "--locked", "-p", "mechanism"]
    command += ["--example", "mechanism_positions", "--", "--time", name, str(count)]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    return json.loads(done.stdout)["per_second"]


def by_numpy(count):
    """Angles of coupler and rocker for whole arrays of crank angles."""
    angles = np.arange(count) % 720 * (2 * np.pi / 720)
    start = time.perf_counter()
    pin = CRANK * np.exp(1j * angles)
    gap = GROUND - pin
    far = np.abs(gap)
    along = (COUPLER**2 - ROCKER**2 + far**2) / (2 * far)
    off = np.sqrt(COUPLER**2 - along**2)
    end = pin + gap / far * (along + 1j * off)
    coupler, rocker = np.angle(end - pin), np.angle(end - GROUND)
    took = time.perf_counter() - start
    assert np.isfinite(coupler).all() and np.isfinite(rocker).all()
    return count / took


def by_scipy(count):
    def residuals(q, angle):
        gap = CRANK * np.exp(1j * angle) + COUPLER * np.exp(1j * q[0]) - GROUND - ROCKER * np.exp(1j * q[1])
        return [gap.real, gap.imag]

    q = np.array([0.7, 1.6])
    start = time.perf_counter()
    for i in range(count):
        q = fsolve(residuals, q, args=(i * 2 * np.pi / 720,), xtol=1e-12)
    return count / (time.perf_counter() - start)


def main():
    ours("four-bar", 1000)  # built before anything is timed
    four = ours("four-bar", 3_000_000)
    arrays = max(by_numpy(20_000) for _ in range(150))
    single = max(by_scipy(100) for _ in range(40))
    print("| mechanism | by | positions a second | ours is so many times as quick |")
    print("| --- | --- | --- | --- |")
    print(f"| four-bar | ours | {four:,.0f} | |")
    print(f"| four-bar | numpy, whole arrays | {arrays:,.0f} | {four / arrays:.2f} |")
    print(f"| four-bar | scipy, one by one | {single:,.0f} | {four / single:,.0f} |")
    for name, count in [("gear", 100_000), ("10", 200_000), ("20", 100_000), ("50", 50_000)]:
        called = "reversing gear of 9 links" if name == "gear" else f"made up, {name} links"
        print(f"| {called} | ours | {ours(name, count):,.0f} | |")


if __name__ == "__main__":
    main()
