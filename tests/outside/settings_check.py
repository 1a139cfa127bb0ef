"""What the sheets set, reckoned anew from the formulas that handbooks print, the tables' own rows, the bench
file and the finished part, by nothing of the program's: presets of the edge finder and their signs, spindle
speeds, feeds and passes, how deep holes are drilled, sunk and bored, the cuts of the lathe, what swings on
the rotary table, and clamps that stand clear of every cutter. `cutter_check.py` holds where the slides go."""

import collections
import concurrent.futures
import json
import subprocess
import unittest

from program import ROOT, built
from reckoned import Reckoned

TESTS = ROOT / "crates" / "workshop" / "tests"
KITTIWAKE = ROOT / "examples" / "kittiwake"
BENCHES = [KITTIWAKE / "bench.toml", *[TESTS / "benches" / f"{name}.toml" for name in ("everything", "inch-handwheels", "drill-press", "no-rotary")]]

# What is reckoned, and how often at least: a rule that nothing is held to any more is a fault.
LEAST = {
    "preset": 400, "check touch": 150, "piece beside": 10, "speed": 800, "feed": 400, "pass": 300, "drilled through": 200,
    "drilled blind": 40, "tapping depth": 15, "reaming": 100, "countersink": 8, "counterbore": 8, "screw's head": 4,
    "boring": 20, "turned": 300, "shoulder": 60, "diameter": 60, "swings": 60, "clamp": 100, "clamp on metal": 30,
}  # fmt: skip


def told():
    parts = [*sorted((KITTIWAKE / "parts").glob("*.toml")), *sorted((TESTS / "parts").glob("*.toml"))]
    words = [f"{bench}+{part}" for bench in BENCHES for part in parts]
    cases = [folder for folder in sorted((ROOT / "examples" / "cases").iterdir()) if folder.is_dir()]
    words += [f"{folder / 'bench.toml'}+{part}" for folder in cases for part in sorted((folder / "parts").glob("*.toml"))]
    words += [f"{KITTIWAKE / 'bench.toml'}+{part}+2" for part in parts]
    program = built("cutter_roads")

    def lines(some):
        done = subprocess.run([program, *some], cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
        return done.stdout.splitlines()

    with concurrent.futures.ThreadPoolExecutor(2) as two:
        return [line for some in two.map(lines, (words[0::2], words[1::2])) for line in some]


def reckoned(line):
    plan = json.loads(line)
    if "refused" in plan:
        return collections.Counter(), []
    one = Reckoned(plan)
    one.all()
    return one.held, one.wrong


class Settings(unittest.TestCase):
    def test_every_setting_is_what_the_formulas_give(self):
        held, wrong = collections.Counter(), []
        with concurrent.futures.ProcessPoolExecutor(2) as two:
            for more, found in two.map(reckoned, told(), chunksize=8):
                held += more
                wrong += found
        print(f"\n{sum(held.values())} settings reckoned anew: {dict(held)}")
        self.assertEqual(wrong, [])
        for rule, least in LEAST.items():
            self.assertGreaterEqual(held[rule], least, rule)


if __name__ == "__main__":
    unittest.main()
