"use strict";
// Picking an option, by its point or in the list, shows that build in the panel. Without a script the page shows the
// pack's own build there, which is what the panel holds when it is written.
(() => {
  const options = JSON.parse(document.getElementById("options-data").textContent);
  const unpacked = async () => {
    const bytes = Uint8Array.from(atob(document.getElementById("drawings-data").textContent), (letter) => letter.charCodeAt(0));
    const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    return JSON.parse(await new Response(plain).text());
  };
  let drawings = null, missing = "";  // until they are unpacked
  const panel = document.getElementById("option-panel"), below = document.getElementById("option-drawings");
  const points = [...document.querySelectorAll(".chart .point")];
  const radios = [...document.querySelectorAll("input[name=option]")];

  const held = (point) => point.dataset.options.split(" ").map(Number);
  const element = (tag, text, ...children) => {
    const made = document.createElement(tag);
    if (text) made.textContent = text;
    made.append(...children);
    return made;
  };
  const list = (lines) => element("ul", "", ...lines.map((line) => element("li", line)));

  const differences = (rows) => {
    const head = element("tr", "", ...["", "this pack", "this option"].map((word) => {
      const cell = element(word ? "th" : "td", word);
      if (word) cell.scope = "col";
      return cell;
    }));
    const body = rows.map(([what, before, after]) => {
      const name = element("th", what);
      name.scope = "row";
      return element("tr", "", name, element("td", before || "none"), element("td", after || "none"));
    });
    const table = element("table", "", element("caption", "Differences"), element("thead", "", head), element("tbody", "", ...body));
    return scrolled(table, "Differences");
  };
  const scrolled = (inside, label) => {
    const box = element("div", "", inside);
    box.className = "scroll";
    box.tabIndex = 0;
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", label);
    return box;
  };
  // Below the panel, not in it: on paper each is a sheet of its own size, and whatever is wider than its page would
  // make the browser print all pages smaller.
  const drawing = ([title, key, paper], place) => {
    const box = scrolled("", title);
    box.innerHTML = drawings[key];
    const shown = element("details", "", element("summary", title), box);
    shown.open = place === 0;
    shown.className = `drawing drawn ${paper}`;
    return shown;
  };

  const show = (number) => {
    const option = options[number - 1];
    for (const point of points) point.classList.toggle("picked", held(point).includes(number));
    for (const radio of radios) radio.checked = radio.value === String(number);
    const parts = [
      element("h3", `Option ${number}: ${option.cost}, ${option.mass}`),
      element("p", option.line),
      ...(option.rows.length ? [differences(option.rows)] : []),
      element("p", option.decided),
      list(option.deciders),
    ];
    panel.replaceChildren(...parts);
    panel.classList.toggle("other", !option.chosen);
    panel.dataset.option = String(number);
    if (drawings) below.replaceChildren(...option.drawings.map(drawing));
    below.classList.toggle("other", !option.chosen);
    document.getElementById("picked").textContent = `Option ${number} is shown below.${missing}`;
  };

  // Options too near to tell apart share a point: picked again, it shows the next of them.
  for (const point of points) point.addEventListener("click", () => {
    const numbers = held(point), at = numbers.indexOf(Number(panel.dataset.option));
    show(numbers[(at + 1) % numbers.length]);
  });
  for (const radio of radios) radio.addEventListener("change", () => show(Number(radio.value)));
  show(options.findIndex((option) => option.chosen) + 1);
  unpacked().then((found) => { drawings = found; }, () => {
    missing = " Its drawings cannot be shown in this browser: make a pack of it.";
  }).then(() => show(Number(panel.dataset.option)));
})();
