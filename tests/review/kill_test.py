#!/usr/bin/env python3
"""kill -9 at random moments while clients write: whatever was acknowledged is there afterwards, whole and in its place, and
the store opens every time. 20 rounds, or INTERCUSP_KILLS.
   usage: kill_test.py PROGRAM"""
import hashlib
import http.client
import os
import pathlib
import random
import socket
import sqlite3
import sys
import tempfile
import threading
import time

from server_hands import Case, Server, b64, sealed

ROUNDS = int(os.environ.get("INTERCUSP_KILLS", "20"))
SEED = int(os.environ.get("INTERCUSP_SEED", "1"))
WRITERS = 4


class Writer(threading.Thread):
    """Adds entries and pieces, and remembers what the server acknowledged, and what it was asked to do last."""

    def __init__(self, case, seed):
        super().__init__()
        self.case, self.random = case, random.Random(seed)
        self.entries, self.pieces = {}, {}
        self.unsure = None
        self.faults = []
        self.gone = False

    def run(self):
        connection = http.client.HTTPConnection("127.0.0.1", self.case.server.port, timeout=20)
        try:
            while not self.gone:
                self.write(connection)
        except (OSError, http.client.HTTPException):
            pass  # killed
        finally:
            connection.close()

    def write(self, connection):
        if self.random.random() < 0.25:
            body = sealed(1, b"", self.random.choice([100, 5000, 300000]))
            name, status, _ = self.case.put(body, connection=connection)
            if status == 201:
                self.pieces[name] = body
            else:
                self.faults.append(status)
            return
        entry, body = self.unsure or (os.urandom(16), sealed(2, b"", self.random.choice([40, 900, 20000])))
        self.unsure = (entry, body)  # sent again after a kill: it may have been kept or not
        status, answer = self.case.append(body, entry, connection=connection)
        if status not in (200, 201):
            self.faults.append(status)
            return
        self.entries[entry] = (answer["number"], body)
        self.unsure = None


def check(server, case, writers):
    log = {entry: (number, body) for number, entry, body in case.log()}
    numbers = sorted(number for number, _ in log.values())
    assert numbers == list(range(1, len(numbers) + 1)), "numbers without gaps or repeats"
    for writer in writers:
        assert not writer.faults, writer.faults
        for entry, kept in writer.entries.items():
            assert log.get(entry) == kept, f"an acknowledged entry is lost or changed: {kept[0]}"
        for name, body in writer.pieces.items():
            status, _, data = server.ask("GET", f"{case.path}/pieces/{name}", case.read)
            assert (status, data) == (200, body), f"an acknowledged piece is lost or changed: {name}"
    return len(log)


def one_round(server, case, state, chance):
    writers = [Writer(case, chance.random()) for _ in range(WRITERS)]
    for writer, unsure in zip(writers, state):
        writer.unsure = unsure
        writer.start()
    time.sleep(chance.uniform(0.005, 0.15))
    server.kill()
    for writer in writers:
        writer.gone = True
        writer.join()
    server.start()
    return writers


def main():
    chance = random.Random(SEED)
    began = time.time()
    with tempfile.TemporaryDirectory() as folder:
        store = pathlib.Path(folder) / "store"
        server = Server(sys.argv[1], store, "--per-address", 0, "--case-limit", 8192)
        case, writers = Case(server), []
        state = [None] * WRITERS
        entries = pieces = 0
        for round_ in range(ROUNDS):
            newest = one_round(server, case, state, chance)
            state = [writer.unsure for writer in newest]
            entries += sum(len(writer.entries) for writer in newest)
            pieces += sum(len(writer.pieces) for writer in newest)
            # Every piece of all rounds is read at the end alone: the log shows every time whether the store is whole.
            writers += newest
            check(server, case, newest)
        kept = check(server, case, writers)
        server.kill()
        database = sqlite3.connect(store / "review.db")
        assert database.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        database.close()
    assert entries > ROUNDS / 2 and pieces > ROUNDS / 8, (entries, pieces)
    print(f"{ROUNDS} kills: {entries} entries and {pieces} pieces acknowledged, {kept} entries kept, none lost "
          f"({time.time() - began:.1f} s)")


if __name__ == "__main__":
    main()
