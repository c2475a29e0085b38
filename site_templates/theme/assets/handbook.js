/* Small helps for the reader. Every page is whole without this script. */
(function () {
  "use strict";

  // Accents and case must not decide whether a row is found.
  function folded(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }

  function rowMatches(row, words, choices) {
    const text = folded(row.textContent);
    const worded = words.every((word) => text.includes(word));
    return worded && choices.every(([key, value]) =>
      (row.getAttribute("data-" + key) || "").split("|").includes(value));
  }

  function applyFilter(form, rows) {
    const text = form.querySelector("[data-filter-text]");
    const words = text ? folded(text.value).split(/\s+/).filter(Boolean) : [];
    const choices = Array.from(form.querySelectorAll("select"))
      .filter((select) => select.value)
      .map((select) => [select.name, select.value]);
    let shown = 0;
    for (const row of rows) {
      row.hidden = !rowMatches(row, words, choices);
      shown += row.hidden ? 0 : 1;
    }
    announce(form, shown, rows.length);
  }

  function announce(form, shown, all) {
    const count = form.querySelector("[data-filter-count]");
    const sentence = shown === all
      ? "All " + all + " shown."
      : shown + " of " + all + " shown.";
    const hint = shown === 0 ? " Nothing matches. Show all, or change a field." : "";
    count.textContent = sentence + hint;
  }

  // What was typed and chosen belongs to this visit of the page: it is there again after a reload
  // and on coming back, and a fresh visit starts with the whole list.
  const fieldsOf = (form) => Array.from(form.querySelectorAll("[data-filter-text], select"));

  function keepFilter(form) {
    const values = fieldsOf(form).map((field) => field.value);
    const state = Object.assign({}, window.history.state, { filter: values });
    window.history.replaceState(state, "");
  }

  function restoreFilter(form) {
    const kept = window.history.state && window.history.state.filter;
    if (!Array.isArray(kept)) return;
    fieldsOf(form).forEach((field, at) => { field.value = kept[at] || ""; });
  }

  function startFilter(form) {
    const list = document.getElementById(form.getAttribute("data-filter"));
    if (!list) return;
    const rows = Array.from(list.querySelectorAll("[data-row]"));
    const apply = () => applyFilter(form, rows);
    const change = () => { apply(); keepFilter(form); };
    form.hidden = false;
    restoreFilter(form);
    form.addEventListener("input", change);
    form.addEventListener("submit", (event) => event.preventDefault());
    // A reset empties the fields only after its event.
    form.addEventListener("reset", () => setTimeout(change, 0));
    window.addEventListener("pageshow", apply);
    apply();
  }

  // Tables of a guide come from Markdown: they have no box of their own to scroll in, and no
  // labels to stand as blocks on a narrow screen.
  function boxTable(table) {
    const box = document.createElement("div");
    box.className = "scroll scroll--stack";
    box.dataset.name = "Table: " + headingOver(table);
    table.classList.add("data", "data--stack");
    table.querySelectorAll("tbody tr").forEach((row) => labelRow(table, row));
    table.replaceWith(box);
    box.append(table);
  }

  function headingOver(table) {
    let before = table.previousElementSibling;
    while (before && !/^H[1-6]$/.test(before.tagName)) before = before.previousElementSibling;
    return before ? before.textContent.trim() : document.title;
  }

  // Beside its label a cell is one thing, however many parts it has.
  function labelRow(table, row) {
    const labels = Array.from(table.querySelectorAll("thead th"), (head) => head.textContent);
    Array.from(row.cells).forEach((cell, at) => {
      cell.dataset.label = labels[at] || "";
      if (at === 0) cell.classList.add("row-head");
      else {
        const whole = document.createElement("div");
        whole.append(...cell.childNodes);
        cell.append(whole);
      }
    });
  }

  // Single keys must not act by themselves (WCAG 2.1.4): the base theme would jump to another page.
  // Keys in a field are left alone, and find.js has asked for its own before.
  function quietSingleKeys(event) {
    if (event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.stopPropagation();
    }
  }

  // How old the page is, only the reader's clock knows. Whole days are counted in UTC.
  function tellAge() {
    const now = new Date(), today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
    document.querySelectorAll("[data-stale-after]").forEach((line) => {
      const days = Math.round((today - Date.parse(line.dataset.asOf)) / 86400000);
      line.querySelector("[data-stale-days]").textContent = String(days);
      line.hidden = !(days > Number(line.dataset.staleAfter));
    });
  }

  // Contents beside the page stay open; as a menu over it they close once a place was chosen.
  function startJump(menu) {
    const wide = window.matchMedia("(min-width: 68em)");
    const fit = () => { menu.open = wide.matches; };
    wide.addEventListener("change", fit);
    menu.addEventListener("click", (event) => {
      if (event.target.closest("summary") && wide.matches) event.preventDefault();
      else if (event.target.closest("a")) fit();
    });
    menu.addEventListener("keydown", (event) => { if (event.key === "Escape") fit(); });
    fit();
  }

  // What stands beside on a wide screen needs no opening there.
  function startSides() {
    const wide = window.matchMedia("(min-width: 90em)");
    const fit = () => document.querySelectorAll(".pair__side > details").forEach((one) => { one.open = wide.matches; });
    wide.addEventListener("change", fit);
    if (wide.matches) fit();
  }

  // On a phone the rooms are one line that is drawn sideways: the room that one is in is in sight.
  function showRoom() {
    const here = document.querySelector(".rooms [aria-current]");
    const line = here && here.closest("ul");
    if (line) line.scrollLeft = here.offsetLeft - line.offsetLeft - (line.clientWidth - here.offsetWidth) / 2;
  }

  // A browser that gives fields back after a reload must not open the search by that.
  document.querySelectorAll(".md-toggle").forEach((box) => { box.autocomplete = "off"; });
  document.querySelectorAll(".jump").forEach(startJump);
  startSides();
  showRoom();
  tellAge();
  window.addEventListener("pageshow", tellAge);
  document.addEventListener("visibilitychange", tellAge);
  document.querySelectorAll("form[data-filter]").forEach(startFilter);
  document.querySelectorAll(".prose table").forEach((table) => {
    if (!table.closest(".scroll")) boxTable(table);
  });
  document.querySelectorAll(".prose pre").forEach((block) => { block.tabIndex = 0; });
  document.addEventListener("keydown", quietSingleKeys);
})();
