/**
 * The key that this phone made for an official, and keeps: Ed25519 (RFC 8032), made by the browser,
 * which gives its private half to nobody, not to us either.
 *
 * What is kept for each official in the store `keys`:
 *
 *     official, line      whose it is, and its verifier key line
 *     pair                the key; not extractable
 *     counts              whether it was seen in force
 *     chains              by name: {size, root} as seen last; {key, note, cosigned} of a chain that
 *                         a server wrote: its key line as first seen, its last note, ours on it
 *     past                chains of other seasons' ledgers, by what their origins begin with
 *     receipts, pending   what it signed; what it signed and has not witnessed yet
 *     evidence            what it was shown, and refused
 */

import { me, post } from "../api.js";
import * as db from "../db.js";
import { alone } from "../lock.js";
import { base64, sha256, utf8 } from "./bytes.js";
import { COSIGNATURE, formatKey } from "./note.js";
import { ledgerOf } from "./watching.js";

/** Whoever reads a record and keeps it changed holds this meanwhile. */
export const LOCK = "weighbook-witness";
const LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ";
const CODE_LETTERS = 8;
const NOTHING = { chains: {}, receipts: [], pending: null, evidence: [] };

/** Why no key can be made here: "insecure", "old"; null where it can. */
export async function cannot() {
  if (!globalThis.isSecureContext || !crypto.subtle) return "insecure";
  try {
    await crypto.subtle.generateKey("Ed25519", false, ["sign", "verify"]);
    return null;
  } catch {
    return "old";
  }
}

export const of = (official) => db.read("keys", official);
export const all = () => db.readAll("keys");

/** On the disk when this resolves: what was shown must be remembered before anything is signed. */
export const keep = (record) => db.transact(["keys"], "readwrite", (store) => store.put(record), "strict");

/** The key was seen in force. In one step: a receipt may be kept at the same moment. */
export const markCounts = (official) =>
  db.transact(["keys"], "readwrite", (store) => {
    const request = store.get(official);
    request.onsuccess = () => store.put({ ...request.result, counts: true });
  });

/**
 * Makes the official's key; what an earlier one saw and signed stays with it. Alone: who finishes a
 * signature meanwhile would keep the record with the key before.
 */
export const make = (official, origin, game) => alone(LOCK, () => made(official, origin, game));

async function made(official, origin, game) {
  const pair = await crypto.subtle.generateKey("Ed25519", false, ["sign", "verify"]);
  const raw = new Uint8Array(await crypto.subtle.exportKey("raw", pair.publicKey));
  const line = await formatKey(`${official}@${origin}${game ? `#${game}` : ""}`, raw, COSIGNATURE);
  const before = await of(official);
  // A season has a ledger of its own, whose chains are called as those of the last.
  const past = before ? { ...before.past, [ledgerOf(before.line)]: before.chains } : {};
  const chains = past[ledgerOf(line)] ?? {};
  const record = { ...NOTHING, ...before, official, line, pair, counts: false, chains, past, pending: null };
  await keep(record);
  return record;
}

export const sign = async (record, bytes) => new Uint8Array(await crypto.subtle.sign("Ed25519", record.pair.privateKey, bytes));

/** The signature of a text of these lines, as base64. */
export const signLines = async (record, ...lines) => base64(await sign(record, utf8(lines.map((line) => `${line}\n`).join(""))));

/** Lets the key wait on the server until somebody confirms its code. */
export async function offer({ official, line, ...record }) {
  await post("/api/phones", { official, key: line, proof: await signLines(record, "weighbook-key/v1", line) });
}

/** Signs the official in on this device. The token is the device's: no other can use this again. */
export async function signIn(record) {
  const { official } = record;
  const { token } = await me();
  const signature = await signLines(record, "weighbook-sign-in/v1", location.origin, official, token);
  const found = await post("/api/sign-in", { official, signature });
  await markCounts(official);
  return found;
}

/** Whether the key is for one game alone: its name ends in "#GAME". */
export const isForOneGame = (line) => line.split("+")[0].includes("#");

/** The code of a key line, made here: a server that swapped the key could not show it. */
export async function codeOf(line) {
  const digest = await sha256(utf8(line));
  let number = new DataView(digest.buffer).getBigUint64(0);
  let code = "";
  for (let n = 0; n < CODE_LETTERS; n++) {
    code = LETTERS[Number(number % 31n)] + code;
    number /= 31n;
  }
  return `${code.slice(0, 4)}-${code.slice(4)}`;
}
