#!/usr/bin/env python3
"""A case shared and fetched from the command line, through a real server, and what a server that cheats can do about it.
   usage: share_test.py PROGRAM"""
import base64
import json
import os
import pathlib
import re
import sqlite3
import subprocess
import sys
import tempfile
import unittest

from server_hands import Server, b64, make_certificate

PROGRAM = sys.argv.pop(1)


class Share(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.dir = pathlib.Path(cls.folder.name)
        cls.server = Server(PROGRAM, cls.dir / "store")
        cls.address = f"http://localhost:{cls.server.port}/"
        cls.run_("sample", "class3", "--triangles", 20000, "-o", cls.dir / "sample.glb")
        for body in ("upper_arch", "lower_arch"):
            cls.run_("export", cls.dir / "sample.glb", "--body", body, "--frame", "scanner", "-o", cls.dir / f"{body}.stl")
        cls.run_("export", cls.dir / "sample.glb", "--landmarks", "-o", cls.dir / "landmarks.json")
        cls.run_("new", "--upper", cls.dir / "upper_arch.stl", "--lower", cls.dir / "lower_arch.stl", "--landmarks",
                 cls.dir / "landmarks.json", "-o", cls.dir / "scans.glb")
        cls.run_("move", cls.dir / "scans.glb", "--plan", "A", "--segment", "upper", "--forward", 3, "-o", cls.dir / "planned.glb")

    @classmethod
    def tearDownClass(cls):
        cls.server.stop()
        cls.folder.cleanup()

    @classmethod
    def run_(cls, *args, expect=0, home="mine"):
        done = subprocess.run([PROGRAM, *map(str, args)], capture_output=True, text=True, timeout=60,
                              env={**os.environ, "XDG_CONFIG_HOME": str(cls.dir / home)})
        assert done.returncode == expect, (args, done.returncode, done.stdout, done.stderr)
        return done.stdout if expect == 0 else done.stderr

    def shared(self, name="planned.glb"):
        return json.loads(self.run_("share", self.dir / name, "--server", self.address, "--name", "R. Falk", "--role", "surgeon",
                                    "--format", "json"))

    def measured(self, path, *more):
        return json.loads(self.run_("measure", path, "--format", "json", *more))["measures"]

    def test_a_shared_case_comes_back_as_it_was(self):
        for name, plan in (("planned.glb", ["--plan", "A"]), ("sample.glb", [])):
            links = self.shared(name)
            for which in ("view", "change"):
                out = self.dir / f"back-{which}-{name}"
                said = self.run_("fetch", links[which], "-o", out, home="theirs")
                self.assertIn("entries 1", said)
                self.assertEqual(self.measured(out, *plan), self.measured(self.dir / name, *plan))
            self.assertIn("force", self.run_("fetch", links["view"], "-o", out, expect=2))

    def test_the_server_has_nothing_readable(self):
        links = self.shared()
        kept = b"".join(path.read_bytes() for path in (self.dir / "store").iterdir())
        stl = (self.dir / "upper_arch.stl").read_bytes()
        for word in (b"R. Falk", b"surgeon", b"upper_arch", b"mesiobuccal", b"forward", b"glTF", stl[84 + 12:84 + 48]):
            self.assertNotIn(word, kept)
        for secret in re.findall(r"[A-Za-z0-9_-]{43}", links["change"]):
            self.assertNotIn(secret.encode(), kept)

    def practised(self, link, by, answers, *more, home, expect=0):
        done = subprocess.run([PROGRAM, "practice", "--set", link, "--by", by, *more], input=answers, capture_output=True, text=True,
                              timeout=60, env={**os.environ, "XDG_CONFIG_HOME": str(self.dir / home)})
        self.assertEqual(done.returncode, expect, done.stdout + done.stderr)
        return done.stderr

    def test_results_of_a_class_reach_the_teachers_inbox_and_nobody_else(self):
        link = self.run_("practice", "--make-set", "--seed", 7, "--count", 2, "--kinds", "notation", "--inbox", self.address,
                         "--days", 2, home="teacher").strip()
        self.assertTrue(link.startswith(self.address + "#set1-"), link)
        self.assertIn("Sent", self.practised(link, "Quillon", "11\n21\n", "--send", home="one"))
        self.practised(link, "Rosalind", "12\n22\n", "--send", home="two")
        table = self.run_("practice", "--fetch", "--set", link, "--format", "csv", home="teacher")
        self.assertEqual(len(table.splitlines()), 1 + 2 * 2)
        self.assertEqual({line.split(",")[0] for line in table.splitlines()[1:]}, {'"Quillon"', '"Rosalind"'})
        self.assertEqual(len({line.split(",")[-1] for line in table.splitlines()[1:]}), 2, "two keys")
        # A student cannot fetch, nor can a result be sent to a set without an inbox.
        self.assertIn("not made on this machine", self.run_("practice", "--fetch", "--set", link, home="one", expect=2))
        code = link.split("#")[1].split("&")[0]
        self.assertIn("whole link", self.practised(code, "Q", "11\n21\n", "--send", home="one", expect=2))
        kept = b"".join(path.read_bytes() for path in (self.dir / "store").iterdir())
        for word in (b"Quillon", b"Rosalind", b"res2-", code.encode()):
            self.assertNotIn(word, kept)
        secret = next((self.dir / "teacher" / "intercusp" / "inboxes").iterdir())
        self.assertEqual(secret.stat().st_mode & 0o777, 0o600)

    def test_a_server_that_alters_or_moves_results_is_noticed(self):
        link = self.run_("practice", "--make-set", "--seed", 8, "--count", 1, "--kinds", "notation", "--inbox", self.address,
                         home="teacher").strip()
        for by in ("Quillon", "Rosalind"):
            self.practised(link, by, "11\n", "--send", home="one")
        folder = re.search(r"inbox=1\.([\w-]{22})", link).group(1)
        name = base64.urlsafe_b64decode(folder + "==")
        with sqlite3.connect(self.dir / "store" / "review.db") as store:
            rows = store.execute("SELECT entry.row, sealed FROM entry JOIN folder ON entry.folder = folder.row WHERE name = ? ORDER BY number",
                                 (name,)).fetchall()
            self.assertEqual(len(rows), 2)
            store.execute("UPDATE entry SET sealed = ? WHERE row = ?", (rows[1][1], rows[0][0]))
        done = subprocess.run([PROGRAM, "practice", "--fetch", "--set", link], capture_output=True, text=True, timeout=60,
                              env={**os.environ, "XDG_CONFIG_HOME": str(self.dir / "teacher")})
        self.assertIn("left out", done.stderr)
        self.assertIn("Rosalind", done.stdout)
        self.assertNotIn("Quillon", done.stdout)

    def test_keys_are_for_their_owner_alone(self):
        self.shared()
        key = self.dir / "mine" / "intercusp" / "person.key"
        self.assertEqual(key.stat().st_mode & 0o777, 0o600)
        before = key.read_text()
        self.shared()
        self.assertEqual(key.read_text(), before, "one key for a person")

    def test_only_who_shared_can_withdraw(self):
        links = self.shared()
        self.assertIn("not shared from here", self.run_("share", "--withdraw", links["change"], expect=2, home="theirs"))
        self.run_("share", "--withdraw", links["view"])
        self.assertIn("No shared case opens", self.run_("fetch", links["view"], "-o", self.dir / "gone.glb", expect=2))
        self.assertFalse((self.dir / "gone.glb").exists())

    def database(self, sql, *values):
        database = sqlite3.connect(self.dir / "store" / "review.db", timeout=10)
        rows = database.execute(sql, values).fetchall()
        database.commit()
        database.close()
        return rows

    def test_a_server_that_cheats_is_found_out(self):
        links = self.shared()
        out = self.dir / "cheated.glb"
        row, = self.database("SELECT max(row) FROM folder")[0]
        pieces = self.database("SELECT row, sealed FROM piece WHERE folder = ? ORDER BY row", row)
        self.assertGreaterEqual(len(pieces), 2)
        (first, sealed), (second, other) = pieces[0], pieces[1]
        flipped = bytes([*sealed[:100], sealed[100] ^ 1, *sealed[101:]])
        for bad, words in ((flipped, "changed on its way"), (other, "another place"), (sealed[:-1], "changed"), (sealed[:20], "cut short"),
                           (b"\x02" + sealed[1:], "another version"), (sealed[:1] + b"\x02" + sealed[2:], "another purpose")):
            self.database("UPDATE piece SET sealed = ? WHERE row = ?", bad, first)
            self.assertIn(words, self.run_("fetch", links["view"], "-o", out, expect=2))
        self.database("UPDATE piece SET sealed = ? WHERE row = ?", sealed, first)
        self.run_("fetch", links["view"], "-o", out)
        self.database("UPDATE entry SET id = ? WHERE folder = ?", os.urandom(16), row)
        self.assertIn("no beginning that this link speaks of", self.run_("fetch", links["view"], "-o", out, "--force", expect=2))

    def test_a_beginning_of_somebody_else_does_not_count(self):
        """A view link names whose signatures count: with another name in it nothing of this case does, and an entry of
        another case is none of this one."""
        mine = self.shared()
        named = mine["view"].rsplit(".", 1)[0]
        self.run_("fetch", named, "-o", self.dir / "unnamed.glb")
        said = self.run_("fetch", named + "." + b64(os.urandom(16)), "-o", self.dir / "other.glb", expect=2)
        self.assertIn("no beginning that this link speaks of", said)
        self.shared("sample.glb")
        folders = [row for row, in self.database("SELECT row FROM folder ORDER BY row DESC LIMIT 2")]
        self.database("UPDATE entry SET folder = -1 WHERE folder = ?", folders[1])
        self.database("UPDATE entry SET folder = ? WHERE folder = ?", folders[1], folders[0])
        self.assertIn("no beginning", self.run_("fetch", mine["view"], "-o", self.dir / "other.glb", expect=2))

    def test_over_tls_with_a_certificate_that_is_trusted(self):
        key, certificate = make_certificate(self.dir)
        server = Server(PROGRAM, self.dir / "tls", "--certificate", certificate, "--key", key)
        share = ["share", self.dir / "planned.glb", "--format", "json", "--server", f"https://localhost:{server.port}"]
        links = json.loads(self.run_(*share, "--trust", certificate))
        self.assertTrue(links["view"].startswith(f"https://localhost:{server.port}/#review=1."))
        self.run_("fetch", links["view"], "--trust", certificate, "-o", self.dir / "tls.glb")
        self.assertIn("not trusted", self.run_("fetch", links["view"], "-o", self.dir / "untrusted.glb", expect=2))
        other_name = links["view"].replace("localhost", "127.0.0.1")
        self.assertIn("not trusted", self.run_("fetch", other_name, "--trust", certificate, "-o", self.dir / "x.glb", expect=2))
        server.stop()

    def test_addresses_and_links_that_are_none(self):
        case = self.dir / "sample.glb"
        for address, words in (("ftp://x/", "no address"), ("http://clinic.example/", "https"), ("http://", "no address"),
                               ("http://localhost:1/", "does not answer")):
            self.assertIn(words, self.run_("share", case, "--server", address, expect=2))
        self.assertIn("no link to a shared case", self.run_("fetch", "http://localhost/", "-o", self.dir / "x.glb", expect=2))
        self.assertIn("needs a case", self.run_("share", expect=2))


if __name__ == "__main__":
    unittest.main()
