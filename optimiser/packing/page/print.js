"use strict";
// Printing by paper: a job of both A4 and A3 makes many a printer scale all of it. Without a script the page prints whole.
(() => {
  const root = document.documentElement;
  let asked = false;  // by a button, not by the browser's own menu, which prints the whole

  for (const button of document.querySelectorAll("button[data-paper]")) button.addEventListener("click", () => {
    root.dataset.print = button.dataset.paper;
    asked = true;
    window.print();
  });
  window.addEventListener("beforeprint", () => { if (!asked) delete root.dataset.print; asked = false; });
  window.addEventListener("afterprint", () => delete root.dataset.print);
  for (const line of document.querySelectorAll(".printing")) line.hidden = false;
})();
