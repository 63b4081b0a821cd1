/** What each device of this game still holds, before a list is signed. */

import { h } from "../dom.js";
import { standing } from "../queue.js";
import { t, tn } from "../words.js";
import { joined } from "./parts.js";

const SILENT_S = 60;

/** `{isAll, node}`: whether all is saved, and a line for each device; `here` is the id of this one. */
export function devicesShown(model, devices, here) {
  const own = standing();
  const others = devices.filter((one) => one.device !== here);
  const nameOf = (official) => model.head.people.find((one) => one.official === official)?.name ?? official;
  const line = (one) => {
    const whose = one.people.length ? joined(one.people.map(nameOf)) : t("nobody signed in");
    if (one.heard_s > SILENT_S) return tn("Device of {whose}: not heard from for {n} minute.", "Device of {whose}: not heard from for {n} minutes.", Math.ceil(one.heard_s / 60), { whose });
    if (one.held > 0) return tn("Device of {whose}: holds {n} tap.", "Device of {whose}: holds {n} taps.", one.held, { whose });
    return t("Device of {whose}: all is saved.", { whose });
  };
  const mine = own.n + own.aside > 0 ? tn("This device: {n} tap waits.", "This device: {n} taps wait.", own.n + own.aside) : t("This device: all is saved.");
  return {
    isAll: own.n + own.aside === 0 && others.every((one) => one.held === 0 && one.heard_s <= SILENT_S),
    node: h("ul", { class: "plain small" }, h("li", {}, mine), others.map((one) => h("li", {}, line(one)))),
  };
}
