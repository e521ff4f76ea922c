// Takes away all that this browser keeps of the program but the program itself.
import { stopKeeping } from './work.js';

const databases = ['intercusp', 'intercusp-review'];

function emptied(name) {
  return new Promise((resolve) => {
    const request = indexedDB.open(name);
    request.onerror = resolve;
    request.onsuccess = () => {
      const db = request.result;
      const stores = [...db.objectStoreNames];
      if (!stores.length) {
        db.close();
        return resolve();
      }
      const transaction = db.transaction(stores, 'readwrite');
      for (const store of stores) transaction.objectStore(store).clear();
      transaction.oncomplete = transaction.onabort = () => {
        db.close();
        resolve();
      };
    };
  });
}

function withoutOwn(storage) {
  for (const key of Object.keys(storage)) if (key.startsWith('intercusp')) storage.removeItem(key);
}

/** And begins anew, as on a first visit. */
export async function forgetEverything() {
  await stopKeeping();
  await Promise.all(databases.map(emptied));
  try {
    withoutOwn(localStorage);
    withoutOwn(sessionStorage);
  } catch {
    // Without storage nothing was kept.
  }
  location.replace(location.pathname);
}
