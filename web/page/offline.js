// The service worker keeps the page for use without a network; a newer build is offered, never forced.
import { notice } from './notice.js';

export async function keepOffline() {
  if (!('serviceWorker' in navigator)) return;
  try {
    const registration = await navigator.serviceWorker.register('sw.js', { updateViaCache: 'none' });
    if (registration.waiting) offerUpdate(registration.waiting);
    registration.addEventListener('updatefound', () => watchInstalling(registration.installing));
  } catch {
    // Without secure context or with storage off: the page works, only not without a network.
  }
}

function watchInstalling(worker) {
  worker.addEventListener('statechange', () => {
    if (worker.state === 'installed' && navigator.serviceWorker.controller) offerUpdate(worker);
  });
}

function offerUpdate(worker) {
  const takeOver = () => {
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
    worker.postMessage('take over');
  };
  notice('A newer version of Intercusp is here. Your work is kept.', [['Reload with it', takeOver], ['Later', () => {}]]);
}
