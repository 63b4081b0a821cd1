/** This phone signs for you: makes its key, tells the code to have it confirmed, and says whether it counts. `#/phone-key` */

import { get, post, wordsOf } from "../api.js";
import { h, replace } from "../dom.js";
import { button, headline, link } from "../line/parts.js";
import { OFFICES } from "../line/roles.js";
import { t } from "../words.js";
import * as keys from "../witness/keys.js";
import { watch } from "../witness/signing.js";
import { ledgerOf } from "../witness/watching.js";

const ASK_EVERY_MS = 4000;
const CONFIRMING_MS = 30_000;

/** What this phone's key is now, by what it remembers and the server says. */
function standing(record, found) {
  const isOfThis = record && (!found.origin || found.origin.startsWith(ledgerOf(record.line)));
  if (!isOfThis) return "none";
  if (found.in_force === record.line || found.for_games?.includes(record.line)) return "counts";
  if (record.counts) return found.in_force || found.for_games?.length ? "replaced" : "revoked";
  return found.waiting ? "waiting" : "ran out";
}

export async function show(root, _params, app) {
  const told = h("p", { role: "alert" });
  const back = link(t("Back"), "#/hand-over", { class: "button wide" });
  const person = app.person();
  let timer = 0;
  let shown = null;

  function draw(title, ...nodes) {
    told.textContent = "";
    replace(root, headline(title), nodes, told, back);
    root.querySelector("h1").focus();
  }

  const impossible = {
    insecure: () => t("This page is not encrypted, so the browser makes no keys here. Sign with your passphrase, as before."),
    old: () => t("This browser is too old to make such a key. Sign with your passphrase, as before."),
  };
  const cannot = await keys.cannot();
  if (cannot) return draw(t("This phone cannot sign for you"), h("p", {}, impossible[cannot]()));
  if (!person?.is_confirmed) return draw(t("Let this phone sign for you"), h("p", {}, t("Sign in first, and have the network.")));
  if (person.roles.some(({ role }) => OFFICES.has(role))) {
    return draw(t("You sign with your passphrase"), h("p", {}, t("The registrar and presidents keep a passphrase: they sign more than lists.")));
  }

  const { official } = person;
  const place = `/api/phones/mine?official=${encodeURIComponent(official)}`;

  /** Who signed in with a passphrase is signed out as soon as this key counts, so it signs them in. */
  async function askSignedIn(record) {
    try {
      return await get(place);
    } catch (error) {
      if (error.status !== 401 || !record) throw error;
      const isIn = await keys.signIn(record).catch(refusedOnly);
      await app.signedIn();
      return isIn ? get(place) : ended();
    }
  }

  function refusedOnly(error) {
    if (error.status !== 422) throw error;
    return null;
  }

  /** The key of this phone signs in no more; what is known of that without being signed in. */
  async function ended() {
    const known = (await get("/api/officials")).find((one) => one.official === official);
    return { in_force: known?.has_key || known?.has_phone_key ? "another" : null, waiting: false, isOut: true };
  }

  async function ask() {
    const record = await keys.of(official);
    const found = await askSignedIn(record);
    const now = standing(record, found);
    if (now === "counts" && !record.counts) await keys.markCounts(official);
    return { found, record, now };
  }

  async function look() {
    const asked = await ask();
    if (asked.now !== shown) await paint(asked);
  }

  async function paint({ found, record, now }) {
    shown = now;
    const receipts = record?.receipts.length ? link(t("Receipts on this phone"), "#/receipts", { class: "button wide" }) : null;
    const again = found.isOut ? link(t("Sign in"), "#/sign-in", { class: "button first wide" }) : button(t("Make a new key on this phone"), () => make(found), { class: "first wide" });
    const past = [h("p", {}, t("What it signed before still counts.")), receipts, again];
    const screens = {
      none: () => [
        t("Let this phone sign for you"),
        h("p", {}, t("This phone makes a key that never leaves it, and signs lists with it: you type no passphrase on someone else’s computer. Each time, it first checks that everything you signed before is still there.")),
        found.held === "passphrase" && h("p", {}, t("Once this phone is confirmed, your passphrase no longer works. On another device, someone confirms your name, or you sign in ink.")),
        found.held === "device" && h("p", {}, t("Once it is confirmed, the phone that signs for you now no longer does.")),
        button(t("Make a key on this phone"), () => make(found), { class: "first wide" }),
      ],
      waiting: () => [
        found.held === "passphrase" ? t("Confirm this phone") : t("Read this code to the registrar"),
        found.held === "passphrase" && [ownConfirm(code), h("h2", {}, t("Or read this code to the registrar"))],
        h("p", { class: "code long" }, code),
        h("p", {}, t("The registrar or a president types it on their own device, under Hand over, Confirm a phone. You can read it out over the phone.")),
        h("p", { class: "small" }, t("This page goes on by itself. The code is good for 7 days.")),
      ],
      "ran out": () => [
        t("This phone is not confirmed yet"),
        h("p", {}, t("Show its code, and read it to the registrar or a president. A code is good for 7 days.")),
        button(t("Show the code"), () => offer(record), { class: "first wide" }),
        button(t("Make a new key on this phone"), () => make(found), { class: "wide" }),
      ],
      counts: () => [
        keys.isForOneGame(record.line) ? t("This phone signs for you, in this game only.") : t("This phone signs for you"),
        h("p", {}, t("To sign a list, choose your name and tap Sign this list. You need no passphrase.")),
        h("p", {}, t("If you lose this phone, call the registrar, who ends its key.")),
        receipts,
        isForAnother(record) && [h("p", {}, t("For another game, this phone needs another key. Sign the lists of this game first.")), button(t("Make a new key on this phone"), () => make(found), { class: "wide" })],
      ],
      replaced: () => [t("Another key signs for you now"), h("p", {}, t("The key of this phone was replaced. It signs nothing more.")), past],
      revoked: () => [t("The key of this phone was ended"), h("p", {}, t("The registrar or a president ended it. It signs nothing more.")), past],
    };
    const code = record ? await keys.codeOf(record.line) : "";
    draw(...screens[now]());
  }

  /** Who has a passphrase needs nobody: the key before signs this one in. It is the last time. */
  function ownConfirm(code) {
    const words = h("input", { type: "password", autocomplete: "current-password", required: true, maxlength: "1000" });

    async function confirm(event) {
      event.preventDefault();
      if (!form.reportValidity()) return;
      told.textContent = t("One moment.");
      try {
        await post("/api/phones/confirm", { code, official, by: official, passphrase: words.value }, { longest: CONFIRMING_MS });
        await look();
      } catch (error) {
        told.textContent = wordsOf(error);
      }
      words.value = "";
    }

    const form = h("form", { onsubmit: confirm }, h("label", {}, t("Your passphrase, for the last time"), words), h("button", { type: "submit", class: "first wide" }, t("Confirm")));
    return form;
  }

  /** A key for one game, and a role in another. */
  const isForAnother = ({ line }) => keys.isForOneGame(line) && person.roles.some(({ game }) => game === null || !line.split("+")[0].endsWith(`#${game}`));

  async function make({ origin }) {
    const games = new Set(person.roles.map(({ game }) => game));
    await offer(await keys.make(official, origin, games.size === 1 ? [...games][0] : null));
  }

  async function offer(record) {
    try {
      await keys.offer(record);
      await watch(official);
      await look();
    } catch (error) {
      if (error.evidence) return app.go("#/other-ledger");
      told.textContent = wordsOf(error);
    }
    return undefined;
  }

  await look();
  timer = setInterval(() => look().catch(() => {}), ASK_EVERY_MS);
  return () => clearInterval(timer);
}
