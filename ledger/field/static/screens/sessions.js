/** Who is signed in where: one's own devices, everyone's for the office. Ends what is no longer wanted. `#/sessions` */

import { get, post, wordsOf } from "../api.js";
import { timeZone } from "../device.js";
import { h, replace } from "../dom.js";
import { button, headline, keepingFocus, link } from "../line/parts.js";
import { spoken, t } from "../words.js";

export async function show(root, _params, app) {
  const list = h("ul", { class: "plain", role: "list" });
  const told = h("p", { role: "status" });
  const clock = new Intl.DateTimeFormat(spoken(), { weekday: "short", hour: "numeric", minute: "2-digit", timeZone: timeZone() });

  const how = { key: t("with a passphrase"), phone: t("with a phone’s key"), code: t("confirmed by an official"), terminal: t("by the code on the laptop"), "to confirm": t("to be confirmed") };

  function row(session) {
    const person = (one) =>
      h("p", {}, h("b", {}, one.name), " ", t("since {time}, {how}", { time: clock.format(new Date(one.since)), how: how[one.how] }));
    const end = session.is_here
      ? h("p", { class: "small" }, t("This device"))
      : button(t("Sign out there"), () => leave(session), { class: "wide", "aria-label": t("Sign out there: {names}", { names: session.people.map((one) => one.name).join(", ") }) });
    return h("li", {}, session.people.map(person), end);
  }

  async function leave(session) {
    try {
      // Only those who are shown: others may be signed in there too.
      for (const { official } of session.people) await post("/api/sessions/revoke", { session: session.session, official });
      await draw();
      told.textContent = t("Signed out there.");
    } catch (error) {
      told.textContent = wordsOf(error);
    }
  }

  async function draw() {
    const sessions = await get("/api/sessions");
    keepingFocus(() => replace(list, sessions.sort((one, other) => other.is_here - one.is_here).map(row)));
  }

  await draw();
  replace(
    root,
    headline(t("Who is signed in where")),
    h("p", {}, t("A device that is lost or left behind: sign it out here. What waits on it stays on it.")),
    list,
    told,
    link(t("Back"), "#/hand-over", { class: "button wide" }),
  );
  root.querySelector("h1").focus();
}
