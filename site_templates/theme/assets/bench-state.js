/* What is kept of one candle at the bench, and the file that hands it over. Nothing here touches
   the page.

   window.benchState(told, quantities) gives
     .fresh(candle), .cycle()     -> a new state; a new cycle of it
     .parsed(cycle, today)        -> {day, time, read, checks, seen, faults: [{key, text}]}
     .endFaults(end)              -> [{key, text}]
     .isEmpty(cycle), .isBegun(state)
     .name(state, now), .text(state, now)
     .merged(was, mine, its)      -> what two tabs made of one state: what one of them changed stands, and
                                     what both changed is as in `mine`
     .taken(state, file)          -> {all, count, of, isNewer}: what of it is on file by now */
(function () {
  "use strict";

  const { handover } = window;
  const BARE = /^[0-9]+(?:\.[0-9]+)?$/;

  function states(told, quantities) {
    const units = told.units, cycleKeys = told.keys.cycle, endKeys = told.keys.end;

    const cycle = () => ({ day: "", time: "", lit: null, out: null, rung: 0, values: {}, checks: {},
      seen: [], photo: null, alt: "", as_read: false });

    const fresh = (candle) => ({
      burn: candle.burn, candle: candle.candle, code: candle.code, title: candle.title,
      record: candle.record, base: candle.cycles.length, session: handover.session(), tilt: "",
      cycles: [cycle()], at: 0, end: { how: "" }, handed: null, pictures: [],
    });

    function withUnit(key, text) {
      const said = text.trim();
      return BARE.test(said) && units[key] ? said + " " + units[key] : said;
    }

    // The keys with a text each, in the order in which they are written.
    function valuesOf(one, today) {
      const found = {};
      if (isEmpty(one)) return found;
      found.on = (one.day || today) + (one.time ? " " + one.time : "");
      for (const [key, text] of Object.entries(one.values)) {
        const said = withUnit(key, text);
        if (said) found[key] = said;
      }
      const checks = Object.entries(one.checks).filter(([, text]) => text.trim());
      if (checks.length) {
        found.checks = Object.fromEntries(checks.map(([time, text]) => [time + " h", withUnit("checks", text)]));
      }
      if (one.seen.length) found.seen = one.seen;
      return found;
    }

    function isEmpty(one) {
      const texts = [...Object.values(one.values), ...Object.values(one.checks)];
      return !texts.some((text) => text.trim()) && !one.seen.length && !one.day && !one.time && !one.photo;
    }

    const isBegun = (state) => Boolean(state.tilt || state.end.how || state.cycles.some((one) => !isEmpty(one)));

    // ---- Each value as a record would be told of it.

    function dayFaults(day, today) {
      const year = Number(day.slice(0, 4)), [first, last] = told.understood.years;
      if (year < first || year > last) {
        return [{ key: "on", text: quantities.message("out_of_range", {
          found: day, expected: told.understood.year_expected }) }];
      }
      return day > today ? [{ key: "on", text: quantities.fill(told.future, { on: day, today }) }] : [];
    }

    function parsed(one, today) {
      const values = valuesOf(one, today), faults = [], read = {}, checks = [];
      const day = one.day || today;
      if (!isEmpty(one)) faults.push(...dayFaults(day, today));
      for (const key of cycleKeys) {
        if (typeof values[key] !== "string" || key === "on") continue;
        const found = key === "note" ? { fault: quantities.text(key, values[key]) } : quantities.read(key, values[key]);
        if (found.fault) faults.push({ key, text: found.fault });
        else if (found.value !== undefined) read[key] = found.value;
      }
      for (const [time, width] of Object.entries(values.checks || {})) {
        const found = quantities.read("checks.width", width, time);
        if (found.fault) faults.push({ key: "check " + parseFloat(time), text: found.fault });
        else checks.push([parseFloat(time), found.value]);
      }
      return { day, time: one.time, read, checks, seen: one.seen, faults };
    }

    function endFaults(end) {
      const found = [];
      if (!end.how) return found;
      const left = withUnit("left", end.left || "");
      const wrong = left ? quantities.read("end.left", left, "left").fault : "";
      if (wrong) found.push({ key: "end.left", text: wrong });
      const why = end.how === "stopped" && (end.why || "").trim() ? quantities.reason("why", end.why) : "";
      if (why) found.push({ key: "end.why", text: why });
      return found;
    }

    // ---- The file: as the contract of `handbook take` has it.

    const inOrder = (keys, values) => keys.filter((key) => values[key] !== undefined).map((key) => [key, values[key]]);

    function endOf(state) {
      const { how, why, left, vessel, tilt } = state.end;
      const values = { how, why: how === "stopped" ? (why || "").trim() : "", left: withUnit("left", left || ""), vessel, tilt };
      return inOrder(endKeys, values).filter(([, value]) => value);
    }

    const told6 = (state) => state.session.slice(0, 6);
    const name = (state, now) => [state.burn, handover.localTime(now).slice(0, 10), told6(state)].join("-") + ".txt";
    const pictureName = (state, number) => [state.burn, told6(state), number].join("-") + ".jpg";

    function picturesOf(ours, base) {
      const found = {};
      ours.forEach((one, at) => {
        if (!one.photo) return;
        const alt = one.alt.trim() || quantities.fill(told.said.alt_unsaid, { number: base + at + 1 });
        found[at + 1] = { file: one.photo.name, sha256: one.photo.sha256, alt };
      });
      return found;
    }

    function text(state, now) {
      const today = handover.localTime(now).slice(0, 10), ours = state.cycles.filter((one) => !isEmpty(one));
      const asRead = ours.map((one, at) => (one.as_read ? String(at + 1) : "")).filter(Boolean);
      const pictures = picturesOf(ours, state.base), end = endOf(state);
      const lines = [
        ["handover", "1"], ["kind", "cycles"], ["session", state.session],
        ["written", handover.localTime(now)], ["edition", told.edition], ["burn", state.burn],
        ["candle", state.candle], ["code", state.code], ["record", state.record],
      ];
      if (state.tilt) lines.push(["tilt", state.tilt]);
      if (asRead.length) lines.push(["as_read", asRead]);
      if (Object.keys(pictures).length) lines.push(["photos", pictures]);
      if (ours.length) {
        lines.push(["cycles", { block: ours.map((one) =>
          handover.inOneLine(inOrder(cycleKeys, valuesOf(one, today)))) }]);
      }
      if (state.end.how) lines.push(["end", { inline: handover.inOneLine(end) }]);
      return handover.text(lines);
    }

    // ---- What of it is on file: the record has grown from the state that it was opened from.

    const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
    const sorted = (pairs) => [...(pairs || [])].sort(([a], [b]) => a - b);

    function isOnFile(one, filed) {
      const mine = parsed(one, one.day), read = { ...filed };
      for (const key of ["on", "seen", "checks"]) delete read[key];
      const keys = [...new Set([...Object.keys(read), ...Object.keys(mine.read)])];
      return filed.on === one.day + (one.time ? " " + one.time : "")
        && keys.every((key) => read[key] === mine.read[key] || (key === "trimmed" && !read[key] && !mine.read[key]))
        && same([...(filed.seen || [])], mine.seen) && same(sorted(filed.checks), sorted(mine.checks));
    }

    function isEndOnFile(end, filed) {
      if (!end.how) return true;
      if (!filed) return false;
      const left = withUnit("left", end.left || "");
      const read = left ? quantities.read("end.left", left, "left").value : undefined;
      return filed.how === end.how && filed.left === read
        && (filed.vessel || "") === (end.vessel || "") && (filed.tilt || "") === (end.tilt || "");
    }

    function taken(state, file) {
      const ours = state.cycles.filter((one) => !isEmpty(one)), none = { all: false, count: 0, of: ours.length };
      if (file.record === state.record) return { ...none, isNewer: false };
      const from = file.states.indexOf(state.record.slice(0, 16));
      if (from < 0) return { ...none, isNewer: isBegun(state) };
      const added = file.cycles.slice(from);
      const count = Math.min(added.length, ours.length);
      const agrees = ours.slice(0, count).every((one, at) => isOnFile(one, added[at]));
      if (!agrees || added.length > ours.length) return { ...none, isNewer: isBegun(state) };
      const all = count === ours.length && isEndOnFile(state.end, file.ended);
      return { all, count, of: ours.length, isNewer: !all && Boolean(file.ended) };
    }

    const isMap = (value) => Boolean(value) && typeof value === "object";

    function merged(was, mine, its) {
      if (same(mine, was)) return its;
      if (same(its, was) || !isMap(mine) || !isMap(its)) return mine;
      if (mine.record !== its.record || mine.base !== its.base) return mine;
      if (Array.isArray(mine) && ![...mine, ...its].some(isMap)) {
        const words = [...new Set([...mine, ...its])];
        return words.filter((one) => !(was || []).includes(one) || (mine.includes(one) && its.includes(one)));
      }
      const before = isMap(was) ? was : {}, found = Array.isArray(mine) ? [] : {};
      for (const key of new Set([...Object.keys(mine), ...Object.keys(its)])) {
        const value = merged(before[key], mine[key], its[key]);
        if (value !== undefined) found[key] = value;
      }
      return found;
    }

    return { fresh, cycle, parsed, endFaults, isEmpty, isBegun, name, pictureName, text, taken, merged, withUnit };
  }

  window.benchState = states;
})();
