"""Parts that nobody drew, on benches that nobody has (`invented.py`): each is planned or refused with
its reason and what mends it, nothing panics, every cut of every sheet is laid against the finished
part as in `cutter_check.py`, and every setting reckoned anew as in `settings_check.py`. A few stand for all here; as many as wanted, from any start number, by

    .venv/bin/python tests/outside/invented_check.py 300 [START]
"""

import collections
import concurrent.futures
import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

import invented
from cuts import Cuts
from program import ROOT, built
from reckoned import Reckoned

# One of each kind and a second of some.
FEW = 22
# How many in a hundred may ask for what their bench cannot do.
REFUSED_PERCENT = 10
# Benches of the suite that every few parts are tried on as well.
BENCHES = ["hand-tools", "drill-press", "empty", "inch-handwheels", "everything"]


def written(start, folder):
    """The part of a start number and its benches, as words for the example that plans them."""
    part, bench = folder / f"{start}.toml", folder / f"bench-{start}.toml"
    part.write_text(invented.part(start)[1])
    bench.write_text(invented.bench(start))
    shared = ROOT / "crates/workshop/tests/benches" / f"{BENCHES[start % len(BENCHES)]}.toml"
    return [f"{bench}+{part}", f"{shared}+{part}"]


def planned(words):
    """What one part comes to on its benches; what it panics with is told as a fault of its own."""
    command = [ROOT / "target" / "debug" / "examples" / "cutter_roads", *words]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    told = [json.loads(line) for line in done.stdout.splitlines()]
    return told + ([{"name": words[0], "fault": done.stderr[-600:]}] if done.returncode else [])


def laid(told):
    """The cuts of a plan laid against its part and its settings reckoned: how many, and what is wrong."""
    if "fault" in told:
        return 0, 0, [f"{told['name']}: {told['fault']}"]
    if "refused" in told:
        return 0, 0, [f"{told['name']}: {text}" for text in told["refused"] if "why:" not in text or "mend:" not in text]
    settings = Reckoned(told)
    settings.all()
    cuts, wrong, _ = Cuts(told).all() if told["outline"] is not None else (0, [], None)
    return cuts, settings.held.total(), wrong + settings.wrong


def printed(start, folder):
    """Whether the sheets of a part are printed on its own bench."""
    project = folder / f"project-{start}"
    (project / "parts").mkdir(parents=True)
    (project / "bench.toml").write_text(invented.bench(start))
    (project / "parts" / "part.toml").write_text(invented.part(start)[1])
    command = [ROOT / "target" / "debug" / "oddleg", "sheets", project, "-o", project / "sheets"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    return [] if done.returncode == 0 and list(project.glob("sheets/*.pdf")) else [f"{start}: {done.stderr[-600:]}"]


def tried(starts, printing=1):
    """Plans and lays the parts of some start numbers, prints every so many."""
    tally, wrong = collections.Counter(), []
    with tempfile.TemporaryDirectory() as name, concurrent.futures.ThreadPoolExecutor(2) as two:
        folder = pathlib.Path(name)
        told = [one for some in two.map(planned, [written(start, folder) for start in starts]) for one in some]
        with concurrent.futures.ProcessPoolExecutor(2) as pool:
            for one, (cuts, settings, found) in zip(told, pool.map(laid, told, chunksize=4)):
                tally["cuts"] += cuts
                tally["settings"] += settings
                wrong += found
                kind = "refused" if "refused" in one else "proven" if one.get("proven") else "within a bound"
                own = "bench-" in one["name"]
                tally[f"{kind} on {'its own bench' if own else 'a bench of the suite'}"] += 1
        made = [int(pathlib.Path(one["name"].split("+")[1]).stem) for one in told if "bench-" in one["name"] and "setups" in one]
        for found in two.map(printed, made[::printing], [folder] * len(made)):
            wrong += found
            tally["printed"] += 1
    return tally, wrong


class Invented(unittest.TestCase):
    def test_invented_parts_are_made_or_refused_with_reason(self):
        built("cutter_roads")
        tally, wrong = tried(range(FEW), printing=4)
        print(f"\n{dict(tally)}")
        self.assertEqual(wrong, [])
        self.assertGreater(tally["cuts"], 100)
        self.assertGreater(tally["settings"], 300)
        self.assertLessEqual(tally["refused on its own bench"], FEW * REFUSED_PERCENT / 100)


if __name__ == "__main__":
    count, start = [int(word) for word in [*sys.argv[1:], "0"][:2]] if len(sys.argv) > 1 else (FEW, 0)
    built("cutter_roads")
    tally, wrong = tried(range(start, start + count), printing=4)
    print("\n".join([*wrong, str(dict(tally))]))
    sys.exit(bool(wrong))
