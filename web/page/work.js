// Keeps the work in the browser's own storage (IndexedDB), so that a reload or a crash loses nothing.
// One record per page tab and case; the last few are kept. Which one a tab goes on with is in its sessionStorage.
import { download } from './files.js';
import { notice, speak } from './notice.js';

const storeName = 'work';
const keptCases = 8;
let waiting = null;   // the newest record that is not written yet
let writing = null;   // promise of the write under way
let lastKept = 0;
let refused = false;  // the browser did not keep the last record
let ended = false;    // nothing is to be kept any more

function database() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('intercusp', 1);
    request.onupgradeneeded = () => request.result.createObjectStore(storeName, { keyPath: 'key' }).createIndex('when', 'when');
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** Runs one transaction; `work` gets the store and returns a request whose result is the answer. */
async function inStore(mode, work) {
  const db = await database();
  try {
    return await new Promise((resolve, reject) => {
      const transaction = db.transaction(storeName, mode);
      const request = work(transaction.objectStore(storeName));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = transaction.onerror = () => reject(transaction.error ?? request?.error);
    });
  } finally {
    db.close();
  }
}

function session(name, value) {
  try {
    if (value === undefined) return sessionStorage.getItem(`intercusp.${name}`);
    if (value === null) sessionStorage.removeItem(`intercusp.${name}`);
    else sessionStorage.setItem(`intercusp.${name}`, value);
  } catch {
    // A browser without storage: the work lives as long as the page.
  }
  return value ?? null;
}

/** From here on this tab's work goes into records of its own. */
export function startOwnWork() {
  session('tab', crypto.randomUUID());
  markAlive(session('tab'));
}

const aliveMark = (tab) => `intercusp.alive.${tab}`;
let alive = null;  // the tab whose mark this page holds

/** While it works, a tab has a mark in the storage and holds a lock of that name; leaving in order takes the mark away. */
function markAlive(tab) {
  const mark = (on) => {
    try {
      if (on) localStorage.setItem(aliveMark(alive), '1');
      else localStorage.removeItem(aliveMark(alive));
    } catch {
      // A browser without storage has nothing to go on with either.
    }
  };
  if (!alive) {
    addEventListener('pagehide', () => mark(false));
    addEventListener('pageshow', (event) => event.persisted && mark(true));
  } else {
    mark(false);
  }
  alive = tab;
  mark(true);
  navigator.locks?.request(aliveMark(tab), { ifAvailable: true }, () => new Promise(() => {})).catch(() => {});
}

/** Whether a tab ended without leaving in order: its mark is there, and nobody holds its lock. */
async function wasEnded(tab) {
  try {
    if (!localStorage.getItem(aliveMark(tab)) || !navigator.locks) return false;
    const { held } = await navigator.locks.query();
    return !held.some(({ name }) => name === aliveMark(tab));
  } catch {
    return false;
  }
}

const recordKey = (id) => `${session('tab') ?? ''} ${id}`;

export function keepWork(id, bytes, view) {
  if (ended) return;
  if (!session('tab')) startOwnWork();
  waiting = { key: recordKey(id), id, bytes, view, when: Date.now() };
  session('work', waiting.key);
  writing ??= writeAll().finally(() => { writing = null; });
}

async function writeAll() {
  while (waiting) {
    const record = waiting;
    waiting = null;
    try {
      await inStore('readwrite', (store) => (record.bytes.length ? store.put(record) : store.delete(record.key)));
      lastKept = record.when;
      markKept();
      refused = false;
      await forgetOldest();
    } catch (error) {
      refused = true;
      sayWhyNotKept(error);
    }
  }
}

function sayWhyNotKept(error) {
  const why = error?.name === 'QuotaExceededError'
    ? 'The storage that this browser gives to the page is full'
    : 'This browser does not keep data for this page (a private window, or storage is switched off)';
  const words = `${why}, so the work is not kept on a reload. Save the case as a file.`;
  notice(words);
  speak(words);
}

async function forgetOldest() {
  const keys = await inStore('readonly', (store) => store.index('when').getAllKeys());
  for (const key of keys.slice(0, Math.max(0, keys.length - keptCases))) {
    await inStore('readwrite', (store) => store.delete(key));
  }
}

/** When the work was last kept, in milliseconds since 1970; 0 = not yet. */
export const keptAt = () => lastKept;

/** Before the page is left, asks for a word when the last change is not kept. */
export function watchLeaving(program) {
  addEventListener('beforeunload', (event) => {
    if (!ended && (refused || isWriting() || program.call('ic_keeping'))) event.preventDefault();
  });
}

/** From here on nothing is written; what is under way ends first. */
export async function stopKeeping() {
  ended = true;
  waiting = null;
  refused = false;
  await writing;
}

/** Whether something still waits to be written. */
export const isWriting = () => writing !== null;

/** So that a new tab knows, without waiting for the storage, that there may be work to go on with. */
function markKept() {
  try {
    localStorage.setItem('intercusp.kept', '1');
  } catch {
    // Without it the new tab only makes a sample that it does not need.
  }
}

/** Whether this browser holds nothing of the program's yet, and the address brings nothing either. */
export function isFirstVisit() {
  try {
    return !location.hash && sessionStorage.length === 0 && localStorage.length === 0;
  } catch {
    return false;
  }
}

async function latest() {
  const key = session('work');
  const own = key ? await inStore('readonly', (store) => store.get(key)) : null;
  if (own) return own;
  const all = await inStore('readonly', (store) => store.index('when').getAll());
  return all.at(-1) ?? null;
}

/** Goes on with what this tab, or else the last tab, was working on. False when there is nothing or it does not open. */
export async function restoreWork(program) {
  let record;
  try {
    record = await latest();
  } catch {
    return false;
  }
  if (!record) return false;
  if (crashedLastTime(record.key)) {
    offerCrashedWork(record);
    return false;
  }
  markRestoring(record.key);
  const answer = program.callWith('ic_restore', [record.bytes, record.view]);
  if (!answer.ok) {
    notice(`The work kept in this browser could not be opened. ${answer.error}`, recordChoices(record));
    markRestoring(null);
    return false;
  }
  const [tab] = record.key.split(' ');
  if (await wasEnded(tab)) {
    const kept = new Date(record.when).toLocaleTimeString();
    notice(`The page was ended before it could close. This is your work as it was kept last, at ${kept}.`);
  }
  session('tab', tab);
  markAlive(tab);
  session('work', record.key);
  requestAnimationFrame(() => setTimeout(() => markRestoring(null), 500));
  return true;
}

/** If restoring itself stops the program, the next start must not try it again by itself. */
function markRestoring(key) {
  session('restoring', key);
}

function crashedLastTime(key) {
  return session('restoring') === key;
}

function recordChoices(record) {
  const saveIt = () => download(`${record.id || 'case'}.glb`, 'model/gltf-binary', record.bytes);
  const forgetIt = () => inStore('readwrite', (store) => store.delete(record.key));
  return [['Save it as a file', saveIt], ['Forget it', forgetIt], ['Leave it', () => {}]];
}

function offerCrashedWork(record) {
  markRestoring(null);
  notice('The program stopped the last time it opened the kept work, so it was not opened again.', recordChoices(record));
}
