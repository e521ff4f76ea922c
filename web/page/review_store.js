// What this browser keeps of shared cases: the person's key pair, the secrets of the one who shared, entries not yet with the
// server. On a shared computer nothing of it is written.
import { newPerson } from './seal.js';

const stores = ['person', 'owned', 'waiting'];

function database() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('intercusp-review', 1);
    request.onupgradeneeded = () => stores.forEach((name) => request.result.createObjectStore(name));
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

const quietly = (promise) => promise.catch(() => undefined);

export const keepOwned = (folder, secrets) => quietly(inStore('owned', 'readwrite', (store) => store.put(secrets, folder)));
export const ownedSecrets = (folder) => quietly(inStore('owned', 'readonly', (store) => store.get(folder)));
export const forgetOwned = (folder) => quietly(inStore('owned', 'readwrite', (store) => store.delete(folder)));

/** Entries of a folder that the server has not acknowledged: [{id, text, sealed}]. */
export const keepWaiting = (folder, entries) => quietly(inStore('waiting', 'readwrite',
  (store) => (entries.length ? store.put(entries, folder) : store.delete(folder))));
export const waitingEntries = async (folder) => await quietly(inStore('waiting', 'readonly', (store) => store.get(folder))) ?? [];
