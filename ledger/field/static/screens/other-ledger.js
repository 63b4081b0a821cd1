/** The phone was shown another ledger than the one it signed: nothing was signed, and the proof is here. `#/other-ledger` */

import { save } from "../after/parts.js";
import { timeZone } from "../device.js";
import { h, replace } from "../dom.js";
import { button, headline, link } from "../line/parts.js";
import { spoken, t } from "../words.js";
import * as keys from "../witness/keys.js";

export async function show(root, _params, app) {
  const found = (await keys.all()).flatMap((one) => one.evidence);
  const last = found.sort((one, other) => one.at.localeCompare(other.at)).at(-1);
  const back = link(t("First screen"), "#/", { class: "button wide" });
  if (!last) {
    replace(root, headline(t("Nothing is wrong")), h("p", {}, t("This phone was shown no other ledger than the one it signed.")), back);
    root.querySelector("h1").focus();
    return;
  }
  const time = new Intl.DateTimeFormat(spoken(), { dateStyle: "medium", timeStyle: "short", timeZone: timeZone() }).format(new Date(last.at));
  replace(
    root,
    headline(t("This is not the ledger you signed last time")),
    h("p", { class: "notice" }, last.event ? t("Your signature was not finished. Keep this proof, and call the division president.") : t("Nothing was signed. Keep this proof, and call the division president.")),
    h("p", {}, t("Entries that were there are missing or changed. It may be an old copy, put back by mistake, or a computer without the latest entries. You need not settle it at the table: sign the paper list.")),
    h("p", {}, t("Noticed {time}. The proof stays on this phone. It names no child.", { time })),
    button(t("Save the proof as a file"), () => save(app, `other-ledger-${last.at.slice(0, 10)}.json`, `${JSON.stringify({ weighbook: "other ledger", ...last })}\n`, "application/json"), { class: "first wide" }),
    back,
  );
  root.querySelector("h1").focus();
}
