/**
 * Confirm names: who waits with a code, and who works already and is still to be appointed. `#/confirm`
 */

import { get, post, wordsOf } from "../api.js";
import { h, replace } from "../dom.js";
import { button, drawer, felt, goBack, headline } from "../line/parts.js";
import { roleName } from "../line/roles.js";
import { t } from "../words.js";

const LOOK_EVERY_MS = 4000;
const CODE = /^\d{6}$/u;

export async function show(root, _params, app) {
  let found = await get("/api/to-confirm");
  const appointed = new Set();
  const told = h("p", { role: "status" });
  const rows = h("div", {});
  let isChosen = false;

  const keyOf = (one) => [one.official, one.game, one.team, one.to].join("/");
  const where = (one) => (one.to ? t("{job}, {team}, {time}", { job: roleName(one.to), team: one.team_name, time: one.kickoff_local }) : t("signs in again"));

  const row = (one) => h("li", {}, button([h("b", {}, one.name), h("span", {}, where(one))], () => choose(one), { class: "tick" }));

  const working = (one) =>
    h(
      "li",
      { class: "notice" },
      h("span", {}, h("b", {}, one.name), ", ", where(one), ". ", t("{name} let them in.", { name: one.by_name })),
      button(t("Confirm {name}", { name: one.name }), () => appoint(one)),
    );

  const drawn = drawer(
    () => [found, [...appointed]],
    () => {
      const left = found.let_in.filter((one) => !appointed.has(keyOf(one)));
      replace(
        rows,
        found.waiting.length ? h("ul", { class: "plain", role: "list" }, found.waiting.map(row)) : h("p", { class: "ask" }, t("No one is waiting.")),
        left.length ? [h("h2", {}, t("At work, to be confirmed")), h("ul", { class: "plain", role: "list" }, left.map(working))] : null,
      );
    },
  );

  async function appoint(one) {
    await app.state([{ kind: "appoint", team: one.team, value: one.official, to: one.to }], { game: one.game });
    appointed.add(keyOf(one));
    felt();
    told.textContent = t("Confirmed: {name}.", { name: one.name });
    drawn();
  }

  function list() {
    isChosen = false;
    replace(root, headline(t("Confirm a name")), h("p", {}, t("Ask for their name, and the code on their phone. From then on they act under this name.")), told, rows, button(t("Back"), () => goBack(app, "#/hand-over"), { class: "wide" }));
    drawn(true);
    root.querySelector("h1").focus();
  }

  function choose(one) {
    isChosen = true;
    const by = one.by.find((able) => able.official === app.active()) ?? one.by[0];
    const code = h("input", { type: "text", inputmode: "numeric", maxlength: "6", pattern: "\\d{6}", autocomplete: "off", required: true });
    const wrong = h("p", { role: "alert" });
    let isAsking = false;

    async function confirm(event) {
      event.preventDefault();
      if (isAsking || !form.reportValidity()) return;
      isAsking = true;
      try {
        await post("/api/confirm", { official: one.official, code: code.value.trim(), by: by.official });
      } catch (error) {
        wrong.textContent = wordsOf(error);
        isAsking = false;
        return;
      }
      felt();
      told.textContent = by.has_authority ? t("Confirmed: {name}.", { name: one.name }) : t("{name} can start. Someone from the league still confirms them.", { name: one.name });
      found = { ...found, waiting: found.waiting.filter((other) => other.official !== one.official) };
      list();
    }

    const form = h("form", { onsubmit: confirm }, h("label", {}, t("The code they tell you"), code), wrong, h("button", { type: "submit", class: "first wide" }, t("Confirm")));
    replace(
      root,
      headline(one.name),
      h("p", {}, where(one)),
      by.has_authority ? null : h("p", { class: "unusual" }, t("They start now. Someone from the league still confirms them.")),
      form,
      button(t("Back"), list, { class: "wide" }),
    );
    code.addEventListener("input", (event) => CODE.test(code.value) && confirm(event));
    code.focus();
  }

  async function look() {
    try {
      found = await get("/api/to-confirm");
    } catch {
      return;
    }
    if (!isChosen) drawn();
  }

  if (found.waiting.length === 1 && !found.let_in.length) choose(found.waiting[0]);
  else list();
  const timer = setInterval(look, LOOK_EVERY_MS);
  return () => clearInterval(timer);
}
