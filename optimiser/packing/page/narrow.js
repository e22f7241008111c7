"use strict";
// On a screen too narrow: a box that holds more than it shows says so in words, and rows of the test sheet know the
// names of their columns, so that each can stand as a card. Without a script both scroll sideways in their boxes.
(() => {
  const SAID = "More to the right: scroll this sideways.";

  const said = (box) => {
    const before = box.previousElementSibling;
    if (before && before.classList.contains("sideways")) return before;
    const made = document.createElement("p");
    made.className = "sideways";
    made.textContent = SAID;
    box.before(made);
    return made;
  };
  const look = (box) => {
    const more = box.scrollWidth > box.clientWidth + 1;
    said(box).hidden = !more;
    box.classList.toggle("more", more);
  };
  const sizes = new ResizeObserver((changed) => changed.forEach((one) => look(one.target)));
  const watch = () => document.querySelectorAll(".scroll").forEach((box) => sizes.observe(box));

  // Cells that are laid out as blocks are no table to a reader of the screen any more, unless they say that they are.
  const card = (table) => {
    const names = [...table.tHead.rows[0].cells].map((head) => head.textContent);
    table.setAttribute("role", "table");
    [table.tHead, ...table.tBodies].forEach((group) => group.setAttribute("role", "rowgroup"));
    [...table.tHead.rows[0].cells].forEach((head) => head.setAttribute("role", "columnheader"));
    [...table.rows].forEach((row) => row.setAttribute("role", "row"));
    for (const body of table.tBodies) for (const row of body.rows) [...row.cells].forEach((cell, place) => {
      cell.dataset.column = names[place];
      cell.setAttribute("role", cell.tagName === "TH" ? "rowheader" : "cell");
    });
    table.classList.add("cards");
  };

  document.querySelectorAll("#checks table").forEach(card);
  watch();
  for (const id of ["option-panel", "option-drawings"]) {
    new MutationObserver(watch).observe(document.getElementById(id), { childList: true });
  }
})();
