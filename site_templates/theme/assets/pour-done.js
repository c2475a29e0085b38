/* What was done in a pour, as a file to hand over: lots, masses, net weights. It is kept by
   handover.js until it is thrown away, longer than the ticks of the sheet. */
(function () {
  "use strict";

  const root = document.querySelector("[data-done-form]"), sheet = document.querySelector("form[data-pour]");
  if (!root || !sheet || !window.handover || !window.benchQuantities) return;

  const told = JSON.parse(document.querySelector("[data-done-told]").textContent);
  const { handover } = window;
  const quantities = window.benchQuantities(told.understood, "metric");
  const said = (name, given) => quantities.fill(told.said[name], given || {});
  const find = (name) => root.querySelector("[data-" + name + "]");
  const fields = Array.from(root.querySelectorAll("[data-done]"));
  const show = (element, text) => { element.textContent = text; element.hidden = !text; };
  const clockTime = (date) => date.toTimeString().slice(0, 8);
  const today = () => handover.localTime(new Date()).slice(0, 10);
  const key = "batch " + told.recipe;
  const BARE = /^[0-9]+(?:\.[0-9]+)?$/;
  // The word of a label: "Soy blend" of "Lot of Soy blend" stands beside it in the sheet.
  const nameOf = (field) => field.closest("label").querySelector(".bench-field__label").textContent;
  let state = null;

  const fresh = () => ({ session: handover.session(), code: told.code, on: sheetDay(), made: "", by: "",
    lots: {}, weighed: {}, net: "", note: "" });
  const sheetDay = () => sheet.querySelector("[data-pour-on]").value || today();
  const valueOf = (field) => (field.dataset.item
    ? state[field.dataset.done][field.dataset.item] || "" : state[field.dataset.done]);

  function put(field, value) {
    if (field.dataset.item) state[field.dataset.done][field.dataset.item] = value;
    else state[field.dataset.done] = value;
  }

  // ---- Reading what was typed: the same sizes and words as the check has.

  const withUnit = (text) => (BARE.test(text) ? text + " " + told.unit : text);
  // One after the other: a word that begins with no digit is the unit of the number before it.
  const nets = () => quantities.oneLine(state.net).match(/\S+(?: (?=[^\d.+-])\S+)?/g) || [];
  const wholeNumber = (text) => (/^[0-9]{1,6}$/.test(text) && Number(text) > 0 ? Number(text) : 0);

  function massFault(text, isSome) {
    const found = quantities.read("before", withUnit(text), "mass");
    if (found.fault) return found.fault;
    return isSome && found.value <= 0 ? said("zero", { found: text }) : "";
  }

  const faults = {
    on: (text) => (!/^\d{4}-\d{2}-\d{2}$/.test(text) ? said("no_day")
      : text > today() ? quantities.fill(told.future, { on: text, today: today() }) : ""),
    made: (text) => (wholeNumber(text) ? "" : said("no_count")),
    by: (text) => (quantities.oneLine(text) ? quantities.text("by", text) : said("no_by")),
    lots: (text) => (text ? quantities.text("lots", text) : ""),
    weighed: (text) => (quantities.oneLine(text) ? massFault(quantities.oneLine(text), false) : ""),
    net: netFault,
    note: (text) => (text ? quantities.text("note", text) : ""),
  };

  function netFault() {
    const found = nets(), made = wholeNumber(quantities.oneLine(state.made));
    const wrong = found.map((one) => massFault(one, true)).find(Boolean);
    if (wrong) return wrong;
    return made && found.length > made ? said("many", { found: found.length, made }) : "";
  }

  const faultOf = (field) => faults[field.dataset.done](String(valueOf(field)));

  // What is empty and due is told once it is tried to be handed over, and not while it is begun.
  function check(isTried) {
    for (const field of fields) {
      const fault = valueOf(field) || isTried ? faultOf(field) : "";
      field.setAttribute("aria-invalid", String(Boolean(fault)));
      const line = field.closest(".bench-field").querySelector("[data-wrong]");
      line.textContent = fault;
      line.classList.toggle("bench-fault", Boolean(fault));
    }
    showLacking();
  }

  function showLacking() {
    const empty = (name) => fields.filter((one) => one.dataset.done === name && !quantities.oneLine(valueOf(one)));
    const listed = (several) => several.map(nameOf).join("; ");
    const lots = empty("lots"), masses = empty("weighed"), found = nets().length;
    const made = wholeNumber(quantities.oneLine(state.made));
    const lines = [
      lots.length ? said("lots_lacking", { what: listed(lots) }) : "",
      masses.length ? said("masses_lacking", { what: listed(masses) }) : "",
      made && found < made ? said("weighed_so_far", { found, made }) : "",
    ].filter(Boolean);
    const list = find("done-lacking");
    list.hidden = !lines.length;
    list.replaceChildren(...lines.map((text) => {
      const line = document.createElement("li");
      line.textContent = text;
      return line;
    }));
  }

  // ---- What the sheet tells is offered, and never taken by itself.

  function offered(field) {
    if (field.dataset.done === "made") return shownCount();
    if (field.dataset.done !== "weighed") return "";
    const row = Array.from(sheet.querySelectorAll("[data-lot]")).find((one) => one.dataset.lot === field.dataset.item);
    const mass = row && row.closest("tr").querySelector("[data-part]").textContent;
    return mass && /^[0-9]/.test(mass) ? mass + " " + told.unit : "";
  }

  const shownCount = () => {
    const text = sheet.querySelector('[data-told="count"]').textContent;
    return /^[0-9]+$/.test(text) ? text : "";
  };

  function offer() {
    for (const field of fields) {
      const button = field.closest(".bench-field").querySelector("[data-take]");
      if (!button) continue;
      const value = valueOf(field) ? "" : offered(field);
      button.hidden = !value;
      button.textContent = value ? said("take_it", { value }) : "";
      button.dataset.take = value;
    }
  }

  // ---- A lot is typed in the sheet, in its card or here, and is the same lot.

  const sheetLots = () => Array.from(sheet.querySelectorAll("[data-lot]"));

  function lotsFromSheet() {
    let isNew = false;
    for (const one of sheetLots()) {
      if ((state.lots[one.dataset.lot] || "") === one.value) continue;
      state.lots[one.dataset.lot] = one.value;
      isNew = true;
    }
    return isNew;
  }

  function lotsToSheet() {
    for (const one of sheetLots()) one.value = state.lots[one.dataset.lot] || "";
    sheet.pour.keep();
  }

  function fillIn() {
    for (const field of fields) if (document.activeElement !== field) field.value = valueOf(field);
    const isOther = state.code !== told.code;
    show(find("done-code"), isOther ? said("other_code", { was: state.code, now: told.code }) : "");
    check(false);
    offer();
  }

  async function keep() {
    show(find("done-kept"), said("keeping"));
    const answer = await handover.keep(key, state);
    const name = !answer.ok ? "not_kept" : answer.safe ? "kept" : "kept_lesser";
    show(find("done-kept"), said(name, { time: clockTime(answer.at) }));
  }

  function typed(event) {
    quantities.pointTyped(event);
    if (!event.target.dataset.done) return;
    put(event.target, event.target.value);
    if (event.target.dataset.done === "lots") lotsToSheet();
    check(false);
    offer();
    keep();
  }

  function taken(event) {
    const button = event.target.closest("[data-take]");
    if (!button) return;
    const field = button.closest(".bench-field").querySelector("[data-done]");
    put(field, button.dataset.take);
    fillIn();
    field.focus();
    keep();
  }

  // ---- The text.

  function table(name, write) {
    const given = fields.filter((one) => one.dataset.done === name && quantities.oneLine(valueOf(one)));
    return Object.fromEntries(given.map((one) => [one.dataset.item, write(quantities.oneLine(valueOf(one)))]));
  }

  function lines(now) {
    const weighed = table("weighed", withUnit), note = quantities.oneLine(state.note);
    return [
      ["handover", "1"], ["kind", "batch"], ["session", state.session],
      ["written", handover.localTime(now)], ["edition", told.edition],
      ["recipe", told.recipe], ["code", state.code], ["on", state.on],
      ["made", quantities.oneLine(state.made)], ["by", quantities.oneLine(state.by)],
      ["lots", table("lots", (text) => text)],
      ...(Object.keys(weighed).length ? [["weighed", weighed]] : []),
      ...(nets().length ? [["net", nets().map(withUnit)]] : []),
      ...(note ? [["note", note]] : []),
    ];
  }

  function made() {
    check(true);
    const wrong = fields.find((field) => faultOf(field));
    if (wrong) {
      show(find("done-handed"), said("mend", { what: faultOf(wrong) }));
      wrong.focus();
      return null;
    }
    const now = new Date();
    const name = [told.recipe, "batch", state.on, state.session.slice(0, 6)].join("-") + ".txt";
    return { name, text: handover.text(lines(now)), pictures: [] };
  }

  function handed(event) {
    const { way, answer, name } = event.detail;
    const done = { share: "kept_shared", save: "kept_saved", copy: "kept_copied" }[way];
    show(find("done-handed"), answer === "done" ? said(done, { time: clockTime(new Date()), name }) : said(answer));
  }

  // ---- Throwing it away asks twice: it is nowhere else unless it was saved.

  async function discard() {
    await handover.forget(key);
    state = fresh();
    lotsToSheet();
    fillIn();
    show(find("done-handed"), "");
    show(find("done-kept"), said("thrown"));
  }

  async function start() {
    const where = await handover.canKeep(), found = await handover.kept(key);
    document.querySelector("[data-done-trouble]").hidden = where !== "none";
    state = found ? { ...fresh(), ...found.value } : fresh();
    if (found) lotsToSheet(); else lotsFromSheet();
    show(find("done-kept"), found ? said("kept", { time: clockTime(found.at) }) : said("nothing_kept"));
    fillIn();
    root.addEventListener("submit", (event) => event.preventDefault());
    root.addEventListener("input", typed);
    root.addEventListener("click", taken);
    sheet.addEventListener("input", () => { if (lotsFromSheet()) { fillIn(); keep(); } else offer(); });
    sheet.addEventListener("pour-shown", offer);
    handover.askTwice(root, said, told.words, discard);
    handover.offer(root, made);
    root.addEventListener("handed", handed);
    root.querySelector(".bench__all").disabled = false;
    document.querySelector("[data-done-live]").hidden = false;
    document.body.dataset.doneReady = where;
  }

  start();
})();
