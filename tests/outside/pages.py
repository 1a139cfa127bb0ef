"""What the checks of pages in the browser have in common."""

import re
import shutil
import subprocess

from program import ROOT, wait

BINARY = ROOT / "target" / "debug" / "oddleg"


class Pages:
    """Projects served to one browser; `folder`, `servers` and `browser` are the check's own."""

    @classmethod
    def served(cls, folder):
        server = subprocess.Popen([BINARY, "open", folder], stdout=subprocess.PIPE, text=True)
        cls.servers.append(server)
        for line in server.stdout:
            found = re.search(r"http://127\.0\.0\.1:\d+", line)
            if found:
                return found.group()

    @classmethod
    def tearDownClass(cls):
        cls.browser.quit()
        for server in cls.servers:
            server.kill()
            server.wait()
            server.stdout.close()
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
