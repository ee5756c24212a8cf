// Says so if this browser is too old for the page's program. In plain old syntax, without modules, so
// that an old browser runs it.

(function () {
  var has = window.AudioContext && window.OfflineAudioContext && window.Worker && Object.hasOwn && [].findLast;
  window.tooOld = !has;
  window.addEventListener("load", function () {
    if (window.practice && has) return; // the program has started
    document.getElementById("play-word").firstChild.nodeValue = "Too old";
    var trouble = document.getElementById("trouble");
    trouble.appendChild(document.createTextNode(
      "This browser is too old to play this page. It needs one from the end of 2022 or later; " +
      "an update of the browser or another one on this device will do."
    ));
    trouble.removeAttribute("hidden");
  });
})();
