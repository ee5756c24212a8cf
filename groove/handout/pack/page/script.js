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
// A page that is opened from a disk has all its files beside it.
document.getElementById("all").hidden = location.protocol === "file:";
