/** What entries say, in a few words: read before they are written down. */

import { t } from "../words.js";

/** "weighed over, book marked over (AT), on the list: over, tape". */
export const readOut = (entries) => entries.map(said).join(", ");

function said({ kind, value, reason, initials }) {
  if (kind === "weigh") return weighed(value);
  if (kind === "late_weigh") return t("late: {what}", { what: weighed(value) });
  if (kind === "initial") return value === "ok" ? t("book marked ok ({initials})", { initials }) : t("book marked over ({initials})", { initials });
  if (kind === "list") return t("on the list: {reason}", { reason: reasonOf(reason) });
  if (kind === "strike_off") return t("crossed off the list");
  return t("tape");
}

const weighed = (value) => ({ ok: t("weighed ok"), over: t("weighed over"), no_scale: t("here, scale out") })[value];

const reasonOf = (reason) => ({ over: t("over"), absent: t("absent"), injured: t("injured"), equipment: t("gear"), other: t("other") })[reason];
