/**
 * Says that something is new: by one stream a device (its tabs share it), else by asking every 5 s.
 *
 * A listener gets `{game, position, edition}`, or null for "ask": then it reads from where it is.
 */

const ASK_MS = 5000;
const SILENT_MS = 45_000;
const listeners = new Set();
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("weighbook-news") : null;
let source = null;
let heard = 0;
let leads = false;
let mayListen = () => false;

export function onNews(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

function tell(news) {
  for (const listener of listeners) listener(news);
}

/** `isWanted()` says whether the server would give the stream: only to somebody who is confirmed. */
export function begin(isWanted) {
  mayListen = isWanted;
  if (channel) {
    channel.onmessage = ({ data }) => {
      heard = Date.now();
      if (data) tell(data);
    };
    // Held as long as the page lives: one tab has the stream, the others hear it from that tab.
    navigator.locks?.request("weighbook-news", () => {
      leads = true;
      wake();
      return new Promise(() => {});
    });
  }
  setInterval(ask, ASK_MS);
  addEventListener("online", wake);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && tell(null));
}

/** Listens now, and asks: somebody signed in, or the network is back. */
export function wake() {
  if (leads && mayListen()) listen();
  tell(null);
}

function listen() {
  source?.close();
  heard = Date.now();
  source = new EventSource("/api/news");
  source.onopen = () => {
    pass(null);
    tell(null);
  };
  source.addEventListener("here", () => pass(null));
  source.addEventListener("news", ({ data }) => pass(JSON.parse(data)));
}

function pass(news) {
  heard = Date.now();
  channel?.postMessage(news);
  if (news) tell(news);
}

/** Every 5 s: a stream that is closed or silent is opened anew, and until it speaks we ask. */
function ask() {
  const isSilent = Date.now() - heard > SILENT_MS;
  const isOpen = source ? source.readyState === EventSource.OPEN : heard > 0;
  if (isOpen && !isSilent) return;
  const isEnded = !source || source.readyState === EventSource.CLOSED || isSilent;
  if (leads && isEnded && mayListen()) listen();
  tell(null);
}
