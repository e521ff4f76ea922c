// Shared cases: what the program asks (core/app/work/review.h) done with keys, server and room.
import { fitsCheck, fromB64, keysOf, linksOf, open, ownToken, pieceName, pieceSize, purposes, random, readLink, seal,
  sha256, toB64, toHex } from './seal.js';
import { CopiedFolder } from './review_copy.js';
import { Folder, makeFolder } from './review_server.js';
import { forgetOwned, keepOwned, ownedSecrets, person, waitingEntries } from './review_store.js';
import { Room } from './review_room.js';

const tries = 4;
const piecesAtOnce = 4;  // so that sealing, sending and the server's disk do not wait for each other
const sessionKey = 'intercusp.review';

function remember(value) {
  try {
    if (value) sessionStorage.setItem(sessionKey, JSON.stringify(value));
    else sessionStorage.removeItem(sessionKey);
  } catch {
    // A browser without storage: a reload does not go on with the shared case.
  }
}

/** The shared case that this tab had open before a reload, as arguments of review_join. */
export function reviewToContinue() {
  try {
    return JSON.parse(sessionStorage.getItem(sessionKey) ?? 'null');
  } catch {
    return null;
  }
}

/** Tries again what failed for want of a connection or since the server was busy. */
async function stubbornly(work) {
  for (let n = 1; ; n += 1) {
    try {
      return await work();
    } catch (error) {
      const again = error.status === 0 || error.status === 429 || error.status >= 500;
      if (!again || n >= tries) throw error;
      await new Promise((resolve) => { setTimeout(resolve, 400 * 2 ** n); });
    }
  }
}

/** Works through tasks, `most` of them at a time; the first that fails ends it. */
async function someAtOnce(tasks, most, work) {
  let next = 0;
  const hand = async () => {
    while (next < tasks.length) {
      next += 1;
      await work(tasks[next - 1]);
    }
  };
  await Promise.all(Array.from({ length: most }, hand)).catch((error) => {
    next = tasks.length;
    throw error;
  });
}

export class Review {
  constructor() {
    this.program = null;
    this.frames = null;
    this.errands = null;
    this.room = null;
    this.turn = 0;  // grows with every case begun or left: what belongs to an earlier one is not heard any more
  }

  tell(event, bytes = new Uint8Array(0)) {
    this.program.callWith('ic_review', [JSON.stringify(event), bytes], false);
    this.frames.ask();
  }

  /** A request of the program. 1 where this browser can do it. */
  ask(request, bytes) {
    if (!globalThis.crypto?.subtle) return 0;
    const doing = { share: () => this.share(request, bytes), join: () => this.join(request), fetch: () => this.fetchAll(request.things),
      append: () => this.room?.append(request.body), live: () => this.room?.live(request.body, request.signed),
      leave: () => this.leave(), revoke: () => this.revoke(), delete: () => this.remove(), prolong: () => this.prolong(request.days),
      opened: () => this.opened() }[request.ask];
    Promise.resolve().then(() => doing?.()).catch((error) => this.failed(request.ask, error));
    return 1;
  }

  failed(what, error) {
    console.warn(what, error);
    const gone = error.status === 404;
    const remedy = error.status === 0 ? 'look at the connection and try again' : gone ? 'ask whoever shared it' : '';
    const words = gone ? 'There is no such shared case: it ended, was deleted or revoked, or the link is not whole' : error.message;
    const begins = ['share', 'join', 'fetch'].includes(what);
    const meaning = begins ? 'the case was not shared or opened' : 'the shared case is as it was';
    this.tell({ event: 'trouble', what: words, meaning, remedy, ends: begins });
  }

  leave() {
    this.turn += 1;
    const { room } = this;
    this.room = null;
    remember(null);
    // What is still on its way goes first.
    if (room) Promise.race([room.send(), new Promise((r) => { setTimeout(r, 3000); })]).finally(() => room.close());
  }

  begin({ folder, server, keys, changeKey, who, keep }) {
    const { turn } = this;
    const tell = (event) => { if (turn === this.turn) this.tell(event); };
    this.room = new Room({ folder, server, keys, person: who, keep, changeKey, tell, first: (work) => this.frames.hold(work) });
    return this.room;
  }

  async share({ days, bodies, keep, name, role }, bytes) {
    this.turn += 1;
    const { turn } = this;
    const [view, change, own] = [random(32), random(32), random(32)];
    const keys = await keysOf(view, change);
    const ownKey = await ownToken(own);
    const who = await person(keep);
    const { folder, ends } = await stubbornly(() => makeFolder({ read: keys.read, write: keys.write, own: ownKey }, days));
    const server = new (keep ? CopiedFolder : Folder)(folder, keys, ownKey);
    const forget = () => server.remove().catch(() => {});  // half a case is of no use to anybody
    const stored = await this.upload(server, folder, keys, bodies, bytes, turn).catch((error) => forget().then(() => { throw error; }));
    if (turn !== this.turn) {
      await forget();
      return;
    }
    if (keep) await keepOwned(folder, { own: ownKey });
    if (keep) server.keepAbout(ends);
    this.links = await linksOf(folder, view, change, keys.change.bytes);
    this.begin({ folder, server, keys, changeKey: keys.change.bytes, who, keep });
    this.here = { link: this.links.change, name, role, keep };
    this.tell({ event: 'stored', folder, ends, author: toB64(who.bytes),
      change: toB64(keys.change.bytes), bodies: stored, may_change: true, owner: true, ...this.addresses() });
    await this.room.send();
    this.opened();
  }

  addresses() {
    const start = `${location.origin}${location.pathname}#`;
    return { view_link: this.links.view ? start + this.links.view : '', change_link: this.links.change ? start + this.links.change : '' };
  }

  /** Seals and sends every body piece by piece; gives how the beginning of the case names them. */
  async upload(server, folder, keys, bodies, bytes, turn) {
    const stored = [];
    const pieces = [];
    let at = 0;
    for (const { name, size, coarse } of bodies) {
      const body = bytes.subarray(at, at + size);
      const names = Array(Math.ceil(size / pieceSize));
      for (let k = 0; k < names.length; k += 1) pieces.push({ plain: body.subarray(k * pieceSize, (k + 1) * pieceSize), names, k });
      stored.push({ name, ...(coarse && { coarse }), pieces: names, length: size, sha256: toHex(await sha256(body)) });
      at += size;
    }
    let sent = 0;
    await someAtOnce(pieces, piecesAtOnce, async ({ plain, names, k }) => {
      if (turn !== this.turn) return;
      const piece = names[k] = await pieceName(keys, plain);
      await stubbornly(async () => server.putPiece(piece, await seal(keys, purposes.piece, folder, piece, plain)));
      sent += plain.length;
      if (turn === this.turn) this.tell({ event: 'progress', words: 'Sending the case, sealed', fraction: sent / bytes.length });
    });
    return stored;
  }

  async join({ link, keep, name, role }) {
    this.turn += 1;
    this.room?.close();
    const said = readLink(link);
    if (!said) throw new Error('That link is not whole: copy it again');
    const { folder, view, change, check } = said;
    const keys = await keysOf(view, change);
    const who = await person(keep);
    const owned = await ownedSecrets(folder);
    const server = new (keep ? CopiedFolder : Folder)(folder, keys, owned?.own ?? null);
    const room = this.begin({ folder, server, keys, changeKey: keys.change?.bytes ?? null, who, keep });
    const about = await stubbornly(() => room.server.about());
    const entries = await room.opened(await stubbornly(() => room.server.log(0)));
    room.changeKey ??= await this.changeKeyOf(entries, check);
    if (keys.change) entries.push(...await room.takeWaiting(await waitingEntries(folder)));
    this.links = change ? await linksOf(folder, view, change, keys.change.bytes)
      : { view: link.slice(link.indexOf('review=')), change: '' };
    this.here = { link, name, role, keep };
    this.tell({ event: 'joined', folder, ends: about.ends, author: toB64(who.bytes),
      change: toB64(room.changeKey), may_change: change !== null, owner: Boolean(owned?.own), ...this.addresses(),
      bodies: entries.map(({ text }) => text) });
  }

  /** The change key that a link for viewing names; without a name that of the first beginning. */
  async changeKeyOf(entries, check) {
    for (const { fields } of entries) {
      const key = fields?.do === 'begin' ? fromB64(fields.change) : null;
      if (key && (!check || await fitsCheck(key, check))) return key;
    }
    throw new Error('The shared case has no beginning that this link speaks of: it was not opened');
  }

  /** The case is on the screen: from here on it is followed. */
  opened() {
    if (!this.room || this.room.socket) return;
    if (this.here.keep) remember(this.here);
    this.room.connect();
  }

  async fetchAll(things) {
    const { room, turn } = this;
    const whole = things.reduce((size, thing) => size + thing.length, 0);
    let got = 0;
    for (const [index, thing] of things.entries()) {
      const bytes = new Uint8Array(thing.length);
      let at = 0;
      for (const name of thing.pieces) {
        const plain = await this.fetchPiece(room, name);
        if (turn !== this.turn) return;
        if (at + plain.length > bytes.length) throw new Error(`The ${thing.name} is longer than it says: it was not opened`);
        bytes.set(plain, at);
        at += plain.length;
        got += plain.length;
        this.tell({ event: 'progress', words: 'Fetching the case', fraction: got / whole });
      }
      if (at !== thing.length || toHex(await sha256(bytes)) !== thing.sha256) {
        throw new Error(`The ${thing.name} is not the one that was shared: it was not opened`);
      }
      this.tell({ event: 'body', index, held: this.errands.hold(new Blob([bytes])) });  // read by the worker
    }
  }

  async fetchPiece(room, name) {
    const sealed = await stubbornly(() => room.server.piece(name));
    const plain = await open(room.keys, purposes.piece, room.folder, name, sealed);
    if (await pieceName(room.keys, plain) !== name) throw new Error('A piece of the case is another than its name: not opened');
    return plain;
  }

  async revoke() {
    const { room } = this;
    await room.server.endChanging();
    room.onlyViewing();
  }

  async prolong(days) {
    const { ends } = await this.room.server.setDays(days);
    this.tell({ event: 'ends', ends });
  }

  async remove() {
    const { room } = this;
    await room.server.remove();
    await forgetOwned(room.folder);
    room.close();
    this.tell({ event: 'trouble', ends: true, what: 'The shared case is deleted from the server',
      meaning: 'nobody can open it any more; it stays open here', remedy: '' });
  }
}
