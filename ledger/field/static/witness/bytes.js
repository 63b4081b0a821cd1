/** Bytes as text and back, strictly: what is read is what would be written. SHA-256 by the browser. */

/** A proof, a note or a key does not fit; `code` says how. */
export class WitnessError extends Error {
  constructor(message, code = "form") {
    super(message);
    this.name = "WitnessError";
    this.code = code;
  }
}

export const utf8 = (text) => new TextEncoder().encode(text);

export function textOf(bytes) {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new WitnessError("not UTF-8 text");
  }
}

export function joined(...parts) {
  const whole = new Uint8Array(parts.reduce((size, part) => size + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

export const areEqual = (one, other) => one.length === other.length && one.every((byte, at) => byte === other[at]);

export const hex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");

export function fromHex(text) {
  if (!/^(?:[0-9a-f]{2})*$/.test(text)) throw new WitnessError("not hex");
  return Uint8Array.from(text.match(/../g) ?? [], (pair) => parseInt(pair, 16));
}

/** Standard base64 with padding (RFC 4648 section 4). */
export const base64 = (bytes) => btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));

/** Only in canonical form: `atob` alone takes spaces, lost padding and stray bits. */
export function fromBase64(text) {
  let bytes;
  try {
    bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  } catch {
    throw new WitnessError("not base64");
  }
  if (base64(bytes) !== text) throw new WitnessError("base64 that is not in canonical form");
  return bytes;
}

export const sha256 = async (bytes) => new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
