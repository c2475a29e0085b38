/* What `handbook log` would ask about a cycle, worked out from the table that stands in the page
   (handbook_builder/derived/asked.py). A test in the browser holds both to the same sentences.

   window.benchQuestions(candle, told, quantities) gives
     .asked(earlier, cycle, how)  -> [{key, text}], in the order in which log asks
     .unanswered(tilt, end)       -> [text]
   A cycle is {day, time, read: {key: number}, checks: [[hours, mm]], seen: [word]} in base units;
   what was not read is not in `read`. `how` is how it ended, or nothing. */
(function () {
  "use strict";

  const SLACK = 1e-9, HOUR = 3600000000, DAY = 24 * HOUR;  // microseconds, as Python counts
  const exceeds = (value, bound) => value - bound > SLACK;

  // A day and a time of no zone are counted in UTC, where each day has 24 hours.
  const dayAt = (day) => Date.parse(day + "T00:00:00Z") * 1000;
  const timeAt = (time) => {
    const [hours, minutes] = time.split(":").map(Number);
    return (hours * 60 + minutes) * 60000000;
  };
  const begun = (cycle) => (cycle.time ? dayAt(cycle.day) + timeAt(cycle.time) : null);

  function questions(candle, told, quantities) {
    const grounds = candle.grounds;

    function valuesOf(earlier, cycle) {
      const read = cycle.read, known = (key) => (read[key] === undefined ? null : read[key]);
      const last = earlier.length ? earlier[earlier.length - 1] : null;
      const values = {};
      for (const key of Object.keys(told.readings)) values[key] = known(key);
      if (values.room === null) values.room = candle.room;
      const { before, after, burned, pool } = values;
      const gained = before === null || after === null ? null : after - before;
      values.trimmed = known("trimmed") || 0;
      values.widest = cycle.checks.length ? Math.max(...cycle.checks.map((one) => one[1])) : null;
      values.coverage = pool === null ? null : pool / grounds.inside;
      values.gained = gained;
      values.changed = gained === null ? null : Math.abs(gained);
      values.rate = gained !== null && burned ? -gained / burned : null;
      values.off = before === null || grounds.empty === null
        ? null : Math.abs(before - grounds.empty - grounds.poured);
      values.last = last && last.read.after !== undefined ? last.read.after : null;
      values.jumped = before === null || values.last === null
        ? null : Math.abs(before + values.trimmed - values.last);
      values.cured = (dayAt(cycle.day) - dayAt(candle.made_on)) / DAY;
      return values;
    }

    function holding(number, cycle, how) {
      const burned = cycle.read.burned, found = new Set([number === 1 ? "first" : "later"]);
      if (how !== "went_out") found.add("not_out");
      if (cycle.read.room === undefined && candle.room === null) found.add("no_room");
      const isShort = burned === undefined || grounds.shortest - burned > SLACK;
      const isWhole = !how || (how === "stopped" && !isShort);
      if (isWhole && number >= grounds.full_pool_by) found.add("pool_due");
      return found;
    }

    function isBeyond(row, values) {
      const value = values[row.value];
      const bound = typeof row.bound === "string" ? values[row.bound] : row.bound;
      if (value === null || bound === null) return false;
      return (row.upper ? value - bound : bound - value) > row.slack;
    }

    function shownIn(row, values, number) {
      const shown = { cycle: number };
      for (const [name, [value, unit]] of Object.entries(row.shown)) {
        const known = typeof value === "string" && unit ? values[value] : value;
        shown[name] = unit ? quantities.quantity(known, unit) : known;
      }
      return shown;
    }

    function byRows(rows, sentences, values, holds, number) {
      const asked = new Set(), found = [];
      for (const row of rows) {
        if (!(row.only || []).every((one) => holds.has(one)) || asked.has(row.unless)) continue;
        if (!isBeyond(row, values)) continue;
        asked.add(row.code);
        found.push({ key: row.key, code: row.code,
          text: quantities.fill(sentences[row.code], shownIn(row, values, number)) });
      }
      return found;
    }

    function twice(earlier, cycle, number) {
      const found = [], mine = begun(cycle);
      earlier.forEach((one, at) => {
        const its = begun(one), given = { cycle: number, other: at + 1 };
        const isSame = one.day === cycle.day && (one.time || "") === (cycle.time || "");
        const until = its === null ? null : its + Math.round((one.read.burned || 0) * HOUR);
        const code = isSame ? "started_twice"
          : mine !== null && its !== null && its < mine && mine < until ? "overlaps" : "";
        if (code) found.push({ key: "on", code, text: quantities.fill(told.slips[code], given) });
      });
      return found;
    }

    const reason = (code, given) => ({ key: "on", code, text: quantities.fill(told.reasons[code], given) });

    function restOf(last, cycle, number) {
      if (!last || candle.misuse) return [];
      const given = { cycle: number }, mine = begun(cycle), its = begun(last);
      const days = (dayAt(cycle.day) - dayAt(last.day)) / DAY, isTimed = mine !== null && its !== null;
      if (days < 0 || (isTimed && mine < its)) return [reason("dates_backwards", given)];
      if (isTimed) return tooShort(last, mine - its, given);
      const someTime = mine !== null || its !== null;
      const isUnknown = days === 0 || (someTime && !surelyRested(last, cycle));
      return isUnknown ? [reason("rest_unknown", given)] : [];
    }

    function tooShort(last, since, given) {
      if (last.read.burned === undefined) return [reason("rest_unknown", given)];
      const rested = since / HOUR - last.read.burned;
      if (!exceeds(candle.rest_h, rested)) return [];
      const told = { rested: quantities.quantity(rested, "h"), rest: quantities.quantity(candle.rest_h, "h") };
      return [reason("rest_too_short", { ...given, ...told })];
    }

    function surelyRested(last, cycle) {
      if (last.read.burned === undefined) return false;
      const from = last.time ? begun(last) : dayAt(last.day) + DAY - 1;
      const to = cycle.time ? begun(cycle) : dayAt(cycle.day);
      return !exceeds(candle.rest_h, (to - from) / HOUR - last.read.burned);
    }

    function sights(cycle, number) {
      return cycle.seen.filter((word) => candle.fails.includes(word)).map((word) => ({
        key: "seen", code: "seen",
        text: quantities.fill(told.reasons.seen, { cycle: number, word: told.seen[word] }),
      }));
    }

    function asked(earlier, cycle, how) {
      const number = earlier.length + 1, last = earlier[earlier.length - 1];
      const values = valuesOf(earlier, cycle), holds = holding(number, cycle, how);
      const rules = byRows(candle.rules, told.reasons, values, holds, number);
      const limits = rules.filter((one) => /_(over|under)$/.test(one.code));
      const lasting = rules.filter((one) => one.code === "too_long" || one.code === "too_short");
      const others = rules.filter((one) => !limits.includes(one) && !lasting.includes(one));
      const all = [
        ...twice(earlier, cycle, number), ...byRows(candle.slips, told.slips, values, holds, number),
        ...limits, ...sights(cycle, number), ...lasting, ...restOf(last, cycle, number), ...others,
      ];
      const texts = all.map((one) => one.text);
      return all.filter((one, at) => texts.indexOf(one.text) === at);
    }

    function unanswered(tilt, end) {
      const found = tilt === "fell" ? [told.slips.fell_new] : [];
      if (!end.how) return found;
      const due = ["left", "vessel", "tilt", ...(end.how === "stopped" ? ["why"] : [])];
      const lacking = due.filter((key) => !end[key]);
      if (!lacking.length) return found;
      return [...found, quantities.fill(told.slips.end_lacks, { keys: lacking.join(", ") })];
    }

    return { asked, unanswered };
  }

  window.benchQuestions = questions;
})();
