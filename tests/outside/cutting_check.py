"""Sawing bars, held against a general constraint solver: as few bought, as little cut into."""

import random
import re
import unittest

from ortools.sat.python import cp_model

from program import oddleg


def best(pieces, bars, new, cut):
    """Fewest bars bought, then least length of bar cut into."""
    model = cp_model.CpModel()
    lengths = bars + [max(new, max(pieces))] * len(pieces)
    used = [model.new_bool_var("") for _ in lengths]
    held = [[model.new_bool_var("") for _ in lengths] for _ in pieces]
    for piece in held:
        model.add_exactly_one(piece)
    for bar, length in enumerate(lengths):
        # A cut after every piece but one that ends the bar.
        room = sum((p + cut) * held[n][bar] for n, p in enumerate(pieces))
        model.add(room <= (length + cut) * used[bar])
    bought = sum(used[len(bars):])
    model.minimize(bought * 10**6 + sum(l * u for l, u in zip(lengths, used)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 20
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return divmod(round(solver.objective_value), 10**6)


class Cutting(unittest.TestCase):
    def test_no_plan_of_the_solver_is_better(self):
        random.seed(11)
        proved = 0
        for _ in range(25):
            pieces = [random.randint(20, 380) for _ in range(random.randint(2, 12))]
            bars = [random.randint(100, 900) for _ in range(random.randint(0, 5))]
            cut = random.choice([0, 1, 2, 3])
            words = [f"{p}mm" for p in pieces] + [w for b in bars for w in ("--bar", f"{b}mm")]
            answer = oddleg("reckon", "saw-off", *words, "--new-bar", "1000mm", "--saw-cut", f"{cut}mm")
            rows = {f["name"]: f["shown"] for s in answer["sections"] for f in s.get("figures", [])}
            bought = sum("to buy" in name for name in rows)
            into = sum(int(re.search(r", (\d+) mm", name).group(1)) for name in rows)
            taken = sorted(int(n) for shown in rows.values() for n in re.findall(r"(\d+) mm", shown.split(";")[0]))
            self.assertEqual(taken, sorted(pieces))
            sure = next(s["lines"][0] for s in answer["sections"] if s.get("lines"))
            found = best(pieces, bars, 1000, cut)
            if found is None:
                continue
            if sure.startswith("every way"):
                proved += 1
                self.assertEqual((bought, into), tuple(found), (pieces, bars, cut))
            else:
                self.assertGreaterEqual((bought, into), tuple(found), (pieces, bars, cut))
        self.assertGreater(proved, 20)


if __name__ == "__main__":
    unittest.main()
