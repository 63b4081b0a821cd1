/**
 * The language belongs to the person: it changes when the device is handed over. A language stands
 * here once people who speak it have reviewed the scale, objection and safety pages.
 */

import * as db from "../db.js";
import { speak } from "../words.js";

export const LANGUAGES = { en: "English" };

const key = (official) => `language:${official}`;

export const languageOf = async (official) => (await db.read("device", key(official)).catch(() => null)) ?? "en";

export async function choose(official, code) {
  await db.write("device", key(official), code);
  await speak(code);
}

/** Makes this official the active one on the device, in their language. */
export async function handTo(app, official) {
  await app.setActive(official);
  await speak(await languageOf(official));
}
