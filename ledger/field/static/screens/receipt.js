/**
 * The receipt of a signature, to take home: as a code on the screen, a file, or printed.
 *
 * `#/receipt/EVENT`. It names no child.
 */

import { get } from "../api.js";
import { signedBy } from "../after/open.js";
import { codeDrawn, printed, save } from "../after/parts.js";
import { readAll } from "../db.js";
import { h, replace } from "../dom.js";
import { button, drawer, headline, link, thumb } from "../line/parts.js";
import { t } from "../words.js";

export async function show(root, { rest }, app) {
  const event = rest[0];
  const found = await get(`/api/receipts/${encodeURIComponent(event)}`);
  const isHere = (await readAll("keys")).some(({ receipts }) => receipts.some((one) => one.event === event));
  const teamName = (team) => app.model?.head.teams.find((one) => one.team === team)?.name ?? team;
  const sign = (team) => `#/game/${found.game}/sign/${team}`;
  const isSigned = (team) => app.model?.game === found.game && app.model.head.teams.every((one) => signedBy(app.model, team).has(one.team));
  const next = h("div", {});

  /** The game hears of this signature a moment later than this screen. */
  const draw = drawer(
    () => [isSigned(found.team), isSigned(found.other)],
    () => {
      const steps = [
        isSigned(found.team) ? null : link(t("The other side signs this list"), sign(found.team), { class: "button" }),
        isSigned(found.other) ? null : link(t("The list of the {team}", { team: teamName(found.other) }), sign(found.other), { class: "button" }),
      ].filter(Boolean);
      replace(next, steps.length ? h("p", { class: "ways" }, steps) : h("p", {}, t("Both lists are signed by both sides.")));
    },
  );

  replace(
    root,
    h(
      "div",
      { class: "receipt" },
      headline(t("Signed by {name}", { name: found.name })),
      h("p", {}, t("The list of the {team}. This receipt shows if anything is changed later.", { team: teamName(found.team) })),
      h("p", {}, isHere ? t("This phone keeps it. You find it under Hand over, Receipts on this phone.") : t("Take it home: scan it with your own phone, save it, or print it.")),
      codeDrawn(found.code),
      h("p", { class: "ways" }, button(t("Save as a file"), () => save(app, `receipt-${found.game}-${found.team}.txt`, found.receipt)), printed(t("Print it"), `/print/receipt/${encodeURIComponent(event)}`, { class: "button" })),
      h("h2", {}, t("Next")),
      next,
    ),
    thumb(app, found.game, link(t("What is left"), `#/game/${found.game}/left`, { class: "button back" })),
  );
  draw();
  root.querySelector("h1").focus();
  return app.model?.onChange(() => draw());
}
