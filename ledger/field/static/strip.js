/** The strip above every screen: what is saved, what waits, and what is wrong with this device. */

import { onChange as onTally, waitingPlays } from "./after/tally.js";
import { paperNow } from "./along/battery.js";
import { isPractice } from "./device.js";
import { h, replace } from "./dom.js";
import { onHold } from "./line/held.js";
import { clock as timeOf } from "./line/parts.js";
import * as queue from "./queue.js";
import { t, tn } from "./words.js";
import { opensWithoutNetwork } from "./worker.js";

const strip = document.querySelector("#strip");
const live = document.querySelector("#live");
const SHOWN_MS = 4000;
let timer = 0;
let painted = "";

const WHY = {
  network: () => t("No network. It will send by itself."),
  busy: () => t("The server is busy. It will send by itself."),
  signed_out: () => t("Sign in to send it."),
  to_confirm: () => t("Someone has to confirm your sign-in."),
};

/** "All saved", or how much waits on this phone; counted plays too, until they are told. */
export function savedText() {
  const { n, aside } = queue.standing();
  const plays = waitingPlays();
  const waits = n > 0 && tn("{n} waits on this phone", "{n} wait on this phone", n);
  const counted = plays > 0 && tn("{n} play to send", "{n} plays to send", plays);
  const needs = aside > 0 && tn("{n} needs you", "{n} need you", aside);
  return [waits, counted, needs].filter(Boolean).join(". ") || t("All saved");
}

function why(reason) {
  const helps = { signed_out: "#/sign-in", to_confirm: "#/sign-in/code" }[reason];
  return h(helps ? "a" : "span", { id: "why", href: helps }, WHY[reason]());
}

/** Paints it where something changed: whoever is in it with Tab stays where they are. */
export function paintStrip() {
  const found = queue.standing();
  const text = savedText();
  const paper = paperNow(location.hash);
  const hold = onHold();
  const now = JSON.stringify([found, text, paper, hold, opensWithoutNetwork(), isPractice()]);
  if (now === painted) return;
  painted = now;
  const saved = h("a", { id: "saved", href: "#/waiting", dataset: { waits: found.n, aside: found.aside } }, text);
  const minutes = Math.round(found.clock_off_s / 60);
  const clock = minutes > 0
    ? tn("This clock is {n} minute ahead.", "This clock is {n} minutes ahead.", minutes)
    : tn("This clock is {n} minute behind.", "This clock is {n} minutes behind.", -minutes);
  replace(
    strip,
    saved,
    found.why && why(found.why),
    Math.abs(found.clock_off_s) > 60 && h("span", { id: "clock" }, clock),
    hold && h("a", { id: "hold", href: `#/game/${encodeURIComponent(hold.game)}/hold` }, t("On hold since {time}", { time: timeOf(hold, hold.since) })),
    paper && h("a", { id: "battery", href: paper }, t("Battery under 20%: print or copy now.")),
    opensWithoutNetwork() === false && h("a", { id: "no-reload", href: "#/no-reload" }, h("strong", {}, t("Do not reload this page."))),
    isPractice() && h("span", { id: "practice" }, t("PRACTICE")),
  );
}

onTally(paintStrip);

/** Says a sentence: on the screen for a while, and to screen readers. */
export function say(text, { stays = false } = {}) {
  clearTimeout(timer);
  replace(live, text);
  // Under the strip: what waits stays readable.
  live.style.top = `${strip.getBoundingClientRect().bottom}px`;
  if (!stays) timer = setTimeout(() => replace(live), SHOWN_MS);
}
