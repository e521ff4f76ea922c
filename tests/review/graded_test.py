#!/usr/bin/env python3
"""Graded sets from outside: what a student's machine gets of one, what the server answers, and who can mark it.
   usage: graded_test.py PROGRAM MOVED_CLOCK [unittest options]"""
import base64
import http.server
import json
import os
import pathlib
import re
import struct
import subprocess
import sys
import tempfile
import threading
import time
import unittest

from server_hands import Server

PROGRAM, MOVED_CLOCK = sys.argv.pop(1), sys.argv.pop(1)
ADDRESS = "/review/graded"


def clear_text(code):
    """What a code holds, in clear."""
    body = re.sub(r"^[a-z]+\d-", "", code).split(".")[0]
    return json.loads(base64.urlsafe_b64decode(body + "=" * (-len(body) % 4)))


def parts_of(question):
    """The text of a question, and the JSON of its case (glTF 2.0 binary: 12 bytes of header, then chunks)."""
    length = struct.unpack("<I", question[:4])[0]
    glb = question[4 + length:]
    magic, _, _, size, kind = struct.unpack("<4sIIII", glb[:20])
    assert magic == b"glTF" and kind == 0x4E4F534A, "a case file follows"
    return json.loads(question[4:4 + length]), json.loads(glb[20:20 + size])


def keys_in(value):
    if isinstance(value, dict):
        return set(value) | {k for v in value.values() for k in keys_in(v)}
    return {k for v in value for k in keys_in(v)} if isinstance(value, list) else set()


def told(value, keys):
    """What stands under any of these keys, wherever, and is not empty."""
    if isinstance(value, list):
        return [v for one in value for v in told(one, keys)]
    if not isinstance(value, dict):
        return []
    return [(k, v) for k, v in value.items() if k in keys and v] + [v for one in value.values() for v in told(one, keys)]


class Graded(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.dir = pathlib.Path(cls.folder.name)
        cls.server = Server(PROGRAM, cls.dir / "store")
        cls.address = f"http://localhost:{cls.server.port}/"

    @classmethod
    def tearDownClass(cls):
        cls.server.stop()
        cls.folder.cleanup()

    def run_(self, *args, home="teacher", given="", expect=0):
        done = subprocess.run([PROGRAM, "practice", *map(str, args)], input=given, capture_output=True, text=True, timeout=120,
                              env={**os.environ, "XDG_CONFIG_HOME": str(self.dir / home)})
        self.assertEqual(done.returncode, expect, done.stdout + done.stderr)
        return done.stderr if expect else done.stdout

    def made(self, *more):
        return json.loads(self.run_("--make-set", "--graded", self.address, "--format", "json", *more))

    def ask(self, sealed, at):
        return self.server.ask("POST", f"{ADDRESS}/question", body=json.dumps({"sealed": sealed, "at": at}).encode())

    def test_a_students_machine_gets_nothing_to_mark_by(self):
        made = self.made("--count", 3, "--kinds", "molar,landmark,crossbite", "--difficulty", 4)
        ticket = clear_text(made["link"].split("#")[1])
        self.assertEqual(set(ticket), {"v", "title", "count", "seconds", "tools", "name", "sealed"})
        secret = clear_text(made["set"])["secret"]
        self.assertNotIn(secret, made["link"])
        for at in range(3):
            status, headers, data = self.ask(ticket["sealed"], at)
            self.assertEqual(status, 200)
            self.assertEqual(headers["cache-control"], "no-store")
            text, case = parts_of(data)
            self.assertEqual(text["number"], at + 1)
            self.assertFalse({"seed", "key", "truth", "credits", "probabilities", "value", "at", "teeth", "note"} & set(text), text)
            self.assertEqual(told(case, {"recipe", "seed", "plans", "landmarks", "zones", "face"}), [])
            self.assertNotIn(secret.encode(), data)
            self.assertTrue(told(case, {"bodies"}) or told(case, {"meshes"}), "but the jaws are there")
        # The same bytes for everybody.
        self.assertEqual(self.ask(ticket["sealed"], 0)[2], self.ask(ticket["sealed"], 0)[2])

    def test_from_the_teachers_set_to_the_teachers_marks(self):
        made = self.made("--count", 2, "--kinds", "notation", "--inbox", self.address, "--title", "Term test")
        said = self.run_("--set", made["link"], "--by", "Quillon", "--send", home="one", given="11\n21\n")
        self.assertIn("Kept.", said)
        for word in ("Correct", "right.", "wrong", "It is:", "credit", "Definition"):
            self.assertNotIn(word, said)
        asked = json.loads(self.run_("--set", made["link"], "--by", "Rosalind", "--format", "json", home="two", given="36\n36\n"))
        self.assertFalse({"key", "mark", "truth"} & keys_in(asked), "no key in JSON either")
        self.assertNotIn("credit", asked)
        table = self.run_("--fetch", "--set", made["set"], "--format", "csv").splitlines()
        self.assertEqual([line.split(",")[0] for line in table[1:]], ['"Quillon"'] * 2)
        results = self.dir / "results.txt"
        results.write_text(asked["result"] + "\n")
        self.assertIn("Rosalind: ", self.run_("--gather", results, "--set", made["set"]))
        # The marks are those of the truth: the teacher's set, asked here, says what would have been right.
        truth = [q["key"]["teeth"][0] for q in json.loads(self.run_("--set", made["set"], "--format", "json", "--answers", "/dev/null"))["questions"]]
        right = json.loads(self.run_("--set", made["link"], "--by", "Third", "--format", "json", home="two", given="".join(f"{t}\n" for t in truth)))
        results.write_text(right["result"] + "\n")
        self.assertIn("Third: 2 of 2", self.run_("--gather", results, "--set", made["set"]))

    def test_a_server_that_goes_away_takes_no_answer_with_it(self):
        server = Server(PROGRAM, self.dir / "short")
        made = json.loads(self.run_("--make-set", "--graded", f"http://localhost:{server.port}/", "--format", "json", "--count", 2,
                                    "--kinds", "notation"))
        cases = self.dir / "cases"
        student = subprocess.Popen([PROGRAM, "practice", "--set", made["link"], "--by", "Fourth", "--cases", str(cases)], text=True,
                                   stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                   env={**os.environ, "XDG_CONFIG_HOME": str(self.dir / "one")})
        for _ in range(600):
            if cases.is_dir() and any(cases.glob("*.glb")):
                break
            time.sleep(0.1)
        server.stop()
        said, complaints = student.communicate("11\n", timeout=60)
        self.assertEqual(student.returncode, 1, said + complaints)
        self.assertIn("answered so far", complaints)
        code = re.search(r"res2-\S+", said).group(0)
        self.assertEqual([answer for answer, _ in clear_text(code)["answers"]], ["11"])

    def test_a_busy_server_is_asked_again(self):
        made = self.made("--count", 1, "--kinds", "notation")
        refused = []

        class BusyTwice(http.server.BaseHTTPRequestHandler):
            def do_POST(inner):
                body = inner.rfile.read(int(inner.headers["content-length"]))
                status, data = 503, b'{"error":"busy"}'
                if len(refused) < 2:
                    refused.append(inner.path)
                else:
                    status, _, data = self.server.ask("POST", inner.path, body=body)
                inner.send_response(status)
                inner.send_header("content-length", str(len(data)))
                inner.end_headers()
                inner.wfile.write(data)

            def log_message(inner, *_):
                pass

        with http.server.ThreadingHTTPServer(("localhost", 0), BusyTwice) as busy:
            threading.Thread(target=busy.serve_forever, daemon=True).start()
            link = made["link"].replace(f":{self.server.port}/", f":{busy.server_port}/")
            said = self.run_("--set", link, "--by", "Fifth", home="one", given="11\n")
            busy.shutdown()
        self.assertEqual(len(refused), 2)
        self.assertIn("Kept.", said)

    def test_what_a_student_cannot_do(self):
        made = self.made("--count", 1, "--kinds", "overjet")
        link = made["link"]
        self.assertIn("your own set code", self.run_("--gather", "x", "--set", link, home="one", expect=2))
        self.assertIn("landmarks", self.run_("--set", link, "--landmarks", self.dir / "l", home="one", expect=2))
        self.assertIn("teacher", self.run_("--set", link, "--format", "csv", home="one", expect=2))
        self.assertIn("whole link", self.run_("--set", link.split("#")[1], home="one", expect=2))
        # The same time the whole set cannot be asked as an ordinary one: its code is of another kind.
        self.assertTrue(made["set"].startswith("gset1-"))

    def test_tickets_of_others_and_nonsense_are_refused(self):
        made = self.made("--count", 2, "--kinds", "overbite")
        sealed = clear_text(made["link"].split("#")[1])["sealed"]
        for at, status in ((2, 404), (1000, 404), (-1, 400), (1001, 400), ("0", 400), (0.5, 400)):
            self.assertEqual(self.ask(sealed, at)[0], status, at)
        altered = sealed[:40] + ("A" if sealed[40] != "A" else "B") + sealed[41:]
        for bad in (altered, sealed[:-4], "", "A" * 40, "no base64 at all!"):
            status, _, data = self.ask(bad, 0)
            self.assertEqual(status, 404, bad)
            self.assertIn("No graded set opens", json.loads(data)["error"])
        for body in (b"", b"[]", b"{}", b"{\"sealed\":1,\"at\":0}", b"\xff", b"{\"at\":0}"):
            self.assertEqual(self.server.ask("POST", f"{ADDRESS}/question", body=body)[0], 400, body)
        for body in (b"{}", b"{\"set\":\"x\",\"days\":1}", json.dumps({"set": made["set"], "days": 0}).encode(),
                     json.dumps({"set": made["set"], "days": 100000}).encode()):
            self.assertEqual(self.server.ask("POST", ADDRESS, body=body)[0], 400, body)
        for method, path, status in (("GET", ADDRESS, 405), ("GET", f"{ADDRESS}/question", 405), ("POST", f"{ADDRESS}/answers", 404),
                                     ("POST", f"{ADDRESS}/question/1", 404)):
            self.assertEqual(self.server.ask(method, path, body=b"{}" if method == "POST" else None)[0], status, (method, path))
        self.assertEqual(self.server.ask("POST", f"{ADDRESS}/question", body=b"{}", headers={"Sec-Fetch-Site": "cross-site"})[0], 403)
        # A set made on one server opens on no other.
        other = Server(PROGRAM, self.dir / "other")
        try:
            status = other.ask("POST", f"{ADDRESS}/question", body=json.dumps({"sealed": sealed, "at": 0}).encode())[0]
            self.assertEqual(status, 404)
        finally:
            other.stop()

    def test_a_class_that_begins_together_waits_for_one_question_only(self):
        made = self.made("--count", 100, "--kinds", "overjet,overbite")
        sealed = clear_text(made["link"].split("#")[1])["sealed"]
        got = [None] * 30

        def student(i):
            got[i] = self.ask(sealed, 7)

        threads = [threading.Thread(target=student, args=(i,)) for i in range(30)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(60)
        self.assertEqual({status for status, _, _ in got}, {200})
        self.assertEqual(len({data for _, _, data in got}), 1)
        self.assertLess(self.server.memory_kb(), 600_000)

    def test_a_graded_set_lasts_over_restarts_until_its_end(self):
        moved = self.dir / "moved"
        moved.write_text("0")
        os.environ.update(LD_PRELOAD=MOVED_CLOCK, INTERCUSP_CLOCK_MOVED=str(moved))
        try:
            late = Server(PROGRAM, self.dir / "late")
            made = json.loads(self.run_("--make-set", "--graded", f"http://localhost:{late.port}/", "--days", 1, "--count", 1,
                                        "--kinds", "overjet", "--format", "json"))
            body = json.dumps({"sealed": clear_text(made["link"].split("#")[1])["sealed"], "at": 0}).encode()
            late.stop()
            # The key stays with the store, for nobody else to read.
            self.assertEqual((self.dir / "late" / "graded.key").stat().st_mode & 0o777, 0o600)
            late.start()
            self.assertEqual(late.ask("POST", f"{ADDRESS}/question", body=body)[0], 200)
            moved.with_suffix(".new").write_text(str(2 * 86400))
            moved.with_suffix(".new").replace(moved)
            self.assertEqual(late.ask("POST", f"{ADDRESS}/question", body=body)[0], 404)
            late.stop()
        finally:
            del os.environ["LD_PRELOAD"], os.environ["INTERCUSP_CLOCK_MOVED"]

    def test_a_server_without_a_store_says_what_is_missing(self):
        plain = Server(PROGRAM)
        try:
            status, _, data = plain.ask("POST", ADDRESS, body=b"{}")
            self.assertEqual(status, 501)
            self.assertIn("--store", json.loads(data)["error"])
        finally:
            plain.stop()


if __name__ == "__main__":
    unittest.main()
