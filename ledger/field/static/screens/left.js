/**
 * The last five minutes: what is left of both teams, and how long until kickoff. `#/game/G/left`
 *
 * Numbers only, in place of names; nothing here says more than what is still to do.
 */

import { openOf, signedBy } from "../after/open.js";
import { joined } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { inPlace } from "../line/finding.js";
import { weighedBy } from "../line/moment.js";
import { clock, drawer, headline, label, link, thumb } from "../line/parts.js";
import { t } from "../words.js";

const EVERY_MS = 5_000;
const MINUTE_MS = 60_000;

export function show(root, { game }, app) {
  const { model } = app;
  const body = h("div", { class: "left" });
  const own = weighedBy(app);
  const teams = () => [...model.head.teams].sort((a, b) => Number(b.team === own) - Number(a.team === own));

  function title() {
    const { head } = model;
    const minutes = Math.ceil((Date.parse(head.kickoff) - Date.now()) / MINUTE_MS);
    if (head.is_off) return t("This game is called off");
    if (minutes > 120) return t("Kickoff {time}", { time: clock(head, head.kickoff) });
    if (minutes > 0) return t("Kickoff in {n} min", { n: minutes });
    return t("Kickoff was at {time}", { time: clock(head, head.kickoff) });
  }

  const line = (what, children, place) =>
    children.length ? h("li", {}, link([h("span", {}, what), h("b", { class: "numbers" }, inPlace(children).map((one) => h("span", {}, label(one))))], place, { class: "button tick" })) : null;

  function ofTeam({ team, name }) {
    const side = model.team(team);
    const open = openOf(side);
    const at = (place) => `#/game/${game}/${place}/${team}`;
    const signed = signedBy(model, team);
    const unsigned = model.head.teams.filter((one) => !signed.has(one.team)).map((one) => one.name);
    const lines = [
      line(t("Missing"), [...open.missing, ...open.to_come], at("close")),
      line(t("Not striped"), [...open.not_listed, ...open.not_striped], at("close")),
      line(t("Not decided"), open.undecided, at("close")),
      line(t("To cross off"), [...open.listed_ok, ...open.not_struck, ...open.injured, ...open.striped_ok], at("close")),
      side.closed_at ? null : h("li", {}, link([h("span", {}, t("Not closed"))], at("close"), { class: "button tick" })),
      unsigned.length ? h("li", {}, link([h("span", {}, t("Not signed by")), h("b", {}, joined(unsigned))], at("sign"), { class: "button tick" })) : null,
    ].filter(Boolean);
    return h("section", {}, h("h2", {}, name), lines.length ? h("ul", { class: "plain", role: "list" }, lines) : h("p", { class: "ask" }, t("Nothing is left.")));
  }

  const drawn = drawer(
    () => [title(), teams().map((one) => [openOf(model.team(one.team)), model.team(one.team).closed_at, [...signedBy(model, one.team)]])],
    () => replace(body, headline(title(), { class: "count" }), teams().map(ofTeam)),
  );

  replace(root, body, thumb(app, game, link(t("Back"), own ? `#/game/${game}/weigh/${own}` : `#/game/${game}`, { class: "button back" })));
  drawn();
  root.querySelector("h1").focus({ preventScroll: true });
  const timer = setInterval(drawn, EVERY_MS);
  const stops = [model.onChange(() => drawn()), () => clearInterval(timer)];
  return () => stops.forEach((stop) => stop());
}
