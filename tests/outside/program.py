"""Runs the project's own programs for the checks beside this file."""

import json
import pathlib
import re
import shutil
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]


def oddleg(*words):
    """What the program answers, as parsed JSON."""
    binary = ROOT / "target" / "debug" / "oddleg"
    done = subprocess.run([binary, *words, "--json"], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def figures(answer):
    """Every figure of an answer by name, as shown."""
    return {f["name"]: f["shown"] for section in answer["sections"] for f in section["figures"]}


def number(shown):
    """The first number in a figure as shown."""
    return float(re.search(r"[-+−]?\d+(\.\d+)?", shown).group().replace("−", "-"))


def built(name):
    """An example of the core. All crates are built together, as the tests build them: a
    single crate would have its dependencies built anew with other features."""
    command = ["cargo", "build", "--quiet", "--locked", "--workspace", "--bins", "--examples"]
    subprocess.run(command, cwd=ROOT, check=True)
    return ROOT / "target" / "debug" / "examples" / name


def example(name, *words, tabs=False):
    """The lines that an example of the core prints, cut at spaces or at tabs."""
    done = subprocess.run([built(name), *words], cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    return [line.split("\t" if tabs else None) for line in done.stdout.splitlines()]


class Asked:
    """An example that prints `lines` up to an empty one, and after that answers questions."""

    def __init__(self, name, *words):
        command = [built(name), "--ask", *words]
        pipe = subprocess.PIPE
        self.program = subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, text=True)
        self.lines = list(iter(lambda: self.program.stdout.readline().rstrip("\n"), ""))

    def __call__(self, *question):
        self.program.stdin.write(json.dumps(question) + "\n")
        self.program.stdin.flush()
        return json.loads(self.program.stdout.readline())

    def __enter__(self):
        return self

    def __exit__(self, *fault):
        self.program.stdin.close()
        self.program.stdout.close()
        self.program.wait()


def browser(profile, *more):
    """Chromium without a window, with a profile of its own; its console is kept."""
    from selenium import webdriver  # only the checks of pages need it

    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium")
    for word in [
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
        "--disable-background-networking", "--disable-component-update", "--disable-sync",
        f"--user-data-dir={profile}", *more,
    ]:
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    service = webdriver.ChromeService(executable_path=shutil.which("chromedriver"))
    return webdriver.Chrome(options=options, service=service)


def wait(window, seconds=30, poll=0.05):
    """Waits on a page. One that is drawn anew may swap an element while it is being
    read; then it is read again."""
    from selenium.common.exceptions import NoSuchElementException, StaleElementReferenceException
    from selenium.webdriver.support.ui import WebDriverWait

    return WebDriverWait(window, seconds, poll, (NoSuchElementException, StaleElementReferenceException))


def read(window, by, value, attribute=None):
    """What an element says, or an attribute of it; read again when the page swaps the
    element meanwhile."""

    def said(page):
        element = page.find_element(by, value)
        return (element.get_attribute(attribute) if attribute else element.text, True)

    return wait(window).until(said)[0]
