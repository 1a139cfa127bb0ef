"""The order of work against CP-SAT, a general constraint solver: the same least cost on a
hundred generated orders and on the published ones, or no order by either; and every plan, of
generated models, published instances and whole part files, replayed by a replay written here."""

import concurrent.futures
import json
import unittest

from metric_check import projects
from order_model import replay, score, solved
from order_visits import proven, room
from program import ROOT, example

# FAMILY:SIZE:SEEDS, the size in operations: a hundred that both prove, and such as mostly
# have no order.
ORDERED = [
    "ordinary:8:8", "ordinary:12:8", "ordinary:16:8", "ordinary:24:8", "ordinary:32:8", "ordinary:40:12",
    "planted:8:14", "planted:12:10", "planted:20:4", "planted:30:6", "weak:14:6", "weak:24:6", "weak:40:2",
]  # fmt: skip
MIXED = ["mixed:8:30", "mixed:12:12", "mixed:30:6", "mixed:40:6"]
# The seconds that CP-SAT counts by its own work, not by the clock.
EFFORT = 5.0
# TRADE papers as named in the core's tests: the proven optima, the last in twentieths.
PUBLISHED = {"published A": 833, "published B": 546, "published C": 1028, "published D": 12_890}
# Up to so many operations a model is stated both ways.
SMALL = 9


def stated_best(model, workers, effort):
    """The other solver's steps, whether they are proven, and its seconds: by stays and visits
    where there is a plan to undercut and both cost something, else by one round trip."""
    steps = model["ours"].get("steps")
    most = None if steps is None else score(model, replay(model, steps)[0])
    if steps is not None and (not model["weights"] or room(model, most)):
        return proven(model, workers, effort)
    return solved(model, workers, effort, most)


def theirs(line):
    """The other solver's plan, and whether it is proven; of a small model also its plan by
    the other way of stating it."""
    model = json.loads(line)
    both = len(model["operations"]) <= SMALL
    return [*stated_best(model, 1, EFFORT)[:2], solved(model, 1, EFFORT) if both else None]


class Order(unittest.TestCase):
    def lines(self, words):
        return ["\t".join(line) for line in example("order_models", *words, tabs=True)]

    def kept(self, model):
        """Ours keeps every rule and costs what it says."""
        return self.costs(model, model["ours"]["steps"], model["ours"]["tally"])

    def costs(self, model, steps, told=None):
        tally, broken = replay(model, steps)
        self.assertEqual(broken, [])
        self.assertEqual(tally, told or tally)
        return score(model, tally)

    def held_against(self, words):
        """For each model its size and what became of it: `same` where both prove the same
        least cost, `none` where both prove that there is no order."""
        lines, became = self.lines(words), []
        with concurrent.futures.ProcessPoolExecutor(2) as two:
            for line, (steps, proven, again) in zip(lines, two.map(theirs, lines)):
                model = json.loads(line)
                ours, size = model["ours"], len(model["operations"])
                with self.subTest(model["name"]):
                    if "steps" not in ours:
                        self.assertTrue(ours.get("impossible"), ours)
                        self.assertIsNone(steps)
                        became.append((size, "none" if proven else "not proven by CP-SAT"))
                        continue
                    cost = self.kept(model)
                    least = None if steps is None else self.costs(model, steps)
                    if ours["proven"] and least is not None:
                        self.assertGreaterEqual(least, cost, "ours is not the least")
                    if proven:
                        self.assertIsNotNone(least, "ours costs as much, but none is found")
                        self.assertLessEqual(ours["bound"], least)
                        self.assertLessEqual(least, cost)
                    if again and again[1] and proven:
                        self.assertEqual(self.costs(model, again[0]), least, "stated both ways")
                    same = proven and ours["proven"]
                    became.append((size, "same" if same else f"not proven by {'us' if proven else 'CP-SAT'}"))
        counts = {what: sum(b == what for _, b in became) for what in sorted({b for _, b in became})}
        print(f"\n{len(lines)} orders of work held against CP-SAT: {counts}")
        return became

    def test_a_hundred_orders_are_proven_at_the_same_cost_by_either_solver(self):
        became = self.held_against(ORDERED)
        same = [size for size, what in became if what == "same"]
        self.assertEqual(len(same), 100)
        self.assertEqual((min(same), max(same)), (8, 40))
        self.assertGreaterEqual(sum(size >= 30 for size in same), 28)

    def test_where_there_is_no_order_neither_finds_one(self):
        became = [what for _, what in self.held_against(MIXED)]
        self.assertGreaterEqual(became.count("none"), 50)

    def test_the_published_instances_are_proven_at_what_was_published(self):
        lines = self.lines(["published"])
        with concurrent.futures.ProcessPoolExecutor(2) as two:
            for line, (steps, proven, _) in zip(lines, two.map(theirs, lines)):
                model = json.loads(line)
                with self.subTest(model["name"]):
                    least = PUBLISHED[model["name"]]
                    self.assertEqual(self.kept(model), least)
                    self.assertTrue(proven)
                    self.assertEqual(self.costs(model, steps), least)
        self.assertEqual(len(lines), len(PUBLISHED))

    def test_the_orders_of_whole_parts_are_proven_and_keep_every_rule(self):
        words = [f"{bench}+{part}" for bench, *parts in projects() for part in parts]
        words = [word.replace(f"{ROOT}/", "") for word in words]
        models = [json.loads(line) for line in self.lines(words)]
        for model in models:
            with self.subTest(model["name"]):
                self.kept(model)
                self.assertTrue(model["ours"]["proven"])
        self.assertGreaterEqual(len(models), 50)
        most = max(model["ours"]["states"] for model in models)
        print(f"\n{len(models)} orders of part files, all replayed; the most states kept: {most}")


if __name__ == "__main__":
    unittest.main()
