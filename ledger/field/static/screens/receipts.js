/** The receipts that this phone kept, without a network too. `#/receipts`, and one of them `#/receipts/EVENT` */

import { codeDrawn, save } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { button, headline, link } from "../line/parts.js";
import { spoken, t } from "../words.js";
import * as keys from "../witness/keys.js";

export async function show(root, { rest }, app) {
  const records = await keys.all();
  const receipts = records.flatMap((one) => one.receipts).sort((one, other) => other.at.localeCompare(one.at));
  const day = new Intl.DateTimeFormat(spoken(), { dateStyle: "medium", timeStyle: "short" });
  const what = ({ game, about }) => t("{team}, game {game}", { team: about.team, game });
  const when = ({ at }) => t("signed {time}", { time: day.format(new Date(at)) });
  const found = receipts.find(({ event }) => event === rest?.[0]);

  function one(receipt) {
    const { game, team, code, text } = receipt;
    return [
      headline(t("Receipt: {what}", { what: what(receipt) })),
      h("p", {}, when(receipt)),
      h("div", { class: "receipt" }, code && codeDrawn(code), h("pre", { class: "copy", tabindex: "0" }, text)),
      button(t("Save as a file"), () => save(app, `receipt-${game}-${team}.txt`, text), { class: "first wide" }),
      link(t("All receipts"), "#/receipts", { class: "button wide" }),
    ];
  }

  function all() {
    const row = (receipt) => h("li", {}, link([h("b", {}, what(receipt)), h("span", {}, when(receipt))], `#/receipts/${encodeURIComponent(receipt.event)}`, { class: "tick button" }));
    const open = records.filter(({ pending }) => pending);
    return [
      headline(t("Receipts on this phone")),
      records.some(({ evidence }) => evidence.length) && h("p", { class: "notice" }, t("This phone was shown another ledger than before."), " ", link(t("What to do"), "#/other-ledger")),
      open.map(({ pending }) => h("p", { class: "notice" }, t("{what}: signed, and not finished. This phone goes on by itself when it has the network.", { what: what(pending) }))),
      receipts.length ? h("p", {}, t("Each shows that you signed. Next time you sign, this phone checks that all of it is still there.")) : h("p", {}, t("No receipts yet. When this phone signs a list, it keeps the receipt here.")),
      h("ul", { class: "plain", role: "list" }, receipts.map(row)),
      link(t("Back"), "#/hand-over", { class: "button wide" }),
    ];
  }

  replace(root, ...(found ? one(found) : all()));
  root.querySelector("h1").focus();
}
