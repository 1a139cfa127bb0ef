"""An order of work judged by charges in turn, stated for CP-SAT a second way: by slots.

A slot is one tool in one setup, for as long as neither changes; the work goes through the
slots one after another, and each operation is done in one of them. First the fewest setups
are proven, by slots whose tool does not matter; then, with so many setups, the rest.
Nothing of our own search is used but the cost of its plan, which the other solver has to
undercut or prove: a slot more than that plan could have would cost more than it.
"""

from order_model import Stated, cp_model, score, weights


class Slots(Stated):
    """The model with its operations in `count` slots; `tools` says whether a tool is part
    of a slot. Needs, afters and choices are stated as in the first way."""

    def __init__(self, model, count, tools):
        self.count_of_slots, self.tools_too = max(count, 1), tools
        super().__init__(model)

    def trip(self):
        """The slots, and where each operation is."""
        cp, slots = self.cp, range(self.count_of_slots)
        self.many = max(len(self.left), 1)
        setups = self.model["setups"]
        fit = lambda way: (setups[way[0]]["machine"], way[1] if self.tools_too else 0)
        self.used = [cp.new_bool_var("") for _ in slots]
        for one, other in zip(self.used, self.used[1:]):
            cp.add_implication(other, one)
        ways = [way for at in self.left for way in self.ops[at]["ways"]]
        self.setup = {s: [cp.new_bool_var("") for _ in slots] for s in sorted({way[0] for way in ways})}
        self.fit = {f: [cp.new_bool_var("") for _ in slots] for f in sorted({fit(way) for way in ways})}
        for k in slots:
            for kind in (self.setup, self.fit):
                cp.add(sum(literals[k] for literals in kind.values()) == self.used[k])
        self.slot, self.place, self.inside = {}, {}, {}
        for at in self.left:
            self.inside[at] = [cp.new_bool_var("") for _ in slots]
            cp.add(sum(self.inside[at]) == self.done[at])
            self.slot[at] = cp.new_int_var(0, self.count_of_slots - 1, "")
            cp.add(self.slot[at] == sum(k * x for k, x in enumerate(self.inside[at]))).only_enforce_if(self.done[at])
            turn = cp.new_int_var(0, self.many - 1, "")
            self.place[at] = self.slot[at] * self.many + turn
            for way, literal in zip(self.ops[at]["ways"], self.ways[at]):
                for k, inside in enumerate(self.inside[at]):
                    cp.add_bool_or([literal.negated(), inside.negated(), self.setup[way[0]][k]])
                    cp.add_bool_or([literal.negated(), inside.negated(), self.fit[fit(way)][k]])
        for k in slots:
            cp.add_bool_or([self.used[k].negated(), *(self.inside[at][k] for at in self.left)])
        self.changes_between(fit)
        self.in_a_row()

    def precedes(self, one, other, literal):
        super().precedes(one, other, literal)
        where = lambda at: {(way[0], way[1] if self.tools_too else 0) for way in self.ops[at]["ways"]}
        apart = int(not where(one) & where(other))
        self.cp.add(self.slot[one] + apart <= self.slot[other]).only_enforce_if(literal)

    def changes_between(self, fit):
        """What is entered in each slot that was not there in the slot before."""
        cp, standing = self.cp, self.model["standing"]
        entered = lambda kind, first: {
            key: [self.entered(literals, k, key == first) for k in range(self.count_of_slots)]
            for key, literals in kind.items()
        }
        self.setting = entered(self.setup, standing and standing[0])
        self.fitting = entered(self.fit, standing and fit(standing))
        for k in range(1, self.count_of_slots):
            news = [x[k] for kind in (self.setting, self.fitting) for x in kind.values()]
            cp.add_bool_or([self.used[k].negated(), *news])
        for kind, entering in ((self.setup, self.setting), (self.fit, self.fitting)):
            # What is used at all is entered once at least, or stood there.
            for key, literals in kind.items():
                stood = key == (standing and (standing[0] if kind is self.setup else fit(standing)))
                if not stood:
                    for literal in literals:
                        cp.add_bool_or([literal.negated(), *entering[key]])

    def in_a_row(self):
        """Neighbours that could as well stand the other way about stand by their number: two
        tools of one setup, or two setups where tools do not matter. Else something
        done in the first is tied to something in the second, or the tool of the slot before
        or after is kept."""
        cp, last = self.cp, self.count_of_slots - 1
        kind = self.fit if self.tools_too else self.setup
        number = [sum(n * literals[k] for n, literals in enumerate(kind.values())) for k in range(last + 1)]
        tied = self.tied()
        for k in range(last):
            rises = cp.new_bool_var("")
            cp.add(number[k] < number[k + 1]).only_enforce_if(rises)
            reasons = [self.used[k + 1].negated(), rises]
            for early, late in tied:
                both = cp.new_bool_var("")
                cp.add_implication(both, self.inside[early][k])
                cp.add_implication(both, self.inside[late][k + 1])
                reasons.append(both)
            if self.tools_too:
                reasons += [entered[k + 1] for entered in self.setting.values()]
                for n in {k, k + 2} & set(range(last + 1)):
                    kept = cp.new_bool_var("")
                    for entered in self.fitting.values():
                        cp.add_implication(kept, entered[n].negated())
                    cp.add_implication(kept, self.used[n])
                    reasons.append(kept)
            cp.add_bool_or(reasons)

    def by_stays(self, stays):
        """Counted once more: in each of so many stays of the work each tool that is used is
        come to once at least, unless it is kept from the stay before. What has to come before
        what, and which setups can be where, say most about that."""
        cp, setups = self.cp, self.model["setups"]
        fit = lambda way: (setups[way[0]]["machine"], way[1])
        where = {s: [cp.new_bool_var("") for _ in range(stays)] for s in self.setup}
        tool = {f: [cp.new_bool_var("") for _ in range(stays)] for f in self.fit}
        news = [sum(x[k] for x in self.setting.values()) for k in range(self.count_of_slots)]
        stay_of = [cp.new_int_var(0, stays - 1, "") for _ in range(self.count_of_slots)]
        skip = 0 if self.model["standing"] else 1
        for k in range(self.count_of_slots):
            before = stay_of[k - 1] if k else -skip
            cp.add(stay_of[k] == before + news[k]).only_enforce_if(self.used[k])
        self.stay = {}
        for m in range(stays):
            cp.add_exactly_one(where[s][m] for s in where)
        for at in self.left:
            stay = [cp.new_bool_var("") for _ in range(stays)]
            self.stay[at] = cp.new_int_var(0, stays - 1, "")
            cp.add(sum(stay) == self.done[at])
            cp.add(self.stay[at] == sum(m * x for m, x in enumerate(stay))).only_enforce_if(self.done[at])
            for k, inside in enumerate(self.inside[at]):
                cp.add(self.stay[at] == stay_of[k]).only_enforce_if(inside)
            for way, literal in zip(self.ops[at]["ways"], self.ways[at]):
                for m in range(stays):
                    cp.add_bool_or([literal.negated(), stay[m].negated(), where[way[0]][m]])
                    cp.add_bool_or([literal.negated(), stay[m].negated(), tool[fit(way)][m]])
        for (one, other), literal in self.order.items():
            if one in self.stay and other in self.stay:
                setups_of = lambda at: {way[0] for way in self.ops[at]["ways"]}
                apart = int(not setups_of(one) & setups_of(other))
                cp.add(self.stay[one] + apart <= self.stay[other]).only_enforce_if(literal)
        kept = []
        for m in range(1, stays):
            one = [cp.new_bool_var("") for _ in tool]
            cp.add_at_most_one(one)
            for literal, used in zip(one, tool.values()):
                cp.add_implication(literal, used[m - 1])
                cp.add_implication(literal, used[m])
            kept.append(one)
        used = sum(x for literals in tool.values() for x in literals)
        changed = [x[k] for x in self.fitting.values() for k in range(self.count_of_slots)]
        cp.add(sum(changed) >= used - sum(x for one in kept for x in one) - (1 - skip))

    def tied(self):
        """Pairs of operations that may not do as well the other way about."""
        touches = {}
        for at in self.left:
            op = self.ops[at]
            held = {token for way in op["ways"] for token in self.model["setups"][way[0]]["needs"]}
            changes = set(op["makes"]) | set(op["spoils"])
            touches[at] = (changes, changes | set(op["needs"]) | set(op["absent"]) | held)
        pairs = {
            (one, other)
            for one in self.left
            for other in self.left
            if one != other
            and (touches[one][0] & touches[other][1] or touches[other][0] & touches[one][1])
        }
        for late in self.left:
            for after in self.ops[late]["after"]:
                of_group = lambda at: self.ops[at]["choice"] and self.ops[at]["choice"][0] == after.get("group")
                pairs |= {(at, late) for at in self.left if at != late and (at == after.get("op") or of_group(at))}
        return sorted(pairs)

    def entered(self, literals, k, stood):
        new = self.cp.new_bool_var("")
        if k == 0:
            self.cp.add(new == (0 if stood else literals[0]))
            return new
        self.cp.add_implication(new, literals[k])
        self.cp.add_implication(new, literals[k - 1].negated())
        self.cp.add_bool_or([literals[k].negated(), literals[k - 1], new])
        return new

    def stays(self):
        stay = {}
        news = [sum(x[k] for x in self.setting.values()) for k in range(self.count_of_slots)]
        before = [sum(news[: k + 1]) for k in range(self.count_of_slots)]
        for at in self.left:
            stay[at] = self.cp.new_int_var(0, self.count_of_slots, "")
            for k, inside in enumerate(self.inside[at]):
                self.cp.add(stay[at] == before[k]).only_enforce_if(inside)
        return stay

    def changes(self):
        weigh, setups = weights(self.model), self.model["setups"]
        charged = []
        for setup, entered in self.setting.items():
            price = weigh[1] * setups[setup]["count"] + setups[setup]["minutes"]
            charged += [(x, price) for x in entered]
        self.setups = sum(setups[s]["count"] * x for s, entered in self.setting.items() for x in entered)
        if self.tools_too:
            # The first tool of all is no change.
            first = 0 if self.model["standing"] else 1
            charged += [(x, weigh[2]) for entered in self.fitting.values() for x in entered[first:]]
        return charged


def proven(model, workers, seconds, most, plan):
    """The steps of a plan of least cost and whether it is proven, as `order_model.solved`;
    `plan` is ours, whose tally bounds the slots and whose steps are a hint."""
    assert not model["weights"], "charges in turn only"
    _, setups, tools, _, _ = plan["tally"]
    stood = int(bool(model["standing"]))  # what stands ready is a slot that is not counted
    coarse = Slots(model, setups + stood, False)
    coarse.cp.minimize(coarse.setups)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = workers, 1
    solver.parameters.max_time_in_seconds = seconds
    if solver.solve(coarse.cp) != cp_model.OPTIMAL:
        return None, False, solver.wall_time
    took, fewest = solver.wall_time, round(solver.objective_value)
    if fewest < setups:
        # No proof of ours is worth anything then; the first way of stating it will tell.
        return None, False, took
    fine = Slots(model, setups + tools + stood, True)
    fine.cp.add(fine.total <= most)
    fine.cp.add(fine.setups == fewest)
    fine.by_stays(fewest + stood)
    fine.cp.minimize(fine.total)
    solver.parameters.max_time_in_seconds = max(seconds - took, 1)
    status = solver.solve(fine.cp)
    sure = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, sure, took + solver.wall_time
    way = lambda at: next(n for n, x in enumerate(fine.ways[at]) if solver.value(x))
    done = [at for at in fine.left if solver.value(fine.done[at])]
    done.sort(key=lambda at: solver.value(fine.place[at]))
    return [[at, way(at)] for at in done], sure, took + solver.wall_time
