/**
 * Take Saturday along: a morning with no network, and the checks that it will go well. `#/along`
 *
 * At home; with the network gone it shows what was kept, and the proof.
 */

import * as along from "../along/along.js";
import * as battery from "../along/battery.js";
import { timeZone } from "../device.js";
import { h, replace } from "../dom.js";
import { button, drawer, goBack, headline } from "../line/parts.js";
import { spoken, t, tn } from "../words.js";
import { byRole, readDay } from "./games.js";

const MOST_OFF_S = 60;
const MOST_MINUTES = 90;
const time = (when) => new Intl.DateTimeFormat(spoken(), { hour: "numeric", minute: "2-digit", timeZone: timeZone() }).format(new Date(when));

export async function show(root, _params, app) {
  const official = app.active();
  const told = h("p", { role: "alert" });
  let found = await along.taken(official);
  let isAble = false;
  let state = { lines: [], isBusy: false };
  const day = await readDay();
  const games = day ? byRole(day, app).filter((one) => !one.is_off) : [];

  async function take() {
    if (state.isBusy) return;
    state.isBusy = true;
    replace(told, t("One moment."));
    try {
      found = await along.take(official, day, games, app.person()?.until);
      replace(told);
    } catch (error) {
      if (error.status === undefined) throw error;
      replace(told, t("Not all came. Try again where the network is good."));
    }
    state.isBusy = false;
    await look();
  }

  /** One line a check: whether it is well, what is, and what to do. */
  async function look() {
    const lines = found ? await Promise.all([kept(), page(), clock(), power()]) : [];
    state = { ...state, lines };
    draw();
  }

  async function kept() {
    const n = found.games.length;
    const isWell = await along.areKept(found.games);
    return [isWell, isWell ? tn("{day}: {n} game is on this phone.", "{day}: {n} games are on this phone.", n, { day: found.day }) : t("A game is missing. Take it along again.")];
  }

  async function page() {
    isAble = await along.opensAlone();
    return [isAble, isAble ? t("The page can open without a network.") : t("This window cannot open the page without a network. Use a normal window, not a private one, without a warning.")];
  }

  async function clock() {
    try {
      const minutes = Math.round((await along.clockOff()) / MOST_OFF_S);
      if (minutes === 0) return [true, t("The clock is right.")];
      const off = Math.abs(minutes) > MOST_MINUTES ? t("This clock is off by hours.") : minutes > 0 ? tn("This clock is {n} minute ahead.", "This clock is {n} minutes ahead.", minutes) : tn("This clock is {n} minute behind.", "This clock is {n} minutes behind.", -minutes);
      return [false, [off, " ", t("Set it in the phone’s settings.")]];
    } catch (error) {
      if (error.status === undefined) throw error;
      return [null, t("The clock is compared when there is a network.")];
    }
  }

  function power() {
    const level = battery.level();
    if (level === null) return [null, t("Look at the battery. Under 20%: print or copy.")];
    const n = Math.round(level * 100);
    return battery.isLow() ? [false, t("Battery at {n}%: charge it, or print now.", { n })] : [true, t("Battery at {n}%.", { n })];
  }

  function proof() {
    const opened = found.opened;
    const steps = h("ol", {}, [
      h("li", {}, t("Turn on airplane mode.")),
      h("li", {}, t("Close the browser, and open this page again.")),
      h("li", {}, t("Come back to this screen, then turn airplane mode off.")),
    ]);
    if (!opened) return [h("p", {}, t("A private window forgets all this when it closes. So try it once, now:")), steps];
    if (opened.anew) return h("p", { class: "ask" }, t("Opened without a network at {time}.", { time: time(opened.at) }));
    return [h("p", {}, t("Reloaded without a network at {time}. Now close the browser too:", { time: time(opened.at) })), steps];
  }

  const word = { true: () => t("Good:"), false: () => t("To do:"), null: () => t("Note:") };

  const draw = drawer(
    () => [state.lines, found],
    () =>
      replace(
        root,
        headline(t("Take Saturday along")),
        h("p", {}, t("This keeps your games of the day on this phone, so you can weigh, list and count with no network at all. It goes by number: no name is kept on a phone.")),
        found || games.length ? null : h("p", { class: "notice" }, day ? t("You have no job at the games of this day.") : t("No answer from the server.")),
        found ? h("ul", { class: "plain checks" }, state.lines.map(([isWell, text]) => h("li", {}, h("b", {}, word[isWell]()), " ", text))) : null,
        found && isAble ? h("section", {}, h("h2", {}, t("Prove it")), proof()) : null,
        told,
        day && games.length ? button(found ? t("Check again") : t("Take it along"), take, { class: found ? "wide" : "first wide" }) : null,
        found ? h("p", { class: "small" }, t("On the day leave the page open. It sends by itself when there is a network; if it asks, sign in again. You sign in ink, or later with your key.")) : null,
        button(t("Back"), () => goBack(app), { class: "wide" }),
      ),
  );

  draw();
  root.querySelector("h1").focus();
  await look();
}
