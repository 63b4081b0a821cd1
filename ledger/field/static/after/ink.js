/** A paper list that was signed in ink: who signed it, and its picture, for the ledger. */

import { post, wordsOf } from "../api.js";
import { h, replace } from "../dom.js";
import { t } from "../words.js";

const LONGEST_SIDE = 2000;
const MOST_BYTES = 2_900_000;
const SENDING_MS = 60_000;

/** The form; `found` is the list as it was read, `done` reads it again. */
export function inkForm(found, path, { by, say, done }) {
  const signers = found.signers.filter((one) => !one.has_signed);
  if (signers.length === 0) return null;
  const picture = h("input", { type: "file", accept: "image/*,application/pdf", required: true });
  const told = h("p", { role: "alert", class: "why" });
  const go = h("button", { type: "submit", class: "wide" }, t("Enter the signed paper"));
  const ticks = signers.map((one) => ({ one, box: h("input", { type: "checkbox" }) }));

  async function enter(event) {
    event.preventDefault();
    const chosen = ticks.filter(({ box }) => box.checked);
    if (!chosen.length) return replace(told, t("Tick who signed the paper."));
    go.disabled = true;
    replace(told);
    try {
      const content = await readPicture(picture.files[0]);
      for (const { one, box } of chosen) {
        await post(`${path}/ink`, { official: one.official, by, number: found.number, despite: found.settle.codes, ...content }, { longest: SENDING_MS });
        box.checked = false;
      }
      say(t("Entered. Delete the picture from this phone: it shows children’s names."), { stays: true });
      return await done();
    } catch (problem) {
      if (problem.status === undefined) throw problem;
      if (problem.code === "list_changed") await done();
      return replace(told, problem.status === 0 ? t("No network. Enter it later; the paper stays good.") : wordsOf(problem));
    } finally {
      go.disabled = false;
    }
  }

  return h(
    "form",
    { class: "ink", onsubmit: enter },
    h("fieldset", { class: "who-signs" }, h("legend", {}, t("Who signed the paper?")), ticks.map(({ one, box }) => h("label", { class: "choice" }, box, h("span", {}, one.name, " ", h("span", { class: "small" }, t("for the {team}", { team: one.side_name })))))),
    h("label", {}, t("Photo or scan of the signed list"), picture),
    told,
    go,
  );
}

/** `{picture, name}`: base64, a photo made small enough to send and still to read. */
async function readPicture(file) {
  const isSmall = file.size <= MOST_BYTES;
  if (!file.type.startsWith("image/")) return { picture: await base64(file), name: file.name };
  try {
    return { picture: await base64(await smaller(file)), name: file.name.replace(/\.[^.]*$/, "") + ".jpg" };
  } catch (problem) {
    // A kind of picture that this browser does not draw.
    if (!isSmall) throw problem;
    return { picture: await base64(file), name: file.name };
  }
}

async function smaller(file) {
  const drawn = await createImageBitmap(file);
  const scale = Math.min(1, LONGEST_SIDE / Math.max(drawn.width, drawn.height));
  const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(drawn.width * scale), height: Math.round(drawn.height * scale) });
  canvas.getContext("2d").drawImage(drawn, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => canvas.toBlob((made) => (made ? resolve(made) : reject(new TypeError("no picture"))), "image/jpeg", 0.8));
}

async function base64(blob) {
  const reader = new FileReader();
  const read = new Promise((resolve, reject) => {
    reader.onload = () => resolve(reader.result);
    reader.onerror = () => reject(reader.error);
  });
  reader.readAsDataURL(blob);
  return (await read).split(",")[1];
}
