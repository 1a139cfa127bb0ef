"""A choice as the core writes it, stated for the general constraint solver CP-SAT.

Nothing of our own search is used: the sizes come as exact ratios and are brought to
whole numbers here, the distances are squares of integer variables.
"""

import math
import time
from fractions import Fraction

from ortools.sat.python import cp_model

MOST = 1 << 62


def scaled(model, linears):
    """The scale that makes every part of these sums whole, and the sums in it."""
    scale = 1
    for linear in linears:
        scale = math.lcm(scale, Fraction(linear["constant"]).denominator)
        for v, times in linear["terms"]:
            for value, *_ in model["variables"][v]:
                scale = math.lcm(scale, (Fraction(value) * Fraction(times)).denominator)
    return scale


class Stated:
    """The model in the other solver's words."""

    def __init__(self, model):
        self.model, self.cp = model, cp_model.CpModel()
        self.chosen = []
        for candidates in model["variables"]:
            literals = [self.cp.new_bool_var("") for _ in candidates]
            self.cp.add_exactly_one(literals)
            self.chosen.append(literals)
        self.bought = [self.cp.new_bool_var("") for _ in model["purchases"]]
        for literals, candidates in zip(self.chosen, model["variables"]):
            for literal, (_, _, _, buys) in zip(literals, candidates):
                for purchase in buys:
                    self.cp.add_implication(literal, self.bought[purchase])
        for demand in model["demands"]:
            self.demand(demand)

    def sum(self, linear, scale):
        """The sum over the literals, and its least and most."""
        total = int(Fraction(linear["constant"]) * scale)
        low = high = total
        of = {}
        for v, times in linear["terms"]:
            of[v] = of.get(v, 0) + Fraction(times)
        for v, times in of.items():
            parts = [Fraction(value) * times * scale for value, *_ in self.model["variables"][v]]
            assert all(part.denominator == 1 for part in parts)
            parts = [int(part) for part in parts]
            low, high = low + min(parts), high + max(parts)
            total = total + cp_model.LinearExpr.weighted_sum(self.chosen[v], parts)
        return total, low, high

    def demand(self, demand):
        if "between" in demand:
            linear = demand["between"]
            bounds = [demand[end] and Fraction(demand[end]) for end in ("least", "most")]
            scale = scaled(self.model, [linear])
            for bound in bounds:
                scale = math.lcm(scale, bound.denominator if bound is not None else 1)
            total, low, high = self.sum(linear, scale)
            least, most = [bound if bound is None else int(bound * scale) for bound in bounds]
            if low == high:  # no variable in it
                if (least is not None and low < least) or (most is not None and high > most):
                    self.cp.add_bool_or([])
                return
            if least is not None:
                self.cp.add(total >= least)
            if most is not None:
                self.cp.add(total <= most)
        elif "apart" in demand:
            scale = scaled(self.model, demand["apart"])
            squares = []
            for linear in demand["apart"]:
                total, low, high = self.sum(linear, scale)
                squares.append(self.square(total, low, high, of_reach=linear is demand["apart"][2]))
            self.cp.add(squares[0] + squares[1] >= squares[2])
        elif "reaches" in demand:
            asked = [Fraction(least) for least in demand["least"]]
            scale = scaled(self.model, [demand["reaches"]])
            for least in asked:
                scale = math.lcm(scale, least.denominator)
            total, low, high = self.sum(demand["reaches"], scale)
            for literal, least in zip(self.chosen[demand["by"]], asked):
                if low == high:  # no variable in it
                    if low < int(least * scale):
                        self.cp.add(literal == 0)
                else:
                    self.cp.add(total >= int(least * scale)).only_enforce_if(literal)
        elif "pairs" in demand:
            a, b = (self.chosen[v] for v in demand["pairs"])
            for literal, row in zip(a, demand["allowed"]):
                self.cp.add_bool_or([literal.negated()] + [other for other, may in zip(b, row) if may])
        elif "on" in demand:
            columns = [self.number(v) for v in demand["on"]]
            self.cp.add_allowed_assignments(columns, demand["allowed"])
        elif "left_out" in demand:
            pass  # not written down: too many combinations
        elif "never" in demand:
            self.cp.add_bool_or([self.chosen[v][at].negated() for v, at in demand["never"]])
        elif "not" in demand:
            v, at = demand["not"]
            self.cp.add(self.chosen[v][at] == 0)
        else:
            v, at = demand["is"]
            self.cp.add(self.chosen[v][at] == 1)

    def number(self, v):
        """Which candidate a variable takes, as a number."""
        number = self.cp.new_int_var(0, len(self.chosen[v]) - 1, "")
        self.cp.add(number == cp_model.LinearExpr.weighted_sum(self.chosen[v], range(len(self.chosen[v]))))
        return number

    def square(self, total, low, high, of_reach):
        if of_reach:  # a reach below nought asks nothing
            reach = self.cp.new_int_var(max(low, 0), max(high, 0), "")
            self.cp.add_max_equality(reach, [total, 0])
            total, low, high = reach, max(low, 0), max(high, 0)
        most = max(low * low, high * high)
        assert most < MOST
        square = self.cp.new_int_var(0, most, "")
        self.cp.add_multiplication_equality(square, [total, total])
        return square

    def objectives(self):
        """Buying, departure, roughness: each a sum and the most it can be."""
        buy = cp_model.LinearExpr.weighted_sum(self.bought, self.model["purchases"])
        parts = [(buy, sum(self.model["purchases"]))]
        for at in (1, 2):
            literals = [literal for of in self.chosen for literal in of]
            costs = [candidate[at] for of in self.model["variables"] for candidate in of]
            most = sum(max(candidate[at] for candidate in of) for of in self.model["variables"])
            parts.append((cp_model.LinearExpr.weighted_sum(literals, costs), most))
        return parts


def solved(model, workers, seconds=60.0, stated=None):
    """The other solver's least cost; `None` when it proves there is none, and a word
    when it comes to neither in the time."""
    least = chosen(model, workers, seconds, stated)
    return least[0] if isinstance(least, tuple) else least


def judged(model, at, ask, rounds=40):
    """The least cost where some demands are left out: whatever breaks one of them, by our
    own judge, is ruled out, and all is chosen again; and whether that came to an end. Ours
    holds them all, so that a cost no less than ours is the least."""
    model = dict(model, demands=list(model["demands"]))
    out = set(left_out(model))
    for _ in range(rounds):
        found = chosen(model, 1, 60.0)
        if not isinstance(found, tuple):
            return found, True
        broken = out & set(ask(at, found[1]))
        if not broken or found[0] == model["ours"].get("cost"):
            return found[0], True
        for demand in broken:
            on = model["demands"][demand]["left_out"]
            model["demands"].append({"never": [[v, found[1][v]] for v in on]})
    return found[0], False


def chosen(model, workers, seconds, stated=None):
    """The least cost and a choice that has it, or as `solved`."""
    stated = stated or Stated(model)
    solver = cp_model.CpSolver()
    if workers:
        solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    parts = stated.objectives()
    # As one number where that can be counted, one after the other where it cannot.
    weights = [(parts[1][1] + 1) * (parts[2][1] + 1), parts[2][1] + 1, 1]
    if sum(weight * most for weight, (_, most) in zip(weights, parts)) < MOST:
        stages = [sum(weight * part for weight, (part, _) in zip(weights, parts))]
    else:
        stages = [part for part, _ in parts]
    ends = time.perf_counter() + seconds
    for stage in stages:
        stated.cp.minimize(stage)
        solver.parameters.max_time_in_seconds = max(ends - time.perf_counter(), 0.0)
        status = solver.solve(stated.cp)
        if status == cp_model.INFEASIBLE:
            return None
        if status != cp_model.OPTIMAL:
            return solver.status_name(status)
        if len(stages) > 1:
            stated.cp.add(stage <= round(solver.objective_value))
    cost = [round(solver.value(part)) if not isinstance(part, int) else part for part, _ in parts]
    takes = lambda literals: next(at for at, literal in enumerate(literals) if solver.value(literal))
    return cost, [takes(literals) for literals in stated.chosen]


def can_hold(model, demands):
    """Whether some of the demands can all hold."""
    some = dict(model, demands=[model["demands"][at] for at in demands])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return solver.solve(Stated(some).cp) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def left_out(model):
    """The demands that are not written down."""
    return [at for at, demand in enumerate(model["demands"]) if "left_out" in demand]


def costs(model, choice):
    """What a choice costs, added up here."""
    taken = [candidates[at] for candidates, at in zip(model["variables"], choice)]
    bought = {purchase for *_, buys in taken for purchase in buys}
    points = sum(model["purchases"][purchase] for purchase in bought)
    return [points, sum(c[1] for c in taken), sum(c[2] for c in taken)]


def breaks(model, choice):
    """The demands that a choice breaks, in exact fractions."""

    def value(linear):
        size = lambda v: Fraction(model["variables"][v][choice[v]][0])
        return Fraction(linear["constant"]) + sum(Fraction(times) * size(v) for v, times in linear["terms"])

    def holds(demand):
        if "between" in demand:
            total, (least, most) = value(demand["between"]), (demand["least"], demand["most"])
            return (least is None or total >= Fraction(least)) and (most is None or total <= Fraction(most))
        if "apart" in demand:
            x, y, reach = (value(linear) for linear in demand["apart"])
            return reach <= 0 or x * x + y * y >= reach * reach
        if "reaches" in demand:
            return value(demand["reaches"]) >= Fraction(demand["least"][choice[demand["by"]]])
        if "pairs" in demand:
            a, b = demand["pairs"]
            return demand["allowed"][choice[a]][choice[b]]
        if "on" in demand:
            return [choice[v] for v in demand["on"]] in demand["allowed"]
        if "left_out" in demand:
            return True
        if "never" in demand:
            return any(choice[v] != at for v, at in demand["never"])
        if "not" in demand:
            return choice[demand["not"][0]] != demand["not"][1]
        return choice[demand["is"][0]] == demand["is"][1]

    return [at for at, demand in enumerate(model["demands"]) if not holds(demand)]
