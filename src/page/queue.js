/** What was entered and is not yet with the service: kept in IndexedDB, sent in order, each once (Idempotency-Key). */

/** @typedef {{ key: string, path: string, body: string, at: number, refused?: string }} Waiting */
/** @typedef {{ state: 'sent', answer: any } | { state: 'waiting' } | { state: 'refused', why: string }} Outcome */

const k_store = 'waiting';

/** @returns {Promise<IDBDatabase>} */
function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open('steelyard', 1);
    request.onupgradeneeded = () => request.result.createObjectStore(k_store, { keyPath: 'key' });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/**
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore) => IDBRequest<T>} work
 * @returns {Promise<T>} when the transaction is on the disk
 */
async function run(mode, work) {
  const database = await open();
  try {
    return await new Promise((resolve, reject) => {
      const transaction = database.transaction(k_store, mode);
      const request = work(transaction.objectStore(k_store));
      transaction.oncomplete = () => resolve(request.result);
      transaction.onerror = () => reject(transaction.error);
      transaction.onabort = () => reject(transaction.error);
    });
  } finally {
    database.close();
  }
}

/** @returns {Promise<Waiting[]>} oldest first */
export async function waiting() {
  /** @type {Waiting[]} */
  const all = await run('readonly', (store) => store.getAll());
  return all.sort((a, b) => a.at - b.at);
}

/** @param {string} key */
export function forget(key) {
  return run('readwrite', (store) => store.delete(key));
}

/** Drops the answers about lifters that the service worker keeps: they are from before the entry. */
async function dropKept() {
  const cache = await caches.open('steelyard-1');
  for (const request of await cache.keys()) {
    if (new URL(request.url).pathname.startsWith('/v1/athletes/')) await cache.delete(request);
  }
}

/** @param {Waiting} entry @returns {Promise<Outcome>} */
async function send(entry) {
  /** @type {Response} */
  let response;
  try {
    response = await fetch(entry.path, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'idempotency-key': entry.key },
      body: entry.body,
    });
  } catch {
    return { state: 'waiting' };
  }
  if (response.ok) return { state: 'sent', answer: await response.json().catch(() => ({})) };
  if ([401, 408, 429].includes(response.status) || response.status >= 500) return { state: 'waiting' };
  const why = await response.json().catch(() => ({ detail: response.statusText }));
  return { state: 'refused', why: why.where ? `${why.where}: ${why.detail}` : why.detail };
}

/**
 * Sends what waits, oldest first; one tab at a time. What is refused stays, with the reason, until somebody drops it.
 * @returns {Promise<Map<string, Outcome>>}
 */
export async function flush() {
  return await navigator.locks.request('steelyard-queue', async () => {
    /** @type {Map<string, Outcome>} */
    const outcomes = new Map();
    for (const entry of await waiting()) {
      if (entry.refused) continue;
      const outcome = await send(entry);
      outcomes.set(entry.key, outcome);
      if (outcome.state === 'waiting') break;
      if (outcome.state === 'sent') await dropKept().then(() => forget(entry.key));
      else await run('readwrite', (store) => store.put({ ...entry, refused: outcome.why }));
    }
    dispatchEvent(new Event('steelyard-queue'));
    return outcomes;
  });
}

/** @param {string} path @param {object} body @returns {Promise<Outcome>} */
export async function post(path, body) {
  const entry = { key: crypto.randomUUID(), path, body: JSON.stringify(body), at: Date.now() };
  await run('readwrite', (store) => store.put(entry));
  await dropKept();
  let outcome = (await flush()).get(entry.key);
  if (!outcome) {  // another tab may have been quicker
    const still = (await waiting()).find((w) => w.key === entry.key);
    outcome = !still ? { state: 'sent', answer: {} } : still.refused ? { state: 'refused', why: still.refused } : { state: 'waiting' };
  }
  if (outcome.state === 'refused') await forget(entry.key);  // the form that sent it says so at once
  return outcome;
}
