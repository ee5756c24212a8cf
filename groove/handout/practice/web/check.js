// Says so if this browser is too old for the page's program, or the file is damaged. In plain old syntax,
// without modules, so that an old browser runs it.

(function () {
  var has = window.AudioContext && window.OfflineAudioContext && window.Worker && window.DecompressionStream && Object.hasOwn && [].findLast;
  window.tooOld = !has;
  /** Shows why the page can't play: the name of an attribute with the words. */
  window.giveUp = function (reason) {
    var trouble = document.getElementById("trouble");
    var word = document.getElementById("play-word");
    word.firstChild.nodeValue = word.getAttribute(reason);
    trouble.textContent = trouble.getAttribute(reason);
    trouble.removeAttribute("hidden");
  };
  window.addEventListener("load", function () {
    if (!has || !window.opening) window.giveUp("data-old"); // open.js has not run
  });
  window.addEventListener("error", function () {
    if (!window.practice) window.giveUp("data-old"); // it can't read the program
  });
})();
