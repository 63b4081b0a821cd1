/**
 * Two counters compare at the half: only numbers that differ are shown. `#/game/G/compare/T/HALF`
 *
 * Each takes the other's number, or leaves theirs: every count stays under its counter's name.
 */

import { counters } from "../after/due.js";
import { joined } from "../after/parts.js";
import * as tally from "../after/tally.js";
import { h, replace } from "../dom.js";
import { inPlace } from "../line/finding.js";
import { button, drawer, facts, felt, headline, label, link, thumb } from "../line/parts.js";
import { t, tn } from "../words.js";

export async function show(root, { game, team, player }, app) {
  const { model } = app;
  const half = Number(player) || 1;
  const by = app.active();
  const place = { game, team, half, by };
  const side = () => model.team(team);
  const titles = { 1: t("First half"), 2: t("Second half"), 3: t("Overtime") };
  const top = facts(app, () => side().name, () => [titles[half]]);
  const body = h("div", { class: "comparing" });
  const whose = (official) => (official === by ? t("you") : model.head.people.find((one) => one.official === official)?.name ?? t("someone"));
  await tally.tell(place);

  async function take(child, count) {
    if (await tally.read(place)) {
      await tally.correct(place, child.player, count);
      await tally.tell(place);
    } else {
      await app.state([{ kind: "plays", team, player: child.player, half: String(half), count: String(count) }]);
    }
    felt();
  }

  function differing(found) {
    return inPlace(side().children)
      .map((child) => ({ child, said: found.map((one) => ({ official: one.official, count: one.counts[child.player] ?? 0 })) }))
      .filter(({ said }) => new Set(said.map((one) => one.count)).size > 1);
  }

  function row({ child, said }) {
    const own = said.find((one) => one.official === by);
    const others = [...new Set(said.map((one) => one.count))].filter((count) => count !== own?.count);
    return h(
      "li",
      {},
      h("b", { class: "big" }, label(child)),
      h("span", { class: "counts" }, said.map((one) => h("span", {}, `${whose(one.official)}: ${one.count}`))),
      h("span", { class: "do" }, others.map((count) => button(t("Take {n}", { n: count }), () => take(child, count), { answer: true, "aria-label": t("{number}: take {n}", { number: label(child), n: count }) }))),
    );
  }

  function ofTeam(found) {
    const told = found.filter((one) => one.snaps !== null);
    if (new Set(told.map((one) => one.snaps)).size < 2) return null;
    return h("p", { class: "notice" }, t("Plays run in this half: {said}.", { said: joined(told.map((one) => `${whose(one.official)} ${one.snaps}`)) }));
  }

  function content() {
    const found = counters(model, team, half);
    if (found.length === 0) return h("p", { class: "ask" }, t("Nobody has counted this half yet."));
    if (found.length === 1) return h("p", { class: "ask" }, found[0].official === by ? t("Only you have counted this half.") : t("Only {name} has counted this half.", { name: whose(found[0].official) }));
    const rows = differing(found);
    if (rows.length === 0) return [h("p", { class: "ask" }, t("The counts agree.")), ofTeam(found)];
    return [
      h("p", {}, tn("{n} number differs.", "{n} numbers differ.", rows.length), " ", t("Agree, and take the number that is right.")),
      ofTeam(found),
      h("ul", { class: "rows", role: "list" }, rows.map(row)),
    ];
  }

  const drawn = drawer(
    () => [counters(model, team, half), model.head.people],
    () => replace(body, headline(t("Compare the counts")), content()),
  );

  replace(root, top.node, body, thumb(app, game, link(t("Plays"), `#/game/${game}/plays/${team}`, { class: "button back" })));
  drawn();
  root.querySelector("h1").focus({ preventScroll: true });
  const stops = [model.onChange(() => drawn()), top.end];
  return () => stops.forEach((stop) => stop());
}
