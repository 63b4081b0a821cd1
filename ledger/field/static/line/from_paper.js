/**
 * What a line of a sheet states: number, letter, time. The same entries as a tap at the scale. Pure.
 */

import { answer, crossedAtOnce, listing, stripe } from "./answers.js";

/** Letters and what they say: weighed with this value, or on the list for this reason. */
export const LETTERS = {
  o: { value: "ok" },
  v: { value: "over", tape: true },
  n: { value: "over", tape: false },
  h: { value: "no_scale" },
  a: { reason: "absent" },
  i: { reason: "injured" },
  g: { reason: "equipment" },
  x: { reason: "other" },
};

/** "27v": the digits, and the last letter that means something. */
export function readTyped(text) {
  const letters = [...text.toLowerCase()].filter((one) => one in LETTERS);
  return { digits: text.replace(/\D/g, "").slice(0, 2), letter: letters.at(-1) ?? null };
}

/** The entries of a line, all at its time. Tape says that the last try was over. */
export function entriesOf(child, letter, moment, at) {
  const { value, reason, tape } = LETTERS[letter];
  if (reason) return listing(child, moment.team, reason).map((entry) => ({ ...entry, at }));
  const crossed = [...child.listed].filter((one) => one !== "over" && crossedAtOnce(one));
  const entries = answer(child, value, tape ? { ...moment, attempts: 1 } : moment, crossed);
  if (tape) entries.push(...stripe(child, moment));
  return entries.map((entry) => ({ ...entry, at }));
}

/**
 * What is odd about a line, said before it is written down: "twice" (weighed or listed already),
 * "back" (earlier than the line before), "early" (weighed before the scale was checked first), "ahead"
 * (still to come).
 */
export function oddities(child, letter, moment, { at, before, checked, now }) {
  const { reason, value } = LETTERS[letter];
  const isEarly = !reason && value !== "no_scale" && checked && at < wholeMinute(checked);
  const tries = child.weighs.length;
  const isTwice = reason ? tries > 0 || child.listed.size > 0 : tries >= moment.attempts || (tries > 0 && child.weighs.some((one) => one.value === "ok"));
  return [isTwice && "twice", before && at < before && "back", isEarly && "early", at > now && "ahead"].filter(Boolean);
}

/** A sheet has no seconds. */
const wholeMinute = (at) => `${at.slice(0, 16)}:00.000Z`;
