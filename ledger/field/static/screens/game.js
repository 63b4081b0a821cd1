/**
 * The first screen of a game, top down: what you do, how the scale stands, one button; small: what
 * else one may need before the line. No child's name, no other game. `#/game/G`
 */

import { signedBy } from "../after/open.js";
import { isPractice } from "../device.js";
import { h, replace } from "../dom.js";
import { atScale, firstTeam, rolesOf, weighedBy } from "../line/moment.js";
import { mayConfirm, onNewcomers } from "../line/newcomers.js";
import { button, clock, date, drawer, headline, hour, kickoff, link, pounds, weekday } from "../line/parts.js";
import { needsSetting, passes } from "../line/scale_state.js";
import * as table from "../line/table.js";
import { daysUntil } from "../line/times.js";
import { t, tn } from "../words.js";
import { isAway } from "./games.js";

const CLOCK_EVERY_MS = 10_000;

export async function show(root, { game }, app) {
  const { model } = app;
  const team = weighedBy(app);
  const roles = rolesOf(app);
  const at = (place) => `#/game/${game}/${place}`;
  let needsScale = await needsSetting(model);
  let waiting = [];
  let paper = await table.paper(game);

  const isToday = () => daysUntil(model.head) === 0;

  /** The division, and what the active official does in this game. */
  function job() {
    const { head } = model;
    const does = () => {
      if (head.is_off) return t("This game is called off.");
      if (model.fold.half_ended[2]) return t("This game is over.");
      if (team) return t("You weigh the {team}.", { team: model.team(team).name });
      if (roles.includes("coach")) return t("You coach here, so others weigh.");
      if (roles.includes("play_counter")) return t("You count plays.");
      return roles.includes("site_official") ? t("You are the site official.") : "";
    };
    return [`${head.division_name}.`, does()].filter(Boolean).join(" ");
  }

  const headlineText = () => {
    const { head } = model;
    if (!isToday()) return t("{date}. Not today.", { date: date(head, head.kickoff) });
    return t("{day} {time}. {job}", { day: weekday(head, head.kickoff), time: hour(head, Date.now()), job: job() });
  };

  /** On another day the scale and the line look as on the day: whoever tries them out must know. */
  function otherDay() {
    if (isToday()) return null;
    const days = daysUntil(model.head);
    const away = days > 0 ? tn("This game is in {n} day.", "This game is in {n} days.", days) : tn("This game was {n} day ago.", "This game was {n} days ago.", -days);
    return [
      h("p", {}, job()),
      h("div", { class: "notice" }, h("p", {}, away, " ", !isPractice() && t("What you tap here counts for it.")), days > 0 && !isPractice() ? h("p", {}, t("Do not weigh for practice here: it would count.")) : null),
    ];
  }

  function scaleLines() {
    const { head } = model;
    const { station, out } = model.fold.scale;
    const two = (large, ...more) => [h("p", { class: "limit" }, large), h("p", {}, more)];
    if (out) return two(t("Scale out: by the book"), t("Since {time}.", { time: clock(head, out.at) }));
    const set = t("Set the scale to {n} lb", { n: pounds(head.limit_clb) });
    if (!station) return two(set, t("Check weight: not read yet."));
    const reading = t("Check weight reads {n} lb.", { n: pounds(station.reading_clb) });
    const wrong = notReady(head, station);
    if (wrong) return two(set, reading, " ", h("b", {}, wrong));
    return two(t("The scale is set to {n} lb", { n: pounds(head.limit_clb) }), reading, " ", h("b", {}, t("Ready.")));
  }

  function notReady(head, station) {
    if (!passes(head, station.reading_clb)) return t("It does not pass.");
    if (needsScale) return t("Check and set it again for this game.");
    return station.limit_clb === head.limit_clb ? null : t("It was set to {n} lb.", { n: pounds(station.limit_clb) });
  }

  function way() {
    const { head } = model;
    if (head.is_off) return link(t("Games of the day"), "#/games", { class: "button first wide" });
    if (team) return weighing();
    if (roles.includes("play_counter")) return link(t("Count plays"), at("plays"), { class: "button first wide" });
    if (roles.includes("coach")) return link(t("How it works"), "#/start-here", { class: "button first wide" });
    return link(t("Hold, or move the kickoff"), at("hold"), { class: "button first wide" });
  }

  function weighing() {
    const side = model.team(team);
    if (side.closed_at) return afterClose();
    if (needsScale) return link(t("Check the scale"), at(`scale/${team}`), { class: "button first wide" });
    const isBegun = side.children.some((child) => child.done);
    return button(isBegun ? t("Go on weighing") : t("Start weighing"), () => start(), { class: "first wide" });
  }

  /** A list that a side has not signed; then who comes late, and after the first half the plays. */
  function afterClose() {
    const ended = model.fold.half_ended;
    const next = () => ended[2] ? [t("What is left"), "left"] : ended[1] ? [t("Count plays"), "plays"] : [t("A late child"), `late/${team}`];
    const [text, place] = unsigned() ? [t("Sign the list"), `sign/${unsigned()}`] : next();
    return link(text, at(place), { class: "button first wide" });
  }

  function unsigned() {
    const sides = model.head.teams.map((one) => one.team);
    const lists = [team, ...sides.filter((one) => one !== team)];
    return lists.find((list) => model.team(list).closed_at && sides.some((side) => !signedBy(model, list).has(side)));
  }

  async function start(weighed = team) {
    const entries = atScale(app, weighed);
    if (entries.length) await app.state(entries);
    app.go(at(`weigh/${weighed}`));
  }

  /** All ways but the one that the large button goes. */
  function small(first) {
    const other = team && model.other(team);
    return h(
      "nav",
      { class: "ways small", "aria-label": t("Also here") },
      team && link(t("Not here today"), at(`absent/${team}`)),
      isAway(app) ? link(t("Take Saturday along"), "#/along") : null,
      link(t("How it works"), "#/start-here"),
      link(t("Hold"), at("hold")),
      link(t("Paper"), at("paper")),
      link(t("Hand over"), "#/hand-over"),
      link(t("Language"), "#/language"),
      ...(team && model.team(team).closed_at ? [link(t("A late child"), at(`late/${team}`)), link(t("Count plays"), at("plays"))] : []).filter((one) => one.hash !== first.hash),
      team && !roles.includes("weighmaster") && other ? button(t("Weigh the {team}", { team: other.name }), () => start(other.team), { class: "quiet" }) : null,
      ["site_official", "head_official", "board_member"].some((role) => roles.includes(role)) ? link(t("End of a half"), at("halves")) : null,
      mayConfirm(app) ? link(t("Confirm someone’s name"), "#/confirm") : null,
    );
  }

  const ownWords = () => (roles.includes("weighmaster")
    ? t("You can weigh. Someone from the league still confirms you.")
    : t("You can count plays. Someone from the league still confirms you."));

  /** Somebody new stands there with a code, or works and nobody who appoints has said yes. */
  function newcomers() {
    const working = model.head.people.filter((one) => one.to_confirm);
    if (!waiting.length && !working.length) return null;
    return h(
      "div",
      { class: "notice" },
      waiting.map((one) => h("p", {}, t("{name} is new here and waits.", { name: one.name }))),
      working.map((one) => h("p", {}, one.official === app.active() ? ownWords() : t("To be confirmed: {name}.", { name: one.name ?? one.initials }))),
      waiting.length ? link(t("Confirm someone’s name"), "#/confirm") : null,
    );
  }

  const onPaper = () => paper && h("p", { class: "notice" }, t("On paper since {time}.", { time: clock(model.head, paper.since) }), " ", link(t("Type it in"), at("paper")));

  const order = () => {
    const { head } = model;
    const first = firstTeam(head);
    const lines = [
      team && Date.now() < Date.parse(head.opens) && t("The weigh-in opens at {time}.", { time: clock(head, head.opens) }),
      team && !model.team(team).closed_at && head.first_to_weigh !== "either" && first !== team && !model.team(first).closed_at && t("The {team} go first.", { team: model.team(first).name }),
    ].filter(Boolean);
    return lines.length ? h("p", { class: "small" }, lines.join(" ")) : null;
  };

  const ways = () => {
    const first = way();
    return [first, h("p", { class: "small" }, [model.head.site, kickoff(model.head)].filter(Boolean).join(" · ")), small(first)];
  };

  const drawn = drawer(
    () => [headlineText(), job(), kickoff(model.head), model.fold.scale, needsScale, model.head, model.head.teams.map((one) => model.team(one.team).closed_at), team && model.team(team).left.length, team && unsigned(), model.fold.half_ended, waiting],
    () =>
      replace(
        root,
        h(
          "div",
          { class: "start" },
          headline(headlineText(), { class: "first-line" }),
          otherDay(),
          team && !model.head.is_off ? h("div", { class: "needs scale-lines" }, scaleLines()) : null,
          order(),
          newcomers(),
          onPaper(),
          ways(),
        ),
      ),
  );

  async function draw() {
    needsScale = await needsSetting(model);
    drawn();
  }

  function hear(found) {
    waiting = found;
    draw();
  }

  drawn();
  root.querySelector("h1").focus();
  draw();
  const timer = setInterval(draw, CLOCK_EVERY_MS);
  const stops = [model.onChange(draw), onNewcomers(app, game, hear), () => clearInterval(timer)];
  return () => stops.forEach((stop) => stop());
}
