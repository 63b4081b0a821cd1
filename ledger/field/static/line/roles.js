/** What roles are called at the field. */

import { t } from "../words.js";

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
