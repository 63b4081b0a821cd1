/**
 * Signed notes, checkpoints and cosignatures (C2SP signed-note, tlog-checkpoint, tlog-cosignature).
 *
 *     the text, ending in a newline
 *     (one empty line, the LAST of the note)
 *     — <key name> <base64(key id || signature)>
 *
 * Reading is strict. Ed25519 is the browser's. Rejects with a WitnessError: "form" where it cannot be
 * read, "signature" where the key did not sign it.
 */

import { WitnessError, areEqual, base64, fromBase64, hex, joined, sha256, textOf, utf8 } from "./bytes.js";

export const ED25519 = 1;
export const COSIGNATURE = 4;
const ID_BYTES = 4;
const KEY_BYTES = 32;
const HASH_BYTES = 32;
const TIME_BYTES = 8;
const MOST_BYTES = 1_000_000;
const MOST_SIGNATURES = 100;
const DASH = "— ";
const CONTROL = /[\u0000-\u0009\u000b-\u001f]/;
const SIZE = /^(?:0|[1-9][0-9]{0,19})$/;

/** `{text, signatures: [{name, id, signature}]}`, unchecked. */
export function parseNote(whole) {
  const bytes = utf8(whole);
  // A lone surrogate would be written as another letter: it is not Unicode text.
  if (bytes.length > MOST_BYTES || textOf(bytes) !== whole || CONTROL.test(whole)) throw new WitnessError("not the text of a note");
  const split = whole.lastIndexOf("\n\n");
  if (split < 0 || !whole.endsWith("\n")) throw new WitnessError("the note has no empty line before its signatures, or no newline at its end");
  const lines = whole.slice(split + 2, -1).split("\n");
  if (lines.length > MOST_SIGNATURES) throw new WitnessError("a note with too many signatures");
  return { text: whole.slice(0, split + 1), signatures: lines.map(parseSignature) };
}

function parseSignature(line) {
  const space = line.indexOf(" ", DASH.length);
  if (!line.startsWith(DASH) || space < 0) throw new WitnessError("not a signature line");
  const data = fromBase64(line.slice(space + 1));
  if (data.length <= ID_BYTES) throw new WitnessError("no signature after the key id");
  return { name: goodName(line.slice(DASH.length, space)), id: data.slice(0, ID_BYTES), signature: data.slice(ID_BYTES) };
}

function goodName(name) {
  if (!name || /[\s+\u001c-\u001f\u0085]/u.test(name)) throw new WitnessError("not a key name");
  return name;
}

/** The line that gives others a public key: NAME+ID+BASE64(type || key). */
export async function formatKey(name, publicBytes, kind) {
  const described = joined(Uint8Array.of(kind), publicBytes);
  return `${goodName(name)}+${hex(await keyId(name, described))}+${base64(described)}`;
}

/** `{name, kind, public, id}` of such a line. */
export async function parseKey(line) {
  // Base64 may have plus signs too, a name has none: the first two separate.
  const [name, id, ...more] = line.split("+");
  const described = fromBase64(more.join("+"));
  const kind = described[0];
  if (![ED25519, COSIGNATURE].includes(kind) || described.length !== 1 + KEY_BYTES) throw new WitnessError("not a key that is known here");
  const own = await keyId(goodName(name), described);
  if (hex(own) !== id) throw new WitnessError("the key line has the wrong id");
  return { name, kind, public: described.slice(1), id: own };
}

async function keyId(name, described) {
  return (await sha256(joined(utf8(`${name}\n`), described))).slice(0, ID_BYTES);
}

export async function isSignedBy(publicBytes, message, signature) {
  const key = await crypto.subtle.importKey("raw", publicBytes, "Ed25519", true, ["verify"]);
  return crypto.subtle.verify("Ed25519", key, signature, message);
}

/** `{origin, size, root}` in a note's text. A size of 2^53 or more is refused: nobody counts that far. */
export async function parseCheckpoint(text) {
  const lines = text.split("\n");
  if (lines.pop() !== "" || lines.length < 3 || lines.includes("")) throw new WitnessError("not a checkpoint");
  const [origin, size, encoded] = lines;
  const root = fromBase64(encoded);
  if (!SIZE.test(size) || !Number.isSafeInteger(Number(size)) || root.length !== HASH_BYTES) throw new WitnessError("not a checkpoint's size and root");
  if (size === "0" && !areEqual(root, await sha256(new Uint8Array()))) throw new WitnessError("a checkpoint of nothing with a root of something");
  return { origin, size: Number(size), root };
}

/** The checkpoint of a note, if this key line (type 1) signed it, and it is of the log with that name. */
export async function checkCheckpoint(note, keyLine) {
  const key = await parseKey(keyLine);
  if (key.kind !== ED25519) throw new WitnessError("a cosigner's key does not sign a note's text");
  // Lines by other keys prove nothing; a false one by this key spoils the note.
  const mine = note.signatures.filter((line) => line.name === key.name && areEqual(line.id, key.id));
  for (const line of mine) if (!(await isSignedBy(key.public, utf8(note.text), line.signature))) throw new WitnessError(`a false signature of ${key.name}`, "signature");
  if (mine.length === 0) throw new WitnessError(`${key.name} did not sign this note`, "signature");
  const checkpoint = await parseCheckpoint(note.text);
  if (checkpoint.origin !== key.name) throw new WitnessError("the checkpoint is from another ledger", "signature");
  return checkpoint;
}

const cosigned = (text, time) => utf8(`cosignature/v1\ntime ${time}\n${text}`);

/** The line with which this cosigner's key line cosigns the note; `sign(bytes)` gives 64 bytes. */
export async function cosign(note, keyLine, sign, time = Math.floor(Date.now() / 1000)) {
  await parseCheckpoint(note.text);
  const key = await parseKey(keyLine);
  const when = new Uint8Array(TIME_BYTES);
  new DataView(when.buffer).setBigUint64(0, BigInt(time));
  return `${DASH}${key.name} ${base64(joined(key.id, when, await sign(cosigned(note.text, time))))}`;
}
