"""The metric choice against CP-SAT, a general constraint solver: the same least cost
on generated choices of every shape, or no choice by either."""

import concurrent.futures
import json
import unittest

from metric_model import breaks, can_hold, costs, solved
from program import example

# FAMILY:SIZE:CANDIDATES:SEEDS; those laid around the drawing often have no answer.
FAMILIES = [
    "mixed:0:0:120",
    "chain:12:8:15", "chain-drawn:8:5:25",
    "tree:14:8:15", "tree-drawn:8:5:25",
    "grid:12:6:12", "grid-drawn:12:5:15",
    "runs:13:6:12", "runs-drawn:12:5:15", "long-runs:13:6:8",
    "holes:9:6:15", "holes-drawn:9:5:20",
    "mixture:15:7:20", "mixture-drawn:12:6:20",
    "plate:15:6:15",
    "chain:60:20:1", "tree:30:12:2", "mixture:30:12:2", "plate:30:12:2", "holes:15:12:2", "mixture:60:20:1",
]  # fmt: skip


def theirs(line):
    """The other solver's least cost, and whether it finds our clash to be one and each
    of its demands needed."""
    model = json.loads(line)
    core = model["ours"].get("core")
    if core is None:
        return solved(model, workers=1), None
    without = [[at for at in core if at != left_out] for left_out in core]
    needed = all(can_hold(model, rest) for rest in without)
    return solved(model, workers=1), needed and not can_hold(model, core)


class Metric(unittest.TestCase):
    def test_the_least_cost_is_the_same_by_either_solver(self):
        lines = ["\t".join(words) for words in example("metric_choices", *FAMILIES, tabs=True)]
        answers = {"a choice": 0, "none": 0}
        with concurrent.futures.ProcessPoolExecutor(2) as two:
            for line, (least, clash) in zip(lines, two.map(theirs, lines, chunksize=8)):
                model = json.loads(line)
                ours = model["ours"]
                with self.subTest(model["name"]):
                    self.assertEqual(ours.get("cost"), least)
                    if least is None:
                        answers["none"] += 1
                        self.assertTrue(ours["minimal"])
                        self.assertTrue(clash, "not a least set of demands that cannot all hold")
                    else:
                        answers["a choice"] += 1
                        self.assertTrue(ours["proven"])
                        self.assertEqual(costs(model, ours["choice"]), least)
                        self.assertEqual(breaks(model, ours["choice"]), [])
        # That the instances are worth the name: many, and of both kinds.
        self.assertGreaterEqual(answers["a choice"], 200, answers)
        self.assertGreaterEqual(answers["none"], 60, answers)
        self.assertGreaterEqual(len(lines), 300)


if __name__ == "__main__":
    unittest.main()
