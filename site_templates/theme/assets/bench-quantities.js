/* Reads a quantity as the program does (handbook_builder/units.py) and writes one as it does
   (words.py): in exact fractions, so that both come to the same digits and the same words. A test
   in the browser holds them together.

   window.benchQuantities(understood, habit)
     .read(key, text)        -> {value} in base units, or {fault} in words
     .text(key, text)        -> the fault of a plain text, or nothing
     .quantity(value, unit)  -> "412.6 g", as the studio likes to read it
     .pointTyped(event)      -> makes a point of a comma that is typed into a field for numbers */
(function () {
  "use strict";

  const NUMBER = "[+-]?(?:[0-9]+(?:\\.[0-9]*)?|\\.[0-9]+)(?:[eE][+-]?[0-9]+)?";
  const TERM = new RegExp("\\s*(?:(?<whole>[+-]?[0-9]{1,6})\\s+(?<top>[0-9]{1,6})/(?<under>[0-9]{1,6})"
    + "|(?<num>[0-9]{1,6})/(?<den>[0-9]{1,6})|(?<plain>" + NUMBER + "))\\s*"
    + "(?<unit>[^\\p{Nd}\\s.+\\-][^\\p{Nd}+]*?(?:3\\b)?)?\\s*(?=$|[+\\-]?[0-9])", "uy");
  const POUNDS = /(?:lbs?|pounds?)\s.*(?:oz|ounces?)$/;
  const NOT_FINITE = /^[+-]?\.?(nan|inf(inity)?)\b/i;
  const NO_BREAK = "\u00a0", SHOWN = 80;

  // ---- Fractions of whole numbers, each as [top, under] with an `under` above zero.

  const gcd = (a, b) => { while (b) [a, b] = [b, a % b]; return a < 0n ? -a : a; };
  function fraction(top, under) {
    const by = gcd(top, under) || 1n;
    return [top / by, under / by];
  }
  const plus = ([a, b], [c, d]) => fraction(a * d + c * b, b * d);
  const times = ([a, b], [c, d]) => fraction(a * c, b * d);
  const written = (text) => { const [top, under] = text.split("/"); return [BigInt(top), BigInt(under || 1)]; };

  // A decimal as it stands: 412.6, 1e3.
  function decimal(text) {
    const [, sign, whole, part, power] = /^([+-]?)([0-9]*)\.?([0-9]*)(?:[eE]([+-]?[0-9]+))?$/.exec(text);
    const digits = BigInt((whole + part) || "0") * (sign === "-" ? -1n : 1n);
    const shift = Number(power || 0) - part.length;
    return shift >= 0 ? [digits * 10n ** BigInt(shift), 1n] : fraction(digits, 10n ** BigInt(-shift));
  }

  // Every double is a whole number of some power of two.
  function exact(value) {
    if (value === 0) return [0n, 1n];
    let shift = 0;
    while (!Number.isInteger(value)) { value *= 2; shift += 1; }
    return fraction(BigInt(value), 2n ** BigInt(shift));
  }

  // The nearest double, ties to even: 70 bits of the quotient and a last one for what is left over.
  function nearest([top, under]) {
    if (top === 0n) return 0;
    const sign = top < 0n ? -1 : 1, size = top < 0n ? -top : top;
    const bits = (one) => one.toString(2).length;
    const shift = 70 + bits(under) - bits(size);
    const [a, b] = shift >= 0 ? [size << BigInt(shift), under] : [size, under << BigInt(-shift)];
    const quotient = (a / b << 1n) | (a % b ? 1n : 0n);
    return sign * Number(quotient) * 2 ** -(shift + 1);
  }

  // ---- Which known spelling is meant: Ratcliff and Obershelp's measure, as Python's difflib has it.

  function matched(one, other) {
    let best = 0, from = 0, to = 0;
    for (let i = 0; i < one.length; i += 1) {
      for (let j = 0; j < other.length; j += 1) {
        let size = 0;
        while (i + size < one.length && j + size < other.length && one[i + size] === other[j + size]) size += 1;
        if (size > best) [best, from, to] = [size, i, j];
      }
    }
    if (!best) return 0;
    return best + matched(one.slice(0, from), other.slice(0, to))
      + matched(one.slice(from + best), other.slice(to + best));
  }

  function near(word, known) {
    const letters = Array.from(word);
    const found = known.map((one) => [2 * matched(Array.from(one), letters) / (one.length + letters.length), one])
      .filter(([score]) => score >= 0.5);
    found.sort(([a, x], [b, y]) => (b - a) || (x < y ? 1 : -1));
    return found.length ? found[0][1] : "";
  }

  const fill = (template, given) =>
    template.replace(/\{(\w+)\}|\{\{|\}\}/g, (all, name) => (name ? String(given[name]) : all[0]));

  // Python's rounding: to the nearest, ties to even.
  function even(value) {
    const down = Math.floor(value), off = value - down;
    if (off !== 0.5) return Math.round(value);
    return down % 2 === 0 ? down : down + 1;
  }

  function fixed(value, decimals) {
    const long = Math.abs(value).toFixed(100), cut = long.length - 100 + decimals;
    if (!/^50*$/.test(long.slice(cut))) return value.toFixed(decimals);
    const lower = decimals ? long.slice(0, cut) : long.slice(0, cut - 1);
    const isEven = Number(lower[lower.length - 1]) % 2 === 0;
    const shown = isEven ? lower : (Math.abs(value)).toFixed(decimals);
    return (value < 0 ? "-" : "") + shown;
  }

  const SMALL = [1, 0.1, 0.01, 0.001];

  function trimmed(value, decimals) {
    const shown = fixed(value, decimals);
    return Math.abs(Number(shown) - value) > SMALL[decimals] * 0.049 ? fixed(value, decimals + 1) : shown;
  }

  function hours(value) {
    const all = even(value * 60), whole = Math.floor(all / 60), minutes = all - whole * 60;
    const parts = whole || !minutes ? [whole + NO_BREAK + "h"] : [];
    return (minutes ? [...parts, minutes + NO_BREAK + "min"] : parts).join(" ");
  }

  function percent(share) {
    let shown = fixed(share * 100, 2);
    shown = shown.replace(/0+$/, "").replace(/\.$/, "");
    return shown + NO_BREAK + "%";
  }

  // Unit, decimals, the unit of the United States, its decimals, and the line to it, as fractions.
  const WRITTEN = {
    mm: ["mm", 0, "in", 2, [5n, 127n], [0n, 1n]],
    g: ["g", 1, "oz", 2, [8n * 10n ** 9n, 226796185n * 1000n], [0n, 1n]],
    c: ["°C", 0, "°F", 0, [9n, 5n], [32n, 1n]],
    k: ["K", 0, "°F", 0, [9n, 5n], [0n, 1n]],
  };
  const PLAIN = { s: ["s", 0], days: ["days", 0], g_per_h: ["g/h", 2] };

  function quantity(habit, value, unit) {
    if (unit === "share") return percent(value);
    if (unit === "h") return hours(value);
    if (PLAIN[unit]) return fixed(value, PLAIN[unit][1]) + NO_BREAK + PLAIN[unit][0];
    const [name, decimals, other, digits, factor, offset] = WRITTEN[unit];
    const metric = trimmed(value, decimals) + NO_BREAK + name;
    if (habit === "metric") return metric;
    const there = nearest(plus(times(exact(value), factor), offset));
    const more = unit !== "c" && unit !== "k" && there > 0 && there < 10 ** (1 - digits) ? digits + 1 : digits;
    const us = fixed(there, more) + NO_BREAK + other;
    return habit === "both" ? metric + " (" + us + ")" : us + " (" + metric + ")";
  }

  function make(understood, habit) {
    const { messages, units, taken_for: taken, sorts, fields, hair } = understood;

    function fault(code, given) {
      const found = given.found, long = typeof found === "string" && Array.from(found).length > SHOWN;
      const shown = long ? Array.from(found).slice(0, SHOWN - 1).join("") + "…" : found;
      const meant = given.near ? " (did you mean '" + given.near + "'?)" : "";
      return { fault: fill(messages[code], { ...given, found: shown, near: meant }) };
    }

    const dimension = (name) => ({ word: name, ...sorts[name] });

    function holds(value, sort) {
      if (sort.below_zero) return sort.least - hair <= value && value <= sort.most + hair;
      return value === 0 || (sort.least * (1 - hair) <= value && value <= sort.most * (1 + hair));
    }

    const beyond = (text, sort) =>
      fault("out_of_range", { found: text, expected: "a " + sort.word + " from " + sort.within });
    const none = (text, sort) => fault("not_a_quantity", { found: text, what: sort.word, example: sort.example });

    const scaleOf = (spelling) => {
      const last = spelling.slice(-1);
      return "cfCF".includes(last) ? last.toUpperCase() : "";
    };

    function unknown(spelling, sort) {
      const known = Object.keys(units).filter((name) => units[name][0] === sort.word);
      let alike = sort.degrees ? known.filter((one) => scaleOf(one) === scaleOf(spelling)) : known;
      if (sort.several && /^(y|mo)/.test(spelling.toLowerCase())) alike = [];
      return fault("unknown_unit", {
        found: spelling, what: sort.word, near: near(spelling, alike), known: known.join(", "),
      });
    }

    function numberOf(match) {
      if (match.plain !== undefined) {
        const value = Number(match.plain), size = Math.abs(value);
        const isWrittenOut = match.plain.length <= 40 && size >= 1e-30 && size <= 1e30;
        return isWrittenOut ? decimal(match.plain) : exact(value);
      }
      const top = BigInt(match.top || match.num), under = BigInt(match.under || match.den);
      if (top >= under) return null;
      const whole = match.whole || "0", size = plus([BigInt(whole.replace(/^[+-]/, "")), 1n], fraction(top, under));
      return whole.startsWith("-") ? [-size[0], size[1]] : size;
    }

    function beyondFloats(text, number, sort) {
      const value = Number(number);
      if (!Number.isFinite(value)) return fault("not_finite", { found: text });
      return value === 0 && /[1-9]/.test(number.split(/[eE]/)[0]) ? beyond(text, sort) : null;
    }

    function term(text, match, sort) {
      const number = numberOf(match);
      if (!number) return none(text, sort);
      const spelling = (match.unit || "").trim();
      if (!spelling) return fault("no_unit", { found: text, what: sort.word, example: sort.example });
      const known = units[Object.hasOwn(taken, spelling) ? taken[spelling] : spelling];
      if (!known || !Array.isArray(known)) return unknown(spelling, sort);
      if (known[0] !== sort.word) return wrong(text, spelling, known[0], sort);
      if (number[0] < 0n && !sort.below_zero) return fault("negative", { found: text, what: sort.word });
      return { value: plus(times(number, written(known[1])), written(known[2] || "0")) };
    }

    function wrong(text, spelling, is, sort) {
      if (is === "mass" && sort.word === "volume" && spelling.startsWith("o")) {
        return fault("ounce_is_mass", { found: text });
      }
      if (is === "volume" && sort.word === "mass" && spelling.startsWith("fl")) {
        return fault("fluid_ounce_is_volume", { found: text });
      }
      return fault("wrong_dimension", { found: text, is, what: sort.word, example: sort.example });
    }

    function terms(text, sort) {
      let total = [0n, 1n], at = 0, count = 0;
      while (at < text.length) {
        TERM.lastIndex = at;
        const match = TERM.exec(text);
        if (!match) return none(text, sort);
        const one = beyondFloats(text, match.groups.plain || "0", sort) || term(text, match.groups, sort);
        if (one.fault) return one;
        total = plus(total, one.value);
        at = TERM.lastIndex;
        count += 1;
      }
      const several = sort.several || (sort.pounds && POUNDS.test(text));
      if (!count || (count > 1 && !several)) return none(text, sort);
      return checked(text, nearest(total), sort);
    }

    function checked(text, value, sort) {
      if (!Number.isFinite(value)) return fault("not_finite", { found: text });
      if (value < 0 && !sort.below_zero) return fault("negative", { found: text, what: sort.word });
      return holds(value, sort) ? { value } : beyond(text, sort);
    }

    // The blanks of Python, which are not quite those of a browser.
    const oneLine = (text) => text.split(/[\s\x1c-\x1f\x85]+/u).filter((one) => one && one !== "\ufeff").join(" ");

    function odd(key, text) {
      const found = Array.from(oneLine(text)).find((one) => one !== " " && /[\p{C}\p{Z}]/u.test(one));
      if (found === undefined) return null;
      const number = found.codePointAt(0).toString(16).toUpperCase().padStart(4, "0");
      return fault("odd_character", { key, odd: "U+" + number });
    }

    function parsed(text, sort) {
      if (NOT_FINITE.test(text)) return fault("not_finite", { found: text });
      if (/[0-9],[0-9]/.test(text)) return fault("decimal_comma", { found: text, example: sort.example });
      if (sort.degrees && /^(?:Δ|delta\b)\s*/.test(text)) {
        return fault("difference_not_temperature", { found: text, example: sort.example });
      }
      return terms(text, sort);
    }

    // `field` says how it is read, `key` what the record calls it.
    function read(field, text, key) {
      const how = fields[field], wrongly = odd(key || field, text);
      if (wrongly) return wrongly;
      const found = parsed(oneLine(text), dimension(how.sort));
      if (found.fault) return found;
      const value = found.value * how.scale;
      if (how.low === undefined) return { value };
      const isIn = how.low <= value && (how.high === null || value <= how.high) && !(how.above && value === how.low);
      return isIn ? { value } : fault("out_of_range", { found: text, expected: how.expected });
    }

    function plainText(key, text) {
      const found = odd(key, text);
      return found ? found.fault : "";
    }

    function reason(key, text) {
      const letters = Array.from(oneLine(text)).filter((one) => /\p{L}/u.test(one) && !/[ᅟᅠㅤﾠ]/.test(one));
      if (plainText(key, text)) return plainText(key, text);
      return letters.length >= 3 ? "" : fault("no_reason", { found: oneLine(text), key }).fault;
    }

    // In many countries the keys for numbers have a comma and no point. One that is pasted stays, and is
    // told to be none: there it may part thousands.
    function pointTyped(event) {
      const field = event.target, at = field.selectionStart;
      if (field.inputMode !== "decimal" || typeof event.data !== "string" || !event.data.endsWith(",")) return;
      if (field.value[at - 1] !== "," || /[.,].*[.,]/.test(field.value)) return;
      field.setRangeText(".", at - 1, at, "end");
    }

    return {
      read, reason, text: plainText, fill, oneLine, pointTyped,
      message: (code, given) => fault(code, given).fault,
      quantity: (value, unit) => quantity(habit, value, unit),
    };
  }

  window.benchQuantities = make;
})();
