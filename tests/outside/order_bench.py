"""Times our search for an order of work and CP-SAT on the same models in the same run.

`.venv/bin/python tests/outside/order_bench.py` prints, for each family, the median and the
worst time of both, and how many times longer CP-SAT takes on two threads. Stating the model
is not counted for either; CP-SAT is told our plan, and has only to prove it or to undercut
it. Ours runs on one thread, in a release build, which is built first. Families may be
named, as `weak:24:3`; without names it takes about five minutes.

Nothing here fails on a time. Where CP-SAT stops before it has a proof, which it does by the
effort it counts itself, the ratio is the least that it can be, and the line says how often.
"""

import json
import statistics
import subprocess
import sys

from order_check import stated_best
from order_model import replay, score
from program import ROOT

# FAMILY:SIZE:SEEDS
FAMILIES = [
    "ordinary:10:5", "ordinary:16:5", "ordinary:24:3", "ordinary:40:3", "planted:12:5",
    "planted:16:5", "weak:14:5", "weak:24:3", "weak:40:3", "plate:8:3", "plate:30:2", "published",
]  # fmt: skip
EFFORT = 5.0  # in seconds as CP-SAT counts them by its own work
WORKERS = 2


def ours(families):
    """Each model of the families, with our plan and its time."""
    command = ["cargo", "run", "--quiet", "--release", "--locked", "-p", "workshop"]
    command += ["--example", "order_models", "--", *families]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    return [json.loads(line) for line in done.stdout.splitlines()]


def line(columns):
    print("| " + " | ".join(columns) + " |", flush=True)


def main(families):
    ours([])  # built before anything is timed
    line(["family", "ours, ms: median, worst", "CP-SAT, ms", "times ours: least, median", ""])
    line(["---"] * 5)
    for family in families:
        models = [model for model in ours([family]) if "steps" in model["ours"]]
        own, theirs, notes = [model["ms"] for model in models], [], []
        stopped = differ = below = 0
        for model in models:
            steps, proven, seconds = stated_best(model, WORKERS, EFFORT)
            theirs.append(seconds * 1e3)
            stopped += not proven
            if proven and steps is not None:
                less = score(model, replay(model, steps)[0]) != model["ours"]["score"]
                differ += less and model["ours"]["proven"]
                below += less and not model["ours"]["proven"]
        unproven = sum(not model["ours"]["proven"] for model in models)
        if unproven:
            notes.append(f"{unproven} not proven by us")
        if below:
            notes.append(f"CP-SAT finds less in {below} of those")
        if stopped:
            notes.append(f"CP-SAT: {stopped} of {len(models)} without a proof")
        if differ:
            notes.append(f"{differ} answers differ")
        ratios = [them / max(us, 0.1) for them, us in zip(theirs, own)]
        both = [f"{statistics.median(t):.0f}, {max(t):.0f}" for t in (own, theirs)]
        line([family, *both, f"{min(ratios):.0f}, {statistics.median(ratios):.0f}", "; ".join(notes)])


if __name__ == "__main__":
    main(sys.argv[1:] or FAMILIES)
