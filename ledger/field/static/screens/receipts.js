/** The receipts that this phone kept, without a network too. `#/receipts`, and one of them `#/receipts/EVENT` */

import { codeDrawn, save } from "../after/parts.js";
import { timeZone } from "../device.js";
import { h, replace } from "../dom.js";
import { button, drawer, headline, link } from "../line/parts.js";
import { spoken, t } from "../words.js";
import * as keys from "../witness/keys.js";

const LOOK_EVERY_MS = 3000;

export async function show(root, { rest }, app) {
  const day = new Intl.DateTimeFormat(spoken(), { dateStyle: "medium", timeStyle: "short", timeZone: timeZone() });
  const what = ({ game, about }) => t("{team}, game {game}", { team: about.team, game });
  const when = ({ at }) => t("Signed {time}", { time: day.format(new Date(at)) });
  let found = null;

  async function read() {
    const records = await keys.all();
    const receipts = records.flatMap((one) => one.receipts).sort((one, other) => other.at.localeCompare(one.at));
    const refused = records.flatMap(({ evidence }) => evidence).at(-1)?.at;
    found = { receipts, open: records.map(({ pending }) => pending).filter(Boolean), refused };
    draw();
  }

  const draw = drawer(() => found, () => {
    const one = found.receipts.find(({ event }) => event === rest?.[0]);
    replace(root, ...(one ? receipt(one) : all(found)));
  });

  function receipt(one) {
    const { game, team, code, text } = one;
    return [
      headline(t("Receipt: {what}", { what: what(one) })),
      h("p", {}, when(one)),
      h("div", { class: "receipt" }, code && codeDrawn(code), h("pre", { class: "copy", tabindex: "0" }, text)),
      button(t("Save as a file"), () => save(app, `receipt-${game}-${team}.txt`, text), { class: "first wide" }),
      link(t("All receipts"), "#/receipts", { class: "button wide" }),
    ];
  }

  function all({ receipts, open, refused }) {
    const row = (one) => h("li", {}, link([h("b", {}, what(one)), h("span", {}, when(one))], `#/receipts/${encodeURIComponent(one.event)}`, { class: "tick button" }));
    const isNews = refused > (receipts[0]?.at ?? "");
    return [
      headline(t("Receipts on this phone")),
      refused && h("p", { class: isNews ? "notice" : "small ways" }, t("This phone was shown another ledger than before."), " ", link(t("What to do"), "#/other-ledger")),
      open.map((one) => h("p", { class: "notice" }, t("{what}: signed, and not finished. This phone goes on by itself when it has the network.", { what: what(one) }))),
      h("p", {}, receipts.length ? t("Each shows that you signed. Next time you sign, this phone checks that all of it is still there.") : t("No receipts yet. When this phone signs a list, it keeps the receipt here.")),
      h("ul", { class: "plain", role: "list" }, receipts.map(row)),
      link(t("Back"), "#/hand-over", { class: "button wide" }),
    ];
  }

  await read();
  root.querySelector("h1").focus();
  // What waits for the network may be finished while one looks.
  const timer = setInterval(() => read().catch(() => {}), LOOK_EVERY_MS);
  return () => clearInterval(timer);
}
