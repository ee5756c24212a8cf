// Says so if this browser is too old for the page's program. In plain old syntax, without modules, so
// that an old browser runs it.

(function () {
  var has = window.AudioContext && window.OfflineAudioContext && window.Worker && Object.hasOwn && [].findLast;
  window.tooOld = !has;
  window.addEventListener("load", function () {
    if (window.practice && has) return; // the program has started
    var word = document.getElementById("play-word");
    word.firstChild.nodeValue = word.getAttribute("data-old");
    var trouble = document.getElementById("trouble");
    trouble.appendChild(document.createTextNode(trouble.getAttribute("data-old")));
    trouble.removeAttribute("hidden");
  });
})();
