// Keys, seals and signatures of shared cases, exactly as docs/review-protocol.md has them. WebCrypto alone; tests/review/
// vectors.json holds what must come out.
const encoder = new TextEncoder();
const decoder = new TextDecoder();
const subtle = globalThis.crypto?.subtle;

export const purposes = { piece: 1, entry: 2, live: 3 };
const version = 1;
const words = 'intercusp review 1';
const nonceSize = 12;
const tagSize = 16;
const signatureSize = 64;
export const pieceSize = 1 << 20;

export const random = (size) => crypto.getRandomValues(new Uint8Array(size));

export function toB64(bytes) {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
}

/** Bytes of base64url text, or null where it is none. */
export function fromB64(text) {
  if (typeof text !== 'string' || !/^[\w-]*$/.test(text)) return null;
  try {
    const binary = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
    return Uint8Array.from(binary, (letter) => letter.charCodeAt(0));
  } catch {
    return null;
  }
}

export const toHex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');

export function joined(...parts) {
  const all = new Uint8Array(parts.reduce((size, part) => size + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

const equal = (a, b) => a.length === b.length && a.every((byte, i) => byte === b[i]);

export const sha256 = async (bytes) => new Uint8Array(await subtle.digest('SHA-256', bytes));

async function derived(secret, info) {
  const key = await subtle.importKey('raw', secret, 'HKDF', false, ['deriveBits']);
  const how = { name: 'HKDF', hash: 'SHA-256', salt: new Uint8Array(0), info: encoder.encode(`${words} ${info}`) };
  return new Uint8Array(await subtle.deriveBits(how, key, 256));
}

const publicKeys = new Map();  // few: the change key of a case and one of each person

/** Each answer of WebCrypto waits for the page's turn: a key that was read once is kept. */
function publicKey(bytes) {
  const name = toB64(bytes);
  if (publicKeys.size > 200) publicKeys.clear();
  if (!publicKeys.has(name)) publicKeys.set(name, subtle.importKey('raw', bytes, 'Ed25519', false, ['verify']));
  return publicKeys.get(name);
}

/** The pair of a seed (RFC 8032), as PKCS #8 (RFC 8410) wraps it: WebCrypto gives its public half as a JWK. */
async function pairOfSeed(seed) {
  const head = Uint8Array.of(0x30, 0x2e, 2, 1, 0, 0x30, 5, 6, 3, 0x2b, 0x65, 0x70, 4, 0x22, 4, 0x20);
  const wrapped = joined(head, seed);
  const open = await subtle.importKey('pkcs8', wrapped, 'Ed25519', true, ['sign']);
  const { x } = await subtle.exportKey('jwk', open);
  return { sign: await subtle.importKey('pkcs8', wrapped, 'Ed25519', false, ['sign']), bytes: fromB64(x) };
}

/** Everything that follows from a link: V, and C where the link carries it. */
export async function keysOf(view, change) {
  const seal = await derived(view, 'seal');
  const name = await derived(view, 'name');
  const keys = {
    seal: await subtle.importKey('raw', seal, 'AES-GCM', false, ['encrypt', 'decrypt']),
    name: await subtle.importKey('raw', name, { name: 'HMAC', hash: 'SHA-256' }, false, ['sign']),
    read: await derived(view, 'read'),
    write: null,
    change: null,
  };
  if (!change) return keys;
  keys.write = await derived(change, 'write');
  keys.change = await pairOfSeed(change);
  return keys;
}

export const ownToken = (own) => derived(own, 'own');

/** A person's pair: its private half never leaves the browser's key store. */
export async function newPerson() {
  const pair = await subtle.generateKey('Ed25519', false, ['sign', 'verify']);
  return { sign: pair.privateKey, bytes: new Uint8Array(await subtle.exportKey('raw', pair.publicKey)) };
}

const additional = (purpose, folder, context) => joined(encoder.encode(words), Uint8Array.of(purpose), encoder.encode(folder),
  Uint8Array.of(0), typeof context === 'string' ? encoder.encode(context) : context);

/** Seals bytes for one place: a piece (its name), an entry (its id) or a live message (the sender's session). */
export async function seal(keys, purpose, folder, context, plain, nonce = random(nonceSize)) {
  const how = { name: 'AES-GCM', iv: nonce, additionalData: additional(purpose, folder, context), tagLength: 128 };
  const sealed = new Uint8Array(await subtle.encrypt(how, keys.seal, plain));
  return joined(Uint8Array.of(version, purpose), nonce, sealed);
}

/** The inverse; throws an Error with a sentence for what was not sealed for this place. */
export async function open(keys, purpose, folder, context, sealed) {
  if (sealed.length < 2 + nonceSize + tagSize) throw new Error('A message is too short to be sealed: it was left out.');
  if (sealed[0] !== version) throw new Error('A message was sealed by another version of the program: it was left out.');
  if (sealed[1] !== purpose) throw new Error('A message was sealed for another purpose: it was left out.');
  const how = { name: 'AES-GCM', iv: sealed.subarray(2, 2 + nonceSize), additionalData: additional(purpose, folder, context),
    tagLength: 128 };
  try {
    return new Uint8Array(await subtle.decrypt(how, keys.seal, sealed.subarray(2 + nonceSize)));
  } catch {
    throw new Error('A message was altered, or stands in another place than the one it was sealed for: it was left out.');
  }
}

export const pieceName = async (keys, plain) => toB64(new Uint8Array(await subtle.sign('HMAC', keys.name, plain)));

const signedBytes = (kind, folder, body) => joined(encoder.encode(`${words} ${kind}${folder}`), Uint8Array.of(0), body);
const sign = async (pair, bytes) => new Uint8Array(await subtle.sign('Ed25519', pair.sign, bytes));
const verified = async (bytes, key, signature) => subtle.verify('Ed25519', await publicKey(key), signature, bytes);

/** An entry before it is sealed: both signatures, then the body. */
export async function signedEntry(folder, change, person, text) {
  const body = encoder.encode(text);
  const bytes = signedBytes('entry', folder, body);
  return joined(...await Promise.all([sign(change, bytes), sign(person, bytes)]), body);
}

/** The body of an opened entry whose id is `id`; throws a sentence where a signature does not fit. */
export async function checkedEntry(folder, id, plain) {
  const text = decoder.decode(plain.subarray(2 * signatureSize));
  let fields;
  try {
    fields = JSON.parse(text);
  } catch {
    throw new Error('An entry is not readable: it was left out.');
  }
  const keys = [fromB64(fields.change), fromB64(fields.author)];
  if (fields.id !== toB64(id)) throw new Error('An entry stands under another number than its own: it was left out.');
  const bytes = signedBytes('entry', folder, plain.subarray(2 * signatureSize));
  const sound = await Promise.all(keys.map(async (key, i) => key?.length === 32
    && verified(bytes, key, plain.subarray(i * signatureSize, (i + 1) * signatureSize))));
  if (!sound.every((fits) => fits)) {
    throw new Error(`An entry under the name ${String(fields.name)} is not signed as it says: it was left out.`);
  }
  return { text, fields };
}

/** A live message before it is sealed: the change key's signature where it moves something, else zeros; then the body. */
export async function signedLive(folder, change, text) {
  const body = encoder.encode(text);
  return joined(change ? await sign(change, signedBytes('live', folder, body)) : new Uint8Array(signatureSize), body);
}

export async function checkedLive(folder, changeKey, plain) {
  const signature = plain.subarray(0, signatureSize);
  const body = plain.subarray(signatureSize);
  const signed = signature.some((byte) => byte !== 0) && changeKey?.length === 32;
  const counts = signed && await verified(signedBytes('live', folder, body), changeKey, signature);
  return { body: JSON.parse(decoder.decode(body)), counts };
}

/** What a link says; null where it is none. The last part is the change seed (32 bytes), or in a link for viewing the first 16
 bytes of the SHA-256 of the public change key. */
export function readLink(text) {
  const found = /review=1\.([\w-]{22})\.([\w-]{43})(?:\.([\w-]{43}|[\w-]{22}))?$/.exec(text);
  if (!found) return null;
  const last = found[3] ? fromB64(found[3]) : null;
  return { folder: found[1], view: fromB64(found[2]), change: last?.length === 32 ? last : null,
    check: last?.length === 16 ? last : null };
}

export async function linksOf(folder, view, change, changePublic) {
  const check = (await sha256(changePublic)).subarray(0, 16);
  const start = `review=1.${folder}.${toB64(view)}`;
  return { view: `${start}.${toB64(check)}`, change: change ? `${start}.${toB64(change)}` : '' };
}

/** Whether a public change key is the one that a link for viewing names. */
export const fitsCheck = async (key, check) => equal((await sha256(key)).subarray(0, 16), check);
