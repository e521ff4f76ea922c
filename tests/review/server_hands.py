"""A server of one's own, and plain-socket hands that speak HTTP and WebSocket (RFC 6455) to it, so that a test can also say
what no library would say."""
import base64
import hashlib
import hmac
import http.client
import json
import os
import pathlib
import re
import signal
import socket
import struct
import subprocess
import tempfile
import time


def b64(data):
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def sealed(purpose, text, size=0):
    """Something that looks sealed to the server, which cannot look inside."""
    return bytes([1, purpose]) + os.urandom(12) + text + bytes(max(0, size - len(text))) + os.urandom(16)


def make_certificate(folder):
    """A self-signed certificate for localhost; the files of key and certificate."""
    key, certificate = (os.path.join(folder, name) for name in ("key.pem", "certificate.pem"))
    subprocess.run(["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-keyout", key,
                    "-out", certificate, "-days", "2", "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"],
                   check=True, capture_output=True)
    return key, certificate


class Server:
    """`intercusp serve` on a free port with a store; a site of one page unless another is named."""

    def __init__(self, program, store=None, *args, site=None, preexec=None):
        self.program, self.store, self.args, self.preexec = program, store, args, preexec
        self.named_site = site
        self.port = 0
        self.start()

    def start(self, port=0):
        self.folder = tempfile.TemporaryDirectory()
        self.site = self.named_site or self.folder.name
        if not self.named_site:
            pathlib.Path(self.site, "index.html").write_text("<!doctype html><title>Intercusp</title>")
            os.chmod(self.site, 0o755)
        line = [self.program, "serve", "--port", str(port), "--site", self.site, "--listen", "127.0.0.1"]
        if self.store:
            line += ["--store", str(self.store)]
        self.child = subprocess.Popen(line + list(map(str, self.args)), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                                      preexec_fn=self.preexec, restore_signals=self.preexec is None)
        said = self.child.stdout.readline()
        found = re.search(r":(\d+)/", said)
        if not found:
            raise RuntimeError(f"serve did not start: {said}{self.kill()}")
        self.port = int(found.group(1))

    def kill(self, how=signal.SIGKILL):
        if self.child.poll() is None:
            self.child.send_signal(how)
        self.child.wait(20)
        said = self.child.stderr.read()
        self.child.stdout.close()
        self.child.stderr.close()
        self.folder.cleanup()
        return said

    def stop(self):
        said = self.kill(signal.SIGTERM)
        assert self.child.returncode == 0, (self.child.returncode, said)
        return said

    def memory_kb(self):
        status = pathlib.Path(f"/proc/{self.child.pid}/status").read_text()
        return int(re.search(r"VmRSS:\s+(\d+)", status).group(1))

    def ask(self, method, path, token=None, body=None, headers=None, connection=None):
        """Status, headers and body. A connection of its own unless one is given."""
        own = connection or http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        send = dict(headers or {})
        if token is not None:
            send["Authorization"] = f"Bearer {b64(token)}"
        own.request(method, path, body=body, headers=send)
        answer = own.getresponse()
        data = answer.read()
        if not connection:
            own.close()
        return answer.status, dict((k.lower(), v) for k, v in answer.getheaders()), data

    def json(self, method, path, token=None, body=None, **more):
        status, _, data = self.ask(method, path, token, json.dumps(body).encode() if isinstance(body, dict) else body, **more)
        return status, json.loads(data) if data else None


class Case:
    """A shared case on a server, with its secrets."""

    def __init__(self, server, days=7):
        self.server = server
        self.read, self.write, self.own = os.urandom(32), os.urandom(32), os.urandom(32)
        hashes = {name: hashlib.sha256(getattr(self, name)).hexdigest() for name in ("read", "write", "own")}
        status, made = server.json("POST", "/review/folders", body={**hashes, "days": days})
        assert status == 201, (status, made)
        self.folder = made["folder"]
        self.ends = made["ends"]
        self.path = f"/review/folders/{self.folder}"

    def append(self, body, entry=None, token=None, connection=None):
        entry = entry or os.urandom(16)
        return self.server.json("POST", f"{self.path}/log", token or self.write, body, headers={"Entry": b64(entry)},
                                connection=connection)

    def put(self, body, name=None, token=None, connection=None):
        name = name or b64(hmac.new(self.read, body, "sha256").digest())
        return (name, *self.server.json("PUT", f"{self.path}/pieces/{name}", token or self.write, body, connection=connection))

    def log(self, after=0, token=None):
        status, _, data = self.server.ask("GET", f"{self.path}/log?after={after}", token or self.read)
        assert status == 200, (status, data)
        return read_frames(data)

    def room(self, read=None, write=None, session=None, greet=True):
        return Room(self.server.port, self.path, read or self.read, write, session or os.urandom(16), greet)


def read_frames(data):
    """[(number, entry id, sealed)] of an answer to GET .../log."""
    frames, at = [], 0
    while at < len(data):
        number, entry, length = struct.unpack_from(">Q16sI", data, at)
        at += 28
        assert at + length <= len(data), "cut short"
        frames.append((number, entry, data[at:at + length]))
        at += length
    return frames


class Closed(Exception):
    def __init__(self, code, reason=""):
        super().__init__(f"closed with {code} {reason}")
        self.code, self.reason = code, reason


class Room:
    """A WebSocket in a room."""

    def __init__(self, port, path, read, write, session, greet=True, receive_buffer=None):
        self.session = session
        self.socket = socket.socket()
        if receive_buffer:
            self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, receive_buffer)
        self.socket.settimeout(15)
        self.socket.connect(("127.0.0.1", port))
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        key = base64.b64encode(os.urandom(16)).decode()
        self.socket.sendall((f"GET {path}/room HTTP/1.1\r\nHost: x\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                             f"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: {key}\r\n\r\n").encode())
        head = b""
        while not head.endswith(b"\r\n\r\n"):
            byte = self.socket.recv(1)
            if not byte:
                raise Closed(0, head.decode())
            head += byte
        if b" 101 " not in head.split(b"\r\n")[0]:
            raise Closed(int(head.split()[1]), head.decode())
        expected = base64.b64encode(hashlib.sha1((key + "258EAFA5-E914-47DA-95CA-C5AB0DC85B11").encode()).digest())
        assert expected in head
        self.rest = b""
        if greet:
            self.send(read + session + (write or b""))
            self.welcome = json.loads(self.receive()[1])

    def send(self, data, opcode=2, mask=True):
        head = bytes([0x80 | opcode])
        length = len(data)
        bit = 0x80 if mask else 0
        head += bytes([bit | length]) if length < 126 else \
            bytes([bit | 126]) + struct.pack(">H", length) if length < 65536 else bytes([bit | 127]) + struct.pack(">Q", length)
        key = os.urandom(4) if mask else b""
        if mask:
            pad = (key * (length // 4 + 1))[:length]
            data = (int.from_bytes(data, "big") ^ int.from_bytes(pad, "big")).to_bytes(length, "big")
        self.socket.sendall(head + key + data)

    def live(self, text, size=0):
        self.send(b"\x01" + self.session + sealed(3, text, size))

    def exactly(self, count):
        while len(self.rest) < count:
            more = self.socket.recv(65536)
            if not more:
                raise Closed(1006)
            self.rest += more
        data, self.rest = self.rest[:count], self.rest[count:]
        return data

    def receive(self, timeout=15):
        """(opcode, data) of the next message; pings are answered on the way. Closed when the other side ends. The server
        sends every message in one frame."""
        self.socket.settimeout(timeout)
        while True:
            first, second = self.exactly(2)
            length = second & 127
            if length == 126:
                length, = struct.unpack(">H", self.exactly(2))
            elif length == 127:
                length, = struct.unpack(">Q", self.exactly(8))
            data = self.exactly(length)
            opcode = first & 15
            assert first & 0xf0 == 0x80 and second < 128, (first, second)
            if opcode == 8:
                code = struct.unpack(">H", data[:2])[0] if data else 1005
                raise Closed(code, data[2:].decode())
            if opcode == 9:
                self.send(data, 10)
            elif opcode != 10:
                return opcode, data

    def closing_code(self, timeout=15):
        try:
            while True:
                self.receive(timeout)
        except Closed as closed:
            return closed.code
        except ConnectionResetError:
            return 1006

    def nothing_comes(self, seconds=0.3):
        try:
            return self.receive(seconds) and False
        except socket.timeout:
            return True

    def close(self):
        self.socket.close()
