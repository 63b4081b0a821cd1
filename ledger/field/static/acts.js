/**
 * The acts that this device holds, in the order of their taps.
 *
 * A kept act: `{count, act, game, by, fine, entered?, entries, state, error?, events?, recorded?}`. Its state:
 * "waiting" until the server has answered well; "aside" once the server refused it; "recorded" from
 * then until a read of the game shows it, so that a reload without network does not forget it.
 */

import * as db from "./db.js";

const LETTERS = "abcdefghijkmnpqrstuvwxyz23456789";
const DAY_MS = 86_400_000;

function newDevice() {
  const drawn = crypto.getRandomValues(new Uint8Array(10));
  return [...drawn].map((byte) => LETTERS[byte % 32]).join("");
}

/** The id of this browser profile, made once. */
export function device() {
  return db.transact(["device"], "readwrite", (place) => {
    const found = {};
    const request = place.get("device");
    request.onsuccess = () => {
      found.id = request.result ?? newDevice();
      if (!request.result) place.put(found.id, "device");
    };
    return found;
  }, "strict").then((found) => found.id);
}

/**
 * Keeps a new act. Resolves once it is on the disk; number and refs are given in the same step, and
 * what `also` does to the store "shape".
 */
export function keep({ game, by, fine, entered, entries, also }) {
  return db.transact(["acts", "device", "shape"], "readwrite", (acts, place, shape) => {
    also?.(shape);
    const kept = {};
    const ask = { device: place.get("device"), count: place.get("count") };
    ask.count.onsuccess = () => {
      const id = ask.device.result ?? newDevice();
      const count = (ask.count.result ?? 0) + 1;
      const act = `${id}-${count}`;
      const own = entries.map((cells, at) => ({ ...cells, ref: `${act}.${at + 1}` }));
      Object.assign(kept, { count, act, game, by, fine, entered, entries: own, state: "waiting" });
      if (!ask.device.result) place.put(id, "device");
      place.put(count, "count");
      acts.add({ ...kept });
    };
    return kept;
  }, "strict");
}

/** All kept acts, oldest first. */
export const all = () => db.readAll("acts");

function change(count, edit) {
  return db.transact(["acts"], "readwrite", (acts) => {
    const request = acts.get(count);
    request.onsuccess = () => {
      // Another tab may have been quicker: what has left is not put back.
      if (!request.result || request.result.state === "recorded") return;
      const after = edit(request.result);
      if (after) acts.put(after);
      else acts.delete(count);
    };
  }, "strict");
}

export function recorded(act, { events, recorded: at }) {
  return change(act.count, (kept) => ({
    ...kept,
    state: "recorded",
    events,
    recorded: at,
    kept_until: Date.now() + DAY_MS,
    entries: kept.entries.map((cells) => withoutWords(cells, kept.game)),
  }));
}

/** A name or remark leaves the device with its act. */
function withoutWords({ name, note, ...cells }, game) {
  return name ? { ...cells, player: playerOf({ ...cells, name }, game) } : cells;
}

/** The id that the server gives to somebody who is on no roster. */
export function playerOf({ player, name, team, number }, game) {
  return player ?? (name ? `unlisted-${game}-${team}-${number}` : undefined);
}

export function aside(act, error) {
  return change(act.count, (kept) => ({ ...kept, state: "aside", error }));
}

/**
 * Gives these acts, of which the first stands aside, new ids from a new device id. The old one is
 * in use elsewhere: a browser that was restored or copied counts on from where it was once before.
 */
export function renew(list) {
  return db.transact(["acts", "device"], "readwrite", (acts, place) => {
    const ask = { first: acts.get(list[0].count), count: place.get("count") };
    ask.count.onsuccess = () => {
      if (ask.first.result?.state !== "aside") return;
      const id = newDevice();
      const refs = new Map();
      let count = ask.count.result;
      for (const { error, ...old } of list) {
        const act = `${id}-${++count}`;
        const entries = old.entries.map((cells, at) => {
          refs.set(cells.ref, `${act}.${at + 1}`);
          const target = refs.get(cells.target) ?? cells.target;
          return { ...cells, ref: refs.get(cells.ref), ...(target && { target }) };
        });
        acts.delete(old.count);
        acts.add({ ...old, count, act, entries, state: "waiting" });
      }
      place.put(id, "device");
      place.put(count, "count");
    };
  }, "strict");
}

/** A new device id for what is tapped from now on. */
export const newIdentity = () => db.write("device", "device", newDevice());

/** `entries` in place of its own where the server has none of them: it was refused, and its words are changed. */
export function again(act, fine, entries = null) {
  return change(act.count, ({ error, ...kept }) => ({ ...kept, state: "waiting", fine: fine || kept.fine, entries: entries ?? kept.entries }));
}

export const letGo = (acts) => Promise.all(acts.map((act) => change(act.count, () => null)));

/** Forgets recorded acts that a read of their game has shown, and those of other days. */
export function forgetRecorded(isShown) {
  return db.transact(["acts"], "readwrite", (acts) => {
    const request = acts.openCursor();
    request.onsuccess = () => {
      const cursor = request.result;
      if (!cursor) return;
      const kept = cursor.value;
      if (kept.state === "recorded" && (isShown(kept) || kept.kept_until < Date.now())) cursor.delete();
      cursor.continue();
    };
  });
}
