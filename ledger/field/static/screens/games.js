/**
 * The games of the day, and what one does in them. `#/games`
 *
 * Without a network they are listed as this device read them last.
 */

import { get } from "../api.js";
import * as db from "../db.js";
import { setTimeZone } from "../device.js";
import { h, replace } from "../dom.js";
import { button, headline, link } from "../line/parts.js";
import { localDate } from "../line/times.js";
import { t } from "../words.js";

const AT_THE_FIELD = ["weighmaster", "play_counter", "site_official", "head_official"];
const MAY_WEIGH = ["board_member", "association_president", "division_president"];

export async function show(root, _params, app) {
  listGames(root, await readDay(), app);
}

/** The games in which the active official has something to do. */
export const byRole = (day, app) => day.games.filter((game) => doing(game, app.active()).length > 0);

export function listGames(root, day, app) {
  if (!day) {
    replace(root, headline(t("No answer from the server.")), h("p", {}, t("Try again when there is a network. Until then, use the paper list.")), button(t("Try again"), () => app.go(location.hash), { class: "wide" }));
    root.querySelector("h1").focus();
    return;
  }
  const mine = byRole(day, app);
  const shown = mine.length ? mine : day.games;
  replace(
    root,
    headline(day.day),
    mine.length ? null : h("p", {}, day.date === localDate(day, Date.now()) ? t("You have no job at today’s games.") : t("You have no job at the games of this day.")),
    h("ul", { class: "games", role: "list" }, shown.map((game) => h("li", {}, entry(game, app)))),
    h("p", { class: "small ways" }, isAway(app) ? link(t("Take Saturday along"), "#/along") : null, link(t("Hand over"), "#/hand-over"), link(t("How it works"), "#/start-here")),
  );
  root.querySelector("h1").focus();
}

/** A phone of a server that may be out of reach; on loopback the server is this computer. */
export const isAway = (app) => app.me?.mode !== "loopback";

function entry(game, app) {
  const what = game.is_off ? [t("Called off.")] : doing(game, app.active()).map((one) => sentence(game, one));
  const teams = t("{visitor} at {home}", { visitor: game.visitor.name, home: game.home.name });
  return link(
    [h("b", {}, `${game.kickoff_local} ${game.division_name}`), h("span", {}, teams), h("span", {}, what.join(" ")), h("span", { class: "small" }, game.site ?? "")],
    `#/game/${encodeURIComponent(game.game)}`,
    { class: "tick button" },
  );
}

const doing = (game, official) => game.yours.filter((one) => one.official === official && [...AT_THE_FIELD, ...MAY_WEIGH].includes(one.role));

function sentence(game, { role, weighs, team }) {
  const named = (id) => [game.home, game.visitor].find((one) => one.team === id)?.name ?? "";
  if (weighs) return t("You weigh the {team}.", { team: named(weighs) });
  if (role === "play_counter" && team) return t("You count plays for the {team}.", { team: named(team) });
  if (MAY_WEIGH.includes(role)) return t("You may stand at the scale.");
  return role === "site_official" ? t("You are the site official.") : t("You are the head official.");
}

/** The day as the server has it; null where it was never read. */
export async function readDay() {
  const date = new URLSearchParams(location.search).get("date") ?? "";
  const key = `day:${date}`;
  try {
    const day = await get(`/api/day${date ? `?date=${encodeURIComponent(date)}` : ""}`);
    await db.write("shape", key, day);
    await setTimeZone(day.time_zone);
    return day;
  } catch (error) {
    if (error.status !== 0 && error.status < 500) throw error;
    return (await db.read("shape", key)) ?? null;
  }
}
