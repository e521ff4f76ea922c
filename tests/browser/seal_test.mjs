// The page's keys, seals and signatures against vectors made by Node's crypto module (tests/review/make_vectors.mjs).
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { root } from './page.mjs';

// Node 18 takes a file with this ending for no module; the bytes are.
const page = readFileSync(join(root, 'web/page/seal.js'));
const sealing = await import(`data:text/javascript;base64,${page.toString('base64')}`);

const vectors = JSON.parse(readFileSync(join(root, 'tests/review/vectors.json'), 'utf8'));
const bytes = (hex) => Uint8Array.from(Buffer.from(hex, 'hex'));
const { purposes } = sealing;
const ready = async () => sealing.keysOf(bytes(vectors.view), bytes(vectors.change));

test('seal: keys and links follow from the secrets', async () => {
  const keys = await ready();
  assert.equal(sealing.toHex(keys.read), vectors.keys.read);
  assert.equal(sealing.toHex(keys.write), vectors.keys.write);
  assert.equal(sealing.toHex(await sealing.ownToken(bytes(vectors.own))), vectors.keys.own);
  assert.equal(sealing.toHex(keys.change.bytes), vectors.change_public);
  const links = await sealing.linksOf(vectors.folder, bytes(vectors.view), bytes(vectors.change), keys.change.bytes);
  assert.deepEqual(links, vectors.links);
  const read = sealing.readLink(vectors.links.change);
  assert.equal(sealing.toHex(read.change), vectors.change);
  const viewing = sealing.readLink(`http://localhost/#${vectors.links.view}`);
  assert.equal(viewing.change, null);
  assert.ok(await sealing.fitsCheck(keys.change.bytes, viewing.check));
  assert.equal(await sealing.fitsCheck(bytes(vectors.author_public), viewing.check), false);
  assert.equal(sealing.readLink('review=1.short.x'), null);
});

test('seal: a piece, an entry and a live message come out byte for byte', async () => {
  const keys = await ready();
  const nonce = bytes(vectors.nonce);
  const piece = bytes(vectors.piece.plain);
  assert.equal(await sealing.pieceName(keys, piece), vectors.piece.name_b64);
  const sealed = await sealing.seal(keys, purposes.piece, vectors.folder, vectors.piece.name_b64, piece, nonce);
  assert.equal(sealing.toHex(sealed), vectors.piece.sealed);
  const entry = await sealing.open(keys, purposes.entry, vectors.folder, bytes(vectors.entry.id), bytes(vectors.entry.sealed));
  assert.equal(sealing.toHex(entry), vectors.entry.plain);
  const { text } = await sealing.checkedEntry(vectors.folder, bytes(vectors.entry.id), entry);
  assert.equal(text, vectors.entry.body_text);
  const live = await sealing.open(keys, purposes.live, vectors.folder, bytes(vectors.live.session), bytes(vectors.live.sealed));
  assert.deepEqual(await sealing.checkedLive(vectors.folder, keys.change.bytes, live),
    { body: JSON.parse(vectors.live.body_text), counts: true });
  const again = await sealing.signedLive(vectors.folder, keys.change, vectors.live.body_text);
  assert.equal(sealing.toHex(again), vectors.live.plain, 'Ed25519 signatures are deterministic');
});

test('seal: what was altered, swapped or sealed elsewhere is refused in words', async () => {
  const keys = await ready();
  const id = bytes(vectors.entry.id);
  const good = bytes(vectors.entry.sealed);
  const refused = async (change, words, folder = vectors.folder, context = id) => {
    const bad = good.slice();
    change(bad);
    await assert.rejects(sealing.open(keys, purposes.entry, folder, context, bad), words);
  };
  for (const at of [2, 14, 100, good.length - 1]) await refused((b) => { b[at] ^= 1; }, /altered/);
  await refused((b) => { b[0] = 2; }, /another version/);
  await refused((b) => { b[1] = 3; }, /another purpose/);
  await refused(() => {}, /another place/, vectors.folder.replace(/.$/, 'A'));
  await refused(() => {}, /another place/, vectors.folder, sealing.random(16));
  await assert.rejects(sealing.open(keys, purposes.entry, vectors.folder, id, good.subarray(0, 20)), /too short/);
  const plain = bytes(vectors.entry.plain);
  plain[3] ^= 1;
  await assert.rejects(sealing.checkedEntry(vectors.folder, id, plain), /not signed/);
  await assert.rejects(sealing.checkedEntry(vectors.folder, sealing.random(16), bytes(vectors.entry.plain)), /another number/);
  const live = bytes(vectors.live.plain);
  live[0] ^= 1;
  assert.equal((await sealing.checkedLive(vectors.folder, keys.change.bytes, live)).counts, false);
});

// The page has no build step between these two files; here the one is handed the other.
const inboxPage = readFileSync(join(root, 'web/page/inbox_seal.js'), 'utf8')
  .replace("'./seal.js'", `'data:text/javascript;base64,${page.toString('base64')}'`);
const inbox = await import(`data:text/javascript;base64,${Buffer.from(inboxPage).toString('base64')}`);

async function teacherOfVectors() {
  const point = bytes(vectors.inbox.point);
  const b64 = (part) => Buffer.from(part).toString('base64url');
  const jwk = { kty: 'EC', crv: 'P-256', x: b64(point.subarray(1, 33)), y: b64(point.subarray(33)), d: b64(bytes(vectors.inbox.secret)) };
  return { key: await crypto.subtle.importKey('jwk', jwk, { name: 'ECDH', namedCurve: 'P-256' }, false, ['deriveBits']), point };
}

test('seal: a result for a teacher opens as another program sealed it, and nowhere else', async () => {
  const teacher = await teacherOfVectors();
  const place = { folder: vectors.folder, id: bytes(vectors.inbox.id), set: vectors.inbox.set_text };
  const sealed = bytes(vectors.inbox.sealed);
  assert.equal(await inbox.openResult(teacher, place, sealed), vectors.inbox.plain_text);
  const fresh = await inbox.sealResult(teacher.point, place, 'res2-y');
  assert.equal(await inbox.openResult(teacher, place, fresh), 'res2-y');
  for (const other of [{ ...place, set: 'set1-other.0' }, { ...place, folder: 'BAECAwQFBgcICQoLDA0ODw' }, { ...place, id: new Uint8Array(16) }]) {
    await assert.rejects(inbox.openResult(teacher, other, sealed), /left out/);
  }
  await assert.rejects(inbox.openResult(await inbox.newInboxKey(), place, sealed), /left out/);
  for (let at = 0; at < sealed.length; at += 1) {
    const altered = sealed.slice();
    altered[at] ^= 1;
    await assert.rejects(inbox.openResult(teacher, place, altered), /left out/);
  }
  await assert.rejects(inbox.openResult(teacher, place, sealed.subarray(0, 94)), /too short/);
});
