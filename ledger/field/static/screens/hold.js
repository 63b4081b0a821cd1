/**
 * Hold: thunder, heat, an injury. One tap covers all; the site official moves the kickoff, and every
 * time on the page follows. For some seconds a slip is taken back with one tap. `#/game/G/hold`
 */

import { h, replace } from "../dom.js";
import * as held from "../line/held.js";
import { rolesOf } from "../line/moment.js";
import { button, clock, felt, goBack, headline, keepingFocus } from "../line/parts.js";
import { localDate, localTime } from "../line/times.js";
import * as names from "../names.js";
import { t } from "../words.js";

/** Later, names come back by the official's digits alone. */
const SLIP_MS = 10_000;
const MOVES = ["site_official", "head_official", "board_member", "division_president", "registrar"];

export function show(root, { game }, app) {
  const { model } = app;
  const wasOpen = !names.areCovered();
  app.cover();
  const since = held.hold(model.head, game);
  const slipLeft = () => (wasOpen ? Date.parse(since) + SLIP_MS - Date.now() : 0);
  const roles = rolesOf(app);
  const body = h("div", { class: "hold" });
  const slip = button(t("A slip: take it back"), takeBack, { class: "wide" });

  function goOn() {
    held.goOn();
    goBack(app);
  }

  function takeBack() {
    app.uncover();
    app.say(t("A slip: nothing was stopped."));
    goOn();
  }

  function draw() {
    replace(
      body,
      headline(t("On hold")),
      h("p", {}, t("Since {time}. Kickoff {kickoff}.", { time: clock(model.head, since), kickoff: clock(model.head, model.head.kickoff) })),
      h(
        "ul",
        {},
        h("li", {}, t("Thunder: everybody leaves the scale and goes inside.")),
        h("li", {}, t("Heat: shade and water first.")),
        h("li", {}, t("Hurt or very ill: call for help first, then the site official.")),
      ),
      button(t("Go on"), goOn, { class: "first wide" }),
      slipLeft() > 0 && slip,
      roles.some((role) => MOVES.includes(role)) ? mover(app, draw) : h("p", { class: "small" }, t("The site official moves the kickoff if it takes long.")),
    );
  }

  replace(root, body);
  draw();
  body.querySelector("h1").focus();
  const timer = setTimeout(() => keepingFocus(() => slip.remove()), slipLeft());
  const stop = model.onChange(draw);
  return () => {
    clearTimeout(timer);
    stop();
  };
}

function mover(app, done) {
  const { head } = app.model;
  const reasons = [t("Thunder"), t("Heat"), t("An injury"), t("Another reason")];
  const time = h("input", { type: "time", required: true, value: localTime(head, head.kickoff) });
  const reason = h("select", {}, reasons.map((text) => h("option", {}, text)));

  async function move(event) {
    event.preventDefault();
    if (!time.reportValidity()) return;
    await app.state([{ kind: "game_change", kickoff: `${localDate(head, head.kickoff)}T${time.value}`, reason: reason.value }]);
    felt();
    app.say(t("The kickoff is moved."));
    done();
  }

  return h(
    "form",
    { onsubmit: move },
    h("h2", {}, t("Move the kickoff")),
    h("label", {}, t("New kickoff"), time),
    h("label", {}, t("Why"), reason),
    h("button", { type: "submit", class: "wide" }, t("Move it")),
  );
}
