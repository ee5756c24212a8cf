// One track at a time: when one begins, the others wait where they are.
document.addEventListener(
  "play",
  (event) => {
    for (const player of document.querySelectorAll("audio")) {
      if (player !== event.target) player.pause();
    }
  },
  true,
);
// Whoever opens this from a disk has everything already.
document.getElementById("all").hidden = location.protocol === "file:";
