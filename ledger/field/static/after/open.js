/**
 * What is still open about a team before its list is closed and signed. Pure: from the fold, so that
 * it works without a network. The codes of the server's answer (`…/open`) are about the same.
 */

import { whom } from "../line/answers.js";

const MISSED = ["absent", "equipment"];

/** Children by what is open: `{missing, to_come, not_listed, undecided, not_striped, …}`, by number. */
export function openOf(side) {
  const { children } = side;
  const notListed = new Set(side.over_not_listed);
  return {
    missing: side.left,
    to_come: children.filter((one) => one.on_roster && !one.done && !one.declared && [...one.listed].join() === "over"),
    not_listed: side.over_not_listed,
    undecided: side.undecided,
    not_striped: side.over_not_striped.filter((one) => !notListed.has(one)),
    listed_ok: children.filter((one) => one.done && one.may_carry === "yes" && one.listed.has("over")),
    not_struck: children.filter((one) => one.done && one.may_play !== "none" && MISSED.some((reason) => one.listed.has(reason))),
    injured: children.filter((one) => one.done && one.may_play !== "none" && one.listed.has("injured")),
    striped_ok: children.filter((one) => one.done && one.may_carry === "yes" && one.striped),
  };
}

export const isSettled = (open) => Object.values(open).every((children) => children.length === 0);

/** The entries that settle it with one tap. A stripe that came off is withdrawn by who stated it. */
export const settling = {
  not_listed: (child, team) => [{ kind: "list", team, ...whom(child), reason: "over" }, ...(child.striped ? [] : [{ kind: "stripe", team, ...whom(child) }])],
  not_striped: (child, team) => [{ kind: "stripe", team, ...whom(child) }],
  listed_ok: (child, team) => [{ kind: "strike_off", team, ...whom(child), reason: "over" }],
  not_struck: (child, team) => [{ kind: "strike_off", team, ...whom(child) }],
  injured: (child, team) => [{ kind: "strike_off", team, ...whom(child), reason: "injured" }],
};

/** The sides (team ids) whose weighmasters have signed this team's list, by what stands. */
export function signedBy(model, team) {
  const gone = new Set(model.entries.filter((one) => one.kind === "withdraw").map((one) => one.target));
  const signed = model.entries.filter((one) => one.kind === "countersign" && one.team === team && !gone.has(one.event));
  return new Set(signed.flatMap(({ by }) => model.head.people.filter((one) => one.official === by && one.team).map((one) => one.team)));
}
