/* A pour sheet as a card that can be worked from: one step at a time, readable at arm's length. It
   reckons nothing: counts, weights, lots and ticks are those of the sheet, which pour.js keeps. */
(function () {
  "use strict";

  const sheet = document.querySelector("form[data-pour]"), card = document.querySelector("[data-card]");
  if (!sheet || !card || !sheet.pour || !card.showModal) return;

  const NONE = "\u2013";
  const find = (name) => card.querySelector("[data-card-" + name + "]");
  const field = sheet.querySelector("[data-pour-count]");
  const ticks = () => Array.from(sheet.querySelectorAll("[data-tick]"));
  const tellSheet = (element) => element.dispatchEvent(new Event("input", { bubbles: true }));

  // ---- The steps, in the order of work: what is weighed for a step comes just before it.

  function rowOf(shown, at) {
    const row = shown.closest("tr");
    return {
      at, shown, tick: row.querySelector("[data-tick]"), lot: lotFieldOf(row, shown),
      name: row.querySelector("th").textContent.trim(),
    };
  }

  // The lot of a piece stands in the form below the sheet, where there is one.
  function lotFieldOf(row, shown) {
    const own = row.querySelector("[data-lot]");
    if (own) return own;
    const item = shown.dataset.item;
    return Array.from(document.querySelectorAll('[data-done="lots"]'))
      .find((one) => one.dataset.item === item) || null;
  }

  function steps() {
    const weighs = Array.from(sheet.querySelectorAll("[data-part]"), (one) => rowOf(one, "weigh"));
    const pieces = Array.from(sheet.querySelectorAll("[data-each]"), (one) => rowOf(one, "piece"));
    const found = [{ at: "count" }, ...pieces];
    for (const line of sheet.querySelectorAll(".pour__steps li")) {
      const due = weighs.filter((one) => one.shown.dataset.part === line.dataset.for && !found.includes(one));
      found.push(...due, { at: "step", text: line.textContent.trim(), tick: line.querySelector("[data-tick]") });
    }
    // Nothing that is to be weighed may be missing from the card, whatever the steps say.
    const rest = weighs.filter((one) => !found.includes(one));
    return [...found.slice(0, 1), ...rest, ...found.slice(1), { at: "end" }];
  }

  const all = steps();
  let place = 0;

  // ---- Showing one of them.

  function show() {
    const step = all[place];
    card.querySelectorAll("[data-card-at]").forEach((one) => { one.hidden = one.dataset.cardAt !== step.at; });
    find("place").textContent = place + 1 + " / " + all.length;
    find("count").textContent = countShown();
    const showing = { count: showCount, weigh: showRow, piece: showRow, step: showText, end: showEnd };
    find("lot-row").hidden = !step.lot;
    if (step.lot) find("lot").value = step.lot.value;
    find("tick-row").hidden = !step.tick;
    if (step.tick) find("tick").checked = step.tick.checked;
    find("tick").disabled = false;
    showing[step.at](step);
    showState(step);
    find("back").disabled = place === 0;
    find("next").disabled = place === all.length - 1;
  }

  const countShown = () => (sheet.querySelector('[data-told="count"]') || field).textContent || NONE;
  const isLocked = () => ticks().some((one) => one.checked);

  function showCount() {
    find("ask").hidden = isLocked();
    find("locked").hidden = !isLocked();
    find("sure").hidden = true;
    find("fixed").textContent = countShown();
    if (document.activeElement !== find("number")) find("number").value = field.value;
  }

  // A tick would say that this much was weighed: where no weight is told there is nothing to tick.
  function showRow(step) {
    const part = card.querySelector('[data-card-at="' + step.at + '"]');
    part.querySelector("[data-card-item]").textContent = step.name;
    part.querySelector("[data-card-mass]").textContent = step.shown.textContent;
    find("tick").disabled = step.shown.textContent === NONE;
  }

  function showText(step) {
    find("text").textContent = step.text;
  }

  function showEnd() {
    const left = all.filter((one) => one.tick && !one.tick.checked);
    find("all").hidden = left.length > 0;
    find("left").hidden = left.length === 0;
    find("list").replaceChildren(...left.map((one) => {
      const line = document.createElement("li"), to = document.createElement("button");
      to.type = "button";
      to.className = "button";
      to.textContent = one.name || one.text;
      to.addEventListener("click", () => go(all.indexOf(one)));
      line.append(to);
      return line;
    }));
  }

  function showState(step) {
    const told = Array.from(sheet.querySelectorAll("[data-when]")).find((one) => !one.hidden);
    const isGood = !told || told.dataset.when === "fits";
    const state = find("state");
    state.hidden = isGood || !["count", "weigh", "piece"].includes(step.at);
    state.textContent = isGood ? "" : told.textContent;
  }

  function go(to) {
    place = Math.min(Math.max(to, 0), all.length - 1);
    sheet.dataset.place = card.open ? String(place) : "";
    sheet.pour.keep();
    show();
    find("body").focus({ preventScroll: true });
    find("body").scrollTop = 0;
  }

  // ---- The screen stays awake while it is open, where the browser can.

  let awake = null;

  async function stayAwake() {
    if (!navigator.wakeLock || !card.open || document.hidden) return;
    try {
      const lock = await navigator.wakeLock.request("screen");
      if (card.open && !awake) awake = lock; else lock.release();
      lock.addEventListener("release", () => { if (awake === lock) awake = null; });
    } catch (refused) { /* a battery that is low, or no permission */ }
  }

  function sleepAgain() {
    if (awake) awake.release();
    awake = null;
  }

  // ---- Opening it over all else: the whole screen where that is allowed, else the whole window.

  function open(to, isAsked) {
    if (!card.open) card.showModal();
    const root = document.documentElement;
    if (isAsked && root.requestFullscreen) root.requestFullscreen().catch(() => {});
    stayAwake();
    go(to);
  }

  function close() {
    if (card.open) card.close();
  }

  function closed() {
    sheet.dataset.place = "";
    sheet.pour.keep();
    sleepAgain();
    if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
  }

  function unlocked() {
    sheet.pour.voidTicks();
    sheet.pour.keep();
    show();
    find("number").focus();
    find("number").select();
  }

  function onKey(event) {
    const isTyping = event.target.matches('input[type="text"]');
    const to = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 }[event.key];
    if (isTyping && event.key === "Enter") { event.preventDefault(); go(place + 1); return; }
    if (!to || isTyping || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    go(place + to);
  }

  function start() {
    const opener = document.querySelector("[data-card-open]");
    opener.addEventListener("click", () => open(Number(sheet.dataset.place) || 0, true));
    find("close").addEventListener("click", close);
    card.addEventListener("close", closed);
    card.addEventListener("keydown", onKey);
    find("next").addEventListener("click", () => go(place + 1));
    find("back").addEventListener("click", () => go(place - 1));
    find("tick").addEventListener("change", () => {
      all[place].tick.checked = find("tick").checked;
      tellSheet(all[place].tick);
    });
    find("lot").addEventListener("input", () => {
      all[place].lot.value = find("lot").value;
      tellSheet(all[place].lot);
    });
    find("number").addEventListener("input", () => {
      field.value = find("number").value;
      tellSheet(field);
    });
    find("unlock").addEventListener("click", () => { find("sure").hidden = false; find("no").focus(); });
    find("no").addEventListener("click", () => { find("sure").hidden = true; find("unlock").focus(); });
    find("yes").addEventListener("click", unlocked);
    sheet.addEventListener("pour-shown", () => { if (card.open) show(); });
    document.addEventListener("visibilitychange", stayAwake);
    document.addEventListener("fullscreenchange", () => { if (!document.fullscreenElement) close(); });
    window.addEventListener("beforeprint", () => { if (card.open) show(); });
    const kept = sheet.dataset.place;
    if (kept) open(Number(kept), false);
  }

  start();
})();
