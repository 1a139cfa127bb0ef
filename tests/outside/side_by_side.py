"""Passes the Rust suite and every check of this folder, two at a time, so that both cores
have work where one of them has one thread or waits on a page. With the names of some checks,
as `side_by_side.py order fits`, only those. What each prints is printed whole as it ends."""

import concurrent.futures
import os
import subprocess
import sys

from program import ROOT

RUST = ["cargo", "test", "--quiet", "--workspace", "--locked"]
# What takes longest is begun first, so that none of it is left over at the end.
LONGEST = ["cutter", "settings", "order", "drawing_page", "metric_page", "order_page", "bench", "pages", "metric", "exchange"]


def check(name):
    found = ["-s", "tests/outside", "-p", f"{name}_check.py"]
    return [sys.executable, "-m", "unittest", "discover", "--quiet", *found]


def passed(job):
    """Whether a command ends well; what it said is told as it ends."""
    name, command = job
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    print(f"== {name}\n{done.stdout}", end="", flush=True)
    return done.returncode == 0


def main(asked):
    here = {file.removesuffix("_check.py") for file in os.listdir(ROOT / "tests/outside") if file.endswith("_check.py")}
    unknown = [name for name in asked if name not in here]
    if unknown:
        sys.exit(f"no check `{unknown[0]}`; there are {', '.join(sorted(here))}")
    order = lambda name: (LONGEST.index(name) if name in LONGEST else len(LONGEST), name)
    jobs = [] if asked else [("the Rust suite", RUST)]
    jobs += [(name, check(name)) for name in sorted(asked or here, key=order)]
    with concurrent.futures.ThreadPoolExecutor(2) as two:
        failed = [name for (name, _), good in zip(jobs, two.map(passed, jobs)) if not good]
    if failed:
        sys.exit(f"failed: {', '.join(failed)}")


if __name__ == "__main__":
    main(sys.argv[1:])
