// What practice asks of the page (core/app/host.h, Host::practice): signatures, the teacher's inbox, and graded sets on the
// page's server.
import { newInboxKey, openResult, sealResult } from './inbox_seal.js';
import { Folder, gradedQuestion, makeFolder, makeGraded } from './review_server.js';
import { forgetInbox, keepInbox, keptInbox, signer } from './review_store.js';
import { fromB64, random, toB64 } from './seal.js';

const subtle = globalThis.crypto?.subtle;
const bytesOf = (text) => fromB64(text) ?? new Uint8Array(0);

async function sign({ bytes }) {
  const pair = await signer();
  const signature = new Uint8Array(await subtle.sign('Ed25519', pair.sign, bytesOf(bytes)));
  return { event: 'signed', key: toB64(pair.bytes), signature: toB64(signature) };
}

/** Whether each result is as it was signed. A browser that does not know the algorithm throws, and none is called sound. */
async function check({ results }) {
  await subtle.generateKey('Ed25519', false, ['sign', 'verify']);
  const sound = await Promise.all(results.map(async ({ key, signature, bytes }) => {
    try {
      const known = await subtle.importKey('raw', bytesOf(key), 'Ed25519', false, ['verify']);
      return await subtle.verify('Ed25519', known, bytesOf(signature), bytesOf(bytes));
    } catch {
      return false;
    }
  }));
  return { event: 'checked', sound };
}

/** What opens the inbox is kept before anybody gets its address. */
async function makeInbox({ set, days }) {
  const tokens = { read: random(32), write: random(32), own: random(32) };
  const pair = await newInboxKey();
  const { folder, ends } = await makeFolder(tokens, days);
  await keepInbox(folder, { read: tokens.read, own: tokens.own, pair });
  return { event: 'inbox', set, ends, inbox: `1.${folder}.${toB64(tokens.write)}.${toB64(pair.point)}` };
}

async function send({ inbox, set, result }) {
  const [, folder, write, key] = inbox.split('.');
  const id = random(16);
  const sealed = await sealResult(bytesOf(key), { folder, id, set }, result);
  await new Folder(folder, { write: bytesOf(write) }).append(toB64(id), sealed);
  return { event: 'sent' };
}

async function inboxHere(folder) {
  const kept = await keptInbox(folder);
  if (!kept) throw new Error('This inbox was not made in this browser: fetch the results where the set was made');
  return kept;
}

async function fetchAll({ folder, set }) {
  const { read, pair } = await inboxHere(folder);
  const results = [];
  const leftOut = [];
  for (const { id, sealed } of await new Folder(folder, { read }).log(0)) {
    try {
      results.push(await openResult(pair, { folder, id, set }, sealed));
    } catch (error) {
      leftOut.push(error.message);
    }
  }
  return { event: 'fetched', results, left_out: leftOut };
}

async function deleteInbox({ folder }) {
  const { own } = await inboxHere(folder);
  await new Folder(folder, {}, own).remove();
  await forgetInbox(folder);
  return { event: 'inbox_deleted' };
}

async function graded({ set, days }) {
  return { event: 'graded', ...await makeGraded(set, days) };
}

const busy = 503;
const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

/** A class that begins together asks for much at once: the server says so, and is asked again a while later. */
async function question({ sealed, at }) {
  for (let attempt = 0; ; ++attempt) {
    try {
      return { event: 'question', bytes: await gradedQuestion(sealed, at) };
    } catch (error) {
      if (error.status !== busy || attempt === 5) throw error;
      await pause(1000 + 500 * attempt);
    }
  }
}

const doing = { sign, check, inbox: makeInbox, send, fetch: fetchAll, delete_inbox: deleteInbox, graded, question };

const gone = 'There is no such inbox on the server: it ended or was deleted, or the link is not whole';
const ofInboxes = new Set(['send', 'fetch', 'delete_inbox']);

export class Practice {
  constructor() {
    this.program = null;
    this.frames = null;
  }

  /** A request of the program. 1 where this browser has keys. */
  ask(request) {
    if (!subtle || !doing[request.ask]) return 0;
    const tell = ({ bytes = new Uint8Array(0), ...event }) => {
      this.program.callWith('ic_practice', [JSON.stringify({ ...event, number: request.number ?? 0 }), bytes], false);
      this.frames.ask();
    };
    Promise.resolve().then(() => doing[request.ask](request)).then(tell, (error) => {
      console.warn(request.ask, error);
      tell({ event: 'trouble', asked: request.ask, what: error.status === 404 && ofInboxes.has(request.ask) ? gone : error.message });
    });
    return 1;
  }
}
