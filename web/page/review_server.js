// The server of shared cases as docs/review-protocol.md has it: HTTP requests, and the room over a WebSocket. It sees sealed
// bytes and hashes of tokens only.
import { joined, sha256, toB64, toHex } from './seal.js';

const base = () => new URL('review/', document.baseURI);

/** A request that the server refused; `status` is its answer, 0 where there was none. */
export class Refused extends Error {
  constructor(status, words) {
    super(words);
    this.status = status;
  }
}

async function request(method, path, { token, body, headers = {} } = {}) {
  const all = { ...headers };
  if (token) all.Authorization = `Bearer ${toB64(token)}`;
  if (body) all['Content-Type'] = typeof body === 'string' ? 'application/json' : 'application/octet-stream';
  let answer;
  try {
    answer = await fetch(new URL(path, base()), { method, headers: all, body, cache: 'no-store', redirect: 'error' });
  } catch {
    throw new Refused(0, 'The server does not answer');
  }
  if (answer.ok) return answer;
  const said = await answer.json().catch(() => ({}));
  throw new Refused(answer.status, said.error ?? `The server answered ${answer.status}`);
}

const hashOf = async (token) => toHex(await sha256(token));

/** Makes room for a case; gives {folder, ends}. */
export async function makeFolder({ read, write, own }, days) {
  const body = JSON.stringify({ read: await hashOf(read), write: await hashOf(write), own: await hashOf(own), days });
  return (await request('POST', 'folders', { body })).json();
}

/** Makes a graded set of practice; gives {set, ticket, ends}. */
export async function makeGraded(set, days) {
  return (await request('POST', 'graded', { body: JSON.stringify({ set, days }) })).json();
}

/** The bytes of a graded set's question. */
export async function gradedQuestion(sealed, at) {
  const answer = await request('POST', 'graded/question', { body: JSON.stringify({ sealed, at }) });
  return new Uint8Array(await answer.arrayBuffer());
}

export class Folder {
  constructor(folder, keys, own = null) {
    this.path = `folders/${folder}`;
    this.keys = keys;
    this.own = own;
  }

  async about() {
    return (await request('GET', this.path, { token: this.keys.read })).json();
  }

  /** Keeps it for so many days from now; gives {ends}. */
  async setDays(days) {
    return (await request('PATCH', this.path, { token: this.own, body: JSON.stringify({ days }) })).json();
  }

  /** Ends the link for changing; viewing goes on. */
  endChanging() {
    return request('PATCH', this.path, { token: this.own, body: JSON.stringify({ write: null }) });
  }

  remove() {
    return request('DELETE', this.path, { token: this.own });
  }

  putPiece(name, sealed) {
    return request('PUT', `${this.path}/pieces/${name}`, { token: this.keys.write, body: sealed });
  }

  async piece(name) {
    return new Uint8Array(await (await request('GET', `${this.path}/pieces/${name}`, { token: this.keys.read })).arrayBuffer());
  }

  /** Adds an entry; its number once it is on the server's disk. */
  async append(id, sealed) {
    const answer = await request('POST', `${this.path}/log`, { token: this.keys.write, body: sealed, headers: { Entry: id } });
    return (await answer.json()).number;
  }

  /** Entries after a number: [{number, id, sealed}]. */
  async log(after) {
    const answer = await request('GET', `${this.path}/log?after=${after}`, { token: this.keys.read });
    return readFrames(new Uint8Array(await answer.arrayBuffer()));
  }

  /** Entries that are with the server; nothing of them is kept here. */
  keep() {}

  room(session) {
    const address = new URL(`${this.path}/room`, base());
    address.protocol = address.protocol === 'https:' ? 'wss:' : 'ws:';
    const socket = new WebSocket(address);
    socket.binaryType = 'arraybuffer';
    socket.addEventListener('open', () => {
      socket.send(joined(this.keys.read, session, this.keys.write ?? new Uint8Array(0)));
    });
    return socket;
  }
}

const numberAt = (bytes, at) => Number(new DataView(bytes.buffer, bytes.byteOffset + at, 8).getBigUint64(0));

export function readFrames(bytes) {
  const frames = [];
  for (let at = 0; at + 28 <= bytes.length;) {
    const length = new DataView(bytes.buffer, bytes.byteOffset + at + 24, 4).getUint32(0);
    if (at + 28 + length > bytes.length) break;
    frames.push({ number: numberAt(bytes, at), id: bytes.slice(at + 8, at + 24), sealed: bytes.slice(at + 28, at + 28 + length) });
    at += 28 + length;
  }
  return frames;
}

const kinds = { live: 1, entry: 2, left: 3 };

export const liveFrame = (session, sealed) => joined(Uint8Array.of(kinds.live), session, sealed);

/** A binary message of the room; null where it is none. */
export function readRoomMessage(bytes) {
  if (bytes[0] === kinds.live && bytes.length > 17) return { kind: 'live', session: bytes.slice(1, 17), sealed: bytes.slice(17) };
  if (bytes[0] === kinds.left && bytes.length >= 17) return { kind: 'left', session: bytes.slice(1, 17) };
  if (bytes[0] === kinds.entry && bytes.length > 25) {
    return { kind: 'entry', number: numberAt(bytes, 1), id: bytes.slice(9, 25), sealed: bytes.slice(25) };
  }
  return null;
}
