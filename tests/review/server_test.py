#!/usr/bin/env python3
"""The review server from outside: docs/review-protocol.md against the real program.
   usage: server_test.py PROGRAM [unittest options]"""
import hashlib
import http.client
import json
import os
import pathlib
import random
import resource
import shutil
import signal
import socket
import sqlite3
import ssl
import subprocess
import sys
import tempfile
import threading
import time
import unittest

from server_hands import Case, Closed, Room, Server, b64, make_certificate, read_frames, sealed

PROGRAM = sys.argv.pop(1)
MIB = 1 << 20


def alter(store, sql, *values):
    """Changes the store's file behind the server's back."""
    database = sqlite3.connect(store / "review.db", timeout=10)
    database.execute(sql, values)
    database.commit()
    database.close()


def store_bytes(folder):
    return b"".join(path.read_bytes() for path in sorted(pathlib.Path(folder).iterdir()))


class WithServer(unittest.TestCase):
    ARGUMENTS = ()

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.store = pathlib.Path(cls.folder.name) / "store"
        cls.server = Server(PROGRAM, cls.store, *cls.ARGUMENTS)

    @classmethod
    def tearDownClass(cls):
        cls.server.stop()
        cls.folder.cleanup()


class Api(WithServer):
    def test_a_case_is_made_looked_at_and_prolonged(self):
        case = Case(self.server, days=7)
        self.assertRegex(case.folder, r"^[A-Za-z0-9_-]{22}$")
        self.assertAlmostEqual(case.ends / 1000, time.time() + 7 * 86400, delta=60)
        status, look = self.server.json("GET", case.path, case.read)
        self.assertEqual((status, look), (200, {"ends": case.ends, "last": 0, "pieces": 0, "bytes": 0}))
        status, changed = self.server.json("PATCH", case.path, case.own, {"days": 30})
        self.assertEqual(status, 200)
        self.assertAlmostEqual(changed["ends"] / 1000, time.time() + 30 * 86400, delta=60)
        self.assertEqual(self.server.json("GET", case.path, case.read)[1]["ends"], changed["ends"])

    def test_what_cannot_be_read_is_refused_in_words(self):
        h = "00" * 32
        good = {"read": h, "write": h, "own": h, "days": 3}
        for bad in [b"", b"{", b"[]", b"null", json.dumps({**good, "days": 0}).encode(), json.dumps({**good, "days": 366}).encode(),
                    json.dumps({**good, "days": 1.5}).encode(), json.dumps({**good, "read": "00"}).encode(),
                    json.dumps({**good, "own": None}).encode(), b"[" * 4000]:
            status, said = self.server.json("POST", "/review/folders", body=bad)
            self.assertEqual(status, 411 if bad == b"" and status == 411 else 400, bad)
            self.assertGreater(len(said["error"]), 10)
        case = Case(self.server)
        for bad in [{}, {"days": "3"}, {"read": 3}, {"write": "zz" * 32}]:
            self.assertEqual(self.server.json("PATCH", case.path, case.own, bad)[0], 400, bad)

    def test_pieces_stay_as_they_are(self):
        case = Case(self.server)
        piece = sealed(1, b"", MIB)
        name, status, _ = case.put(piece)
        self.assertEqual(status, 201)
        self.assertEqual(case.put(sealed(1, b"another"), name)[1], 200, "there already")
        for method in ("GET", "HEAD"):
            status, headers, body = self.server.ask(method, f"{case.path}/pieces/{name}", case.read)
            self.assertEqual(status, 200)
            self.assertEqual(headers["cache-control"], "no-store")
            self.assertEqual(body, piece if method == "GET" else b"")
        other = b64(os.urandom(32))
        self.assertEqual(self.server.ask("HEAD", f"{case.path}/pieces/{other}", case.read)[0], 404)
        self.assertEqual(self.server.ask("GET", f"{case.path}/pieces/{other}", case.read)[0], 404)
        look = self.server.json("GET", case.path, case.read)[1]
        self.assertEqual(look["pieces"], 1)
        self.assertGreaterEqual(look["bytes"], len(piece))

    def test_an_interrupted_upload_goes_on_where_it_stopped(self):
        case = Case(self.server)
        pieces = [sealed(1, str(i).encode(), 200000) for i in range(8)]
        names = [case.put(piece)[0] for piece in pieces[:5]]
        cut = socket.create_connection(("127.0.0.1", self.server.port))
        missing = b64(os.urandom(32))
        cut.sendall((f"PUT {case.path}/pieces/{missing} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {b64(case.write)}\r\n"
                     f"Content-Length: 200000\r\n\r\n").encode() + pieces[5][:100000])
        cut.close()
        self.assertEqual(self.server.ask("HEAD", f"{case.path}/pieces/{missing}", case.read)[0], 404)
        for name in names:
            self.assertEqual(self.server.ask("HEAD", f"{case.path}/pieces/{name}", case.read)[0], 200)
        names += [case.put(piece)[0] for piece in pieces[5:]]
        got = [self.server.ask("GET", f"{case.path}/pieces/{name}", case.read)[2] for name in names]
        self.assertEqual(got, pieces)

    def test_entries_are_numbered_and_the_same_id_is_the_same_entry(self):
        case = Case(self.server)
        sent = [(os.urandom(16), sealed(2, f"entry {i}".encode())) for i in range(5)]
        for i, (entry, body) in enumerate(sent):
            self.assertEqual(case.append(body, entry), (201, {"number": i + 1}))
        self.assertEqual(case.append(sealed(2, b"sent once more"), sent[2][0]), (200, {"number": 3}))
        self.assertEqual(case.log(), [(i + 1, *pair) for i, pair in enumerate(sent)])
        self.assertEqual([frame[0] for frame in case.log(3)], [4, 5])
        self.assertEqual(case.log(5), [])
        self.assertEqual(case.append(sealed(2, b"x"), b"short")[0], 400)
        self.assertEqual(self.server.json("GET", case.path, case.read)[1]["last"], 5)

    def test_a_long_log_comes_whole(self):
        case = Case(self.server)
        keep = http.client.HTTPConnection("127.0.0.1", self.server.port)
        sent = [sealed(2, b"", 200000) for _ in range(20)]
        for body in sent:
            self.assertEqual(case.append(body, connection=keep)[0], 201)
        status, headers, data = self.server.ask("GET", f"{case.path}/log?after=0", case.read, connection=keep)
        self.assertEqual(status, 200)
        self.assertEqual(headers.get("transfer-encoding"), "chunked")
        self.assertEqual([frame[2] for frame in read_frames(data)], sent)
        self.assertEqual(self.server.ask("GET", case.path, case.read, connection=keep)[0], 200, "the connection goes on")
        keep.close()
        with socket.create_connection(("127.0.0.1", self.server.port)) as old:
            old.sendall(f"GET {case.path}/log HTTP/1.0\r\nAuthorization: Bearer {b64(case.read)}\r\n\r\n".encode())
            said = b""
            while more := old.recv(1 << 16):
                said += more
        self.assertEqual([f[2] for f in read_frames(said.split(b"\r\n\r\n", 1)[1])], sent, "HTTP/1.0 knows no chunks")

    def test_sizes_are_limited(self):
        case = Case(self.server)
        self.assertEqual(case.put(sealed(1, b"", MIB + 64 - 30))[1], 201, "as large as one may be")
        self.assertEqual(case.put(sealed(1, b"", MIB + 65))[1], 413)
        self.assertEqual(case.append(sealed(2, b"", 256 * 1024 - 30))[0], 201)
        self.assertEqual(case.append(sealed(2, b"", 256 * 1024))[0], 413)
        self.assertEqual(self.server.json("POST", "/review/folders", body=b" " * 5000)[0], 413)
        self.assertEqual(self.server.json("GET", case.path, case.read, body=b"why?")[0], 413)
        for bad in [b"", b"plain text that somebody forgot to seal, long enough", sealed(2, b"another purpose")]:
            self.assertEqual(case.put(bad)[1], 400)
        self.assertEqual(case.append(b'{"do":"remark","text":"not sealed at all, by mistake"}')[0], 400)
        for purpose, answer in ((1, 400), (3, 400), (4, 201), (5, 400)):  # 4: a result of practice, to a teacher's inbox
            self.assertEqual(case.append(sealed(purpose, b"x"))[0], answer, purpose)
        status, _, _ = self.server.ask("PUT", f"{case.path}/pieces/{b64(os.urandom(32))}", case.write,
                                       body=iter([sealed(1, b"x")]), headers={"Transfer-Encoding": "chunked"})
        self.assertEqual(status, 411)

    def test_a_body_that_waits_for_leave_gets_it(self):
        case = Case(self.server)
        body = sealed(1, b"", 1000)
        name = b64(os.urandom(32))
        with socket.create_connection(("127.0.0.1", self.server.port)) as wire:
            wire.sendall((f"PUT {case.path}/pieces/{name} HTTP/1.1\r\nHost: x\r\nAuthorization: bearer {b64(case.write)}\r\n"
                          f"Expect: 100-continue\r\nContent-Length: {len(body)}\r\n\r\n").encode())
            self.assertIn(b"100 Continue", wire.recv(1000))
            wire.sendall(body)
            self.assertIn(b"201 Created", wire.recv(4000))

    def test_addresses_and_methods_that_are_none(self):
        case = Case(self.server)
        for method, path, status in [("GET", "/review", 404), ("GET", "/review/", 404), ("GET", "/review/other", 404),
                                     ("GET", "/review/folders", 405), ("PUT", case.path, 405), ("DELETE", f"{case.path}/log", 405),
                                     ("GET", f"{case.path}/pieces", 404), ("GET", f"{case.path}/pieces/x/y", 404),
                                     ("GET", f"{case.path}/room", 426), ("OPTIONS", case.path, 405),
                                     ("GET", f"{case.path}/log?after=-1", 404), ("GET", f"{case.path}/log?after=99999999999999999999", 404),
                                     ("GET", "/reviewer", 404), ("GET", "/review/folders/../../etc/passwd", 404)]:
            answer, headers, data = self.server.ask(method, path, case.read)
            self.assertEqual(answer, status, (method, path))
            self.assertEqual(headers["cache-control"], "no-store")
            self.assertEqual(headers["x-content-type-options"], "nosniff")
            self.assertNotIn("access-control-allow-origin", headers)
            if path != "/reviewer":
                self.assertIn("error", json.loads(data))

    def test_the_page_of_another_site_gets_nothing(self):
        status, _, _ = self.server.ask("POST", "/review/folders", body=b"{}", headers={"Sec-Fetch-Site": "cross-site"})
        self.assertEqual(status, 403)

    def test_a_second_server_leaves_the_store_alone(self):
        with self.assertRaisesRegex(RuntimeError, "another server uses this store"):
            Server(PROGRAM, self.store)


class Rights(WithServer):
    def everything(self, case, read, write, own):
        """What a holder of these tokens gets for every kind of request."""
        name = b64(os.urandom(32))
        ask = self.server.ask
        return [ask("GET", case.path, read), ask("GET", f"{case.path}/log?after=0", read), ask("HEAD", f"{case.path}/pieces/{name}", read),
                ask("GET", f"{case.path}/pieces/{name}", read),
                ask("PUT", f"{case.path}/pieces/{name}", write, sealed(1, b"x")),
                ask("POST", f"{case.path}/log", write, sealed(2, b"x"), headers={"Entry": b64(os.urandom(16))}),
                ask("PATCH", case.path, own, json.dumps({"days": 1}).encode()), ask("DELETE", case.path, own)]

    def nothing(self, case, read, write, own):
        """They open nothing, and all in the same words."""
        words = set()
        for status, headers, data in self.everything(case, read, write, own):
            self.assertEqual(status, 404)
            headers.pop("date")
            headers.pop("connection", None)
            words.add((data or None, json.dumps(headers, sort_keys=True)))
        self.assertEqual(len({body for body, _ in words if body}), 1)
        self.assertEqual(len({head for _, head in words}), 1)
        try:
            Room(self.server.port, case.path, read or os.urandom(32), write, os.urandom(16))
            self.fail("the room opened")
        except Closed as closed:
            self.assertEqual(closed.code, 4404)
        return words

    def test_unknown_ended_revoked_deleted_and_wrong_are_one(self):
        wrong = os.urandom(32)
        there = Case(self.server)
        there.put(sealed(1, b"x"))
        unknown = Case(self.server)
        unknown.path = f"/review/folders/{b64(os.urandom(16))}"
        malformed = Case(self.server)
        malformed.path = "/review/folders/no-such-folder"
        ended, revoked, deleted = Case(self.server), Case(self.server), Case(self.server)
        alter(self.store, "UPDATE folder SET ends = 1 WHERE read = ?", hashlib.sha256(ended.read).digest())
        self.assertEqual(self.server.ask("PATCH", revoked.path, revoked.own, b'{"read":null,"write":null}')[0], 200)
        self.assertEqual(self.server.ask("DELETE", deleted.path, deleted.own)[0], 204)
        answers = [self.nothing(there, wrong, wrong, wrong), self.nothing(unknown, wrong, wrong, wrong),
                   self.nothing(ended, ended.read, ended.write, ended.own), self.nothing(deleted, deleted.read, deleted.write, deleted.own),
                   self.nothing(revoked, revoked.read, revoked.write, wrong), self.nothing(there, None, None, None)]
        self.assertTrue(all(answer == answers[0] for answer in answers))
        status, _, data = self.server.ask("GET", malformed.path, malformed.read)
        self.assertEqual((status, data), (404, next(body for body, _ in answers[0] if body)))

    def test_viewing_and_changing_are_different_powers(self):
        case = Case(self.server)
        statuses = [answer[0] for answer in self.everything(case, case.write, case.read, case.write)]
        self.assertEqual(statuses, [404] * 8, "the write token reads nothing, the read token writes nothing, neither owns")
        statuses = [answer[0] for answer in self.everything(case, case.read, case.write, case.read)]
        self.assertEqual(statuses, [200, 200, 404, 404, 201, 201, 404, 404])
        for one_bit in (0, 255):
            nearly = bytearray(case.read)
            nearly[one_bit // 8] ^= 1 << one_bit % 8
            self.assertEqual(self.server.ask("GET", case.path, bytes(nearly))[0], 404)

    def test_changing_can_be_withdrawn_and_given_anew(self):
        case = Case(self.server)
        with_write, reader = case.room(write=case.write), case.room()
        self.assertEqual(self.server.ask("PATCH", case.path, case.own, b'{"write":null}')[0], 200)
        self.assertEqual(with_write.closing_code(), 4404)
        with_write.close()
        self.assertEqual(reader.receive()[1], b"\x03" + with_write.session)
        self.assertEqual(case.append(sealed(2, b"x"))[0], 404)
        self.assertEqual(self.server.ask("GET", case.path, case.read)[0], 200)
        new = os.urandom(32)
        body = json.dumps({"write": hashlib.sha256(new).hexdigest()}).encode()
        self.assertEqual(self.server.ask("PATCH", case.path, case.own, body)[0], 200)
        self.assertEqual(case.append(sealed(2, b"x"))[0], 404)
        self.assertEqual(case.append(sealed(2, b"x"), token=new)[0], 201)
        self.assertEqual(reader.receive()[1][:1], b"\x02", "an entry came")
        self.assertEqual(self.server.ask("PATCH", case.path, case.own, b'{"read":null}')[0], 200)
        self.assertEqual(reader.closing_code(), 4404)

    def test_neither_tokens_nor_plain_words_are_in_the_store(self):
        case = Case(self.server)
        case.put(sealed(1, b"", 5000))
        case.append(sealed(2, b"x"))
        case.room(write=case.write).close()
        kept = store_bytes(self.store)
        for secret in (case.read, case.write, case.own):
            for form in (secret, b64(secret).encode(), secret.hex().encode()):
                self.assertNotIn(form, kept)
            self.assertIn(hashlib.sha256(secret).digest(), kept)
        self.assertNotIn(case.folder.encode(), kept)

    def test_deleting_leaves_no_byte_and_takes_nothing_of_others(self):
        doomed, other = Case(self.server), Case(self.server)
        mark, stays = os.urandom(24), os.urandom(24)
        for case, word in ((doomed, mark), (other, stays)):
            for _ in range(12):
                self.assertEqual(case.put(sealed(1, word, 300000))[1], 201)
                self.assertEqual(case.append(sealed(2, word, 3000))[0], 201)
        self.assertIn(mark, store_bytes(self.store))
        room = doomed.room()
        self.assertEqual(self.server.ask("DELETE", doomed.path, doomed.own)[0], 204)
        kept = store_bytes(self.store)
        self.assertNotIn(mark, kept)
        self.assertNotIn(hashlib.sha256(doomed.read).digest(), kept)
        self.assertEqual(kept.count(stays), 24)
        self.assertLess(len(kept), 12 * 303000 * 1.1, "the files give the room back")
        self.assertEqual(room.closing_code(), 4404)
        self.assertEqual(len(other.log()), 12)


class Ending(WithServer):
    ARGUMENTS = ("--grace", 1)

    def test_an_ended_case_is_erased_and_its_room_ends(self):
        case = Case(self.server)
        mark = os.urandom(24)
        for _ in range(20):
            case.put(sealed(1, mark, 50000))
        room = case.room()
        alter(self.store, "UPDATE folder SET ends = 1")
        self.assertEqual(self.server.ask("GET", case.path, case.read)[0], 404)
        until = time.time() + 15
        while mark in store_bytes(self.store) and time.time() < until:
            time.sleep(0.2)
        self.assertNotIn(mark, store_bytes(self.store))
        self.assertEqual(room.closing_code(), 4404)


class Rooms(WithServer):
    def test_live_frames_and_entries_reach_the_others(self):
        case = Case(self.server)
        case.append(sealed(2, b"before"))
        one, two = case.room(), case.room(write=case.write)
        self.assertEqual((one.welcome, two.welcome), ({"last": 1, "here": 1, "change": False}, {"last": 1, "here": 2, "change": True}))
        frame = b"\x01" + two.session + sealed(3, b"pointer")
        two.send(frame)
        self.assertEqual(one.receive(), (2, frame))
        entry, body = os.urandom(16), sealed(2, b"move")
        self.assertEqual(case.append(body, entry), (201, {"number": 2}))
        for who in (one, two):
            self.assertEqual(who.receive()[1], b"\x02" + (2).to_bytes(8, "big") + entry + body)
        self.assertEqual(case.append(body, entry)[0], 200)
        self.assertTrue(one.nothing_comes(), "the same entry is not announced twice, nor one's own frame sent back")
        two.close()
        self.assertEqual(one.receive()[1], b"\x03" + two.session)
        other = Case(self.server).room()
        one.live(b"x")
        self.assertTrue(other.nothing_comes(), "rooms are apart")

    def test_who_does_not_greet_is_told_nothing(self):
        case = Case(self.server)
        silent, wrong = case.room(greet=False), case.room(greet=False)
        wrong.send(os.urandom(32) + os.urandom(16))
        inside = case.room()
        self.assertEqual(inside.welcome["here"], 1)
        inside.live(b"x")
        case.append(sealed(2, b"x"))
        self.assertTrue(silent.nothing_comes())
        self.assertEqual(wrong.closing_code(), 4404)
        self.assertEqual(case.room(write=os.urandom(32)).welcome["change"], False, "who may change no more may still look")
        for first in (b"", b"x", case.read, case.read + bytes(17), bytes(81)):
            room = case.room(greet=False)
            room.send(first)
            self.assertEqual(room.closing_code(), 1008, first)

    def test_frames_that_are_none_end_the_connection_alone(self):
        case = Case(self.server)
        watching = case.room()
        for frame, code in [(b"", 1008), (b"\x01", 1008), (b"\x02" + bytes(60), 1008), (b"\x01" + os.urandom(16) + sealed(3, b"x"), 1008),
                            (None, 1008), (b"\x01" + bytes(70000), 1009)]:
            room = case.room()
            room.send(b"\x01" + room.session + b"not sealed, and long enough for it to be" if frame is None else frame)
            self.assertEqual(room.closing_code(), code, frame and frame[:20])
        room = case.room()
        room.send("text".encode(), opcode=1)
        self.assertEqual(room.closing_code(), 1003)
        room = case.room()
        room.live(b"", 65536 - 17 - 30)
        largest = case.room()
        largest.send(b"\x01" + largest.session + sealed(3, b"x"), mask=False)
        self.assertEqual(largest.closing_code(), 1002, "RFC 6455 5.1: what is not masked ends the connection")
        huge = case.room()
        huge.socket.sendall(b"\x82\xff" + (1 << 62).to_bytes(8, "big") + b"mask")
        self.assertIn(huge.closing_code(), (1009, 1002))
        got = b""
        while len(got) < 65536:
            got = watching.receive()[1]
        self.assertEqual(len(got), 65536)

    def test_a_slow_reader_gets_the_newest_and_holds_nobody_up(self):
        case = Case(self.server)
        before = self.server.memory_kb()
        slow = Room(self.server.port, case.path, case.read, None, os.urandom(16), receive_buffer=4096)
        fast, senders = case.room(), [case.room() for _ in range(4)]

        def numbers_seen(reader):
            """By sender, until the newest of each has come."""
            seen = {sender.session: [] for sender in senders}
            while any(not numbers or numbers[-1] < b"000156" for numbers in seen.values()):
                frame = reader.receive()[1]
                seen[frame[1:17]].append(frame[31:37])
            return seen
        got = []
        reading = threading.Thread(target=lambda: got.append(numbers_seen(fast)))
        reading.start()
        for i in range(160):
            senders[i % 4].live(b"%06d" % i, 60000)
        reading.join(20)
        self.assertEqual(len(got), 1, "the fast one has the newest of all")
        self.assertLess(self.server.memory_kb() - before, 6000, "10 MB were sent past somebody who reads none of it")
        slow.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, MIB)
        seen = numbers_seen(slow)
        self.assertLess(sum(map(len, seen.values())), 160, "what was out of date was left out")
        for numbers in seen.values():
            self.assertEqual(numbers, sorted(numbers))

    def test_who_misses_entries_for_too_long_is_sent_to_the_log(self):
        case = Case(self.server)
        slow = Room(self.server.port, case.path, case.read, None, os.urandom(16), receive_buffer=4096)
        keep = http.client.HTTPConnection("127.0.0.1", self.server.port)
        for _ in range(60):
            self.assertEqual(case.append(sealed(2, b"", 200000), connection=keep)[0], 201)
        keep.close()
        self.assertIn(slow.closing_code(), (4408, 1006))
        self.assertEqual(len(case.log()), 60)

    def test_a_room_is_full_at_some_point(self):
        case = Case(self.server)
        rooms = [case.room() for _ in range(32)]
        with self.assertRaises(Closed) as refused:
            case.room()
        self.assertEqual(refused.exception.code, 4429)
        for room in rooms:
            room.close()

    def test_an_entry_is_never_missed_between_entering_and_the_first_frame(self):
        case = Case(self.server)
        stop, number = threading.Event(), [0]

        def write():
            keep = http.client.HTTPConnection("127.0.0.1", self.server.port)
            while not stop.is_set():
                number[0] = case.append(sealed(2, b"x"), connection=keep)[1]["number"]
            keep.close()
        writer = threading.Thread(target=write)
        writer.start()
        try:
            for _ in range(25):
                room = case.room()
                first = room.receive()[1]
                self.assertEqual(int.from_bytes(first[1:9], "big"), room.welcome["last"] + 1)
                room.close()
        finally:
            stop.set()
            writer.join()


class Nonsense(WithServer):
    ARGUMENTS = ("--per-address", 0)

    def test_nonsense_on_the_wire_does_no_harm(self):
        chance = random.Random(int(os.environ.get("INTERCUSP_SEED", "1")))
        case = Case(self.server)
        token = b64(case.write)
        body = sealed(1, b"", 500)
        requests = [f"PUT {case.path}/pieces/{b64(bytes(32))} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {token}\r\n"
                    f"Content-Length: {len(body)}\r\n\r\n".encode() + body,
                    f"GET {case.path}/log?after=0 HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {token}\r\n\r\n".encode(),
                    b"POST /review/folders HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\nExpect: 100-continue\r\n\r\n{}",
                    f"GET {case.path}/room HTTP/1.1\r\nHost: x\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                    f"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n".encode()]
        watching, talking = case.room(), case.room()
        for _ in range(int(os.environ.get("INTERCUSP_NONSENSE", "250"))):
            data = bytearray(chance.choice(requests))
            for _ in range(chance.randint(1, 4)):
                at = chance.randrange(len(data))
                what = chance.randrange(3)
                if what == 0:
                    data[at] = chance.randrange(256)
                elif what == 1:
                    del data[at:at + chance.randint(1, 9)]
                else:
                    data[at:at] = bytes(chance.randrange(256) for _ in range(chance.randint(1, 9)))
            with socket.create_connection(("127.0.0.1", self.server.port)) as wire:
                wire.sendall(data)
        for _ in range(60):
            room = case.room(greet=chance.random() < 0.7)
            try:
                room.socket.sendall(bytes(chance.randrange(256) for _ in range(chance.randint(1, 200))))
            except OSError:
                pass
            room.close()
        talking.live(b"still here")
        while not watching.receive()[1].startswith(b"\x01" + talking.session):
            pass
        self.assertEqual(case.append(sealed(2, b"x"))[0], 201)
        self.assertIsNone(self.server.child.poll())


class Crowd(WithServer):
    def test_idle_connections_cost_little_and_leave_others_unaffected(self):
        count = int(os.environ.get("INTERCUSP_IDLE", "300"))
        most = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
        resource.setrlimit(resource.RLIMIT_NOFILE, (min(count + 300, most), most))
        case = Case(self.server)
        before = self.server.memory_kb()
        idle = [socket.create_connection(("127.0.0.1", self.server.port)) for _ in range(count)]
        half = idle[::3]
        for wire in half:
            wire.sendall(b"GET / HTTP/1.1\r\nHo")
        self.assertEqual(case.append(sealed(2, b"x"))[0], 201)
        room, other = case.room(), case.room()
        began = time.time()
        other.live(b"x")
        room.receive()
        self.assertLess(time.time() - began, 2)
        each = (self.server.memory_kb() - before) / count
        self.assertLess(each, 24, f"{each:.1f} kB for an idle connection")
        for wire in idle:
            wire.close()

    def test_too_many_requests_and_too_many_guesses(self):
        folder = tempfile.TemporaryDirectory()
        server = Server(PROGRAM, pathlib.Path(folder.name) / "s", "--per-address", 5, "--behind", "127.0.0.1")
        case = Case(server)

        def until_429(ask):
            """Answers up to the first refusal; a slow machine regains some of the allowance on the way."""
            answers = []
            while len(answers) < 1000 and 429 not in answers[-1:]:
                answers.append(ask())
            return answers

        def status(address, token=case.read):
            return server.ask("GET", case.path, token, headers={"X-Forwarded-For": f"198.51.100.9, {address}"})[0]
        statuses = until_429(lambda: status("192.0.2.1"))
        self.assertEqual(statuses[:100], [200] * 100)
        self.assertEqual(statuses[-1], 429)
        self.assertEqual(status("192.0.2.2"), 200, "another address goes on")
        self.assertEqual(status("2001:db8::1"), 200)
        server.stop()
        server = Server(PROGRAM, pathlib.Path(folder.name) / "s", "--per-address", 1000, "--behind", "127.0.0.1")
        guesses = until_429(lambda: status("192.0.2.3", os.urandom(32)))
        self.assertEqual(guesses[:200], [404] * 200)
        self.assertEqual(guesses[-1], 429)
        self.assertEqual(status("192.0.2.3"), 429, "also with a right token, so that it tells nothing")
        self.assertEqual(server.ask("GET", case.path, case.read, headers={"X-Forwarded-For": "192.0.2.4"})[0], 200)
        server.stop()
        folder.cleanup()


class Trouble(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.store = pathlib.Path(self.folder.name) / "store"

    def tearDown(self):
        self.folder.cleanup()

    def refused(self, *args, **more):
        with self.assertRaises(RuntimeError) as refused:
            Server(PROGRAM, *args, **more)
        return str(refused.exception)

    def test_without_a_store_it_says_so(self):
        server = Server(PROGRAM)
        status, said = server.json("POST", "/review/folders", body={})
        self.assertEqual(status, 501)
        self.assertIn("--store", said["error"])
        self.assertEqual(server.ask("GET", "/")[0], 200)
        server.stop()

    def test_a_folder_that_cannot_be_written(self):
        def nobody():
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
        os.chmod(self.folder.name, 0o755)
        self.store.mkdir()
        self.store.chmod(0o555)
        copy = shutil.copy(PROGRAM, self.folder.name)
        with self.assertRaises(RuntimeError) as refused:
            Server(copy, self.store, preexec=nobody)
        self.assertIn("cannot write in the store's folder", str(refused.exception))
        self.assertIn("cannot be made", self.refused("/proc/no/store"))

    def test_damaged_foreign_and_newer_stores(self):
        server = Server(PROGRAM, self.store)
        case = Case(server)
        for _ in range(30):
            case.append(sealed(2, b"", 20000))
        server.stop()
        file = self.store / "review.db"
        good = file.read_bytes()
        file.write_bytes(b"not a database at all" * 100)
        self.assertIn("not a store of shared cases, or it is damaged", self.refused(self.store))
        for at in range(4096, len(good), 4096 * 20):
            file.write_bytes(good[:at] + os.urandom(4096) + good[at + 4096:])
            try:
                Server(PROGRAM, self.store).stop()
            except RuntimeError as said:
                self.assertIn("damaged", str(said))
        file.write_bytes(good[:4096 * 3])
        self.assertIn("damaged", self.refused(self.store))
        file.unlink()
        alter(self.store, "CREATE TABLE other (x)")
        self.assertIn("not a store", self.refused(self.store))
        file.write_bytes(good)
        alter(self.store, "PRAGMA user_version = 99")
        self.assertIn("newer version", self.refused(self.store))
        file.write_bytes(good)
        server = Server(PROGRAM, self.store)
        self.assertEqual(len(Case.log(self.of(server, case))), 30)
        server.stop()

    @staticmethod
    def of(server, case):
        case.server = server
        return case

    def full(self, server):
        """Writes until it is full; what was acknowledged stays, and reading goes on."""
        case = Case(server)
        kept, said = [], None
        for _ in range(60):
            name, status, answer = case.put(sealed(1, b"", 200000))
            if status != 201:
                said = (status, answer)
                break
            kept.append(name)
        self.assertEqual(said[0], 507, said)
        self.assertIn("room", said[1]["error"])
        self.assertGreater(len(kept), 3)
        for name in kept:
            self.assertEqual(server.ask("HEAD", f"{case.path}/pieces/{name}", case.read)[0], 200)
        return case, kept

    def test_a_full_store_answers_507_and_deleting_makes_room(self):
        server = Server(PROGRAM, self.store, "--store-limit", 4)
        case, _ = self.full(server)
        self.assertEqual(server.ask("DELETE", case.path, case.own)[0], 204)
        self.assertEqual(Case(server).put(sealed(1, b"", 200000))[1], 201)
        self.assertIn("no room left", server.stop())

    def test_a_full_disk_answers_507(self):
        def small_files():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (4 * MIB, 4 * MIB))
        server = Server(PROGRAM, self.store, preexec=small_files)
        case, kept = self.full(server)
        server.kill(signal.SIGTERM)
        server = Server(PROGRAM, self.store)
        for name in kept:
            self.assertEqual(server.ask("HEAD", f"{case.path}/pieces/{name}", case.read)[0], 200)
        server.stop()

    def test_one_case_holds_no_more_than_it_may(self):
        server = Server(PROGRAM, self.store, "--case-limit", 2)
        case = Case(server)
        statuses = [case.put(sealed(1, b"", 500000))[1] for _ in range(6)]
        self.assertEqual(statuses, [201] * 4 + [507] * 2)
        self.assertEqual(Case(server).put(sealed(1, b"", 500000))[1], 201)
        server.stop()

    def test_a_copy_is_made_beside_a_running_server_and_opens(self):
        server = Server(PROGRAM, self.store)
        case = Case(server)
        case.append(sealed(2, b"x"))
        copy = pathlib.Path(self.folder.name) / "copy.db"
        line = [PROGRAM, "serve", "--store", str(self.store), "--back-up", str(copy)]
        self.assertEqual(subprocess.run(line, capture_output=True, timeout=20).returncode, 0)
        self.assertEqual(subprocess.run(line, capture_output=True, timeout=20).returncode, 2, "nothing is overwritten")
        case.append(sealed(2, b"later"))
        server.stop()
        restored = pathlib.Path(self.folder.name) / "restored"
        restored.mkdir()
        shutil.copy(copy, restored / "review.db")
        server = Server(PROGRAM, restored)
        self.assertEqual(len(self.of(server, case).log()), 1)
        server.stop()

    def test_tls_from_certificate_files(self):
        key, certificate = make_certificate(self.folder.name)
        server = Server(PROGRAM, self.store, "--certificate", certificate, "--key", key)
        trusting = ssl.create_default_context(cafile=certificate)

        def connection():
            line = http.client.HTTPSConnection("127.0.0.1", server.port, timeout=10)
            line.sock = trusting.wrap_socket(socket.create_connection(("127.0.0.1", server.port), 10), server_hostname="localhost")
            return line
        page = connection()
        page.request("GET", "/")
        self.assertEqual(page.getresponse().status, 200)
        page.close()
        case = Case.__new__(Case)
        read = os.urandom(32)
        h = hashlib.sha256(read).hexdigest()
        made = connection()
        made.request("POST", "/review/folders", json.dumps({"read": h, "write": h, "own": h, "days": 1}))
        case.path = "/review/folders/" + json.loads(made.getresponse().read())["folder"]
        made.request("PUT", f"{case.path}/pieces/{b64(bytes(32))}", sealed(1, b"", MIB), {"Authorization": f"Bearer {b64(read)}"})
        self.assertEqual(made.getresponse().status, 201)
        made.close()
        wire = trusting.wrap_socket(socket.create_connection(("127.0.0.1", server.port)), server_hostname="localhost")
        wire.sendall((f"GET {case.path}/room HTTP/1.1\r\nHost: x\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                      f"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n").encode())
        self.assertIn(b" 101 ", wire.recv(4000))
        greeting = read + os.urandom(16)
        wire.sendall(b"\x82" + bytes([0x80 | len(greeting)]) + bytes(4) + greeting)
        self.assertIn(b'"here":1', wire.recv(4000))
        wire.close()
        with socket.create_connection(("127.0.0.1", server.port)) as plain:
            plain.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
            self.assertNotIn(b"200", plain.recv(100))
        server.stop()
        self.assertIn("no certificate", self.refused(self.store, "--certificate", key, "--key", key))
        self.assertIn("both with --certificate and --key", self.refused(self.store, "--certificate", certificate))


if __name__ == "__main__":
    unittest.main()
