// What this browser keeps of shared cases: the person's key pair, the secrets of the one who shared, entries not yet with the
// server, and of what was opened a copy as sealed as the server has it; on a shared computer nothing of that is written. And what
// opens a teacher's inboxes.
import { newPerson } from './seal.js';

const stores = ['person', 'owned', 'waiting', 'copies', 'entries', 'pieces', 'inboxes'];

function database() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('intercusp-review', 3);
    request.onupgradeneeded = () => stores.filter((name) => !request.result.objectStoreNames.contains(name))
      .forEach((name) => request.result.createObjectStore(name));
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

async function inStore(name, mode, work) {
  const db = await database();
  try {
    return await new Promise((resolve, reject) => {
      const transaction = db.transaction(name, mode);
      const request = work(transaction.objectStore(name));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = transaction.onerror = () => reject(transaction.error ?? request?.error);
    });
  } finally {
    db.close();
  }
}

/** True for the first page of this browser that asks, until it is closed: two pages with one key would number their entries
 alike. */
function onlyPage() {
  if (!navigator.locks) return Promise.resolve(true);
  return new Promise((resolve) => {
    navigator.locks.request('intercusp-review-person', { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      return lock ? new Promise(() => {}) : undefined;
    }).catch(() => resolve(true));
  });
}

let here = null;

/** The person's key pair: made on first use and kept, but for a shared computer or a second page of the same browser. */
export async function person(keep) {
  if (here) return here;
  if (keep && await onlyPage()) {
    try {
      here = await inStore('person', 'readonly', (store) => store.get('key')) ?? await newPerson();
      await inStore('person', 'readwrite', (store) => store.put(here, 'key'));
      return here;
    } catch {
      // A browser without storage: the key lives as long as the page.
    }
  }
  here ??= await newPerson();
  return here;
}

/** The key pair that signs results of practice: the person's, also in a second page of this browser, since results are not
 numbered. Two pages that make it at the same moment agree on the first. */
export async function signer() {
  try {
    const kept = await inStore('person', 'readonly', (store) => store.get('key'));
    if (kept) return kept;
    const fresh = await newPerson();
    await inStore('person', 'readwrite', (store) => store.add(fresh, 'key')).catch(() => {});
    return await inStore('person', 'readonly', (store) => store.get('key')) ?? fresh;
  } catch {
    return here ?? person(false);  // a browser without storage
  }
}

/** What opens a teacher's inbox: {read, own, pair}. Not quietly: without it nobody reads what students send there. */
export const keepInbox = (folder, secrets) => inStore('inboxes', 'readwrite', (store) => store.put(secrets, folder));
export const keptInbox = (folder) => inStore('inboxes', 'readonly', (store) => store.get(folder));
export const forgetInbox = (folder) => inStore('inboxes', 'readwrite', (store) => store.delete(folder));

const quietly = (promise) => promise.catch(() => undefined);

export const keepOwned = (folder, secrets) => quietly(inStore('owned', 'readwrite', (store) => store.put(secrets, folder)));
export const ownedSecrets = (folder) => quietly(inStore('owned', 'readonly', (store) => store.get(folder)));
export const forgetOwned = (folder) => quietly(inStore('owned', 'readwrite', (store) => store.delete(folder)));

/** Entries of a folder that the server has not acknowledged, as they will be sent: [{id, sealed}]. */
export const keepWaiting = (folder, entries) => quietly(inStore('waiting', 'readwrite',
  (store) => (entries.length ? store.put(entries, folder) : store.delete(folder))));
export const waitingEntries = async (folder) => await quietly(inStore('waiting', 'readonly', (store) => store.get(folder))) ?? [];

/** Everything of a folder in a store whose keys are [folder, ...]. */
const ofFolder = (folder) => IDBKeyRange.bound([folder], [folder, []]);

/** What the server said last of a folder that is kept here: {ends}; nothing where none is, or its days are over. */
export async function keptAbout(folder) {
  const about = await quietly(inStore('copies', 'readonly', (store) => store.get(folder)));
  if (about && about.ends <= Date.now()) {
    await forgetCopy(folder);
    return undefined;
  }
  return about;
}

export const keepAbout = (folder, about) => quietly(inStore('copies', 'readwrite', (store) => store.put(about, folder)));

/** Entries as they came, [{number, id, sealed}]. */
export const keepEntries = (folder, frames) => quietly(inStore('entries', 'readwrite',
  (store) => frames.forEach((frame) => store.put(frame, [folder, frame.number]))));

/** The kept entries from the first on, up to the first that is missing. */
export async function keptEntries(folder) {
  const frames = await quietly(inStore('entries', 'readonly', (store) => store.getAll(ofFolder(folder)))) ?? [];
  const gap = frames.findIndex(({ number }, i) => number !== i + 1);
  return gap < 0 ? frames : frames.slice(0, gap);
}

export const keepPiece = (folder, name, sealed) => quietly(inStore('pieces', 'readwrite', (store) => store.put(sealed, [folder, name])));
export const keptPiece = (folder, name) => quietly(inStore('pieces', 'readonly', (store) => store.get([folder, name])));

export async function forgetCopy(folder) {
  await quietly(inStore('copies', 'readwrite', (store) => store.delete(folder)));
  for (const name of ['entries', 'pieces']) await quietly(inStore(name, 'readwrite', (store) => store.delete(ofFolder(folder))));
}

/** Lets go of copies whose days are over. */
export async function forgetEnded() {
  const folders = await quietly(inStore('copies', 'readonly', (store) => store.getAllKeys())) ?? [];
  for (const folder of folders) await keptAbout(folder);
}
