"""Times our search and CP-SAT on the same choices in the same run.

`.venv/bin/python tests/outside/metric_bench.py` prints, for each family, the median and
the worst of both and how many times longer CP-SAT takes: on one thread, and with as
many workers as it likes. Stating the model is not counted for either. Ours runs on one
thread, in a release build.
"""

import json
import statistics
import subprocess
import sys
import time

from metric_model import Stated, solved
from program import ROOT

FAMILIES = [
    "chain:60:20:5", "tree:60:20:5", "grid:60:20:5", "runs:60:20:5", "long-runs:60:20:5",
    "holes:30:20:5", "holes:60:20:5", "mixture:60:20:5", "plate:60:20:5", "plate:90:12:5",
]  # fmt: skip
SECONDS = 20.0


def ours(family):
    """Each instance of a family, with our answer and its time."""
    command = ["cargo", "run", "--quiet", "--release", "--locked", "-p", "workshop"]
    command += ["--example", "metric_choices", "--", family]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    return [json.loads(line) for line in done.stdout.splitlines()]


def timed(model, workers):
    stated = Stated(model)
    start = time.perf_counter()
    least = solved(model, workers, SECONDS, stated)
    return (time.perf_counter() - start) * 1e3, least


def main(families):
    print(f"{'family':18} {'ours ms':>14} {'one thread ms':>16} {'all workers ms':>16} {'ratio':>14} {'ratio':>14}")
    print(f"{'':18} {'median  worst':>14} {'median  worst':>16} {'median  worst':>16}"
          f" {'least median':>14} {'least median':>14}")
    for family in families:
        times, unproven, wrong = ([], [], []), 0, 0
        for model in ours(family):
            times[0].append(model["ms"])
            unproven += not (model["ours"].get("proven") or "core" in model["ours"])
            for at, workers in ((1, 1), (2, None)):
                ms, least = timed(model, workers)
                times[at].append(ms)
                # In the time given it may come to nothing; then it says so.
                wrong += not isinstance(least, str) and least != model["ours"].get("cost")
        columns = [f"{statistics.median(t):7.0f} {max(t):7.0f}" for t in times]
        ratios = [[theirs / own for theirs, own in zip(t, times[0])] for t in times[1:]]
        columns += [f"{min(r):6.1f} {statistics.median(r):6.1f}" for r in ratios]
        notes = f"  {unproven} unproven by us" if unproven else ""
        notes += f"  {wrong} answers differ" if wrong else ""
        print(f"{family:18} {columns[0]:>14} {columns[1]:>16} {columns[2]:>16} {columns[3]:>14} {columns[4]:>14}{notes}",
              flush=True)


if __name__ == "__main__":
    main(sys.argv[1:] or FAMILIES)
