#!/usr/bin/env python3
"""The review server when its surroundings fail: sides that fall silent, readers that do not read, a full disk, a folder that can
no longer be written, a clock that jumps. Each time: bounded memory, a clear answer, and the others notice nothing.
   usage: hardship_test.py PROGRAM MOVED_CLOCK [unittest options]"""
import os
import pathlib
import resource
import shutil
import signal
import socket
import struct
import sys
import tempfile
import threading
import time
import unittest

from server_hands import Case, Server, b64, sealed

PROGRAM, MOVED_CLOCK = sys.argv.pop(1), sys.argv.pop(1)
MIB = 1 << 20


def until(what, seconds=20):
    """Waits for it; whether it came."""
    end = time.time() + seconds
    while not what() and time.time() < end:
        time.sleep(0.05)
    return what()


def sockets_of(server):
    links = pathlib.Path(f"/proc/{server.child.pid}/fd")
    count = 0
    for link in links.iterdir():
        try:
            count += os.readlink(link).startswith("socket:")
        except FileNotFoundError:
            pass
    return count


def from_address(port, address, receive_buffer=None):
    """A connection from another address of this machine, so that it is another client to the server."""
    wire = socket.socket()
    if receive_buffer:
        wire.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, receive_buffer)
    wire.bind((address, 0))
    wire.connect(("127.0.0.1", port))
    return wire


class Hardship(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        os.chmod(self.folder.name, 0o755)
        self.store = pathlib.Path(self.folder.name) / "store"
        self.servers, self.rooms = [], []

    def tearDown(self):
        for room in self.rooms:
            room.close()
        for server in self.servers:
            if server.child.poll() is None:
                server.kill()
        self.folder.cleanup()

    def serve(self, *args, program=PROGRAM, **more):
        self.servers.append(Server(program, self.store, *args, **more))
        return self.servers[-1]

    def room(self, case):
        self.rooms.append(case.room())
        return self.rooms[-1]

    def goes_on(self, case, rooms):
        """Others work as if nothing were: an entry is kept and told, a live frame relayed, each at once."""
        began = time.time()
        status, said = case.append(sealed(2, b"goes on"))
        self.assertEqual(status, 201, said)
        watching, talking = rooms
        talking.live(b"goes on")
        kinds = set()
        while len(kinds) < 2:
            frame = watching.receive()[1]
            if frame[:1] == b"\x02" or frame[1:17] == talking.session:
                kinds.add(frame[:1])
        self.assertLess(time.time() - began, 2)


class Silence(Hardship):
    def test_who_vanishes_is_let_go_and_the_others_are_told(self):
        server = self.serve("--quiet", 1)
        case = Case(server)
        watching, talking, vanished = self.room(case), self.room(case), self.room(case)
        said, stop = [], threading.Event()

        def listen():  # answers pings on the way
            while not stop.is_set():
                try:
                    said.append(watching.receive(0.2)[1])
                except socket.timeout:
                    pass
                try:
                    talking.receive(0.01)
                except socket.timeout:
                    pass
        listener = threading.Thread(target=listen)
        listener.start()
        # It neither reads, answers pings nor says goodbye: a machine whose cable was pulled.
        gone = until(lambda: b"\x03" + vanished.session in said)
        time.sleep(1)
        stop.set()
        listener.join()
        self.assertTrue(gone, "the others are told that somebody went")
        self.assertNotIn(b"\x03" + talking.session, said, "who answers pings stays")
        self.goes_on(case, (watching, talking))

    def test_half_requests_and_answers_that_nobody_reads_end(self):
        server = self.serve("--quiet", 1)
        case = Case(server)
        piece, _, _ = case.put(sealed(1, b"", MIB - 100))
        before = sockets_of(server)
        head = f"{case.path}/pieces/%s HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer %s\r\n"
        half = [b"", b"GET / HTTP/1.1\r\nHo", b"\x16\x03\x01",
                ("PUT " + head % (b64(bytes(32)), b64(case.write)) + "Content-Length: 200000\r\n\r\n").encode() + sealed(1, b"", 9000),
                ("POST " + f"{case.path}/log HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {b64(case.write)}\r\n"
                 f"Entry: {b64(bytes(16))}\r\nContent-Length: 5000\r\n\r\n").encode(),
                ("GET " + head % (piece, b64(case.read)) + "\r\n").encode() * 3]
        wires = [from_address(server.port, "127.0.0.2", 4096) for _ in range(10 * len(half))]
        for i, wire in enumerate(wires):
            wire.sendall(half[i % len(half)])
        self.assertTrue(until(lambda: sockets_of(server) >= before + len(wires) - 10), "they are all there at first")
        rooms = self.room(case), self.room(case)
        self.goes_on(case, rooms)
        for room in rooms:
            room.socket.shutdown(socket.SHUT_RDWR)
        self.assertTrue(until(lambda: sockets_of(server) <= before), f"{sockets_of(server) - before} are still held")
        self.assertEqual(case.put(sealed(1, b"x"), b64(bytes(32)))[1], 201, "of a half piece nothing was kept")
        for wire in wires:
            wire.close()


class Flood(Hardship):
    def test_pieces_that_nobody_reads_take_bounded_memory(self):
        server = self.serve()
        case = Case(server)
        piece, _, _ = case.put(sealed(1, b"", MIB - 100))
        rooms = self.room(case), self.room(case)
        before = server.memory_kb()
        ask = (f"GET {case.path}/pieces/{piece} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {b64(case.read)}\r\n\r\n").encode()
        wires = []
        for _ in range(180):  # an address may have 128 MiB of bodies under way, these ask for 180
            wires.append(from_address(server.port, "127.0.0.2", 4096))
            wires[-1].sendall(ask)
        busy = 0
        for wire in reversed(wires):
            wire.settimeout(5)
            busy += wire.recv(12) == b"HTTP/1.1 503"
        self.assertGreaterEqual(busy, 25, "what is beyond that was told that the server is busy")
        self.goes_on(case, rooms)
        status, _, body = server.ask("GET", f"{case.path}/pieces/{piece}", case.read)
        self.assertEqual((status, len(body)), (200, MIB - 100 + 30), "another address gets its piece whole")
        self.assertLess((server.memory_kb() - before) / 1024, 160)
        for wire in wires:
            wire.close()
        self.assertTrue(until(lambda: server.ask("GET", f"{case.path}/pieces/{piece}", case.read)[0] == 200))

    def test_a_message_in_endless_parts_ends_its_connection_alone(self):
        server = self.serve()
        case = Case(server)
        rooms = self.room(case), self.room(case)
        before = server.memory_kb()

        def part(room, first, data):
            room.socket.sendall(bytes([2 if first else 0, 0xfe]) + struct.pack(">H", len(data)) + bytes(4) + data)
        parts = self.room(case)
        code = None
        try:
            for i in range(400):
                part(parts, i == 0, bytes(60000))
        except OSError:
            code = 1009  # it was closed while more was on its way
        self.assertIn(code or parts.closing_code(), (1009, 1006))
        control = self.room(case)
        control.send(bytes(126), opcode=9)
        self.assertEqual(control.closing_code(), 1002, "RFC 6455 5.5: a ping holds at most 125 bytes")
        pinging = self.room(case)
        for _ in range(3000):
            pinging.send(b"x" * 100, opcode=9)
        self.goes_on(case, rooms)
        self.assertLess(server.memory_kb() - before, 4000)


class Disk(Hardship):
    def test_a_disk_that_fills_up_and_gets_room_again(self):
        def small_files():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (3 * MIB, resource.RLIM_INFINITY))
        server = self.serve(preexec=small_files)
        case = Case(server)
        rooms = self.room(case), self.room(case)
        self.goes_on(case, rooms)
        kept, said = [], None
        for i in range(60):
            body = sealed(1, b"%d" % i, 200000)
            name, status, said = case.put(body)
            if status != 201:
                break
            kept.append((name, body))
        self.assertEqual(status, 507, said)
        self.assertIn("no room", said["error"])
        self.assertGreater(len(kept), 3)
        for _ in range(20):  # until small ones do not fit either
            if case.append(sealed(2, b"", 200000))[0] == 507:
                break
        else:
            self.fail("the disk never filled up")
        rooms[1].live(b"still talking")
        while b"still talking" not in rooms[0].receive()[1]:
            pass
        self.assertEqual(server.ask("GET", "/")[0], 200)
        for name, body in kept:
            self.assertEqual(server.ask("GET", f"{case.path}/pieces/{name}", case.read)[2], body)
        entries = len(case.log())
        resource.prlimit(server.child.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        self.assertEqual(case.put(sealed(1, b"", MIB - 100))[1], 201, "it goes on by itself once there is room")
        self.assertEqual(case.append(sealed(2, b"x"))[0], 201)
        self.assertEqual(len(case.log()), entries + 1)
        self.assertIn("no room left", server.stop())

    def test_a_folder_that_can_no_longer_be_written(self):
        def nobody():
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
        self.store.mkdir()
        if os.getuid() == 0:
            os.chown(self.store, 65534, 65534)
        program = shutil.copy(PROGRAM, self.folder.name)
        server = self.serve(program=program, preexec=nobody)
        case = Case(server)
        rooms = self.room(case), self.room(case)
        acknowledged = [os.urandom(16) for _ in range(3)]
        for entry in acknowledged:
            self.assertEqual(case.append(sealed(2, b"x"), entry)[0], 201)
        modes = [(path, path.stat().st_mode & 0o777) for path in [*self.store.iterdir(), self.store]]
        for path, mode in modes:
            path.chmod(mode & 0o555)
        for _ in range(30):  # files that are open already may still be written; what is answered must hold
            entry = os.urandom(16)
            status, said = case.append(sealed(2, b"", 100000), entry)
            if status == 201:
                acknowledged.append(entry)
            else:
                self.assertIn(status, (500, 507), said)
                self.assertGreater(len(said["error"]), 20)
        rooms[1].live(b"still talking")
        while b"still talking" not in rooms[0].receive()[1]:
            pass
        self.assertEqual([entry for _, entry, _ in case.log()], acknowledged)
        server.kill()
        with self.assertRaises(RuntimeError) as refused:
            Server(program, self.store, preexec=nobody)
        self.assertIn("cannot write in the store's folder", str(refused.exception))
        for path, mode in reversed(modes):
            path.chmod(mode)
        case.server = self.serve(program=program, preexec=nobody)
        self.assertEqual([entry for _, entry, _ in case.log()], acknowledged)


class Clock(Hardship):
    def test_a_clock_that_jumps_takes_nothing(self):
        moved = pathlib.Path(self.folder.name) / "moved"
        moved.write_text("0")
        os.environ.update(LD_PRELOAD=MOVED_CLOCK, INTERCUSP_CLOCK_MOVED=str(moved))
        try:
            server = self.serve("--grace", 3, "--quiet", 1)
        finally:
            del os.environ["LD_PRELOAD"], os.environ["INTERCUSP_CLOCK_MOVED"]

        def jump(days):
            moved.with_suffix(".new").write_text(str(days * 86400))
            moved.with_suffix(".new").replace(moved)
        case = Case(server, days=7)
        name, _, _ = case.put(sealed(1, b"", 5000))
        rooms = self.room(case), self.room(case)
        self.goes_on(case, rooms)
        self.assertAlmostEqual(case.ends / 1000, time.time() + 7 * 86400, delta=60)
        # Ten years back: nothing counts by the wall clock but when a case ends.
        jump(-3650)
        self.assertAlmostEqual(Case(server, days=7).ends / 1000, time.time() - 3643 * 86400, delta=60, msg="the clock did jump")
        self.goes_on(case, rooms)
        # Beyond the end: it opens for nobody, as any that has ended; and is whole when the clock is put right.
        jump(400)
        self.assertEqual(server.ask("GET", case.path, case.read)[0], 404)
        self.assertEqual(case.append(sealed(2, b"x"))[0], 404)
        self.assertEqual(rooms[0].closing_code(), 4404)
        time.sleep(1)
        jump(0)
        self.assertEqual(len(case.log()), 2)
        self.assertEqual(server.ask("GET", f"{case.path}/pieces/{name}", case.read)[0], 200)
        self.goes_on(case, (self.room(case), self.room(case)))
        # A second short jump does not add up with the first.
        jump(400)
        time.sleep(1.5)
        jump(0)
        time.sleep(2)
        self.assertEqual(server.ask("GET", f"{case.path}/pieces/{name}", case.read)[0], 200)
        server.stop()


if __name__ == "__main__":
    unittest.main()
