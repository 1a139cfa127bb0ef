"""Times our search and CP-SAT on the same choices in the same run.

`.venv/bin/python tests/outside/metric_bench.py` prints, for each family, the median and
the worst time of both, and how many times longer CP-SAT takes: with one worker, and with
as many as it takes by itself. Stating the model is not counted for either. Ours runs on one
thread, in a release build, which is built first. Families may be named, as
`plate:60:20:5`; without names it takes some minutes.

Nothing here fails on a time. Where CP-SAT is stopped before it has a proof, the ratio is
the least that it can be, and the line says how often.
"""

import json
import statistics
import subprocess
import sys
import time

from metric_model import Stated, solved
from program import ROOT

# FAMILY:SIZE:CANDIDATES:SEEDS
FAMILIES = [
    "chain:60:20:5", "tree:60:20:5", "grid:60:20:5", "runs:60:20:5", "long-runs:60:20:5",
    "holes:30:20:5", "holes:60:20:5", "mixture:60:20:5", "plate:60:20:5", "plate:90:12:5",
]  # fmt: skip
# CP-SAT is stopped after this: ten families of five, twice, stay within fifteen minutes.
SECONDS = 7.0
WORKERS = {"one worker": 1, "its default": None}


def ours(families):
    """Each instance of the families, with our answer and its time."""
    command = ["cargo", "run", "--quiet", "--release", "--locked", "-p", "workshop"]
    command += ["--example", "metric_choices", "--", *families]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    return [json.loads(line) for line in done.stdout.splitlines()]


def timed(model, workers):
    """Milliseconds, and the least cost or a word where it came to none in the time."""
    stated = Stated(model)
    start = time.perf_counter()
    least = solved(model, workers, SECONDS, stated)
    return (time.perf_counter() - start) * 1e3, least


def line(columns):
    print("| " + " | ".join(columns) + " |", flush=True)


def main(families):
    ours([])  # built before anything is timed
    heads = [f"{name}, times ours: least, median" for name in WORKERS]
    line(["family", "ours, ms: median, worst", *(f"{name}, ms" for name in WORKERS), *heads, ""])
    line(["---"] * (3 + 2 * len(WORKERS)))
    for family in families:
        models = ours([family])
        own = [model["ms"] for model in models]
        times, ratios, notes = [], [], []
        unproven = sum(not (model["ours"].get("proven") or "core" in model["ours"]) for model in models)
        if unproven:
            notes.append(f"{unproven} not proven by us")
        for name, workers in WORKERS.items():
            runs = [timed(model, workers) for model in models]
            times.append([ms for ms, _ in runs])
            ratios.append([ms / mine for (ms, _), mine in zip(runs, own)])
            stopped = sum(isinstance(least, str) for _, least in runs)
            if stopped:
                notes.append(f"{name}: {stopped} of {len(runs)} stopped at {SECONDS:.0f} s")
            known = [(model, least) for model, (_, least) in zip(models, runs) if not isinstance(least, str)]
            differ = sum(least != model["ours"].get("cost") for model, least in known)
            if differ:
                notes.append(f"{name}: {differ} answers differ")
        both = [f"{statistics.median(t):.0f}, {max(t):.0f}" for t in [own, *times]]
        line([family, *both, *(f"{min(r):.1f}, {statistics.median(r):.1f}" for r in ratios), "; ".join(notes)])


if __name__ == "__main__":
    main(sys.argv[1:] or FAMILIES)
