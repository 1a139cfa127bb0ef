"""Tolerance stacks drawn again by numpy and judged by scipy: the numbers behind the draws
themselves, the laws, pins in bores, yields and quantiles."""

import subprocess
import unittest

import numpy
from program import built
from scipy import stats

KEYS = ["least", "most", "rss", "mean", "deviation", "drawn mean", "drawn deviation", "skew",
        "below", "above", "column", "took", "q0.00135", "q0.025", "q0.5", "q0.975", "q0.99865"]
SAMPLES = 400_000


def asked(lines):
    done = subprocess.run([built("tried")], input="\n".join(lines), text=True, capture_output=True, check=True)
    return [[float(word) for word in line.split()] for line in done.stdout.splitlines()]


def drawn(law, figure, lower, upper, shares):
    """The quantile of a law at some shares, by scipy."""
    width = upper - lower
    if law == "even":
        return stats.uniform.ppf(shares, lower, width)
    if law == "normal":
        scale = width / 2 / figure
        return stats.truncnorm.ppf(shares, -figure, figure, (lower + upper) / 2, scale)
    return stats.triang.ppf(shares, figure, lower, width)


def generated(random):
    """Sizes and pins of one stack."""
    sizes = []
    for _ in range(random.integers(1, 7)):
        law = random.choice(["even", "normal", "lean"])
        figure = random.uniform(0.8, 4) if law == "normal" else random.uniform(0, 1)
        nominal, out = random.uniform(1, 60), random.uniform(0.005, 0.2)
        sizes.append((law, figure, nominal - out, nominal + out, random.uniform(-2, 2)))
    pins = []
    for _ in range(random.integers(0, 3)):
        pins.append((random.uniform(-1.5, 1.5), len(sizes), len(sizes) + 1, random.choice(["anywhere", "loaded"])))
        sizes.append(("even", 0, 8.0, 8.09, 0.0))
        sizes.append(("lean", 0.75, 7.9, 7.98, 0.0))
    return sizes, pins


def by_numpy(random, sizes, pins, samples):
    values = [drawn(*size[:4], random.random(samples)) for size in sizes]
    total = sum(size[4] * value for size, value in zip(sizes, values))
    for factor, bore, pin, lies in pins:
        clear = (values[bore] - values[pin]) / 2
        if lies == "anywhere":
            # A place in a circle by throwing away the corners of a square.
            x, y = random.uniform(-1, 1, (2, 2 * samples))
            clear = clear * x[x * x + y * y <= 1][:samples]
        total = total + factor * clear
    return total


class Stacks(unittest.TestCase):
    def test_the_numbers_behind_the_draws_are_those_of_the_published_counter(self):
        mask = (1 << 64) - 1

        def mixed(z):
            z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & mask
            z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
            return z ^ (z >> 31)

        step = 0x9E3779B97F4A7C15
        lines = ["draw 1 77 1 0 0", "size even 0 0 1 1", "size even 0 0 1 1", "first 500"]
        ours = asked(lines)[0]
        theirs = []
        for stream in range(2):
            key = mixed(mixed((77 + step) & mask) ^ ((stream * 0xD1B54A32D192ED03) & mask))
            theirs += [((mixed((key + (n + 1) * step) & mask) >> 11) + 0.5) / 2**53 for n in range(500)]
        self.assertEqual(ours, theirs)
        self.assertGreater(stats.kstest(ours, "uniform").pvalue, 1e-3)

    def test_generated_stacks_agree_with_numpy(self):
        random = numpy.random.default_rng(1911)
        cases = [generated(random) for _ in range(25)]
        totals = [by_numpy(random, sizes, pins, SAMPLES) for sizes, pins in cases]
        lines = []
        for (sizes, pins), total in zip(cases, totals):
            least, most = numpy.quantile(total, [0.01, 0.96])
            lines.append(f"draw {SAMPLES} 5 2 {least!r} {most!r}".replace("np.float64(", "").replace(")", ""))
            lines += [f"size {law} {float(figure)} {float(low)} {float(high)} {float(factor)}"
                      for law, figure, low, high, factor in sizes]
            lines += [f"play {float(factor)} {bore} {pin} {lies}" for factor, bore, pin, lies in pins]
            lines.append("go")
        for number, (answer, total) in enumerate(zip(asked(lines), totals)):
            with self.subTest(stack=number):
                ours = dict(zip(KEYS, answer))
                error = ours["deviation"] / SAMPLES**0.5
                self.assertLess(abs(total.mean() - ours["mean"]), 5 * error)
                self.assertLess(abs(ours["drawn mean"] - ours["mean"]), 5 * error)
                self.assertLess(abs(total.std() - ours["deviation"]), 5 * error)
                self.assertLess(abs(ours["drawn deviation"] - ours["deviation"]), 5 * error)
                self.assertLess(abs(stats.skew(total) - ours["skew"]), 0.03)
                self.assertGreaterEqual(total.min(), ours["least"] - 1e-9)
                self.assertLessEqual(total.max(), ours["most"] + 1e-9)
                for share in [0.00135, 0.025, 0.5, 0.975, 0.99865]:
                    # Both are drawn: five standard errors of a share, looked up in numpy's.
                    room = 5 * (2 * share * (1 - share) / SAMPLES) ** 0.5
                    low, high = numpy.quantile(total, [max(0, share - room), min(1, share + room)])
                    self.assertLessEqual(low - ours["column"], ours[f"q{share}"])
                    self.assertGreaterEqual(high + ours["column"], ours[f"q{share}"])
                for key, share in [("below", 0.01), ("above", 0.04)]:
                    room = 5 * (2 * share * (1 - share) * SAMPLES) ** 0.5
                    self.assertLess(abs(ours[key] - share * SAMPLES), room)


if __name__ == "__main__":
    unittest.main()
