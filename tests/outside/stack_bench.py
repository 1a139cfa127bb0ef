"""Ten million drawn assemblies beside numpy doing the same in one go, in the same run.
Not a test: it prints times and ratios. `.venv/bin/python tests/outside/stack_bench.py`"""

import subprocess
import time

import numpy
from program import ROOT

SAMPLES = 10_000_000
THREADS = 2
CASES = {
    "four sizes, evenly": [("even", 0)] * 4,
    "six sizes, normal law stopping at three deviations": [("normal", 3)] * 6,
    "six sizes, leaning to a limit": [("lean", 0.75)] * 6,
}


def ours(sizes):
    lines = [f"draw {SAMPLES} 1 {THREADS} -0.2 0.2"]
    lines += [f"size {law} {figure} 9.9 10.1 {(-1) ** n}" for n, (law, figure) in enumerate(sizes)]
    program = ROOT / "target" / "release" / "examples" / "tried"
    done = subprocess.run([program], input="\n".join([*lines, "go"] * 3), text=True, capture_output=True, check=True)
    return min(float(line.split()[11]) for line in done.stdout.splitlines())


def theirs(sizes):
    """Vectorised, with numpy's own generator and its own histogram for the quantiles."""
    random = numpy.random.default_rng(1)
    begun = time.perf_counter()
    total = numpy.zeros(SAMPLES)
    for n, (law, figure) in enumerate(sizes):
        if law == "even":
            value = random.uniform(9.9, 10.1, SAMPLES)
        elif law == "normal":
            value = random.normal(10, 0.1 / figure, SAMPLES)
            while (out := numpy.abs(value - 10) > 0.1).any():
                value[out] = random.normal(10, 0.1 / figure, out.sum())
        else:
            value = random.triangular(9.9, 9.9 + 0.2 * figure, 10.1, SAMPLES)
        total += (-1) ** n * value
    total.mean(), total.std(), (total < -0.2).sum(), (total > 0.2).sum()
    numpy.histogram(total, 8192)
    return time.perf_counter() - begun


subprocess.run(
    ["cargo", "build", "--quiet", "--release", "--locked", "-p", "stacks", "--examples"], cwd=ROOT, check=True
)
for name, sizes in CASES.items():
    mine, numpys = ours(sizes), min(theirs(sizes) for _ in range(2))
    print(f"{name}: {mine:.2f} s, numpy {numpys:.2f} s, {numpys / mine:.1f} times as long")
