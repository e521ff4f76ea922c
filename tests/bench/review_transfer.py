#!/usr/bin/env python3
"""A case of 100 MB up to the review server and down again, beside plain files of the same size on the same machine: written
and flushed one by one, and fetched from Python's own file server.
   usage: review_transfer.py PROGRAM [PIECES]"""
import http.client
import os
import pathlib
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "review"))
from server_hands import Case, Server, sealed  # noqa: E402

PIECES = int(sys.argv[2]) if len(sys.argv) > 2 else 100


def timed(what, megabytes, work):
    began = time.time()
    work()
    seconds = time.time() - began
    print(f"{what}: {megabytes:.0f} MB in {seconds:.2f} s, {megabytes / seconds:.0f} MB/s")
    return seconds


def main():
    pieces = [sealed(1, b"", (1 << 20)) for _ in range(PIECES)]
    megabytes = sum(map(len, pieces)) / 1e6
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        server = Server(sys.argv[1], folder / "store", "--per-address", 0)
        case = Case(server)
        line = http.client.HTTPConnection("127.0.0.1", server.port)
        names = []

        def up():
            for piece in pieces:
                name, status, said = case.put(piece, connection=line)
                assert status == 201, said
                names.append(name)

        def down():
            for name, piece in zip(names, pieces):
                status, _, data = server.ask("GET", f"{case.path}/pieces/{name}", case.read, connection=line)
                assert status == 200 and data == piece
        put, got = timed("review server, up", megabytes, up), timed("review server, down", megabytes, down)
        server.stop()

        files = folder / "files"
        files.mkdir()

        def write():
            for i, piece in enumerate(pieces):
                with open(files / str(i), "wb") as file:
                    file.write(piece)
                    os.fsync(file.fileno())
        written = timed("plain files, written and flushed", megabytes, write)
        plain = subprocess.Popen([sys.executable, "-m", "http.server", "--bind", "127.0.0.1", "--protocol", "HTTP/1.1", "0",
                                  "--directory", str(files)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
                                 env={**os.environ, "PYTHONUNBUFFERED": "1"})
        port = int(plain.stdout.readline().split(" port ")[1].split()[0])
        line = http.client.HTTPConnection("127.0.0.1", port)

        def fetch():
            for i, piece in enumerate(pieces):
                line.request("GET", f"/{i}")
                assert line.getresponse().read() == piece
        fetched = timed("plain file server, down", megabytes, fetch)
        plain.terminate()
        plain.wait()
    print(f"up takes {put / written:.1f} times as long as plain files, down {got / fetched:.1f} times")


if __name__ == "__main__":
    main()
