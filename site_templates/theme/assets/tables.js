/* Each table as a file for a spreadsheet, made from the page itself: nothing is asked of anybody.
   And what a screen reader and a keyboard need of a table on this screen. */
(function () {
  "use strict";

  // "186.0 g (6.56 oz)": the first number, and its unit.
  const QUANTITY = /^([+\u2212-]?[0-9][0-9,]*(?:\.[0-9]+)?)\s*([^\s\d(]{1,5}(?: oz)?)?(?:\s*\(.*\))?$/;
  const RUNS = /^[=+\-@\t\r]/;

  function textOf(cell) {
    const copy = cell.cloneNode(true);
    copy.querySelectorAll("svg, .unseen, [aria-hidden=true], button").forEach((one) => one.remove());
    return copy.textContent.replace(/[\s\u00a0\u202f]+/g, " ").trim();
  }

  function quantityOf(text) {
    const found = QUANTITY.exec(text);
    return found && { number: found[1].replace(/,/g, "").replace("\u2212", "-"), unit: found[2] || "" };
  }

  // A column is one of numbers when all that stands in it is, in one unit.
  function unitOf(texts) {
    const found = texts.filter(Boolean).map(quantityOf);
    const units = new Set(found.map((one) => one && one.unit));
    return found.length && found.every(Boolean) && units.size === 1 ? [...units][0] : null;
  }

  function quoted(text) {
    const plain = RUNS.test(text) && !/^-?[0-9.]+$/.test(text) ? "'" + text : text;
    return /[",\n]/.test(plain) ? '"' + plain.replace(/"/g, '""') + '"' : plain;
  }

  function csvOf(table) {
    const heads = Array.from(table.querySelectorAll("thead th"), textOf);
    const rows = Array.from(table.querySelectorAll("tbody tr"))
      .filter((row) => !row.hidden)
      .map((row) => Array.from(row.cells, textOf));
    const units = heads.map((_, at) => unitOf(rows.map((row) => row[at] || "")));
    const named = heads.map((head, at) =>
      units[at] && !head.includes(units[at]) ? head + " (" + units[at] + ")" : head);
    const cells = rows.map((row) => row.map((text, at) => {
      const found = units[at] === null ? null : quantityOf(text);
      return found ? found.number : text;
    }));
    return [named, ...cells].map((row) => row.map(quoted).join(",")).join("\r\n") + "\r\n";
  }

  function nameOf(table) {
    const title = table.caption ? table.caption.textContent : document.title;
    return (title.toLowerCase().match(/[a-z0-9]+/g) || ["table"]).join("-").slice(0, 60) + ".csv";
  }

  function save(table) {
    // The mark at the beginning tells a spreadsheet that the letters are UTF-8.
    const file = new Blob(["\ufeff" + csvOf(table)], { type: "text/csv;charset=utf-8" });
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = nameOf(table);
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  }

  function offer(table) {
    const box = table.closest(".scroll");
    if (!box || table.closest(".prose") || table.tBodies.length === 0 || table.tBodies[0].rows.length < 2) return;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "as-csv";
    button.textContent = "CSV";
    button.title = "This table as a file for a spreadsheet";
    button.setAttribute("aria-label", button.title + ": " + (table.caption ? table.caption.textContent : ""));
    button.addEventListener("click", () => save(table));
    box.after(button);
  }

  // As blocks, rows and cells would be none to a screen reader, so their roles are written out.
  const narrow = window.matchMedia("(max-width: 44em)");
  const ROLES = [
    ["thead, tbody", "rowgroup"], ["tr", "row"], ["thead th", "columnheader"],
    ["tbody th, tbody .row-head", "rowheader"], ["tbody td:not(.row-head)", "cell"],
  ];

  function tellRoles(table) {
    const tell = (one, role) => (narrow.matches ? one.setAttribute("role", role) : one.removeAttribute("role"));
    tell(table, "table");
    ROLES.forEach(([which, role]) => table.querySelectorAll(which).forEach((one) => tell(one, role)));
  }

  // A box is a stop of the keyboard, and has a name, only while there is something to scroll to.
  function tellBox(box) {
    const table = box.querySelector("table");
    const scrolls = box.scrollWidth > box.clientWidth + 1;
    const named = box.dataset.name || (table && table.caption ? table.caption.textContent : document.title);
    const tell = (name, value) => (scrolls ? box.setAttribute(name, value) : box.removeAttribute(name));
    tell("tabindex", "0");
    tell("role", "region");
    tell("aria-label", named);
  }

  const stacked = document.querySelectorAll("table.data--stack");
  const tellAll = () => stacked.forEach(tellRoles);
  narrow.addEventListener("change", tellAll);
  tellAll();
  const watched = new ResizeObserver((all) => all.forEach((one) => tellBox(one.target)));
  document.querySelectorAll(".scroll").forEach((box) => watched.observe(box));
  document.querySelectorAll("table.data").forEach(offer);
})();
