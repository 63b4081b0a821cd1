/** Somebody new waits with a code, and the active official may confirm them: asked every four seconds. */

import { get } from "../api.js";
import { rolesOf } from "./moment.js";

const EVERY_MS = 4000;
const MAY = new Set(["site_official", "board_member", "registrar", "association_president", "division_president", "weighmaster"]);

export const mayConfirm = (app) => rolesOf(app).some((role) => MAY.has(role));

/** Calls `told` with those who wait for this game, now and from time to time, until its answer is called. */
export function onNewcomers(app, game, told) {
  let isGone = false;
  async function look() {
    if (!mayConfirm(app) || !app.person()?.is_confirmed) return;
    const found = await get("/api/to-confirm").catch(() => null);
    if (found && !isGone) told(found.waiting.filter((one) => one.game === game));
  }
  look();
  const timer = setInterval(look, EVERY_MS);
  return () => {
    isGone = true;
    clearInterval(timer);
  };
}
