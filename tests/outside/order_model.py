"""An order of work as the core writes it, stated for the general constraint solver CP-SAT,
and a replay of plans; nothing of our own search or checker is used.

The order is a round trip through every operation done, each in one of its ways: an arc
says that one comes directly after another, and carries what changing over costs. Before
and after are told by the places in the trip. A token is there when somebody has made it,
or it was there at the start, and nobody has taken it away between.
"""

from ortools.sat.python import cp_model

# A tally: machine changes, setups, tool changes, aids, minutes.


def weights(model):
    """What each thing of the tally weighs: as written, or each more than all after it can
    come to."""
    told = model["weights"]
    if told:
        return [told["machine"], told["setup"], told["tool"], told["aid"], 1]
    count = len(model["operations"])
    slowest = max([s["minutes"] for s in model["setups"]], default=0)
    minutes = sum(max(way[2] for way in op["ways"]) + slowest for op in model["operations"])
    aid = minutes + 1
    tool = (model["aids"] + 1) * aid
    return [0, (count + 1) * tool, tool, aid, 1]


def score(model, tally):
    return sum(weight * times for weight, times in zip(weights(model), tally))


def change(model, one, other):
    """What changing from one place (setup, tool) to another uses; `None` is no place yet."""
    setup = model["setups"][other[0]]
    first = one is None
    counted = not first or not model["weights"] or model["weights"]["first"]
    machine = not first and model["setups"][one[0]]["machine"] != setup["machine"]
    afresh = first or one[0] != other[0]
    return [
        int(machine),
        setup["count"] if afresh and counted else 0,
        int(machine or (not first and one[1] != other[1])),
        0,
        setup["minutes"] if afresh else 0,
    ]


def replay(model, steps):
    """What a plan uses, and every rule that it breaks."""
    ops, broken = model["operations"], []
    exists, done, aids = list(model["tokens"]), list(model["done"]), set()
    stands = tuple(model["standing"]) if model["standing"] else None
    tally, stay, stood, made = [0] * 5, 0, None, {}

    def effect(op):
        for token in op["spoils"]:
            exists[token] = False
        for token in op["makes"]:
            exists[token] = True
        new = set(op["aids"]) - aids
        aids.update(new)
        return len(new)

    for at in done:
        effect(ops[at])
    for at, way in steps:
        op = ops[at]
        setup, tool, minutes = op["ways"][way]
        needs = op["needs"] + model["setups"][setup]["needs"]
        if at in done:
            broken.append(f"{at} is done twice")
        if not all(exists[token] for token in needs) or any(exists[token] for token in op["absent"]):
            broken.append(f"{at} lacks a token, or one is in its way")
        for late in done:
            for after in ops[late]["after"]:
                own = op["choice"] and op["choice"][0] == after.get("group")
                if after.get("op") == at or own:
                    broken.append(f"{at} comes too late for {late}")
        if setup != stood:
            stay, stood = stay + 1, setup
        for agreement in model["agreements"]:
            if at not in agreement["ops"]:
                continue
            other = agreement["ops"][1 - agreement["ops"].index(at)]
            if other in made:
                ways = {at: way, other: made[other][0]}
                pair = [ways[end] for end in agreement["ops"]]
                if pair not in agreement["apart"] and not (agreement["in_one"] and made[other][1] == stay):
                    broken.append(f"{at} and {other} do not agree")
        tally = [a + b for a, b in zip(tally, change(model, stands, (setup, tool)))]
        tally[3] += effect(op)
        tally[4] += minutes
        stands = (setup, tool)
        made[at] = (way, stay)
        done.append(at)
    for at, op in enumerate(ops):
        if op["choice"] is None and at not in done:
            broken.append(f"{at} is never done")
    for group, variants in enumerate(model["groups"]):
        def whole(variant):
            mine = [(at, op["choice"][1]) for at, op in enumerate(ops) if op["choice"] and op["choice"][0] == group]
            return all((at in done) == (of == variant) for at, of in mine)

        if not any(whole(variant) for variant in range(variants)):
            broken.append(f"choice {group} is not made once")
    return tally, broken


class Stated:
    """The model in the other solver's words."""

    def __init__(self, model):
        self.model, self.cp = model, cp_model.CpModel()
        self.ops = model["operations"]
        self.count = len(self.ops)
        self.yes = self.cp.new_constant(1)
        self.no = self.cp.new_constant(0)
        self.order = {}
        self.who()
        self.trip()
        self.tokens()
        self.afters()
        self.agreements()
        self.cost()

    def who(self):
        """Which operations are done, and in which way; those done at the start in none."""
        done = set(self.model["done"])
        chosen = []
        for group, variants in enumerate(self.model["groups"]):
            literals = [self.cp.new_bool_var("") for _ in range(variants)]
            self.cp.add_exactly_one(literals)
            chosen.append(literals)
            used = {op["choice"][1] for op in self.ops if op["choice"] and op["choice"][0] == group}
            # Several variants of nothing are all the same: the first stands for them.
            for variant in [v for v in range(variants) if v not in used][1:]:
                self.cp.add(literals[variant] == 0)
        self.done = [self.yes if op["choice"] is None else chosen[op["choice"][0]][op["choice"][1]] for op in self.ops]
        for at in done:
            self.cp.add(self.done[at] == 1)
        self.left = [at for at in range(self.count) if at not in done]
        self.ways = {at: [self.cp.new_bool_var("") for _ in self.ops[at]["ways"]] for at in self.left}
        for at, ways in self.ways.items():
            self.cp.add(sum(ways) == self.done[at])

    def trip(self):
        self.place = {at: self.cp.new_int_var(1, max(len(self.left), 1), "") for at in self.left}
        nodes = [(at, way) for at in self.left for way in range(len(self.ops[at]["ways"]))]
        number = {node: n + 1 for n, node in enumerate(nodes)}
        arcs, self.arcs = [], []
        start = tuple(self.model["standing"]) if self.model["standing"] else None
        where = lambda node: tuple(self.ops[node[0]]["ways"][node[1]][:2])
        after = {at: {a["op"] for a in self.ops[at]["after"] if "op" in a} for at in self.left}
        nothing = self.cp.new_bool_var("")
        arcs.append((0, 0, nothing))
        for at in self.left:
            self.cp.add_implication(self.done[at], nothing.negated())
        for node in nodes:
            n = number[node]
            arcs.append((n, n, self.ways[node[0]][node[1]].negated()))
            arcs.append((n, 0, self.cp.new_bool_var("")))
            first = self.cp.new_bool_var("")
            arcs.append((0, n, first))
            self.cp.add(self.place[node[0]] == 1).only_enforce_if(first)
            self.arcs.append((first, start, where(node), None, node[0]))
            for other in nodes:
                # Never from a way to another of the same operation, nor to what it comes after.
                if other[0] == node[0] or other[0] in after[node[0]]:
                    continue
                arc = self.cp.new_bool_var("")
                arcs.append((n, number[other], arc))
                self.arcs.append((arc, where(node), where(other), node[0], other[0]))
        self.cp.add_circuit(arcs)
        between = {}
        for arc, _, _, one, other in self.arcs:
            if one is not None:
                between.setdefault((one, other), []).append(arc)
        for (one, other), all_ways in between.items():
            next_to = self.cp.new_bool_var("")
            self.cp.add(sum(all_ways) == next_to)
            self.cp.add(self.place[other] == self.place[one] + 1).only_enforce_if(next_to)
        # Every setup, tool on a machine, and machine that is used is come to once at least.
        machine = lambda place: self.model["setups"][place[0]]["machine"]
        for kind in (lambda p: p[0], lambda p: (machine(p), p[1]), machine):
            into = {}
            for arc, one, other, *_ in self.arcs:
                if one is None or kind(one) != kind(other):
                    into.setdefault(kind(other), []).append(arc)
            for at in self.left:
                for key in {kind(tuple(way[:2])) for way in self.ops[at]["ways"]}:
                    if start is None or kind(start) != key:
                        mine = [x for x, way in zip(self.ways[at], self.ops[at]["ways"]) if kind(tuple(way[:2])) == key]
                        self.cp.add(sum(into.get(key, [])) >= sum(mine))

    def before(self, one, other):
        """A literal that is true only when the one is done before the other, or what was
        done at the start is."""
        done = self.model["done"]
        if one in done or other in done:
            both = one in done and other in done
            return self.yes if (done.index(one) < done.index(other) if both else one in done) else self.no
        if (one, other) not in self.order:
            literal = self.cp.new_bool_var("")
            self.precedes(one, other, literal)
            self.order[one, other] = literal
        return self.order[one, other]

    def precedes(self, one, other, literal):
        self.cp.add(self.place[one] < self.place[other]).only_enforce_if(literal)

    def tokens(self):
        makes = lambda at, token: token in self.ops[at]["makes"]
        takes = lambda at, token: token in self.ops[at]["spoils"] and not makes(at, token)
        for at in self.left:
            for token in self.ops[at]["needs"]:
                self.needs(at, self.done[at], token, makes, takes, self.model["tokens"][token])
            for token in self.ops[at]["absent"]:
                self.needs(at, self.done[at], token, takes, makes, not self.model["tokens"][token])
            for setup in {way[0] for way in self.ops[at]["ways"]}:
                held = self.cp.new_bool_var("")
                for literal, way in zip(self.ways[at], self.ops[at]["ways"]):
                    if way[0] == setup:
                        self.cp.add_implication(literal, held)
                for token in self.model["setups"][setup]["needs"]:
                    self.needs(at, held, token, makes, takes, self.model["tokens"][token])

    def needs(self, at, when, token, gives, takes, at_start):
        """When `when`, the token is as it must be as `at` is done: someone, or the start,
        has made it so, and nobody has changed it since."""
        ways = []
        against = [x for x in range(self.count) if takes(x, token) and x != at]
        for giver in [None] * at_start + [x for x in range(self.count) if gives(x, token) and x != at]:
            by = self.cp.new_bool_var("")
            ways.append(by)
            if giver is not None:
                self.cp.add_implication(by, self.done[giver])
                self.cp.add_implication(by, self.before(giver, at))
            for other in against:
                clear = [by.negated(), self.done[other].negated(), self.before(at, other)]
                if giver is not None:
                    clear.append(self.before(other, giver))
                self.cp.add_bool_or(clear)
        self.cp.add_bool_or([when.negated(), *ways])

    def afters(self):
        for late, op in enumerate(self.ops):
            for after in op["after"]:
                group = after.get("group")
                mine = lambda x: self.ops[x]["choice"] and self.ops[x]["choice"][0] == group
                earlier = [after["op"]] if "op" in after else [x for x in range(self.count) if mine(x)]
                for early in earlier:
                    if early in self.model["done"] or early == late:
                        continue
                    self.cp.add_bool_or(
                        [self.done[late].negated(), self.done[early].negated(), self.before(early, late)]
                    )

    def stays(self):
        """In which stay of the work in a setup each operation is done."""
        stay = {at: self.cp.new_int_var(1, max(len(self.left), 1), "") for at in self.left}
        for arc, one, other, before, at in self.arcs:
            if before is None:
                self.cp.add(stay[at] == 1).only_enforce_if(arc)
            else:
                self.cp.add(stay[at] == stay[before] + int(one[0] != other[0])).only_enforce_if(arc)
        return stay

    def agreements(self):
        binding = [a for a in self.model["agreements"] if not set(a["ops"]) & set(self.model["done"])]
        if not binding:
            return
        stay = self.stays()
        for agreement in binding:
            a, b = agreement["ops"]
            one = self.cp.new_bool_var("")
            self.cp.add(stay[a] == stay[b]).only_enforce_if(one)
            if not agreement["in_one"]:
                self.cp.add(one == 0)
            for i, x in enumerate(self.ways[a]):
                for j, y in enumerate(self.ways[b]):
                    if [i, j] not in agreement["apart"]:
                        self.cp.add_bool_or([x.negated(), y.negated(), one])

    def changes(self):
        """What each arc costs."""
        return [(arc, score(self.model, change(self.model, one, other))) for arc, one, other, *_ in self.arcs]

    def cost(self):
        aids = []
        paid = {aid for at in self.model["done"] for aid in self.ops[at]["aids"]}
        for aid in set(range(self.model["aids"])) - paid:
            used = self.cp.new_bool_var("")
            aids.append(used)
            for at in self.left:
                if aid in self.ops[at]["aids"]:
                    self.cp.add_implication(self.done[at], used)
        changes = self.changes()
        minutes = [(x, way[2]) for at in self.left for x, way in zip(self.ways[at], self.ops[at]["ways"])]
        literals, charges = zip(*([*changes, *minutes] or [(self.no, 0)]))
        self.total = cp_model.LinearExpr.weighted_sum(literals, charges)
        self.total += weights(self.model)[3] * sum(aids)


    def steps(self, solver):
        """The plan that the other solver has found."""
        way = {at: n for at in self.left for n, x in enumerate(self.ways[at]) if solver.value(x)}
        return [[at, way[at]] for at in sorted(way, key=lambda at: solver.value(self.place[at]))]


class Effort:
    """The other solver with so much effort left, in seconds of its own that it counts by what
    it does: no answer hangs on how busy the machine is. `took` is in seconds of the clock."""

    def __init__(self, workers, effort):
        self.workers, self.left, self.took = workers, effort, 0.0

    def least(self, stated, aim):
        """The solver after looking for the least; whether it has found any plan; and whether
        it has proven that none has less."""
        stated.cp.minimize(aim)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers, solver.parameters.random_seed = self.workers, 1
        solver.parameters.max_deterministic_time = max(self.left, 0.01)
        status = solver.solve(stated.cp)
        self.took += solver.wall_time
        self.left -= solver.response_proto.deterministic_time
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return solver, found, status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)


def solved(model, workers, effort, most=None):
    """The steps of a plan of least cost, `None` where none is found; whether it is proven to
    be least, or that there is none; and the seconds it took. Only plans that cost `most` at
    the most are looked at, where that is given."""
    stated, run = Stated(model), Effort(workers, effort)
    if most is not None:
        stated.cp.add(stated.total <= most)
    solver, found, sure = run.least(stated, stated.total)
    return stated.steps(solver) if found else None, sure, run.took
