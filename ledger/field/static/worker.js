/** Whether the page opens without a network, by a service worker; where it cannot, people are told. */

let works = null;

/** True, false, or null while it is not known yet. */
export const opensWithoutNetwork = () => works;

export async function begin() {
  try {
    const found = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
    works = Boolean(found.active) || (await isActivated(found.installing ?? found.waiting));
  } catch {
    // No such thing here, or a certificate that nobody vouches for.
    works = false;
  }
  return works;
}

function isActivated(worker) {
  return new Promise((resolve) => {
    const look = () => {
      if (worker.state === "activated") resolve(true);
      if (worker.state === "redundant") resolve(false);
    };
    worker.addEventListener("statechange", look);
    look();
  });
}
