/**
 * What this browser keeps: ids and numbers, never a name of somebody known.
 *
 * Stores: `acts` (what was tapped, by its count), `device` (by key), `shape` (games and days as they
 * were read last, without names), `keys` (by official: witness/keys.js). Rejects with a StorageError
 * where the browser keeps nothing.
 */

import { practice } from "./place.js";

// A practice leaves nothing behind for a real page at the same address, and finds nothing of one.
const NAME = practice ? `weighbook-practice-${practice}` : "weighbook";
const VERSION = 2;
let opening = null;

export class StorageError extends Error {
  constructor(cause) {
    super("This browser keeps nothing.", { cause });
    this.name = "StorageError";
  }
}

export function open() {
  opening ??= new Promise((resolve, reject) => {
    let request;
    try {
      request = indexedDB.open(NAME, VERSION);
    } catch (error) {
      reject(new StorageError(error));
      return;
    }
    request.onupgradeneeded = ({ oldVersion }) => {
      if (oldVersion < 1) {
        request.result.createObjectStore("acts", { keyPath: "count" });
        request.result.createObjectStore("device");
        request.result.createObjectStore("shape");
      }
      if (oldVersion < 2) request.result.createObjectStore("keys", { keyPath: "official" });
    };
    request.onerror = () => reject(new StorageError(request.error));
    request.onsuccess = () => {
      const base = request.result;
      // Another tab with a newer page waits for this connection; the next call opens a new one.
      base.onversionchange = () => base.close();
      base.onclose = () => (opening = null);
      resolve(base);
    };
  });
  opening.catch(() => (opening = null));
  return opening;
}

/**
 * Runs `work(store, …)` in one transaction and resolves with what it returned once all is written.
 *
 * `work` only makes requests (no await in between), and may run twice: phones drop the connection of
 * a page that slept, so what failed is tried once more with a new one.
 */
export async function transact(names, mode, work, durability = "relaxed") {
  try {
    return await once(names, mode, work, durability);
  } catch {
    opening = null;
    return once(names, mode, work, durability);
  }
}

async function once(names, mode, work, durability) {
  const base = await open();
  return new Promise((resolve, reject) => {
    let result;
    let transaction;
    try {
      transaction = base.transaction(names, mode, { durability });
      transaction.oncomplete = () => resolve(result);
      transaction.onabort = () => reject(new StorageError(transaction.error));
      result = work(...names.map((name) => transaction.objectStore(name)));
    } catch (error) {
      if (transaction) transaction.abort();
      reject(new StorageError(error));
    }
  });
}

async function asked(store, mode, ask) {
  const request = await transact([store], mode, ask);
  return request.result;
}

export const read = (store, key) => asked(store, "readonly", (place) => place.get(key));
export const readAll = (store) => asked(store, "readonly", (place) => place.getAll());
export const write = (store, key, value) => asked(store, "readwrite", (place) => place.put(value, key));
export const forget = (store, key) => asked(store, "readwrite", (place) => place.delete(key));
