/** Keeps the screen from sleeping while the line goes on, where the device can. */

const LINE = new Set(["weigh", "child", "absent", "not-here", "gear", "other-number", "objection", "scale", "scale-trouble", "late", "close"]);
let end = null;

/** From one screen of the line to the next it stays awake; elsewhere the device may sleep. */
export function awakeIn(screen) {
  if (LINE.has(screen)) {
    end ??= awake();
  } else {
    end?.();
    end = null;
  }
}

function awake() {
  let lock = null;
  let isOver = false;

  async function ask() {
    if (isOver || document.visibilityState !== "visible" || !navigator.wakeLock) return;
    lock = await navigator.wakeLock.request("screen").catch(() => null);
    if (isOver) lock?.release();
  }

  document.addEventListener("visibilitychange", ask);
  ask();
  return () => {
    isOver = true;
    document.removeEventListener("visibilitychange", ask);
    lock?.release();
  };
}
