/**
 * Whether the ledger that is shown continues the one that this phone saw before.
 *
 * What is wrong is an OtherLedger with the evidence: two notes of one key that cannot both be true.
 */

import { WitnessError, fromBase64, fromHex, hex, textOf } from "./bytes.js";
import { checkConsistency } from "./merkle.js";
import { checkCheckpoint, parseCheckpoint, parseNote } from "./note.js";

const CHAIN = /^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$/;
const ROOT = /^[0-9a-f]{64}$/;

export class OtherLedger extends Error {
  constructor(evidence) {
    super(evidence.why);
    this.name = "OtherLedger";
    this.evidence = evidence;
  }
}

/** The ledger that a key line is for: league and season, with which the origins of all its chains begin. */
export const ledgerOf = (line) => line.split("+")[0].split("#")[0].replace(/^[^@]*@/, "").replace(/[^/]*$/, "");

/** `?since=` with what this phone saw. */
export function since({ chains }) {
  const seen = Object.entries(chains).map(([chain, { size }]) => `${chain}:${size}`);
  return seen.length ? `?since=${encodeURIComponent(seen.join(","))}` : "";
}

/** Runs `check`; what does not fit becomes an OtherLedger, with all that was shown. */
export async function held(record, shown, check) {
  try {
    return await check();
  } catch (error) {
    // What is no JSON is no event of ours either.
    if (!(error instanceof WitnessError || error instanceof SyntaxError)) throw error;
    const { official, line, chains, pending } = record;
    throw new OtherLedger({ why: error.message, at: new Date().toISOString(), official, line, event: pending?.event ?? null, seen: chains, shown });
  }
}

/**
 * The note of an answer and the heads in it, checked: `{origin, own, size, root, chains}`, where `chains`
 * is what to remember. `shown` has `key`, `note` and `heads: {chain: {size, root, proof}}`. The chain
 * that the server writes is the last part of the note's origin.
 *
 * A chain in which this phone signed, or could have, must never be shorter or missing, whichever the
 * server writes now. Of others a device without a network has an older copy honestly.
 */
export async function checkHeads(record, shown) {
  const note = parseNote(shown.note);
  const { origin } = await parseCheckpoint(note.text);
  const own = origin.split("/").at(-1);
  if (origin !== ledgerOf(record.line) + own) throw new WitnessError("the note is of another season, or another league");
  const key = record.chains[own]?.key ?? shown.key;
  if (key !== shown.key) throw new WitnessError("the chain has another key than before");
  const { size, root } = await checkCheckpoint(note, key);
  const head = shown.heads[own];
  if (!head || head.size !== size || head.root !== hex(root)) throw new WitnessError("the note is not of the head shown");
  const chains = { ...record.chains };
  const lost = Object.keys(chains).find((chain) => chains[chain].key && !shown.heads[chain]);
  if (lost) throw new WitnessError(`the chain ${lost} is missing`, "proof");
  for (const [chain, one] of Object.entries(shown.heads)) {
    checkForm(chain, one);
    const seen = chains[chain];
    if (seen && one.size < seen.size && !seen.key) continue;
    if (seen) await checkConsistency(seen.size, one.size, fromHex(seen.root), fromHex(one.root), one.proof.map(fromHex));
    chains[chain] = { ...seen, size: one.size, root: one.root };
  }
  chains[own] = { ...chains[own], key, note: shown.note };
  return { origin, own, size, root, chains };
}

/** Only what an event can name is remembered: anything else would make every true ledger look false later. */
function checkForm(chain, { size, root }) {
  const isRoot = typeof root === "string" && ROOT.test(root);
  if (!CHAIN.test(chain) || !Number.isSafeInteger(size) || size < 1 || !isRoot) throw new WitnessError("not the head of a chain");
}

/**
 * The event in the ledger must say what this phone signed, and nothing else: of other chains what is
 * shown here, and so was checked; left open no more than the official read.
 */
export function checkEvent({ game, team, chain, body }, shown) {
  const { kind, by, data, ...event } = JSON.parse(textOf(fromBase64(shown.event_bytes)));
  const same = [
    [kind, "countersign"], [by, body.official], [event.game, game], [event.team, team], [event.chain, chain],
    [event.seq, shown.seq], [data.how, "device"], [data.list, body.number], [data.signature, body.signature],
  ];
  const { others = {}, seen = {}, despite = [] } = data;
  const isSame = same.every(([found, wanted]) => found === wanted) && areHeads(seen, body.seen) && areHeads(body.seen, seen);
  if (!isSame || !areHeads(others, shown.heads) || !despite.every((code) => body.despite.includes(code))) throw new WitnessError("the event is not what this phone signed");
}

/** Whether each chain named here has there the same length and root. */
const areHeads = (here, there) => Object.entries(here).every(([chain, { size, root }]) => there[chain]?.size === size && there[chain].root === root);
