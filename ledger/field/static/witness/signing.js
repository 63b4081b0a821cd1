/**
 * This phone signs a list, and is a witness: it looks, signs the statement, sees it in the ledger,
 * then cosigns a checkpoint that includes it, and keeps the receipt.
 *
 * Each step is on the disk before the next, so that one that was broken off is finished later. Only
 * one at a time: a cosigner never signs a tree smaller than one it signed before (C2SP).
 */

import { ApiError, get, post } from "../api.js";
import { alone } from "../lock.js";
import { waitsFor } from "../queue.js";
import { WitnessError, fromBase64, fromHex } from "./bytes.js";
import * as keys from "./keys.js";
import { checkInclusion, leafHash } from "./merkle.js";
import { cosign, parseNote } from "./note.js";
import { OtherLedger, checkEvent, checkHeads, held, since } from "./watching.js";

const SIGNING_MS = 60_000;

const one = (work) => alone(keys.LOCK, work);

/**
 * Signs the list with this number. `about` is what the receipt is remembered by. Resolves with the
 * event, and with the error that came after the statement, if any: where it is no answer, the rest is
 * done later.
 */
export const signList = (official, asked) => one(() => signed(official, asked));

async function signed(official, { game, team, number, despite, about }) {
  const before = await keys.of(official);
  let record = await finished(before);
  // The answer to the last tap was lost: this list is signed, and a second signature says no more.
  const last = before.pending;
  if (last?.game === game && last.team === team && last.body.number === number) return { event: record.receipts.at(-1).event, error: null };
  const shown = await get(`/api/heads${since(record)}`);
  const { origin, own, chains } = await watched(record, shown, () => checkHeads(record, shown));
  const seen = Object.fromEntries(Object.entries(shown.heads).map(([chain, { size, root }]) => [chain, { size, root }]));
  const heads = Object.keys(seen).sort().map((chain) => `${chain} ${seen[chain].size} ${seen[chain].root}`);
  const signature = await keys.signLines(record, "weighbook-signature/v1", origin, game, team, official, number, ...heads);
  const pending = { game, team, about, chain: own, body: { official, number, despite, signature, seen } };
  record = { ...record, chains, pending };
  await keys.keep(record);
  record = await stated(record);
  const { event } = record.pending;
  try {
    await finished(record);
    return { event, error: null };
  } catch (error) {
    if (!(error instanceof ApiError)) throw error;
    return { event, error };
  }
}

/** Remembers the ledger as it is now: what comes later must continue it. */
export const watch = (official) =>
  one(async () => {
    const record = await keys.of(official);
    const shown = await get(`/api/heads${since(record)}`);
    const { chains } = await watched(record, shown, () => checkHeads(record, shown));
    return kept({ ...record, chains });
  });

/** Finishes what this phone signed and has not witnessed; resolves with what could not be. */
export const finishAll = () =>
  one(async () => {
    const failed = [];
    for (const record of await keys.all()) await finished(record).catch((error) => failed.push(error));
    return failed;
  });

async function finished(record) {
  if (!record.pending) return record;
  const before = await stated(record);
  try {
    return await witnessed(before);
  } catch (error) {
    if (!isFinal(error)) throw error;
  }
  const again = await stated(await unstated(before));
  try {
    return await witnessed(again);
  } catch (error) {
    if (isFinal(error)) await dropped(again);
    throw error;
  }
}

/**
 * The server no longer has the event that it named, or does not take our line. It may have an older copy
 * of the ledger: where that lacks what this phone saw, it is another ledger. Where it only lacks the
 * statement, that is made again.
 */
async function unstated({ official }) {
  const record = await keys.of(official);
  const shown = await get(`/api/heads${since(record)}`);
  await watched(record, shown, () => checkHeads(record, shown));
  const { game, team, about, chain, body } = record.pending;
  return kept({ ...record, pending: { game, team, about, chain, body } });
}

/** What it saw in the meantime stays. */
const dropped = async ({ official }) => keys.keep({ ...(await keys.of(official)), pending: null });

/** The statement is in the ledger. Where the server refuses it, nothing was signed. */
async function stated(record) {
  const { pending } = record;
  if (pending.event) return record;
  const path = `/api/games/${encodeURIComponent(pending.game)}/teams/${encodeURIComponent(pending.team)}/sign`;
  try {
    // The server knows a signature that it has: to send it again is safe.
    const { event } = await post(path, pending.body, { longest: SIGNING_MS });
    return await kept({ ...record, pending: { ...pending, event } });
  } catch (error) {
    if (isFinal(error)) await dropped(record);
    throw error;
  }
}

async function witnessed(record) {
  const { pending } = record;
  const place = `/api/signatures/${encodeURIComponent(pending.event)}`;
  const next = pending.line ? record : await cosigned(record, await get(`${place}${since(record)}`));
  const { game, team, about, event, chain, line, note } = next.pending;
  const { code } = await post(`${place}/witness`, { line });
  // Put together here: what the phone keeps is what it signed, whatever the server answers.
  const receipt = { event, game, team, about, code, text: `${note}${line}\n`, at: new Date().toISOString() };
  const chains = { ...next.chains, [chain]: { ...next.chains[chain], cosigned: receipt.text } };
  return kept({ ...next, chains, pending: null, receipts: [...next.receipts, receipt] });
}

/** The line that cosigns the checkpoint with our event in it; on the disk before it is sent. */
async function cosigned(record, shown) {
  const { size, chains } = await watched(record, shown, async () => {
    const found = await checkHeads(record, shown);
    const leaf = await leafHash(fromBase64(shown.event_bytes));
    if (shown.seq !== found.size) throw new WitnessError("the note does not end with our signature");
    await checkInclusion(leaf, found.size - 1, found.size, shown.inclusion.map(fromHex), found.root);
    checkEvent(record.pending, shown);
    return found;
  });
  const line = await cosign(parseNote(shown.note), record.line, (bytes) => keys.sign(record, bytes));
  return kept({ ...record, chains, pending: { ...record.pending, line, note: shown.note, size } });
}

/** Keeps the evidence before anybody is told, the same once. What is pending waits: the true ledger may come back. */
async function watched(record, shown, check) {
  try {
    return await held(record, shown, check);
  } catch (error) {
    const isKnown = record.evidence.some((one) => one.why === error.message && one.shown.note === shown.note);
    if (error instanceof OtherLedger && !isKnown) await keys.keep({ ...record, evidence: [...record.evidence, error.evidence] });
    throw error;
  }
}

const isFinal = (error) => error instanceof ApiError && waitsFor(error) === null;

async function kept(record) {
  await keys.keep(record);
  return record;
}
