// Writes tests/review/vectors.json: what keys, seals and signatures must come out for given secrets and nonces, made with
// Node's own crypto module from the words of docs/review-protocol.md, apart from the page's code:
//   node tests/review/make_vectors.mjs
import { createCipheriv, createECDH, createHash, createHmac, createPrivateKey, createPublicKey, hkdfSync, sign } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const hex = (bytes) => Buffer.from(bytes).toString('hex');
const b64 = (bytes) => Buffer.from(bytes).toString('base64url');
const counted = (size, from) => Buffer.from(Array.from({ length: size }, (_, i) => (from + i) & 255));
const words = 'intercusp review 1';

const view = counted(32, 0);
const change = counted(32, 64);
const own = counted(32, 128);
const person = counted(32, 200);
const folder = b64(counted(16, 32));

const derived = (secret, info) => Buffer.from(hkdfSync('sha256', secret, Buffer.alloc(0), `${words} ${info}`, 32));
const privateOf = (seed) => createPrivateKey({ key: Buffer.concat([Buffer.from('302e020100300506032b657004220420', 'hex'), seed]),
  format: 'der', type: 'pkcs8' });
const publicOf = (seed) => createPublicKey(privateOf(seed)).export({ format: 'der', type: 'spki' }).subarray(-32);
const sha256 = (bytes) => createHash('sha256').update(bytes).digest();

const keys = { seal: derived(view, 'seal'), name: derived(view, 'name'), read: derived(view, 'read'),
  write: derived(change, 'write'), own: derived(own, 'own') };

function sealed(purpose, context, plain, nonce) {
  const cipher = createCipheriv('aes-256-gcm', keys.seal, nonce);
  cipher.setAAD(Buffer.concat([Buffer.from(words), Buffer.from([purpose]), Buffer.from(folder), Buffer.from([0]), context]));
  const body = Buffer.concat([cipher.update(plain), cipher.final()]);
  return Buffer.concat([Buffer.from([1, purpose]), nonce, body, cipher.getAuthTag()]);
}

const signed = (kind, body, seed) => sign(null, Buffer.concat([Buffer.from(`${words} ${kind}${folder}`), Buffer.from([0]), body]),
  privateOf(seed));

const changePublic = publicOf(change);
const author = publicOf(person);
const piecePlain = Buffer.from('a piece of a body');
const pieceName = b64(createHmac('sha256', keys.name).update(piecePlain).digest());
const id = counted(16, 5);
const entryBody = Buffer.from(JSON.stringify({ author: b64(author), before: '', change: b64(changePublic), clock: 1, count: 1,
  do: 'resolve', id: b64(id), name: 'R. Falk', resolved: true, role: 'surgeon', seen: {}, time: 1770000000000, to: b64(id) }));
const entryPlain = Buffer.concat([signed('entry', entryBody, change), signed('entry', entryBody, person), entryBody]);
const session = counted(16, 77);
const liveBody = Buffer.from('{"count":1,"moves":{"entries":[],"first_jaw":"upper","on":"","plan":"A"},"name":"R. Falk"}');
const livePlain = Buffer.concat([signed('live', liveBody, change), liveBody]);
const nonce = counted(12, 9);

/** A result in a teacher's inbox: the pair of the message and that of the teacher from fixed secrets. */
function inboxResult() {
  const [teacher, once] = [counted(32, 40), counted(32, 90)].map((secret) => {
    const pair = createECDH('prime256v1');
    pair.setPrivateKey(secret);
    return pair;
  });
  const [ofTeacher, ofMessage] = [teacher.getPublicKey(), once.getPublicKey()];
  const info = Buffer.concat([Buffer.from('intercusp practice 1 inbox'), Buffer.from([0]), ofMessage, ofTeacher]);
  const key = Buffer.from(hkdfSync('sha256', once.computeSecret(ofTeacher), Buffer.alloc(0), info, 32));
  const set = 'set1-example.0123456789';
  const text = 'res2-an example of a result';
  const cipher = createCipheriv('aes-256-gcm', key, nonce);
  cipher.setAAD(Buffer.concat([Buffer.from('intercusp practice 1'), Buffer.from([4]), Buffer.from(folder), Buffer.from([0]), id,
    sha256(Buffer.from(set))]));
  const body = Buffer.concat([cipher.update(text), cipher.final()]);
  return { secret: hex(counted(32, 40)), point: hex(ofTeacher), id: hex(id), set_text: set, plain_text: text,
    sealed: hex(Buffer.concat([Buffer.from([1, 4]), ofMessage, nonce, body, cipher.getAuthTag()])) };
}

const vectors = {
  made_with: 'node:crypto (OpenSSL), by tests/review/make_vectors.mjs; hex unless the name says b64 or text',
  view: hex(view), change: hex(change), own: hex(own), person: hex(person), folder,
  keys: Object.fromEntries(Object.entries(keys).map(([name, bytes]) => [name, hex(bytes)])),
  change_public: hex(changePublic), author_public: hex(author),
  author_fingerprint: hex(sha256(author)).slice(0, 20).replace(/(.{4})(?=.)/g, '$1 '),
  token_hashes: { read: hex(sha256(keys.read)), write: hex(sha256(keys.write)), own: hex(sha256(keys.own)) },
  links: {
    view: `review=1.${folder}.${b64(view)}.${b64(sha256(changePublic).subarray(0, 16))}`,
    change: `review=1.${folder}.${b64(view)}.${b64(change)}`,
  },
  nonce: hex(nonce),
  piece: { plain: hex(piecePlain), name_b64: pieceName, sealed: hex(sealed(1, Buffer.from(pieceName), piecePlain, nonce)) },
  entry: { id: hex(id), body_text: entryBody.toString(), plain: hex(entryPlain), sealed: hex(sealed(2, id, entryPlain, nonce)) },
  live: { session: hex(session), body_text: liveBody.toString(), plain: hex(livePlain),
    sealed: hex(sealed(3, session, livePlain, nonce)) },
  inbox: inboxResult(),
};
writeFileSync(fileURLToPath(new URL('vectors.json', import.meta.url)), `${JSON.stringify(vectors, null, 2)}\n`);
