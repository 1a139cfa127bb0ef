"""An order of work stated for CP-SAT a second way: by stays and visits.

A stay is one setup, for as long as the work is held so; a visit is one tool within a stay,
for as long as neither changes. Visits stand in a stay by their ranks, and equal ranks say
that their order does not matter: plans that differ in nothing else are one. Of our own
search nothing is used but its plan: its cost says how much room there has to be, since a
stay or a visit more than could be had for it would cost more, and its steps are a hint.
"""

from order_model import Effort, Stated, weights


class Visits(Stated):
    """The model in at most so many `stays`, the one of what stands ready among them, and with
    at most so many `changes` of tool; where that is `None`, tools are left out of it."""

    def __init__(self, model, stays, changes=None):
        self.count_of_stays, self.most = max(stays, 1), changes
        super().__init__(model)

    def fit(self, way):
        """A tool on a machine."""
        return self.model["setups"][way[0]]["machine"], way[1]

    def trip(self):
        cp, stays = self.cp, range(self.count_of_stays)
        self.many = max(len(self.left), 1)
        self.ranks = 1 if self.most is None else self.most + 2
        stood = self.model["standing"]
        named = {way[0] for at in self.left for way in self.ops[at]["ways"]} | ({stood[0]} if stood else set())
        self.used = [cp.new_bool_var("") for _ in stays]
        self.where = {s: [cp.new_bool_var("") for _ in stays] for s in sorted(named)}
        for m in stays:
            cp.add(sum(x[m] for x in self.where.values()) == self.used[m])
            if m:
                cp.add_implication(self.used[m], self.used[m - 1])
                for x in self.where.values():
                    cp.add_at_most_one([x[m - 1], x[m]])
        if stood:
            # What stands ready is the first stay, and not charged, though nothing be done in it.
            cp.add(self.where[stood[0]][0] == 1)
        self.stay, self.rank, self.inside, self.key, self.place = {}, {}, {}, {}, {}
        for at in self.left:
            inside = self.inside[at] = [cp.new_bool_var("") for _ in stays]
            stay = self.stay[at] = cp.new_int_var(0, self.count_of_stays - 1, "")
            rank = self.rank[at] = cp.new_int_var(0, self.ranks - 1, "")
            cp.add(sum(inside) == self.done[at])
            cp.add(stay == sum(m * x for m, x in enumerate(inside))).only_enforce_if(self.done[at])
            self.key[at] = stay * self.ranks + rank
            self.place[at] = self.key[at] * self.many + cp.new_int_var(0, self.many - 1, "")
            for setup in {way[0] for way in self.ops[at]["ways"]}:
                ways = [x for x, way in zip(self.ways[at], self.ops[at]["ways"]) if way[0] == setup]
                for m in stays:
                    for x in ways:
                        cp.add_bool_or([x.negated(), inside[m].negated(), self.where[setup][m]])
                    cp.add_bool_or([self.where[setup][m].negated(), inside[m].negated(), *ways])
        if self.most is not None:
            self.visits()
            self.from_stay_to_stay()
            self.visited()

    def visits(self):
        """The visits there may be in each stay: of a tool as many as operations can be done
        with it there. Between two of one tool there is another."""
        cp, stood = self.cp, self.model["standing"]
        could = {}
        for at in self.left:
            for place in {(self.fit(way), way[0]) for way in self.ops[at]["ways"]}:
                could[place] = could.get(place, 0) + 1
        self.fits = {}
        for (fit, _), count in could.items():
            self.fits[fit] = max(self.fits.get(fit, 0), min(count, self.most // 2 + 1))
        if stood:
            # It is in the spindle already, and may be come to again.
            self.fits[self.fit(stood)] = self.fits.get(self.fit(stood), 0) + 1
        self.visit = [
            {
                (fit, v): (cp.new_bool_var(""), cp.new_int_var(0, self.ranks - 1, ""))
                for fit in sorted(self.fits)
                for v in range(self.fits[fit])
            }
            for _ in range(self.count_of_stays)
        ]
        for used_stay, visits in zip(self.used, self.visit):
            for (fit, v), (used, rank) in visits.items():
                cp.add_implication(used, used_stay)
                if v:
                    cp.add_implication(used, visits[fit, v - 1][0])
                    cp.add(visits[fit, v - 1][1] + 1 < rank).only_enforce_if(used)

    def from_stay_to_stay(self):
        """A tool is kept in the spindle where it is the last of a stay and the first of the
        next."""
        cp, stood = self.cp, self.model["standing"]
        self.kept, before = {}, None
        for m, visits in enumerate(self.visit):
            highest = cp.new_int_var(0, self.ranks - 1, "")
            first, last = ({key: cp.new_bool_var("") for key in visits} for _ in range(2))
            for ends in (first, last):
                cp.add_at_most_one(ends.values())
            for key, (used, rank) in visits.items():
                cp.add_implication(first[key], used)
                cp.add_implication(last[key], used)
                cp.add(rank == 0).only_enforce_if(first[key])
                cp.add(rank >= 1).only_enforce_if(used, first[key].negated())
                cp.add(rank == highest).only_enforce_if(last[key])
                cp.add(rank < highest).only_enforce_if(used, last[key].negated())
            if m == 0 and stood:
                cp.add(visits[self.fit(stood), 0][0] == 1)
                cp.add(first[self.fit(stood), 0] == 1)
            for fit, count in self.fits.items() if m else ():
                kept = self.kept[m, fit] = cp.new_bool_var("")
                cp.add_implication(kept, first[fit, 0])
                cp.add_bool_or([kept.negated(), *(before[fit, v] for v in range(count))])
            before = last

    def visited(self):
        """In which visit each operation is done; in every visit something is."""
        cp, stood = self.cp, self.model["standing"]
        self.during, self.with_fit = {}, {}
        for at in self.left:
            ways = list(zip(self.ways[at], self.ops[at]["ways"]))
            own = self.with_fit[at] = {self.fit(way): [] for _, way in ways}
            for x, way in ways:
                own[self.fit(way)].append(x)
            during = self.during[at] = {}
            for m, inside in enumerate(self.inside[at]):
                for key in [(fit, v) for fit in own for v in range(self.fits[fit])]:
                    x = during[m, *key] = cp.new_bool_var("")
                    used, rank = self.visit[m][key]
                    cp.add_implication(x, used)
                    cp.add(self.rank[at] == rank).only_enforce_if(x)
                cp.add(sum(x for key, x in during.items() if key[0] == m) == inside)
                for fit in own:
                    others = [x for other, xs in own.items() if other != fit for x in xs]
                    cp.add_bool_or([inside.negated(), self.visit[m][fit, 0][0], *others])
            for fit, xs in own.items():
                cp.add(sum(x for key, x in during.items() if key[1] == fit) == sum(xs))
        for m, visits in enumerate(self.visit):
            for key, (used, _) in visits.items():
                if (m, key) != (0, stood and (self.fit(stood), 0)):
                    here = [during[m, *key] for during in self.during.values() if (m, *key) in during]
                    cp.add_bool_or([used.negated(), *here])

    def precedes(self, one, other, literal):
        super().precedes(one, other, literal)
        cp = self.cp
        setups = lambda at: {way[0] for way in self.ops[at]["ways"]}
        apart = int(not setups(one) & setups(other))
        cp.add(self.stay[one] + apart <= self.stay[other]).only_enforce_if(literal)
        if self.most is None:
            return
        first, second = self.with_fit[one], self.with_fit[other]
        apart = int(not set(first) & set(second))
        cp.add(self.key[one] + apart <= self.key[other]).only_enforce_if(literal)
        if not apart and max(len(first), len(second)) > 1:
            # With different tools they are in different visits, which then differ in rank.
            same = cp.new_bool_var("")
            for fit in set(first) | set(second):
                cp.add(sum(first.get(fit, [])) == sum(second.get(fit, []))).only_enforce_if(same)
            cp.add(self.key[one] < self.key[other]).only_enforce_if(literal, same.negated())

    def stays(self):
        return self.stay

    def changes(self):
        weigh, setups, cp = weights(self.model), self.model["setups"], self.cp
        stood = int(bool(self.model["standing"]))
        free = not stood and self.model["weights"] and not self.model["weights"]["first"]
        charged, self.setups = [], 0
        for s, x in self.where.items():
            for m, here in list(enumerate(x))[stood:]:
                count = 0 if free and m == 0 else setups[s]["count"]
                self.setups += count * here
                charged.append((here, weigh[1] * count + setups[s]["minutes"]))
        if weigh[0]:
            machines = {setups[s]["machine"] for s in self.where}
            for m in range(1, self.count_of_stays):
                moved = cp.new_bool_var("")
                charged.append((moved, weigh[0]))
                for machine in machines:
                    at = lambda m: sum(x[m] for s, x in self.where.items() if setups[s]["machine"] == machine)
                    cp.add(moved >= at(m) - at(m - 1))
        if self.most is not None:
            used = [used for visits in self.visit for used, _ in visits.values()]
            self.tools = sum(used) - sum(self.kept.values()) - 1
            charged += [(x, weigh[2]) for x in used] + [(x, -weigh[2]) for x in self.kept.values()]
        return charged

    def cost(self):
        super().cost()
        # The first tool of all is no change.
        self.total -= 0 if self.most is None else weights(self.model)[2]

    def hint(self, steps):
        """Says what a plan comes to here, as far as it is told without searching."""
        stood = self.model["standing"]
        where, visits = ([stood[0]], [[self.fit(stood)]]) if stood else ([], [])
        told, turn = {}, {}
        for at, way in steps:
            setup, fit = self.ops[at]["ways"][way][0], self.fit(self.ops[at]["ways"][way])
            if where[-1:] != [setup]:
                where.append(setup)
                visits.append([])
            if visits[-1][-1:] != [fit]:
                visits[-1].append(fit)
            told[at] = (len(where) - 1, fit, visits[-1].count(fit) - 1, len(visits[-1]) - 1, way)
            turn[at] = len(turn)
        say = self.cp.add_hint
        for m, used in enumerate(self.used):
            say(used, m < len(where))
            for s, x in self.where.items():
                say(x[m], where[m : m + 1] == [s])
        for at in self.left:
            stay, fit, v, rank, own = told.get(at, (None,) * 5)
            for n, x in enumerate(self.ways[at]):
                say(x, n == own)
            for m, x in enumerate(self.inside[at]):
                say(x, m == stay)
            for key, x in self.during[at].items() if self.most is not None else ():
                say(x, key == (stay, fit, v))
            if at in told:
                say(self.stay[at], stay)
                say(self.rank[at], 0 if self.most is None else rank)
        for (one, other), literal in self.order.items():
            if one in turn and other in turn:
                say(literal, turn[one] < turn[other])
        if self.most is None:
            return
        for m, there in enumerate(self.visit):
            here = visits[m] if m < len(visits) else []
            ranks = {(fit, here[:rank].count(fit)): rank for rank, fit in enumerate(here)}
            for key, (used, rank) in there.items():
                say(used, key in ranks)
                if key in ranks:
                    say(rank, ranks[key])
        for (m, fit), x in self.kept.items():
            say(x, m < len(visits) and visits[m - 1][-1:] == visits[m][:1] == [fit])

    def steps(self, solver):
        """The plan the other solver has found."""
        way = {at: n for at in self.left for n, x in enumerate(self.ways[at]) if solver.value(x)}
        fit = lambda at: self.fit(self.ops[at]["ways"][way[at]])
        key = lambda at: (solver.value(self.key[at]), fit(at), solver.value(self.place[at]))
        return [[at, way[at]] for at in sorted(way, key=key)]


def room(model, cost):
    """How many stays and tool changes a plan of so much cost has at most; `None` where one
    of them costs nothing."""
    weigh = model["weights"]
    if not (weigh["setup"] and weigh["tool"]):
        return None
    must = [op for at, op in enumerate(model["operations"]) if op["choice"] is None and at not in model["done"]]
    left = cost - sum(min(way[2] for way in op["ways"]) for op in must)
    # A setup counts once at least; one is free, or stands ready.
    return left // weigh["setup"] + 1, left // weigh["tool"]


def proven(model, workers, effort):
    """The steps of a plan of least cost, `None` where none is found; whether it is proven to
    be least; and the seconds it took. There has to be a plan of ours. Charges in turn are
    proven one after the other."""
    ours, run = model["ours"], Effort(workers, effort)
    steps = ours["steps"]

    def least(stated, aim, steps):
        stated.cp.clear_hints()
        stated.hint(steps)
        return run.least(stated, aim)

    if model["weights"]:
        stated = Visits(model, *room(model, ours["score"]))
        stated.cp.add(stated.total <= ours["score"])
        solver, found, sure = least(stated, stated.total, steps)
        return stated.steps(solver) if found else None, sure, run.took
    _, setups, tools, _, _ = ours["tally"]
    stood = int(bool(model["standing"]))
    stated = Visits(model, setups + stood)
    solver, found, sure = least(stated, stated.setups, steps)
    if not (found and sure):
        return None, False, run.took
    fewest = round(solver.objective_value)
    # With fewer setups than ours there may have to be more tool changes.
    many = tools if fewest == setups else len(model["operations"])
    stated = Visits(model, fewest + stood, many)
    stated.cp.add(stated.setups == fewest)
    for aim in (stated.tools, stated.total):
        solver, found, sure = least(stated, aim, steps)
        if not (found and sure):
            break
        steps = stated.steps(solver)
        stated.cp.add(stated.tools <= round(solver.value(stated.tools)))
    return stated.steps(solver) if found else None, found and sure, run.took
