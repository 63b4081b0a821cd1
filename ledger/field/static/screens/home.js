/** Where one begins: straight into one's game of the day; with several, which one. `#/` */

import { byRole, listGames, readDay } from "./games.js";

export async function show(root, _params, app) {
  if (app.practice) {
    location.replace(app.practice.home());
    return;
  }
  const asked = location.hash;
  if (app.person() && !app.person().is_confirmed) {
    location.replace("#/sign-in/code");
    return;
  }
  const day = await readDay();
  if (location.hash !== asked) return;
  const mine = day ? byRole(day, app) : [];
  if (mine.length === 1 && !mine[0].is_off) location.replace(`#/game/${mine[0].game}`);
  else listGames(root, day, app);
}
