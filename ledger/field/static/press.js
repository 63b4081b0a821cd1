/**
 * Buttons for cold hands in the rain: a press counts only where one finger began and ended on the
 * same button; a second finger makes it none; half a second after an answer nothing counts.
 */

const DEAD_MS = 500;
const LONG_MS = 600;
const down = new Set();
let spoiled = false;
let deadUntil = 0;
let handled = 0;

const isDead = () => performance.now() < deadUntil;

/** Makes every button of the page dead for half a second. */
export function rest() {
  deadUntil = performance.now() + DEAD_MS;
}

addEventListener("pointerdown", (event) => {
  down.add(event.pointerId);
  spoiled = down.size > 1 || (spoiled && down.size > 0);
}, true);
for (const end of ["pointerup", "pointercancel"]) {
  // After the button's own listener, which still has to see whether a second finger was down.
  addEventListener(end, (event) => {
    down.delete(event.pointerId);
    if (down.size === 0) setTimeout(() => (spoiled = down.size > 1), 0);
  });
}
addEventListener("blur", () => down.clear());

/**
 * Calls `run(event)` for each press of `button`, one at a time. With `answer`, all buttons rest
 * after it. `long` is called instead where the finger stays (and for the context-menu key), `refused`
 * where the button is gray.
 */
export function press(button, run, { answer = false, long = null, refused = null } = {}) {
  let began = null;
  let timer = 0;
  let busy = false;

  async function go(event) {
    if (busy || isDead() || button.disabled) return;
    if (button.getAttribute("aria-disabled") === "true") {
      refused?.();
      return;
    }
    busy = true;
    if (answer) rest();
    try {
      await run(event);
    } finally {
      busy = false;
    }
  }

  const drop = () => {
    began = null;
    clearTimeout(timer);
  };
  button.addEventListener("pointerdown", (event) => {
    drop();
    if (spoiled || event.button !== 0 || isDead()) return;
    began = event.pointerId;
    // A touch keeps its events here anyway; a mouse that leaves the button would lose its end.
    button.setPointerCapture?.(event.pointerId);
    if (long) {
      timer = setTimeout(() => {
        if (began === null || spoiled) return;
        drop();
        handled = performance.now();
        long(event);
      }, LONG_MS);
    }
  });
  button.addEventListener("pointerup", (event) => {
    const isOurs = began === event.pointerId && !spoiled && isInside(button, event);
    drop();
    handled = performance.now();
    if (isOurs) go(event);
  });
  button.addEventListener("pointercancel", drop);
  // Else the browser's click after a touch lands, and opens a keyboard, on the screen that came in between.
  button.addEventListener("touchend", (event) => {
    if (event.cancelable && performance.now() - handled < DEAD_MS) event.preventDefault();
  });
  // Keyboards and screen readers click without a finger.
  button.addEventListener("click", (event) => {
    if (performance.now() - handled > DEAD_MS || event.detail === 0) go(event);
  });
  button.addEventListener("contextmenu", (event) => {
    if (!long) return;
    event.preventDefault();
    if (began === null && performance.now() - handled > DEAD_MS) long(event);
  });
  return button;
}

function isInside(button, event) {
  const box = button.getBoundingClientRect();
  return event.clientX >= box.left && event.clientX <= box.right && event.clientY >= box.top && event.clientY <= box.bottom;
}
