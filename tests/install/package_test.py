"""The Debian package as cpack makes it: what is in it, by Debian's and the desktop's own checkers, and that it runs from there.

usage: package_test.py BUILD_FOLDER
"""
import gzip
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest
import urllib.request

BUILD = pathlib.Path(sys.argv.pop(1))


def told(*command, **options):
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, check=True, **options).stdout


class Package(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        here = pathlib.Path(cls.folder.name)
        made = subprocess.run(["cpack", "-B", here / "made"], cwd=BUILD, capture_output=True, text=True, check=False)
        if made.returncode != 0:
            raise AssertionError(made.stdout + made.stderr)
        (cls.package,) = (here / "made").glob("*.deb")
        cls.root = here / "root"
        told("dpkg-deb", "-x", cls.package, cls.root)
        cls.program = cls.root / "usr/bin/intercusp"

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_names_the_libraries_it_is_linked_to_and_the_one_it_loads(self):
        depends = told("dpkg-deb", "-f", self.package, "Depends")
        for library in ("libc6", "libegl1", "libgles2", "libglfw3", "libsqlite3-0", "libssl3", "libstdc++6"):
            self.assertRegex(depends, rf"(^|, ){re.escape(library)}( |,|$)")

    def test_nothing_lies_outside_usr_and_nothing_can_be_written_by_others(self):
        for line in told("dpkg-deb", "-c", self.package).splitlines():
            mode, owner, *_, path = line.split()
            self.assertTrue(path == "./" or path.startswith("./usr/"), path)
            self.assertEqual(owner, "root/root", path)
            self.assertEqual(mode[5] + mode[8], "--", path)

    def test_desktop_entry_is_valid(self):
        told("desktop-file-validate", self.root / "usr/share/applications/intercusp.desktop")
        self.assertTrue((self.root / "usr/share/icons/hicolor/scalable/apps/intercusp.svg").is_file())

    def test_manual_is_valid_and_has_every_command(self):
        packed = self.root / "usr/share/man/man1/intercusp.1.gz"
        page = gzip.decompress(packed.read_bytes()).decode()
        lint = subprocess.run(["mandoc", "-T", "lint", "-W", "warning"], input=page, capture_output=True, text=True, check=False)
        self.assertEqual((lint.returncode, lint.stdout), (0, ""))
        shown = re.sub(r".\x08", "", told("mandoc", "-T", "utf8", packed))  # bold is struck twice
        for name in ("measure", "splint", "sheet", "view", "serve"):
            self.assertIn(name, shown)
        self.assertNotIn("@", page)
        self.assertIn("not cleared as a medical device", page)

    def test_licences_of_what_is_built_in_are_there(self):
        text = (self.root / "usr/share/doc/intercusp/copyright").read_text()
        for words in ("OFL-1.1", "Dear ImGui", "Takeshi Kanno", "Project Nayuki", "Boost Software License", "MPL-2"):
            self.assertTrue(words.lower() in text.lower(), words)

    def test_runs_from_where_it_was_unpacked(self):
        case = pathlib.Path(self.folder.name) / "case.glb"
        told(self.program, "sample", "class3", "-o", case)
        values = json.loads(told(self.program, "measure", case, "--format", "json"))
        self.assertIn("overjet", json.dumps(values))

    def test_serves_the_web_program_that_came_with_it(self):
        server = subprocess.Popen([self.program, "serve", "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                                  env={**os.environ, "HOME": self.folder.name})
        try:
            address = None
            for line in server.stdout:
                found = re.search(r"http://\S+?:\d+/?", line)
                if found:
                    address = found.group(0)
                    break
            self.assertIsNotNone(address, "the server named no address")
            with urllib.request.urlopen(address, timeout=10) as page:
                self.assertIn(b"Intercusp", page.read())
        finally:
            server.terminate()
            server.wait(10)
            server.stdout.close()


if __name__ == "__main__":
    unittest.main()
