#!/usr/bin/env python3
"""A case of 100 MB up to the review server and down again, beside Python's own file server on the same machine: the same
pieces put there and flushed, one by one and four at a time as the page sends them, and fetched; and beside files that are
only written and flushed.
   usage: review_transfer.py PROGRAM [PIECES]"""
import hashlib
import http.client
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "review"))
from server_hands import Case, Server, b64, sealed  # noqa: E402

RUNS = 3
PIECES = int(sys.argv[2]) if len(sys.argv) > 2 else 100


def timed(what, work):
    began = time.time()
    work()
    seconds = time.time() - began
    print(f"{what}: {seconds:.2f} s")
    return seconds


AT_ONCE = 4

# Files as they come by PUT, each on the disk before it is answered for.
PLAIN_SERVER = """
import http.server, os
class Hands(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    def do_PUT(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        with open(self.path[1:], "wb") as file:
            file.write(body)
            file.flush()
            os.fsync(file.fileno())
        self.send_response(201)
        self.send_header("Content-Length", "0")
        self.end_headers()
server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Hands)
print(server.server_port, flush=True)
server.serve_forever()
"""


def at_once(most, pieces, port, put):
    """Every `most`-th piece by one hand with a connection of its own."""
    def hand(k):
        line = http.client.HTTPConnection("127.0.0.1", port)
        for i in range(k, len(pieces), most):
            put(i, pieces[i], line)
        line.close()
    with ThreadPoolExecutor(most) as hands:
        list(hands.map(hand, range(most)))


def on_review_server(program, folder, named):
    """Seconds up by one hand, by four, and down."""
    server = Server(program, folder / "store", "--per-address", 0)
    took = []
    for most in (1, AT_ONCE):
        case = Case(server)

        def put(i, piece, line):
            _, status, said = case.put(piece, name=named[i][0], connection=line)
            assert status == 201, said
        took.append(timed(f"review server, up, {most} at a time",
                          lambda: at_once(most, [piece for _, piece in named], server.port, put)))
    line = http.client.HTTPConnection("127.0.0.1", server.port)

    def down():
        for name, piece in named:
            status, _, data = server.ask("GET", f"{case.path}/pieces/{name}", case.read, connection=line)
            assert status == 200 and data == piece
    took.append(timed("review server, down", down))
    server.stop()
    return took


def on_plain_server(folder, named):
    plain = subprocess.Popen([sys.executable, "-c", PLAIN_SERVER], cwd=folder, stdout=subprocess.PIPE,
                             stderr=subprocess.DEVNULL, text=True)
    port = int(plain.stdout.readline())
    took = []
    for most in (1, AT_ONCE):
        def put(i, piece, line):
            line.request("PUT", f"/{most}-{i}", body=piece)
            answer = line.getresponse()
            answer.read()
            assert answer.status == 201
        took.append(timed(f"plain file server, up, {most} at a time",
                          lambda: at_once(most, [piece for _, piece in named], port, put)))
    line = http.client.HTTPConnection("127.0.0.1", port)

    def down():
        for i in range(len(named)):
            line.request("GET", f"/1-{i}")
            assert line.getresponse().read() == named[i][1]
    took.append(timed("plain file server, down", down))
    plain.terminate()
    plain.wait()
    return took


def on_disk(folder, named):
    def write():
        for i, (_, piece) in enumerate(named):
            with open(folder / f"plain-{i}", "wb") as file:
                file.write(piece)
                file.flush()
                os.fsync(file.fileno())
    return timed("plain files, written and flushed", write)


def main():
    pieces = [sealed(1, b"", (1 << 20)) for _ in range(PIECES)]
    named = [(b64(hashlib.sha256(piece).digest()), piece) for piece in pieces]
    print(f"{sum(map(len, pieces)) / 1e6:.0f} MB in {PIECES} pieces")
    rows = []
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            rows.append((on_review_server(sys.argv[1], folder, named), on_plain_server(folder, named), on_disk(folder, named)))
    for k, what in enumerate(("up one by one", f"up {AT_ONCE} at a time", "down")):
        ratio = statistics.median(ours[k] / plain[k] for ours, plain, _ in rows)
        print(f"{what}: {ratio:.2f} times as long as the plain file server")
    print(f"up {AT_ONCE} at a time: {statistics.median(o[1] / w for o, _, w in rows):.2f} times as long as files written and flushed")


if __name__ == "__main__":
    main()
