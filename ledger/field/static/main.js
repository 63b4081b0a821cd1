/** Boots the page, shows the screen that the address names, and the strip above every screen. */

import { tellAll } from "./after/tally.js";
import * as along from "./along/along.js";
import * as battery from "./along/battery.js";
import * as api from "./api.js";
import * as device from "./device.js";
import { open as openGame } from "./game.js";
import { begin as beginNames, cover, nameOf, uncover } from "./names.js";
import { begin as beginNews, onNews, wake as wakeNews } from "./news.js";
import { begin as beginHold } from "./line/held.js";
import { awakeIn } from "./line/awake.js";
import * as queue from "./queue.js";
import { h, replace } from "./dom.js";
import { StorageError, open as openStorage, readAll } from "./db.js";
import { practice } from "./place.js";
import { paintStrip, say } from "./strip.js";
import { t } from "./words.js";
import * as worker from "./worker.js";

const root = document.querySelector("main");
const SCREEN = /^[a-z][a-z-]*$/;
const WITHOUT_SIGN_IN = new Set(["sign-in", "new-here", "waiting", "start-here", "no-reload", "receipts", "other-ledger"]);

let turn = 0;
let clean = null;

/** What every screen gets: `model` is the open game, `me` the answer of /api/me or null, `practice` its caller. */
export const app = {
  model: null,
  me: null,
  practice: null,
  say,
  cover,
  uncover,
  nameOf,
  active: device.active,
  setActive: device.setActive,
  go(hash) {
    if (location.hash === hash) return show();
    // The phone's own Back does not walk through children who are done; from beside a child it comes back to them.
    if (root.dataset.screen === "child" && hash.includes("/weigh/")) location.replace(hash);
    else location.hash = hash;
    return undefined;
  },
  /** The active official's entry of /api/me; null where that is not known here. */
  person: () => app.me?.people.find((one) => one.official === device.active()) ?? null,
  /** What one tap states, as the active official. Says so where the tap could not be kept. */
  async state(entries, { game = app.model?.game, by = device.active(), fine = false, entered } = {}) {
    try {
      if (!by) throw new TypeError("Nobody is active on this device.");
      return await queue.state(entries, { game, by, fine, entered });
    } catch (error) {
      say(t("This tap was NOT kept. Write it on paper."), { stays: true });
      throw error;
    }
  },
  /** Reads /api/me anew: somebody signed in or out, or was confirmed. */
  async signedIn() {
    await readMe();
    if (app.me?.people.length === 0) leave();
    queue.kick();
    wakeNews();
    finishSigning().catch(() => {});
    await app.model?.reread();
  },
};

/** Whether a server answered. Without one it goes by number, as whoever was active here. */
async function readMe() {
  let found;
  try {
    found = await api.me();
  } catch {
    return false;
  }
  // Of a server that is not this page's, nothing is kept.
  if (found.practice === practice) await device.setPractice(found.is_practice);
  app.me = found.people.length === 0 && (await along.goesOn(device.active())) ? null : found;
  const here = found.people.map((one) => one.official);
  if (!here.includes(device.active()) && here.length > 0) await device.setActive(here[0]);
  return true;
}

/** Nobody is signed in: the names that were read are let go of. */
function leave() {
  app.model?.close();
  app.model = null;
}

/** `#/NAME/…` and `#/game/G/NAME/TEAM/PLAYER` name a file of screens/. */
function placeOf(hash) {
  const [first = "", ...more] = hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  if (first !== "game") return { name: first || "home", params: { rest: more } };
  const [game, name, team, player] = more;
  return { name: name || "game", params: { game, team, player, rest: more.slice(2) } };
}

async function show() {
  const mine = ++turn;
  const { name, params } = placeOf(location.hash);
  clean?.();
  clean = null;
  root.setAttribute("aria-busy", "true");
  try {
    const isOut = app.me && app.me.people.length === 0;
    const wanted = isOut && !WITHOUT_SIGN_IN.has(name) ? "sign-in" : name;
    if (!SCREEN.test(wanted)) throw new TypeError(wanted);
    const folder = practice && wanted.startsWith("practice-") ? "practice" : "screens";
    const screen = await import(`./${folder}/${wanted}.js`);
    if (params.game && wanted === name && app.model?.game !== params.game) {
      leave();
      const model = await openGame(params.game);
      if (mine !== turn) return model.close();
      app.model = model;
      queue.watch(params.game);
    }
    if (mine !== turn) return undefined;
    root.dataset.screen = wanted;
    awakeIn(wanted);
    scrollTo(0, 0);
    // A place of its own: a screen that is left while it still reads must not paint over the next.
    const place = h("div", { class: "screen" });
    replace(root, place);
    const done = await screen.show(place, params, app);
    if (mine !== turn) return done?.();
    clean = done ?? null;
    // Keyboards and screen readers go on in the new screen, not in what is gone.
    if (document.activeElement === document.body) root.focus({ preventScroll: true });
    return undefined;
  } catch (error) {
    if (mine === turn) showError(error);
    return undefined;
  } finally {
    if (mine === turn) root.removeAttribute("aria-busy");
  }
}

function showError(error) {
  const isKnown = error instanceof api.ApiError || error instanceof StorageError;
  if (!isKnown) console.error(error);
  const again = h("button", { class: "wide", onclick: show }, t("Try again"));
  const back = h("a", { class: "button wide", href: "#/" }, t("First screen"));
  replace(root, h("h1", {}, t("This screen did not open.")), isKnown && h("p", {}, error.message), again, back);
}

/** The page is of a real ledger and the server of a practice, or the other way round; no tap gets through. */
function showOther() {
  replace(
    root,
    h("h1", {}, t("Something else is at this address now.")),
    h("p", {}, t("A practice and a real weigh-in do not mix. Start one of them on another port, or close this page and open the address again.")),
  );
}

/** Loads every other screen: later the network may be gone, and a worker may not be possible. */
function loadRest() {
  for (const link of document.querySelectorAll("link[rel=later]")) link.rel = "modulepreload";
}

/** What this phone signed and has not witnessed: few phones have a key, so the rest loads when needed. */
async function finishSigning() {
  if (!(await readAll("keys")).some((one) => one.pending)) return;
  const { finishAll } = await import("./witness/signing.js");
  const failed = await finishAll();
  // Somebody may be weighing: it is said, and the screen stays.
  if (failed.some((error) => error.evidence)) say(t("A signature could not be finished. See Hand over, Receipts on this phone."), { stays: true });
}

async function meet() {
  await readMe();
  // Without an answer nothing is new: to wake the news here would come back here at once, without end.
  if (app.me === null) return;
  await app.signedIn();
  if (app.me?.people.length === 0) await show();
}

async function begin() {
  try {
    await openStorage();
    await device.begin();
  } catch {
    replace(
      root,
      h("h1", {}, t("This browser keeps nothing.")),
      h("p", {}, t("A tap would be lost here. Open this page in a normal window, not a private one, or use another browser.")),
      h("p", {}, t("Until then, use the paper list.")),
    );
    return;
  }
  addEventListener("hashchange", show);
  addEventListener("hashchange", paintStrip);
  queue.onChange(paintStrip);
  onNews(() => {
    queue.kick();
    finishSigning().catch(() => {});
    // It opened without a network, which is back now.
    if (app.me === null) meet();
  });
  const [, isAnswered] = await Promise.all([queue.begin(), readMe()]);
  if ((app.me?.practice ?? practice) !== practice) return showOther();
  if (practice) app.practice = await (await import("./practice/caller.js")).begin(app);
  if (!isAnswered) await along.opened();
  // Sets of plays that a closed page left behind; they are kept in any case.
  tellAll().catch(() => {});
  beginNames();
  beginNews(() => Boolean(app.me?.people.some((one) => one.is_confirmed)));
  await beginHold(paintStrip);
  await show();
  document.documentElement.dataset.ready = "";
  loadRest();
  battery.begin(paintStrip);
  // A worker would show a practice where a real page is served next.
  if (practice) return undefined;
  const opensOffline = await worker.begin();
  document.documentElement.dataset.opensOffline = opensOffline ? "yes" : "no";
  return paintStrip();
}

begin();
