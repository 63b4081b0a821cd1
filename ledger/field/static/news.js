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
let begun = false;

export function onNews(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

function tell(news) {
  for (const listener of listeners) listener(news);
}

export function begin() {
  if (begun) return;
  begun = true;
  if (channel) {
    channel.onmessage = ({ data }) => {
      heard = Date.now();
      if (data) tell(data);
    };
    // Held as long as the page lives: one tab has the stream, the others hear it from that tab.
    navigator.locks?.request("weighbook-news", () => new Promise(listen));
  }
  setInterval(ask, ASK_MS);
  addEventListener("online", () => {
    if (source) listen();
    tell(null);
  });
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && tell(null));
}

function listen() {
  source?.close();
  heard = Date.now();
  source = new EventSource("/api/news");
  source.onopen = () => {
    heard = Date.now();
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

/** Every 5 s: a stream that is closed or silent is opened anew, and until then we ask. */
function ask() {
  const isSilent = Date.now() - heard > SILENT_MS;
  const isOpen = source?.readyState === EventSource.OPEN;
  if (source ? isOpen && !isSilent : heard && !isSilent) return;
  if (source && (source.readyState === EventSource.CLOSED || (isOpen && isSilent))) listen();
  tell(null);
}
