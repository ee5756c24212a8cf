// Keeps the screen of a phone on while the band plays, if the browser can.

let wanted = false;
let lock = null;
let asking = false;

/** Keeps the screen on from now, or lets it go dark again. */
export function keepAwake(on) {
  wanted = on;
  settle();
}

async function settle() {
  if (wanted && !lock && !asking && !document.hidden) {
    asking = true;
    lock = await (navigator.wakeLock?.request("screen").catch(() => null) ?? null);
    asking = false;
    lock?.addEventListener("release", () => (lock = null));
  }
  if (!wanted && lock) await lock.release();
}

// A browser releases the lock when the page is hidden.
addEventListener("visibilitychange", settle);
