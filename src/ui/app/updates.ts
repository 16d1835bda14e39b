import type { SaveQueue } from '../../storage/edit-types';
import type { Notices } from '../frame/notices';

/** Milliseconds between two looks for a new version. */
const HOUR = 3_600_000;

interface Deps {
  readonly notices: Notices;
  readonly queue: Pick<SaveQueue, 'flush' | 'unsaved'>;
}

/**
 * Keeps the app usable without a network, and offers new versions. One is put to use only when the
 * person says so, and only after everything edited has been written.
 */
export async function keepOffline({ notices, queue }: Deps): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  const { serviceWorker } = navigator;
  let asked = false;
  let hadOne = serviceWorker.controller !== null;
  serviceWorker.addEventListener('controllerchange', () => {
    if (asked) window.location.reload();
    else if (hadOne) {
      notices.show({
        kind: 'offer',
        text: 'Degreewise was renewed in another window. Load this one again when it suits you.',
        actions: [{ label: 'Load again', run: () => window.location.reload() }],
      });
    }
    // The first one takes over the page that brought it; that changes nothing.
    hadOne = true;
  });
  const use = async (worker: ServiceWorker) => {
    await queue.flush();
    if (queue.unsaved()) {
      notices.trouble('The new version has to wait: something you edited is not written yet.');
      return;
    }
    asked = true;
    worker.postMessage('use-new-version');
  };
  const offer = (worker: ServiceWorker) => {
    notices.show({
      kind: 'offer',
      text: 'A new version of Degreewise is ready. It is used the next time you open the app, or now.',
      actions: [{ label: 'Use it now', run: () => void use(worker) }],
    });
  };
  let registration: ServiceWorkerRegistration;
  try {
    registration = await serviceWorker.register('./sw.js');
  } catch {
    // Storage is switched off, or the address is not secure: the app works, with a network.
    return;
  }
  if (registration.waiting !== null && hadOne) offer(registration.waiting);
  registration.addEventListener('updatefound', () => {
    const worker = registration.installing;
    worker?.addEventListener('statechange', () => {
      if (worker.state === 'installed' && serviceWorker.controller !== null) offer(worker);
    });
  });
  let looked = Date.now();
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'visible' || Date.now() - looked < HOUR) return;
    looked = Date.now();
    // Without a network there is nothing to be said about it.
    registration.update().catch(() => {});
  });
}
