/**
 * Calls to the server. An answer that is not a success, and no answer, is an ApiError:
 * `{status, code, message, hint, body}`; status 0 and code "network" where no answer came.
 */

import { practice } from "./place.js";
import { t } from "./words.js";

const LONGEST_MS = 10_000;
let token = null;

export class ApiError extends Error {
  constructor(status, body) {
    const error = body?.error ?? {};
    super(error.message ?? (status ? t("The server answered {status}.", { status }) : t("No answer from the server.")));
    this.name = "ApiError";
    this.status = status;
    this.code = error.code ?? (status ? String(status) : "network");
    this.hint = error.hint ?? "";
    this.body = body ?? {};
  }
}

/** What happened and what helps, as sentences: the ledger's own errors begin small, and end bare. */
export function wordsOf({ message, hint }) {
  const begun = message.replace(/^(this|the|that|no|it|a|an)\b/, (word) => word[0].toUpperCase() + word.slice(1));
  const said = /[.?!:]$/.test(begun) ? begun : `${begun}.`;
  return hint ? `${said} ${hint}` : said;
}

export const get = (path) => call("GET", path);

/**
 * POST as JSON. Without a token (after a reload without network) it asks for one first. A signature
 * may take longer than a tap on a slow laptop: `longest` is in milliseconds.
 */
export async function post(path, body, { longest = LONGEST_MS } = {}) {
  if (token === null) await me();
  try {
    return await call("POST", path, body, longest);
  } catch (error) {
    if (error.status !== 403 || error.code !== "token") throw error;
    await me();
    return call("POST", path, body, longest);
  }
}

/** `GET /api/me`; remembers its token for what is posted. */
export async function me() {
  const found = await get("/api/me");
  token = found.token;
  return found;
}

async function call(method, path, body, longest = LONGEST_MS) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), longest);
  let answer;
  let text;
  try {
    answer = await fetch(path, {
      method,
      signal: stop.signal,
      cache: "no-store",
      credentials: "same-origin",
      redirect: "error",
      headers: method === "POST" ? { "Content-Type": "application/json", "X-Weighbook-Token": token, ...(practice && { "X-Weighbook-Practice": practice }) } : {},
      body: method === "POST" ? JSON.stringify(body ?? {}) : undefined,
    });
    text = await answer.text();
  } catch {
    throw new ApiError(0);
  } finally {
    clearTimeout(timer);
  }
  let found;
  try {
    found = text ? JSON.parse(text) : {};
  } catch {
    // A hotel's sign-in page, or a proxy's: nothing of ours answered, whatever the status says.
    throw new ApiError(0);
  }
  if (!answer.ok) throw new ApiError(answer.status, found);
  return found;
}
