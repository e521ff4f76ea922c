// Results of practice sealed to a teacher's public key, exactly as docs/review-protocol.md has it ("A teacher's inbox").
// WebCrypto alone: ECDH on P-256, HKDF-SHA256, AES-256-GCM.
import { joined, random, sha256 } from './seal.js';

const encoder = new TextEncoder();
const subtle = globalThis.crypto?.subtle;
const curve = { name: 'ECDH', namedCurve: 'P-256' };
const words = 'intercusp practice 1';
const version = 1;
const purpose = 4;
const pointSize = 65;
const nonceSize = 12;
const tagSize = 16;

/** A teacher's pair: {key, point}. Its private half never leaves the browser's key store. */
export async function newInboxKey() {
  const pair = await subtle.generateKey(curve, false, ['deriveBits']);
  return { key: pair.privateKey, point: new Uint8Array(await subtle.exportKey('raw', pair.publicKey)) };
}

/** The key of one message; both public halves are in it. `mine` is a private key, `other` the point it meets. */
async function messageKey(mine, other, ofMessage, ofTeacher, use) {
  const met = await subtle.importKey('raw', other, curve, false, []);
  const common = await subtle.deriveBits({ name: 'ECDH', public: met }, mine, 256);
  const secret = await subtle.importKey('raw', common, 'HKDF', false, ['deriveKey']);
  const info = joined(encoder.encode(`${words} inbox`), Uint8Array.of(0), ofMessage, ofTeacher);
  const how = { name: 'HKDF', hash: 'SHA-256', salt: new Uint8Array(0), info };
  return subtle.deriveKey(how, secret, { name: 'AES-GCM', length: 256 }, false, [use]);
}

async function gcm(nonce, { folder, id, set }) {
  const bound = joined(encoder.encode(words), Uint8Array.of(purpose), encoder.encode(folder), Uint8Array.of(0), id,
    await sha256(encoder.encode(set)));
  return { name: 'AES-GCM', iv: nonce, additionalData: bound, tagLength: 8 * tagSize };
}

/** Seals a text for one place: {folder, id (16 bytes), set (its code)}. `to`: the teacher's public key, 65 bytes. */
export async function sealResult(to, place, text) {
  const once = await newInboxKey();
  const key = await messageKey(once.key, to, once.point, to, 'encrypt');
  const nonce = random(nonceSize);
  const sealed = new Uint8Array(await subtle.encrypt(await gcm(nonce, place), key, encoder.encode(text)));
  return joined(Uint8Array.of(version, purpose), once.point, nonce, sealed);
}

/** The inverse, with a pair of newInboxKey; throws an Error with a sentence for what was not sealed for this place. */
export async function openResult(pair, place, sealed) {
  const nonceAt = 2 + pointSize;
  const textAt = nonceAt + nonceSize;
  if (sealed.length < textAt + tagSize) throw new Error('A result is too short to be sealed: it was left out.');
  if (sealed[0] !== version) throw new Error('A result was sealed by another version of the program: it was left out.');
  if (sealed[1] !== purpose) throw new Error('A message was sealed for another purpose: it was left out.');
  const point = sealed.slice(2, nonceAt);
  try {
    const key = await messageKey(pair.key, point, point, pair.point, 'decrypt');
    const plain = await subtle.decrypt(await gcm(sealed.slice(nonceAt, textAt), place), key, sealed.slice(textAt));
    return new TextDecoder().decode(plain);
  } catch {
    throw new Error('A result was altered, is of another set, or was not sealed for this inbox: it was left out.');
  }
}
