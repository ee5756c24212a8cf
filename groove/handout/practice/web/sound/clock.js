// A steady call from a worker, whose timer keeps its pace while the page is hidden or busy.

export const EVERY_MS = 25;

/** Calls `beat` every 25 ms between start() and stop(). */
export function makeClock(beat) {
  const code = `let timer;
    onmessage = ({ data }) => {
      clearInterval(timer);
      if (data) timer = setInterval(() => postMessage(0), ${EVERY_MS});
    };`;
  const address = URL.createObjectURL(new Blob([code], { type: "text/javascript" }));
  const worker = new Worker(address);
  URL.revokeObjectURL(address);
  worker.onmessage = beat;
  return { start: () => worker.postMessage(true), stop: () => worker.postMessage(false) };
}
