/** Names come back: by the four digits of the active official, or one press if there are none. `#/unlock` */

import { h, replace } from "../dom.js";
import * as digits from "../line/digits.js";
import { digitsForm } from "../line/digits_form.js";
import { button, goBack, headline } from "../line/parts.js";
import { t } from "../words.js";

export async function show(root, _params, app) {
  const official = app.active();
  const done = () => {
    app.uncover();
    goBack(app);
  };
  const form = (await digits.areSet(official))
    ? digitsForm({ official }, { right: done, locked: () => app.go("#/sign-in") })
    : button(t("Show names"), done, { class: "first wide" });
  replace(
    root,
    headline(t("Names are hidden")),
    h("p", {}, t("You can go on weighing by number. To see one name, keep a finger on “name hidden” on the child’s screen.")),
    form,
    button(t("Back"), () => goBack(app), { class: "wide" }),
  );
  (root.querySelector("input") ?? root.querySelector("h1")).focus();
}
