// One open shared case: its log followed without a gap, its own entries sent in order, live messages, reconnecting.
import { checkedEntry, checkedLive, fromB64, open, purposes, random, seal, signedEntry, signedLive, toB64 } from './seal.js';
import { liveFrame, readRoomMessage } from './review_server.js';
import { keepWaiting } from './review_store.js';

const firstPause = 300;   // ms before connecting again, doubled each time
const longestPause = 15000;
const fullBuffer = 1 << 18;  // a live message is left out rather than queued behind so much

export class Room {
  /** `tell` takes {event: ...}; `person` and `keys` are those of seal.js; `first` lets work go before the next picture. */
  constructor({ folder, server, keys, person, keep, changeKey, tell, first }) {
    Object.assign(this, { folder, server, keys, person, keep, changeKey, tell, first });
    this.last = 0;           // number of the last entry of the log that is here without a gap
    this.known = new Set();  // ids of entries that are here
    this.queue = [];         // own entries on their way; changed through setQueue
    this.kept = Promise.resolve();
    this.viewing = false;    // the right to change was taken away
    this.pause = firstPause;
    this.closed = false;
    this.working = Promise.resolve();  // what comes in is opened in its order
    this.sending = null;
    this.lives = Promise.resolve();
    this.counts = new Map();  // session: last counter seen
  }

  /** Opens entries of the log; gives the bodies that are new and sound, and says why others were left out. */
  async opened(frames) {
    const bodies = [];
    this.server.keep(frames);
    for (const { number, id, sealed } of frames) {
      this.last = Math.max(this.last, number);
      const key = toB64(id);
      if (this.known.has(key)) continue;
      try {
        const plain = await open(this.keys, purposes.entry, this.folder, id, sealed);
        const entry = await checkedEntry(this.folder, id, plain);
        this.known.add(key);
        bodies.push(entry);
      } catch (error) {
        this.tell({ event: 'trouble', what: error.message, meaning: 'the rest of the case is as it was', remedy: '' });
      }
    }
    return bodies;
  }

  connect() {
    if (this.closed) return;
    this.session = random(16);
    this.counts.clear();
    const socket = this.server.room(this.session);
    this.socket = socket;
    socket.addEventListener('message', ({ data }) => {
      this.working = this.working.then(() => this.hear(socket, data)).catch((error) => console.warn(error));
      this.first(this.working);
    });
    socket.addEventListener('close', () => this.disconnected(socket));
    socket.addEventListener('error', () => socket.close());
  }

  disconnected(socket) {
    if (this.closed || socket !== this.socket) return;
    this.say('offline');
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.connect(), this.pause * (0.75 + Math.random() / 2));
    this.pause = Math.min(longestPause, this.pause * 2);
    if (this.pause > 4 * firstPause) this.lookWhy();
  }

  /** After some tries: whether the case is still there at all. */
  async lookWhy() {
    await this.server.about().catch((error) => { if (error.status === 404) this.ended(); });
  }

  /** What this link may do, as the room greets: the right to change may have been taken away. */
  greeted(words) {
    const changes = JSON.parse(words).change === true;
    if (this.keys.write && !changes && !this.viewing) this.onlyViewing();
  }

  onlyViewing() {
    this.viewing = true;
    this.setQueue([]);
    this.tell({ event: 'viewing' });
  }

  /** Own entries that the server has not acknowledged; kept beyond a reload, unless on a shared computer. */
  setQueue(entries) {
    this.queue = entries;
    if (this.keep) this.kept = this.kept.then(() => this.keepQueue(entries)).catch((error) => console.warn(error));
  }

  async keepQueue(entries) {
    for (const entry of entries) await this.seal(entry);
    await keepWaiting(this.folder, entries.map(({ id, sealed }) => ({ id, sealed })));
  }

  ended() {
    this.close();
    this.tell({ event: 'trouble', ends: true, what: 'The shared case is no longer on the server',
      meaning: 'it ended, or was deleted or revoked; the case stays open here as it is', remedy: 'ask whoever shared it' });
  }

  say(state) {
    this.state = state;
    this.tell({ event: 'connection', state, waiting: this.queue.length });
  }

  async hear(socket, data) {
    if (socket !== this.socket || this.closed) return;
    if (typeof data === 'string') {
      try {
        this.greeted(data);
        await this.catchUp();
      } catch {
        socket.close();  // and once more
        return;
      }
      this.pause = firstPause;
      this.say('live');
      this.send();
      return;
    }
    const message = readRoomMessage(new Uint8Array(data));
    if (message?.kind === 'left') this.tell({ event: 'left', session: toB64(message.session) });
    if (message?.kind === 'live') await this.hearLive(message);
    if (message?.kind === 'entry') await this.hearEntry(message);
  }

  async hearEntry(message) {
    if (message.number > this.last + 1) {
      await this.catchUp();
      return;
    }
    const entries = await this.opened([message]);
    if (entries.length) this.tell({ event: 'entries', bodies: entries.map((entry) => entry.text) });
  }

  async catchUp() {
    const entries = await this.opened(await this.server.log(this.last));
    if (entries.length) this.tell({ event: 'entries', bodies: entries.map((entry) => entry.text) });
  }

  async hearLive({ session, sealed }) {
    const name = toB64(session);
    try {
      const plain = await open(this.keys, purposes.live, this.folder, session, sealed);
      const { body, counts } = await checkedLive(this.folder, this.changeKey, plain);
      if (!(body.count > (this.counts.get(name) ?? 0))) return;  // sent again, or overtaken
      this.counts.set(name, body.count);
      this.tell({ event: 'live', session: name, body, counts });
    } catch (error) {
      console.warn(error.message);
    }
  }

  live(text, signed) {
    if (this.state !== 'live' || this.socket.bufferedAmount > fullBuffer) return;
    const { socket, session } = this;
    this.lives = this.lives.then(async () => {
      const plain = await signedLive(this.folder, signed ? this.keys.change : null, text);
      const sealed = await seal(this.keys, purposes.live, this.folder, session, plain);
      if (socket === this.socket && socket.readyState === WebSocket.OPEN) socket.send(liveFrame(session, sealed));
    }).catch((error) => console.warn(error));
  }

  /** An own entry: signed, sealed, kept until the server has it. */
  append(text) {
    const { id } = JSON.parse(text);
    this.known.add(id);
    const entry = { id, text, sealed: null };
    this.setQueue([...this.queue, entry]);
    this.first(this.seal(entry));
    this.send();
  }

  /** Signs and seals it, once. */
  seal(entry) {
    entry.sealing ??= entry.sealed ? Promise.resolve() : (async () => {
      const plain = await signedEntry(this.folder, this.keys.change, this.person, entry.text);
      entry.sealed = await seal(this.keys, purposes.entry, this.folder, fromB64(entry.id), plain);
    })();
    return entry.sealing;
  }

  /** Own entries that an earlier page could not send; those that the log has are left out. */
  async takeWaiting(kept) {
    const entries = [];
    for (const { id, sealed } of kept) {
      if (this.known.has(id)) continue;
      try {
        const plain = await open(this.keys, purposes.entry, this.folder, fromB64(id), sealed);
        entries.push({ id, sealed, text: (await checkedEntry(this.folder, fromB64(id), plain)).text });
        this.known.add(id);
      } catch (error) {
        this.tell({ event: 'trouble', what: error.message, meaning: 'the rest of the case is as it was', remedy: '' });
      }
    }
    this.setQueue(entries);
    return entries;
  }

  send() {
    this.sending ??= this.sendAll().finally(() => { this.sending = null; });
    return this.sending;
  }

  async sendAll() {
    while (this.queue.length && !this.closed) {
      const [entry] = this.queue;
      try {
        await this.seal(entry);
        const number = await this.server.append(entry.id, entry.sealed);
        this.server.keep([{ number, id: fromB64(entry.id), sealed: entry.sealed }]);
        if (number === this.last + 1) this.last = number;
        this.setQueue(this.queue.filter((other) => other !== entry));
        this.say(this.state);
      } catch (error) {
        if (!this.notSent(error)) return;
        await new Promise((resolve) => { setTimeout(resolve, 2000); });
      }
    }
  }

  /** Whether it is to be tried again by itself; without a connection it is when that is back. */
  notSent(error) {
    const again = error.status === 429 || error.status === 507 || error.status >= 500;
    if (error.status === 404 || error.status === 403 || error.status === 401) {
      this.setQueue([]);
      this.tell({ event: 'trouble', what: 'The server does not take changes with this link any more',
        meaning: 'what was done last is here and with nobody else', remedy: 'save the case as a file, or ask whoever shared it' });
      this.lookWhy().then(() => this.socket?.close());  // and the room says what is left to do
    } else if (error.status === 413) {
      this.setQueue(this.queue.slice(1));
      this.tell({ event: 'trouble', what: error.message, meaning: 'this change is with nobody else', remedy: 'make it smaller' });
      return true;
    }
    this.say(this.state ?? 'offline');
    return again;
  }

  close() {
    this.closed = true;
    clearTimeout(this.timer);
    this.socket?.close();
  }
}
