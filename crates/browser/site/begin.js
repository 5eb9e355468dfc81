// Words for browsers and places where the page cannot begin. No module, so that it runs where modules do not.
(function () {
  "use strict";
  var words = document.getElementById("begin");
  if (!words) return;
  /** @param {string} text */
  function say(text) {
    if (words) words.textContent = text;
  }
  var page = document.querySelector("script[type=module]");
  if (location.protocol === "file:") {
    say(
      "This folder was opened from a disk, where browsers do not let a page load its parts. Open driftless.html instead: it has " +
        "everything in one file. Or put the folder on a web space."
    );
  } else if (!page || !("noModule" in page) || typeof WebAssembly === "undefined" || typeof Worker === "undefined") {
    say("This browser is too old for Driftless. Use a current one, or the program for this computer.");
  } else {
    page.addEventListener("error", function () {
      say("Parts of Driftless could not be loaded. Look at the network and load this page again.");
    });
  }
})();
