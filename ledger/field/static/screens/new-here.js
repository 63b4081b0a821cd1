/**
 * "I am new here": name, team, job. Then somebody confirms by a code, on their device or on this one.
 *
 * `#/new-here`, and `#/new-here/code` while one waits. A name that is known is offered first.
 */

import { get, post, wordsOf } from "../api.js";
import { h, replace } from "../dom.js";
import { WHAT_FOR, askForDigits, choosingForm, digitsForm } from "../line/digits_form.js";
import * as digits from "../line/digits.js";
import { alike } from "../line/finding.js";
import { howItWorks } from "../line/how.js";
import { handTo } from "../line/languages.js";
import { button, headline, link } from "../line/parts.js";
import { roleName } from "../line/roles.js";
import { t } from "../words.js";

const ASK_EVERY_MS = 3000;
const HOUR_MS = 3_600_000;

export async function show(root, { rest }, app) {
  let timer = 0;
  let isGone = false;
  if (rest?.[0] === "code" && app.person()?.new) await tellCode();
  else await fill();
  return () => {
    isGone = true;
    clearInterval(timer);
  };

  async function fill() {
    const [games, officials] = await Promise.all([get("/api/new-here"), get("/api/officials")]);
    const back = link(t("Back"), "#/sign-in", { class: "button wide" });
    if (!games.length) return replace(root, headline(t("I am new here")), h("p", {}, t("There is no game today.")), back);
    const name = h("input", { type: "text", autocomplete: "name", autocapitalize: "words", required: true, minlength: "2", maxlength: "80" });
    const one = (group, value, text, detail) => h("label", { class: "choice" }, h("input", { type: "radio", name: group, value, required: true }), h("span", {}, h("b", {}, text), detail && [" ", h("span", { class: "small" }, detail)]));
    const which = h("select", { onchange: drawTeams }, games.map((game) => h("option", { value: game.game, selected: game === soonest(games) }, saidOf(game))));
    const teams = h("fieldset", { class: "who-signs" });
    const told = h("p", { role: "alert" });

    function go(event) {
      event.preventDefault();
      if (!form.reportValidity()) return;
      const said = { game: which.value, team: form.elements.team.value, to: form.elements.to.value, coaches_neither: true };
      const known = alike(officials, name.value);
      if (known.length) isThisYou(known, name.value.trim(), said);
      else ask({ ...said, name: name.value.trim() }, told);
    }

    function drawTeams() {
      const game = games.find((other) => other.game === which.value);
      replace(teams, h("legend", {}, t("Which team are you here for?")), game.teams.map((team) => one("team", team.team, team.name)));
    }

    const form = h(
      "form",
      { onsubmit: go },
      h("label", {}, t("Your name"), name),
      h("label", { hidden: games.length === 1 }, t("Which game?"), which),
      teams,
      h("fieldset", { class: "who-signs" }, h("legend", {}, t("What will you do?")), one("to", "weighmaster", t("Weigh"), t("the other team’s children")), one("to", "play_counter", t("Count plays"))),
      h("label", { class: "choice" }, h("input", { type: "checkbox", required: true }), h("span", {}, t("I coach neither team."))),
      told,
      h("button", { type: "submit", class: "first wide" }, t("Go on")),
    );
    drawTeams();
    replace(root, headline(t("I am new here")), form, back);
    return name.focus();
  }

  /** One person, one name in the ledger: a second one would count as somebody else all season. */
  function isThisYou(known, name, said) {
    const told = h("p", { role: "alert" });
    replace(
      root,
      headline(t("Is this you?")),
      h("ul", { class: "plain", role: "list" }, known.map((one) => h("li", {}, button([h("b", {}, t("Yes: {name}", { name: one.name })), h("span", {}, one.roles.map(roleName).join(", "))], () => ask({ ...said, official: one.official }, told), { class: "tick" })))),
      told,
      button(t("No, I am someone else"), () => ask({ ...said, name }, told), { class: "wide" }),
    );
    root.querySelector("h1").focus();
  }

  async function ask(said, told) {
    told.textContent = t("One moment.");
    try {
      const me = await post("/api/new-here", said);
      await app.signedIn();
      const mine = said.official ?? me.people.findLast((one) => one.new).official;
      await handTo(app, mine);
    } catch (error) {
      told.textContent = wordsOf(error);
      return;
    }
    app.uncover();
    app.go(app.person()?.new ? "#/new-here/code" : "#/sign-in/code");
  }

  async function tellCode() {
    const { official, code } = app.person();
    const beside = h("div", {});
    const own = h("div", {});
    replace(
      root,
      headline(t("Have your name confirmed")),
      h("p", {}, t("Tell this code to the site official, or else to the other team’s weighmaster:")),
      h("p", { class: "code" }, code),
      h("p", { class: "small" }, t("They find Confirm someone’s name under their initials. This page goes on by itself.")),
      h("p", { class: "small" }, t("A board member, a president or the registrar can confirm you, too.")),
      beside,
      button(t("Correct what I typed"), fill, { class: "wide" }),
      h("h2", {}, t("While you wait")),
      own,
      howItWorks(),
    );
    // Asked after the confirming, they would keep the line waiting.
    const chosen = () => replace(own, h("p", { role: "status" }, t("Your four digits are kept on this device.")));
    if (globalThis.crypto?.subtle && !(await digits.areSet(official))) replace(own, h("h3", {}, t("Choose four digits")), h("p", {}, WHAT_FOR()), choosingForm(official, chosen));
    root.querySelector("h1").focus();
    timer = setInterval(look, ASK_EVERY_MS);
    if (app.me.people.some((one) => one.is_confirmed)) await drawBeside(beside, official, code);
  }

  /** On a device that is shared, whoever stands beside says yes with their own four digits. */
  async function drawBeside(beside, official, code) {
    const { waiting } = await get("/api/to-confirm");
    const able = waiting.find((one) => one.official === official)?.by ?? [];
    const people = able.map((one) => app.me.people.find((here) => here.official === one.official)).filter(Boolean);
    const confirm = (by) => button(t("{name} confirms me", { name: by.name }), () => sayYes(by), { class: "first wide" });
    replace(beside, people.length ? h("p", {}, t("Or someone beside you confirms on this device:")) : null, people.map(confirm));

    async function sayYes(by) {
      const done = async () => {
        await post("/api/confirm", { official, code, by: by.official });
        await look();
      };
      if (!(await digits.areSet(by.official))) return done();
      replace(beside, h("h2", {}, by.name), digitsForm(by, { right: done, locked: () => app.go("#/sign-in") }));
      return beside.querySelector("input").focus();
    }
  }

  async function look() {
    await app.signedIn().catch(() => {});
    if (isGone || (app.person() && !app.person().is_confirmed)) return undefined;
    clearInterval(timer);
    // The code was too old: one asks again.
    if (!app.person()) return app.go("#/new-here");
    return askForDigits(root, app);
  }
}

const saidOf = (game) => t("{time}, {division}: {home} and {visitor}", { time: game.kickoff_local, division: game.division_name, home: game.teams[0].name, visitor: game.teams[1].name });

/** The game that somebody new is here for, most likely: the first that did not kick off an hour ago. */
const soonest = (games) => games.find((one) => Date.parse(one.kickoff) > Date.now() - HOUR_MS) ?? games.at(-1);
