/**
 * Checks of the Merkle tree of RFC 9162 section 2.1: that a leaf is in a tree, and that a later tree
 * only added leaves to an earlier one. Hashes are Uint8Arrays of 32 bytes, leaves count from 0.
 *
 * Each check resolves, or rejects with a WitnessError: "proof" where no proof can look like this for
 * a tree of this size, "root" where it leads to another root.
 */

import { WitnessError, areEqual, joined, sha256 } from "./bytes.js";

const HASH_BYTES = 32;
const LEAF = Uint8Array.of(0);
const NODE = Uint8Array.of(1);

export const leafHash = (data) => sha256(joined(LEAF, data));

const nodeHash = (left, right) => sha256(joined(NODE, left, right));

/** Section 2.1.3.2: `proof` leads from `leaf` at `index` to the root of a tree of `size` leaves. */
export async function checkInclusion(leaf, index, size, proof, root) {
  const [at, whole] = [count(index), count(size)];
  if (at >= whole) throw new WitnessError(`no leaf ${index} in a tree of ${size}`, "proof");
  refuseOddLengths(leaf, ...proof);
  let found = leaf;
  for (const { step, isLeft } of climb(at, whole - 1n, proof)) found = isLeft ? await nodeHash(step, found) : await nodeHash(found, step);
  compare("root", root, found);
}

/**
 * Section 2.1.4.2: the tree of `newSize` keeps every leaf of the old one, in order. An old size of 0
 * is refused, as in the test cases of transparency-dev/merkle: every tree continues the empty one.
 */
export async function checkConsistency(oldSize, newSize, oldRoot, newRoot, proof) {
  const [before, after] = [count(oldSize), count(newSize)];
  if (before === 0n || before > after) throw new WitnessError(`no consistency proof from ${oldSize} to ${newSize} leaves`, "proof");
  if (before === after) {
    if (proof.length) throw new WitnessError("two trees of the same size need no consistency proof", "proof");
    return compare("root", oldRoot, newRoot);
  }
  refuseOddLengths(oldRoot, ...proof);
  const steps = (before & (before - 1n)) === 0n ? [oldRoot, ...proof] : [...proof];
  if (steps.length === 0) throw new WitnessError("the consistency proof is empty", "proof");
  let [at, last] = [before - 1n, after - 1n];
  while (at & 1n) [at, last] = [at >> 1n, last >> 1n];
  let oldFound = steps[0];
  let newFound = steps[0];
  for (const { step, isLeft } of climb(at, last, steps.slice(1))) {
    if (isLeft) oldFound = await nodeHash(step, oldFound);
    newFound = isLeft ? await nodeHash(step, newFound) : await nodeHash(newFound, step);
  }
  compare("old root", oldRoot, oldFound);
  return compare("new root", newRoot, newFound);
}

/** Each hash of a proof, and whether it is the left one of its pair. */
function* climb(at, last, proof) {
  for (const step of proof) {
    if (last === 0n) throw new WitnessError("the proof is too long for its tree", "proof");
    const isLeft = Boolean(at & 1n) || at === last;
    yield { step, isLeft };
    while (isLeft && at && !(at & 1n)) [at, last] = [at >> 1n, last >> 1n];
    [at, last] = [at >> 1n, last >> 1n];
  }
  if (last) throw new WitnessError("the proof is too short for its tree", "proof");
}

function count(size) {
  if (!Number.isSafeInteger(size) || size < 0) throw new WitnessError(`${size} is no size of a tree here`, "proof");
  return BigInt(size);
}

/** A longer "hash" could move the border between left and right. */
function refuseOddLengths(...hashes) {
  if (hashes.some((hash) => hash.length !== HASH_BYTES)) throw new WitnessError(`the hashes of a proof have ${HASH_BYTES} bytes`, "proof");
}

function compare(field, expected, found) {
  if (!areEqual(expected, found)) throw new WitnessError(`the proof leads to another ${field}`, "root");
}
