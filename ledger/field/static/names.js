/**
 * Names on the screen: covered at once by a button, and by themselves after two idle minutes.
 *
 * Covered names are not painted and not read aloud (page.css); numbers and answers go on working.
 */

import { h } from "./dom.js";

const IDLE_MS = 120_000;
const listeners = new Set();
let timer = 0;
let last = 0;

const root = document.documentElement;

export const areCovered = () => root.dataset.names === "covered";

export function cover() {
  clearTimeout(timer);
  if (areCovered()) return;
  root.dataset.names = "covered";
  for (const listener of listeners) listener(true);
}

/** After the official unlocked. */
export function uncover() {
  delete root.dataset.names;
  active();
  for (const listener of listeners) listener(false);
}

export function onCover(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** A child's name, or nothing where the child goes by number. */
export const nameOf = (child) => (child?.name ? h("span", { class: "name" }, child.name) : null);

/** Shows the names inside `node` while a finger stays on it. */
export function peek(node) {
  node.classList.add("peek");
  const end = () => {
    node.classList.remove("peek");
    for (const kind of ["pointerup", "pointercancel", "blur"]) removeEventListener(kind, end);
  };
  for (const kind of ["pointerup", "pointercancel", "blur"]) addEventListener(kind, end);
}

function active() {
  clearTimeout(timer);
  last = Date.now();
  timer = setTimeout(cover, IDLE_MS);
}

export function begin() {
  for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => areCovered() || active(), { capture: true, passive: true });
  // A timer does not run while the phone sleeps.
  document.addEventListener("visibilitychange", () => Date.now() - last > IDLE_MS && cover());
  active();
}
