/** Keeps the screen from sleeping while the line goes on, where the device can. */

export function awake() {
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
