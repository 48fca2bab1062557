// Runs before the app, in any browser: one that is too old for it gets a sentence, not an empty page.
// Written in the oldest language, since one that cannot read it says nothing.
(function () {
  var asked = [
    function () {
      return "noModule" in document.createElement("script");
    },
    function () {
      return typeof WebAssembly === "object" && typeof structuredClone === "function";
    },
    function () {
      return new RegExp("(?<=a)b").test("ab"); // iOS and Safari 16.4
    },
    function () {
      return CSS.supports("selector(:has(a))"); // Firefox 121
    },
  ];
  var old = false;
  for (var i = 0; i < asked.length; i++) {
    try {
      if (asked[i]()) continue;
    } catch (e) {
      // it has not even a way to ask
    }
    old = true;
    document.documentElement.setAttribute("data-old", "yes");
    addEventListener("DOMContentLoaded", function () {
      var p = document.createElement("p");
      p.setAttribute("role", "alert");
      p.appendChild(
        document.createTextNode(
          "This browser is too old for Datumbook. It needs one of these or newer: " +
            FLOOR +
            ". Update the browser, on a phone by its system's update, and open this page again. " +
            "What was written down on this device stays on it.",
        ),
      );
      document.body.appendChild(p);
    });
    break;
  }
  // What the first screen imports is asked for now, not when the app has come and imports it. Start
  // has its stages without.
  var at = /^#\/(sheet|jobs?|setup|readings|record)\b/.exec(location.hash);
  var wanted = !at ? [] : at[1] === "sheet" ? SHEET : BOOK;
  for (var k = 0; k < wanted.length && !old; k++) {
    var link = document.createElement("link");
    link.rel = "modulepreload";
    link.href = wanted[k];
    document.head.appendChild(link);
  }
})();
