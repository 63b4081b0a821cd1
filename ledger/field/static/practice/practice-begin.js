/** Where a practice begins: one minute, or a whole line. `#/practice-begin` */

import { h, replace } from "../dom.js";
import { button, headline } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, _params, app) {
  const { beginMorning } = app.practice;
  replace(
    root,
    headline(t("Practice the weigh-in")),
    h("p", {}, t("You are Dot Doorbell, weighmaster of the Paper Kites. You weigh the Tin Drums. Everybody here is invented.")),
    h("p", {}, t("The lines at the top say what you see and hear. Do what you would do at the scale.")),
    h("p", {}, t("Where the beam rests decides: below the upper stop is OK, at the upper stop (the top stop, where the beam cannot go higher) is OVER.")),
    h(
      "div",
      { class: "steps" },
      button([h("b", {}, t("One minute")), h("span", {}, t("Three children."))], () => beginMorning("minute"), { class: "tick first" }),
      button([h("b", {}, t("Ten minutes")), h("span", {}, t("A whole line, and what can happen in it."))], () => beginMorning("ten"), { class: "tick" }),
    ),
  );
  root.querySelector("h1").focus();
}
