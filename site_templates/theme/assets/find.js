/* The search field: opening, keys, and how hits are drawn. What finds them (finder.js) and the index
   are large beside a page, so both are loaded when search is opened. They are scripts, since a page
   that was opened from a folder (file://) can load nothing else. Without this script the page says
   that search needs scripts, and the rooms lead everywhere. */
(function () {
  "use strict";

  const KEY = "handbook-search-slash";
  const field = document.querySelector("[data-find-field]");
  if (!field) return;
  const box = field.closest("[data-find]"), form = field.form;
  const panel = box.querySelector("[data-find-panel]"), list = box.querySelector("[data-find-list]");
  const meta = box.querySelector("[data-find-meta]"), slash = box.querySelector("[data-find-slash]");
  const say = (name, values = {}) => box.dataset[name].replace(/\{(\w+)\}/g, (_, key) => values[key]);
  let finder = null, loading = null, waiting = 0, goes = false, cameFrom = null;

  function load(path) {
    return new Promise((done, failed) => {
      const script = document.createElement("script");
      script.src = box.dataset.base + "/" + path;
      script.addEventListener("load", done);
      script.addEventListener("error", () => { script.remove(); failed(new Error(path)); });
      document.head.append(script);
    });
  }

  function ready() {
    loading = loading || Promise.all([load("assets/finder.js"), load("search/search_index.js")])
      .then(() => { finder = new window.HandbookFinder(window.handbookIndex); });
    return loading.catch(() => { loading = null; tell(say("broken")); });
  }

  function tell(text) {
    meta.textContent = text;
  }

  function open() {
    panel.hidden = false;
    if (!finder) tell(say("loading"));
    ready().then(ask);
  }

  function close() {
    panel.hidden = true;
  }

  // Typing, pasting, dictating: whatever changes the field asks again, once a drawn frame.
  function ask() {
    clearTimeout(waiting);
    waiting = setTimeout(answer, 0);
  }

  function answer() {
    if (!finder) return;
    const text = field.value.trim();
    box.dataset.asked = text;
    if (!text) {
      list.replaceChildren();
      tell(say("empty"));
      return;
    }
    const found = finder.find(text);
    list.replaceChildren(...found.items.map(drawn));
    headline(text, found);
    panel.scrollTop = 0;
    if (goes) go();
  }

  function headline(text, found) {
    const { items, count, slips } = found;
    if (!items.length) return tell(say(found.isDay ? "noday" : "none"));
    const all = count > items.length ? say("first", { shown: items.length, all: count })
      : count === 1 ? say("one") : say("some", { all: count });
    const told = slips.map(([typed]) => part("span", "", say("slip", { word: typed })));
    if (slips.length) told.push(nearer(found.right));
    if (found.isPart) told.push(part("span", "", say("partly")));
    meta.replaceChildren(...told.flatMap((one) => [one, " "]), part("span", "find__count", all));
    return undefined;
  }

  // What was probably meant: its hits are shown already, and one tap makes it the query.
  function nearer(right) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "find__near";
    button.textContent = say("near", { words: right });
    button.addEventListener("click", () => { field.value = right; field.focus(); answer(); });
    return button;
  }

  function part(name, className, ...children) {
    const node = document.createElement(name);
    if (className) node.className = className;
    node.append(...children);
    return node;
  }

  function drawn(hit) {
    const link = part("a", "find__hit");
    link.href = box.dataset.base + "/" + hit.location;
    const first = part("span", "find__kind", part("span", "", hit.kind));
    if (hit.word) {
      const verdict = part("strong", "verdict verdict--" + hit.tone, part("span", "", hit.word));
      verdict.insertAdjacentHTML("afterbegin", hit.mark);  // drawn by the build, as on the pages
      first.append(" ", verdict);
    }
    if (hit.code) first.append(" ", part("code", "find__code", hit.code));
    const title = part("span", "find__title", ...marked(hit.title, hit));
    if (hit.head) title.append(" › ", ...marked(hit.head, hit));
    link.append(first, " ", title, " ", part("span", "find__text", ...marked(hit.lead, hit)));
    if (hit.without.length) {
      link.append(" ", part("span", "find__without", say("without", { words: hit.without.join(", ") })));
    }
    return part("li", "", link);
  }

  // Texts of records stay texts: nothing of them is taken for markup.
  function marked(text, hit) {
    return text.split(/([\p{L}\p{N}]+)/u).map((piece, at) =>
      at % 2 && finder.isMarked(piece, hit.marked) ? part("mark", "", piece) : piece);
  }

  const links = () => Array.from(list.querySelectorAll("a"));

  function go() {
    goes = false;
    const first = links()[0];
    if (first) first.click();
  }

  function move(event) {
    const all = [field, ...links()], at = all.indexOf(document.activeElement);
    const to = event.key === "ArrowDown" ? at + 1 : event.key === "ArrowUp" ? at - 1 : at;
    if (at < 0 || to === at) return;
    event.preventDefault();
    all[(to + all.length) % all.length].focus();
  }

  function leave() {
    close();
    const back = cameFrom && cameFrom.isConnected ? cameFrom : null;
    document.activeElement.blur();
    if (back) back.focus();
    cameFrom = null;
  }

  function reach(event) {
    if (document.querySelector("dialog:modal")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (document.activeElement !== field) cameFrom = document.activeElement;
    field.focus();
    field.select();
  }

  const isTyping = (node) => node.isContentEditable ||
    /^(INPUT|TEXTAREA|SELECT)$/.test(node.tagName);

  // A single key can be turned off, for those who speak to their computer (WCAG 2.1.4).
  function keys(event) {
    const isCommand = (event.ctrlKey || event.metaKey) && !event.altKey && !event.shiftKey;
    if (isCommand && event.key.toLowerCase() === "k") return reach(event);
    const isPlain = !event.ctrlKey && !event.metaKey && !event.altKey;
    if (isPlain && event.key === "/" && slash.checked && !isTyping(event.target)) return reach(event);
    return undefined;
  }

  function remember() {
    try { localStorage.setItem(KEY, slash.checked ? "on" : "off"); } catch { /* kept for this page */ }
  }

  function remembered() {
    try { return localStorage.getItem(KEY) !== "off"; } catch { return true; }
  }

  slash.checked = remembered();
  slash.addEventListener("change", remember);
  field.addEventListener("focus", open);
  field.addEventListener("input", () => { open(); goes = false; });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    goes = box.dataset.asked !== field.value.trim() || !finder;
    if (goes) open(); else go();
  });
  form.addEventListener("reset", () => { setTimeout(() => { field.focus(); answer(); }, 0); });
  box.addEventListener("keydown", (event) => {
    event.stopPropagation();  // the keys of a page are no keys of the search
    if (event.key === "Escape") { event.preventDefault(); leave(); } else { keys(event); move(event); }
  });
  list.addEventListener("click", (event) => { if (event.target.closest("a")) close(); });
  document.addEventListener("keydown", keys, true);
  document.addEventListener("pointerdown", (event) => { if (!box.contains(event.target)) close(); });
  box.addEventListener("focusout", (event) => {
    if (event.relatedTarget && !box.contains(event.relatedTarget)) close();
  });
  const asked = new URLSearchParams(location.search).get("q");
  if (asked) { field.value = asked; field.focus(); }
})();
