// A phone on a music stand stays awake while the band plays, where the browser can see to that.

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

// A browser lets go of it when the page is out of sight.
addEventListener("visibilitychange", settle);
