"""Every milled cut of every sheet, laid where the sheet says and held against the finished
part with shapely (GEOS): what is printed is read as a person would set it, on the readout,
by turns and divisions, in degrees and minutes, and no cutter may go into the outline, a
shoulder, a slot or a pocket by more than a millionth of a millimetre. Nor may more of the outline stand
where a row brings it out than the cusp it tells and what the slides are rounded by; and every
hole lies where the drawing has it. Pieces that lie side by side are cut where their own presets put
them, the other hand as it lies there, and work that is moved along where it is picked up again."""

import collections
import concurrent.futures
import json
import subprocess
import tempfile
import unittest

import moved_along
from cuts import Cuts
from program import ROOT, built


def cuts(lines):
    """All the cuts of one part on every bench, those of which there are several or that follow a pick-up,
    and how many steps of a slide stand at most."""
    every = [Cuts(json.loads(line)) for line in lines]
    for one in every:
        one.all()
    wrong = [wrong for one in every for wrong in one.found]
    kinds, among = [sum((getattr(one, of) for one in every), collections.Counter()) for of in ("kinds", "among")]
    return sum(one.laid for one in every), wrong, kinds, among, max(one.standing for one in every)


# Plates that are moved along.
MOVED = 40
# Parts of which so many are wanted, on benches that take several side by side.
SEVERAL = 3


def words():
    tests = ROOT / "crates" / "workshop" / "tests"
    kittiwake = ROOT / "examples" / "kittiwake"
    parts = [*sorted((kittiwake / "parts").glob("*.toml")), *sorted((tests / "parts").glob("*.toml"))]
    benches = [kittiwake / "bench.toml", *sorted((tests / "benches").glob("*.toml"))]
    for folder in sorted((ROOT / "examples" / "cases").iterdir()):
        parts_here = sorted((folder / "parts").glob("*.toml"))
        yield from [f"{folder / 'bench.toml'}+{part}" for part in parts_here]
    yield from [f"{bench}+{part}" for bench in benches for part in parts]


def several():
    """Several of each part where they may lie side by side."""
    tests = ROOT / "crates" / "workshop" / "tests"
    parts = [*(ROOT / "examples" / "kittiwake" / "parts").glob("*.toml"), *(tests / "parts").glob("*.toml")]
    benches = [ROOT / "examples" / "kittiwake" / "bench.toml", *[tests / "benches" / f"{name}.toml" for name in ("inch-handwheels", "no-rotary")]]
    return [f"{bench}+{part}+{SEVERAL}" for bench in benches for part in sorted(parts)]


def lines(some):
    command = [ROOT / "target" / "debug" / "examples" / "cutter_roads", *some]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    # What a bench cannot make is told as refused, and is no matter here. Several that do not lie side by
    # side are cut as one is.
    told = [json.loads(line) for line in done.stdout.splitlines()]
    beside = lambda one: any("edge of piece" in label for setup in one["setups"] for label, _ in setup["presets"])
    alike = lambda one: one["name"].endswith(f"+{SEVERAL}") and not beside(one)
    return [json.dumps(one) for one in told if "refused" not in one and not alike(one)]


class Cutters(unittest.TestCase):
    def test_no_cutter_goes_into_the_finished_part(self):
        built("cutter_roads")
        with tempfile.TemporaryDirectory() as folder:
            asked = [word.replace(f"{ROOT}/", "") for word in [*words(), *several(), *moved_along.written(range(MOVED), folder)]]
            with concurrent.futures.ThreadPoolExecutor(2) as two:
                told = [line for some in two.map(lines, (asked[0::2], asked[1::2])) for line in some]
        by_part = {}
        for line in told:
            by_part.setdefault(json.loads(line)["name"].split("+")[1], []).append(line)
        laid, found, kinds, among, standing = 0, [], collections.Counter(), collections.Counter(), 0.0
        with concurrent.futures.ProcessPoolExecutor(2) as two:
            for more, wrong, kind, amid, stands in two.map(cuts, by_part.values()):
                laid, found, standing = laid + more, found + wrong, max(standing, stands)
                kinds, among = kinds + kind, among + amid
        print(f"\n{laid} cuts and places of {len(told)} plans laid against the finished parts: {dict(kinds)}")
        print(f"among them {dict(among)}")
        print(f"{standing:.2f} steps of a slide stand at most where an outline is brought out")
        self.assertEqual(found, [])
        self.assertGreaterEqual(laid, 1500)
        self.assertEqual(len(kinds), 10, "a kind of cut that is never laid")
        for name, least in (("of further pieces", 200), ("of the other hand", 50), ("picked up again", 200)):
            self.assertGreater(among[name], least, name)
        self.assertGreater(standing, 0.5, "nothing rounded is seen to stand")


if __name__ == "__main__":
    unittest.main()
