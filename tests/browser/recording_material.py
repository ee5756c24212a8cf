"""A microphone that hears what the page plays, for the tests and measures of recording."""

from __future__ import annotations

import json

_RETURNS = """
(() => {
  const wish = (globalThis.returning = %s);
  const connect = AudioNode.prototype.connect;
  const rooms = new WeakMap();
  AudioNode.prototype.connect = function (to, ...more) {
    if (to === this.context.destination && this.context instanceof AudioContext) {
      connect.call(this, roomOf(this.context).first);
    }
    return connect.call(this, to, ...more);
  };
  function roomOf(context) {
    if (rooms.has(context)) return rooms.get(context);
    const [first, last] = [context.createDelay(1), context.createGain()];
    const setLate = () => {
      first.delayTime.value = Math.round(wish.late * context.sampleRate) / context.sampleRate;
    };
    setLate();
    connect.call(first, last);
    last.gain.value = 0.5;
    if (wish.noise) {
      const noise = context.createBufferSource();
      noise.buffer = context.createBuffer(1, 5 * context.sampleRate, context.sampleRate);
      let seed = 1;
      noise.buffer.copyToChannel(Float32Array.from({ length: noise.buffer.length }, () => {
        seed = (seed * 16807) %% 2147483647;
        return wish.noise * (seed / 1073741824 - 1);
      }), 0);
      noise.loop = true;
      noise.start();
      connect.call(noise, last);
    }
    const end = context.createMediaStreamDestination();
    connect.call(last, end);
    rooms.set(context, { first, last, setLate, stream: end.stream });
    return rooms.get(context);
  }
  const here = () => roomOf(practice.stage.context);
  globalThis.setLate = (late) => { wish.late = late; here().setLate(); };
  navigator.mediaDevices.getUserMedia = async () => here().stream.clone();
  if (wish.exact) {
    AudioContext.prototype.createMediaStreamSource = function () { return roomOf(this).last; };
  }
})();
"""


def returning(late: float, noise: float = 0, *, exact: bool = True) -> str:
    """A script for a page, to run first: its microphone hears what it plays, half as loud, `late`
    seconds later and with noise of so high peaks. exact: without the browser's own way from a
    microphone into the page, whose length is not known."""
    return _RETURNS % json.dumps({"late": late, "noise": noise, "exact": exact})
