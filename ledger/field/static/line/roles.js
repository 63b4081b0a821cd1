/** What roles are called at the field. */

import { t } from "../words.js";

/** Who holds one signs acts, with a passphrase, and confirms others. */
export const OFFICES = new Set(["registrar", "association_president", "division_president"]);

export function roleName(role) {
  return {
    weighmaster: t("weighmaster"),
    coach: t("coach"),
    play_counter: t("play counter"),
    site_official: t("site official"),
    head_official: t("head official"),
    registrar: t("registrar"),
    association_president: t("association president"),
    division_president: t("division president"),
    board_member: t("board member"),
  }[role] ?? role;
}
