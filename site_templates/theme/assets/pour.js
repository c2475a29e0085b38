/* Works a pour sheet out for another count, from the whole numbers that stand in the page, just as
   the program does in figures/pour.py. Without it the page is whole for the count it came with. */
(function () {
  "use strict";

  const MILLION = 1000000n;
  const NONE = "\u2013";

  const whole = (element, name) => BigInt(element.getAttribute("data-" + name));
  const halfUp = (top, under) => (2n * top + under) / (2n * under);
  const sum = (list) => list.reduce((all, one) => all + one, 0n);
  const gap = (one, other) => (one > other ? one - other : other - one);
  const most = (list) => list.reduce((top, one) => (one > top ? one : top), 0n);

  function decimalText(units, decimals) {
    if (decimals === 0) return String(units);
    const padded = String(units).padStart(decimals + 1, "0");
    return padded.slice(0, -decimals) + "." + padded.slice(-decimals);
  }

  function partsOf(sheet) {
    return Array.from(sheet.querySelectorAll("[data-part]"), (shown) => ({
      shown, kind: shown.getAttribute("data-part"), ug: whole(shown, "ug"),
      down: shown.hasAttribute("data-down"), steps: 0n,
    }));
  }

  // Wax is rounded first; the rest is worked from the rounded wax.
  function weigh(sheet, parts, count) {
    const waxes = parts.filter((one) => one.kind === "wax");
    const under = whole(sheet, "kept") * whole(sheet, "step");
    for (const one of waxes) one.steps = halfUp(one.ug * count * MILLION, under);
    const allWax = sum(waxes.map((one) => one.steps)), base = sum(waxes.map((one) => one.ug));
    for (const one of parts) {
      if (one.kind === "wax") continue;
      one.steps = one.down ? allWax * one.ug / base : halfUp(allWax * one.ug, base);
    }
    return judge(sheet, parts, allWax, base);
  }

  function judge(sheet, parts, allWax, base) {
    if (parts.some((one) => one.steps === 0n)) return { fits: false };
    const oil = sum(parts.filter((one) => one.kind === "oil").map((one) => one.steps));
    const total = sum(parts.map((one) => one.steps)), all = sum(parts.map((one) => one.ug));
    const misses = parts.map((one) => {
      const [steps, ug] = one.kind === "oil" ? [total, all] : [allWax, base];
      return [gap(one.steps * ug, one.ug * steps), steps * ug];
    });
    return {
      total,
      load: decimalText(halfUp(oil * 10000n, allWax), 2),
      share: decimalText(halfUp(oil * 10000n, total), 2),
      farthest: decimalText(most(misses.map(([top, under]) => halfUp(top * 100000n, under))), 3),
      fits: misses.every(([top, under]) => top * MILLION <= whole(sheet, "tolerance") * under),
    };
  }

  function countIn(sheet) {
    const typed = sheet.querySelector("[data-pour-count]").value.trim();
    const found = /^[0-9]{1,6}$/.test(typed) ? BigInt(typed) : 0n;
    return found > 0n && found <= whole(sheet, "most") ? found : 0n;
  }

  function tell(sheet, name, text) {
    sheet.querySelectorAll('[data-told="' + name + '"]').forEach((one) => { one.textContent = text; });
  }

  function show(sheet) {
    const count = countIn(sheet), parts = partsOf(sheet);
    const found = count ? weigh(sheet, parts, count) : { fits: false };
    const digits = whole(sheet, "digits"), decimals = Number(whole(sheet, "decimals"));
    const text = (steps) => (found.fits ? decimalText(steps * digits, decimals) : NONE);
    for (const one of parts) one.shown.textContent = text(one.steps);
    tell(sheet, "total", text(found.total));
    for (const name of ["load", "share", "farthest"]) tell(sheet, name, found.fits ? found[name] : NONE);
    tell(sheet, "count", count ? String(count) : NONE);
    sheet.querySelectorAll("[data-each]").forEach((one) => {
      one.textContent = count ? String(count * whole(one, "each")) : NONE;
    });
    const state = !count ? "bad" : found.fits ? "fits" : "coarse";
    sheet.querySelectorAll("[data-when]").forEach((one) => {
      one.hidden = one.getAttribute("data-when") !== state;
    });
    showDays(sheet);
    carry(sheet, count);
    sheet.dispatchEvent(new CustomEvent("pour-shown"));
  }

  // Days are counted in UTC, where each has 24 hours.
  function showDays(sheet) {
    const field = sheet.querySelector("[data-pour-on]");
    const day = field && /^\d{4}-\d{2}-\d{2}$/.test(field.value) ? Date.parse(field.value) : NaN;
    if (!field || Number.isNaN(day)) return;
    const cured = new Date(day + Number(whole(sheet, "cure")) * 86400000);
    tell(sheet, "poured", field.value);
    tell(sheet, "cured", cured.toISOString().slice(0, 10));
  }

  function carry(sheet, count) {
    sheet.querySelectorAll("[data-pour-open]").forEach((link) => {
      link.search = count ? "?count=" + count : "";
    });
  }

  function today() {
    const now = new Date();
    const two = (number) => String(number).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  // What is kept of a sheet outlives its page and its tab, by the code of the candle. It is void
  // after half a day: ticks of another day's pour would say that something was weighed.
  const KEPT_FOR_MS = 12 * 3600 * 1000;

  // Some browsers refuse a store, or all of them, to a page from a folder.
  function inStores(act) {
    for (const name of ["localStorage", "sessionStorage"]) {
      try {
        const found = act(window[name]);
        if (found) return found;
      } catch (refused) { /* then the next one, or none */ }
    }
    return null;
  }

  const keyOf = (sheet) => "handbook-pour " + sheet.getAttribute("data-key");
  const ticksOf = (sheet) => Array.from(sheet.querySelectorAll("[data-tick]"));
  const lotsIn = (sheet) => Array.from(sheet.querySelectorAll("[data-lot]"));

  function keptOf(sheet) {
    const text = inStores((store) => store.getItem(keyOf(sheet)));
    try {
      const kept = JSON.parse(text);
      const age = kept ? Date.now() - kept.at : NaN;
      return age >= 0 && age < KEPT_FOR_MS && Array.isArray(kept.ticks) ? kept : null;
    } catch (broken) {
      return null;
    }
  }

  // The page of a product has the count alone: it keeps the rest as it is, for the same count.
  function keep(sheet) {
    const field = sheet.querySelector("[data-pour-count]"), on = sheet.querySelector("[data-pour-on]");
    const before = keptOf(sheet), isSame = before && before.count === field.value;
    const ticks = ticksOf(sheet).filter((one) => one.checked).map((one) => one.dataset.tick);
    const kept = {
      at: Date.now(), count: field.value,
      on: on ? on.value : isSame ? before.on : "",
      ticks: on ? ticks : isSame ? before.ticks : [],
      lots: on ? lotsOf(sheet) : before ? before.lots : {},
      place: on ? sheet.dataset.place || "" : before ? before.place : "",
    };
    inStores((store) => { store.setItem(keyOf(sheet), JSON.stringify(kept)); return true; });
    addressSoon(sheet);
  }

  function lotsOf(sheet) {
    const given = lotsIn(sheet).filter((one) => one.value.trim());
    return Object.fromEntries(given.map((one) => [one.dataset.lot, one.value]));
  }

  function forget(sheet) {
    inStores((store) => { store.removeItem(keyOf(sheet)); return false; });
  }

  // The count stands in the address, so that a page that is sent on or loaded again has it. It
  // waits until the typing ends: browsers slow down a page that writes its address too often.
  let writing = 0;

  function addressSoon(sheet) {
    clearTimeout(writing);
    writing = setTimeout(() => address(countIn(sheet)), 300);
  }

  function address(count) {
    const place = new URL(window.location.href);
    if (count) place.searchParams.set("count", count); else place.searchParams.delete("count");
    if (place.href === window.location.href) return;
    try {
      window.history.replaceState(window.history.state, "", place.href);
    } catch (refused) { /* from a folder, in some browsers */ }
  }

  function restore(sheet, asked) {
    const field = sheet.querySelector("[data-pour-count]"), on = sheet.querySelector("[data-pour-on]");
    const kept = keptOf(sheet);
    if (asked) field.value = asked;
    if (!kept || (asked && asked !== kept.count)) return;
    field.value = kept.count;
    if (on && kept.on && kept.on >= on.min) on.value = kept.on;
    for (const one of lotsIn(sheet)) one.value = (kept.lots || {})[one.dataset.lot] || "";
    sheet.dataset.place = kept.place || "";
    const ticked = ticksOf(sheet).filter((one) => kept.ticks.includes(one.dataset.tick));
    for (const one of ticked) one.checked = true;
    sheet.querySelectorAll("[data-pour-kept]").forEach((one) => { one.hidden = false; });
    addressSoon(sheet);
  }

  function startAfresh(sheet) {
    forget(sheet);
    voidTicks(sheet);
    lotsIn(sheet).forEach((one) => { one.value = ""; });
    sheet.dataset.place = "";
    sheet.querySelector("[data-pour-count]").value = sheet.querySelector("[data-pour-count]").defaultValue;
    sheet.querySelectorAll("[data-pour-kept]").forEach((one) => { one.hidden = true; });
    setToday(sheet);
    clearTimeout(writing);
    address(0n);
    show(sheet);
  }

  function voidTicks(sheet) {
    ticksOf(sheet).forEach((one) => { one.checked = false; });
  }

  function setToday(sheet) {
    const on = sheet.querySelector("[data-pour-on]");
    if (on) on.value = today() < on.min ? on.min : today();
  }

  // A tick says that this much was weighed or set ready: another count makes it void.
  function changed(sheet, field, event) {
    if (event.target === field) {
      ticksOf(sheet).filter((one) => one.hasAttribute("data-counted"))
        .forEach((one) => { one.checked = false; });
    }
    show(sheet);
    keep(sheet);
  }

  function start(sheet) {
    const field = sheet.querySelector("[data-pour-count]");
    setToday(sheet);
    restore(sheet, new URLSearchParams(window.location.search).get("count"));
    field.addEventListener("focus", () => field.select());
    sheet.addEventListener("input", (event) => changed(sheet, field, event));
    sheet.querySelectorAll("[data-pour-afresh]").forEach((button) => {
      button.addEventListener("click", () => startAfresh(sheet));
    });
    sheet.addEventListener("submit", (event) => event.preventDefault());
    window.addEventListener("pageshow", () => show(sheet));
    sheet.querySelectorAll("[data-pour-print]").forEach((button) => {
      button.addEventListener("click", () => window.print());
    });
    sheet.querySelectorAll("[data-pour-live], [data-lot]").forEach((one) => { one.hidden = false; });
    show(sheet);
    sheet.pour = { keep: () => keep(sheet), voidTicks: () => voidTicks(sheet), kept: () => keptOf(sheet) };
  }

  document.querySelectorAll("form[data-pour]").forEach(start);
})();
