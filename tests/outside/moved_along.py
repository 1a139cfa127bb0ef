"""Work longer than the mill's travel, made up from start numbers: plates with bores, holes, slots,
pockets and rebates all along them, and benches whose slides do not reach from end to end."""

import pathlib
import random

from program import ROOT

BENCHES = {
    "kittiwake": ROOT / "examples/kittiwake/bench.toml",
    "inch-handwheels": ROOT / "crates/workshop/tests/benches/inch-handwheels.toml",
    "no-rotary": ROOT / "crates/workshop/tests/benches/no-rotary.toml",
}
# Metric handwheels, of which a turn is no whole number of millimetres.
METRIC_WHEELS = 'handwheel_pitch = "2.5 mm"\nhandwheel_divisions = 80\nbacklash = "0.15 mm"'


def held(length):
    """A length that stays as drawn, whether or not the slides can be set to it."""
    return f'{{ is = "{length}", role = "hold", within = "0.4" }}'


def feature(name, kind, x, y, **more):
    words = "".join(f"{key} = {value if isinstance(value, int) else chr(34) + str(value) + chr(34)}\n" for key, value in more.items())
    place = f'place = [{held(f"{x} from left edge")}, {held(f"{y} from bottom edge")}]\n'
    return f'[[feature]]\nname = "{name}"\nkind = "{kind}"\n{words}{place}'


def part(start):
    """A plate of 340 to 460 mm, every feature at a place of its own along it."""
    own = random.Random(start)
    length = own.randrange(340_000, 460_000, 125) / 1000
    at = lambda share: round(length * share + own.uniform(-6, 6), own.choice((0, 1, 3)))
    features = [
        feature("near bore", "hole", at(0.1), 30, diameter=10, finish="reamed"),
        feature("far bore", "hole", at(0.9), own.choice((30, 28.35)), diameter=own.choice((8, 10)), finish="reamed"),
        feature("rivets", "row", 35, 9, holes=8, spacing=round((length - 70) / 7, 2), diameter=5),
        feature("way", "slot", at(0.68), 44, width=8, centres=20),
        feature("near way", "slot", at(0.22), 44, width=own.choice((8, 9.5)), centres=12, depth=4),
        feature("bed", "pocket", at(0.8), 41, width=16, height=14, corner=4, depth=4),
        feature("screw", "tapped hole", at(0.6), 24, thread=own.choice(("M5", "2 BA"))),
    ]
    if own.random() < 0.6:
        features.append(feature("mid bore", "hole", at(0.5), 33.3, diameter=10, finish="reamed"))
    head = f'part = "Long plate {start}"\nunit = "mm"\nmaterial = "mild steel"\n[body]\nkind = "rectangle"\n'
    body = f'width = {held(length)}\nheight = "60"\nthickness = "8"\ndatum = "{own.choice(("bottom left", "top right"))}"\n'
    return head + body + "".join(features)


def bench(start):
    """A bench with a travel that a plate of the same number is longer than."""
    own = random.Random(start)
    name = list(BENCHES)[start % 3]
    lines = [line for line in BENCHES[name].read_text().splitlines() if not line.startswith("travel_x")]
    if name == "no-rotary" and start % 2:
        lines = [METRIC_WHEELS if line.startswith("readout_step") else line for line in lines]
    lines.insert(lines.index("[mill]") + 1, f'travel_x = "{own.choice((180, 215, 240, 290))} mm"')
    return "\n".join(lines) + "\n"


def written(starts, folder):
    """Their files, as words for the example that plans them."""
    for start in starts:
        name, on = pathlib.Path(folder) / f"long-plate-{start}.toml", pathlib.Path(folder) / f"bench-{start}.toml"
        name.write_text(part(start))
        on.write_text(bench(start))
        yield f"{on}+{name}"
