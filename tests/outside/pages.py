"""What the checks of pages in the browser have in common."""

import pathlib
import re
import shutil
import subprocess
import tempfile

from program import ROOT, browser, wait

BINARY = ROOT / "target" / "debug" / "oddleg"
DEMO = ROOT / "examples" / "kittiwake"
PICTURES = ROOT / "target" / "pages"


def opened(folder):
    """The program serving a project, and where."""
    server = subprocess.Popen([BINARY, "open", folder], stdout=subprocess.PIPE, text=True)
    for line in server.stdout:
        found = re.search(r"http://127\.0\.0\.1:\d+", line)
        if found:
            return server, found.group()
    raise AssertionError(f"{folder} was not served")


def closed(server):
    server.kill()
    server.wait()
    server.stdout.close()


class Pages:
    """Projects served to one browser; `folder`, `servers` and `browser` are the check's own."""

    @classmethod
    def served(cls, folder):
        server, address = opened(folder)
        cls.servers.append(server)
        return address

    @classmethod
    def tearDownClass(cls):
        cls.browser.quit()
        for server in cls.servers:
            closed(server)
        shutil.rmtree(cls.folder, ignore_errors=True)

    def size(self, width, height):
        self.browser.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
        )

    def script(self, words, *arguments):
        return self.browser.execute_script(words, *arguments)

    def until(self, holds, what):
        wait(self.browser).until(lambda _: holds(), what)


class DemoPages(Pages):
    """The demo in a folder of its own, put back after each test; `refused` changes are
    looked for, and no other error in the console."""

    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        cls.project = cls.folder / "kittiwake"
        cls.servers = []
        shutil.copytree(DEMO, cls.project)
        cls.address = cls.served(cls.project)
        cls.browser = browser(cls.folder / "profile")
        PICTURES.mkdir(parents=True, exist_ok=True)

    def setUp(self):
        self.refused = 0
        self.size(1400, 1000)

    def tearDown(self):
        errors = [entry for entry in self.browser.get_log("browser") if entry["level"] == "SEVERE"]
        # The browser notes it when a page with a changed draft is left by a script, and
        # when a change is refused, which is answered with 422.
        errors = [entry for entry in errors if "beforeunload" not in entry["message"]]
        refused = [entry for entry in errors if "422" in entry["message"]]
        self.assertEqual([entry for entry in errors if entry not in refused], [], "the console has errors")
        self.assertEqual(len(refused), self.refused)
        # Not every draft is saved: let the next test leave the page without being asked.
        self.script("addEventListener('beforeunload', (event) => event.stopImmediatePropagation(), true)")
        self.browser.get("about:blank")
        for name in ["parts", "bench.toml"]:
            here, there = self.project / name, DEMO / name
            shutil.copytree(there, here, dirs_exist_ok=True) if there.is_dir() else shutil.copy(there, here)
