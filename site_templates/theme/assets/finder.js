/* Finds pages by words, in the index that publish/search_file.py writes. It knows no page and draws
   nothing: find.js loads it with the index when search is opened.

   A query is cut into units: a word, a day, or several words that the trade says for one thing. Each
   unit is looked up as it is written, by its ending, by its beginning, by words that mean the same,
   and, when nothing else is found, by the nearest word there is. A page is the better the more units
   it has, the rarer they are, and the weightier the part of it in which they stand: its names, its
   headings, its text. */
(function () {
  "use strict";

  const SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  const MOST = 40, FEW = 3, NEARLY = 0.4;
  const NAME = 3;
  const WEIGHTS = [0, 2, 4, 8];
  const EXACT = 1, RELATED = 0.9, BEGINS = 0.6, SAME = 0.45;
  const IS_CALLED = 1e5, ASKED = 5e4, BEGINS_SO = 1e3, HINT = 60;
  // After one of these a number is no count of candles.
  const MEASURED = /^(percent|[mck]?m|k?g|ml|c|f|oz|h|hours?|days?|min|wicks?|cycles?|tests?)$/;
  const MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
  const MONTH = "(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*";
  const WORD = /\d{4}-\d{2}(?:-\d{1,2})?|\d+\.\d+|[\p{L}\p{N}]+/gu;

  // Accents and case must not decide. The words of the index are cut alike.
  function folded(text) {
    return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase()
      .replaceAll("%", " percent ");
  }

  const cut = (text) => folded(text).match(WORD) || [];

  // "4 May", "May 4 2026", "4.5.2026" and "May 2026" become days and months as they are written on
  // the pages; of a day without a year its end is kept, which fits any year.
  function withDays(text) {
    const two = (number) => String(number).padStart(2, "0");
    const said = (day, month, year) => year ? year + "-" + two(month) + "-" + two(day)
      : "0000-" + two(month) + "-" + two(day);
    const number = (month) => MONTHS.indexOf(month.slice(0, 3)) + 1;
    return text
      .replace(new RegExp("\\b(\\d{1,2})(?:st|nd|rd|th)?(?: of)? " + MONTH + "\\b(?:,? (\\d{4}))?", "g"),
        (_, day, month, year) => said(day, number(month), year))
      .replace(new RegExp("\\b" + MONTH + " (\\d{1,2})(?:st|nd|rd|th)?\\b(?:,? (\\d{4}))?", "g"),
        (_, month, day, year) => said(day, number(month), year))
      .replace(new RegExp("\\b" + MONTH + " (\\d{4})\\b", "g"),
        (_, month, year) => year + "-" + two(number(month)))
      .replace(/\b(\d{1,2})[./](\d{1,2})[./](\d{4})\b/g,
        (whole, day, month, year) => month <= 12 ? said(day, month, year) : whole);
  }

  // How many letters apart two words are (one left out, put in, changed, or two changed over), or
  // more than `most`. Each row of the table is kept to be used again: thousands of words are tried.
  const ROWS = [0, 1, 2].map(() => new Uint8Array(64));
  function distance(one, other, most) {
    let [before, last, now] = ROWS;
    for (let at = 0; at <= other.length; at += 1) last[at] = at;
    for (let row = 1; row <= one.length; row += 1) {
      let least = now[0] = row;
      for (let at = 1; at <= other.length; at += 1) {
        const cost = one[row - 1] === other[at - 1] ? 0 : 1;
        let best = Math.min(last[at] + 1, now[at - 1] + 1, last[at - 1] + cost);
        if (row > 1 && at > 1 && one[row - 1] === other[at - 2] && one[row - 2] === other[at - 1]) {
          best = Math.min(best, before[at - 2] + 1);
        }
        now[at] = best;
        least = Math.min(least, best);
      }
      if (least > most) return most + 1;
      [before, last, now] = [last, now, before];
    }
    return last[other.length];
  }

  // Which letters a word has, a bit each: words that share few need not be compared.
  function lettersOf(word) {
    let bits = 0;
    for (let at = 0; at < word.length; at += 1) bits |= 1 << (word.charCodeAt(at) % 31);
    return bits;
  }

  function countOfBits(bits) {
    let count = 0;
    for (let left = bits; left; left &= left - 1) count += 1;
    return count;
  }

  // A short word that is two letters off is another word.
  function mostApart(word) {
    if (/\d/.test(word) || word.length < 3) return 0;
    return word.length < 7 ? 1 : 2;
  }

  // Words of a phrase that stand in one text need not stand together: the least of them counts.
  function both(one, other) {
    const found = new Map();
    for (const [entry, worth] of one) {
      if (other.has(entry)) found.set(entry, Math.min(worth, other.get(entry)) * 1.2);
    }
    return found;
  }

  class Finder {
    constructor(index) {
      this.index = index;
      this.words = index.words.split(",");
      this.at = new Map(this.words.map((word, at) => [word, at]));
      this.ours = new Map();
      for (const [first, ...others] of index.spelt) {
        for (const word of others) this.ours.set(word, first);
      }
      this.little = new Set(index.little);
      this.byKey = new Map();
      this.words.forEach((word, at) => {
        const key = this.key(word);
        this.byKey.set(key, [...(this.byKey.get(key) || []), at]);
      });
      this.groups = this.groupsByKey(index.same);
      this.names = index.entries.map((entry) => [entry[1], ...entry[8]].map((name) => cut(name)));
      this.joined = this.names.map((names) => names.map((name) => name.join("")));
      this.titles = new Map();
      this.asked = index.asked.map(([phrase, entry, anchor]) =>
        [this.phraseKey(cut(phrase)), entry, anchor, this.telling(cut(phrase)).length]);
      this.kept = new Map();
    }

    // What is left of a word without its ending, so that "tins", "curing" and "tunneling" find
    // "tin", "cure" and "tunnelling". Wrong English, but the same of both.
    key(word) {
      let left = this.ours.get(word) || word;
      if (left.length < 4 || /\d/.test(left)) return left;
      left = left.replace(/iz(e|ed|es|er|ing|ation|ations)$/, "is$1");
      left = left.replace(/ies$/, "y").replace(/([^su])s$/, "$1");
      if (left.length > 5) left = left.replace(/ings?$/, "");
      if (left.length > 4) left = left.replace(/ed$/, "");
      left = left.replace(/(sh|ch|x|ss)e$/, "$1");
      if (left.length > 3) left = left.replace(/e$/, "");
      return left.replace(/([^aeiou])\1$/, "$1");
    }

    phraseKey(words) {
      return words.map((word) => this.key(word)).join(" ");
    }

    groupsByKey(groups) {
      const found = new Map();
      for (const group of groups) {
        const phrases = group.map((phrase) => cut(phrase));
        for (const phrase of phrases) {
          const key = this.phraseKey(phrase);
          const others = phrases.filter((other) => this.phraseKey(other) !== key);
          found.set(key, [...(found.get(key) || []), ...others]);
        }
      }
      return found;
    }

    // The words of the index that a word stands for, each with how well.
    terms(word) {
      const found = new Map();
      const add = (at, quality) => found.set(at, Math.max(quality, found.get(at) || 0));
      if (word.startsWith("0000-")) {
        this.words.forEach((other, at) => {
          if (/^\d{4}-/.test(other) && other.endsWith(word.slice(4))) add(at, EXACT);
        });
        return found;
      }
      if (this.at.has(word)) add(this.at.get(word), EXACT);
      for (const at of this.byKey.get(this.key(word)) || []) add(at, RELATED);
      if (word.length > 1) {
        for (let at = this.first(word); at < this.words.length && this.words[at].startsWith(word); at += 1) {
          add(at, BEGINS * (0.5 + word.length / this.words[at].length / 2));
        }
      }
      return found;
    }

    first(word) {
      let low = 0, high = this.words.length;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (this.words[middle] < word) low = middle + 1; else high = middle;
      }
      return low;
    }

    // The entries in which a word of the index stands: pairs of entry and part.
    places(at) {
      if (!this.kept.has(at)) {
        const found = [], row = this.index.places[at];
        let entry = -1, value = 0, shift = 1;
        for (const sign of row) {
          const digit = SIGNS.indexOf(sign);
          value += (digit & 31) * shift;
          if (digit & 32) { shift *= 32; continue; }
          entry += value >> 2;
          found.push([entry, value & 3]);
          value = 0;
          shift = 1;
        }
        this.kept.set(at, found);
      }
      return this.kept.get(at);
    }

    // Where a phrase stands: the entries that have all of its words, with what that is worth. A rare
    // word is worth more, and more in a weightier part of the entry.
    standing(phrase) {
      let all = null;
      for (const word of phrase) {
        const found = new Map();
        for (const [at, quality] of this.terms(word)) {
          const places = this.places(at);
          const rare = Math.log(1 + this.index.entries.length / (1 + places.length));
          for (const [entry, part] of places) {
            const worth = rare * quality * WEIGHTS[part];
            if (!(found.get(entry) >= worth)) found.set(entry, worth);
          }
        }
        all = all === null ? found : both(all, found);
      }
      return all || new Map();
    }

    // A unit with where it stands. `others` are phrases that mean the same. Of a phrase its own words
    // may stand apart on a page and mean nothing: there the others are worth more.
    unit(words, others = []) {
      const found = new Map(), isPhrase = words.length > 1 && others.length > 0;
      const add = (phrase, share) => {
        for (const [entry, worth] of this.standing(phrase)) {
          if (!(found.get(entry) >= worth * share)) found.set(entry, worth * share);
        }
      };
      add(words, isPhrase ? SAME : 1);
      others.forEach((phrase) => add(phrase, isPhrase ? 1 : SAME));
      return { said: words.join(" "), words, others, found };
    }

    same(words) {
      return this.groups.get(this.phraseKey(words)) || [];
    }

    // The units of a query, and what had to be put right: pairs of what was typed and what is near.
    units(words) {
      const units = [], slips = [], isAllLittle = words.every((word) => this.little.has(word));
      for (let at = 0; at < words.length;) {
        const [unit, count, slip] = this.phrase(words, at) ||
          (this.little.has(words[at]) && !isAllLittle ? [null, 1] : this.next(words, at));
        if (unit) units.push(unit);
        if (slip) slips.push(slip);
        at += count;
      }
      return { units, slips };
    }

    phrase(words, at) {
      for (const count of [3, 2]) {
        const phrase = words.slice(at, at + count);
        if (phrase.length === count && this.groups.has(this.phraseKey(phrase))) {
          return [this.unit(phrase, this.same(phrase)), count];
        }
      }
      return null;
    }

    next(words, at) {
      const word = words[at], pair = word + (words[at + 1] || "");
      const unit = this.unit([word], this.same([word]));
      if (words[at + 1] && this.at.has(pair) && !(this.at.has(word) && this.at.has(words[at + 1]))) {
        return [this.unit([pair], this.same([pair])), 2];
      }
      if (unit.found.size) return [unit, 1];
      const parts = this.parts(word);
      if (parts) return [this.unit(parts), 1];
      const near = this.nearest(word);
      if (!near) return [unit, 1];
      return [this.unit([near], this.same([near])), 1, [word, near]];
    }

    // The two words that were written as one.
    parts(word) {
      for (let at = 3; at <= word.length - 3; at += 1) {
        const halves = [word.slice(0, at), word.slice(at)];
        if (halves.every((half) => this.at.has(half) && this.isName(this.at.get(half)))) return halves;
      }
      const measure = word.match(/^(\d+(?:\.\d+)?)(\p{L}+)$/u);
      return measure && this.at.has(measure[1]) ? [measure[1], measure[2]] : null;
    }

    // The nearest word of the handbook or of the trade; of several, one that begins alike, then one
    // that names something, then the one that is said most.
    nearest(word) {
      const most = mostApart(word), letters = lettersOf(word);
      if (!most || word.length > 40) return null;
      const found = [];
      const look = (other, worth) => {
        if (other.length < 3 || Math.abs(other.length - word.length) > most) return;
        if (countOfBits(letters ^ lettersOf(other)) > 2 * most) return;
        const apart = distance(word, other, most);
        if (apart > most || /\d/.test(other)) return;
        found.push({ other, rank: apart * 1e6 - (other[0] === word[0] ? 5e5 : 0) - worth() });
      };
      this.words.forEach((other, at) => look(other, () => Math.min(this.worth(at), 4e5)));
      const ours = [...this.index.same, ...this.index.spelt, this.index.little].flat();
      ours.forEach((other) => look(other, () => 10));
      const best = found.sort((a, b) => a.rank - b.rank)
        .find(({ other }) => this.unit([other], this.same([other])).found.size);
      return best ? best.other : null;
    }

    worth(at) {
      return (this.isName(at) ? 1e5 : 0) + this.places(at).length;
    }

    isName(at) {
      return this.places(at).some(([, part]) => part === NAME);
    }

    find(text) {
      const plain = withDays(folded(text));
      const all = plain.match(WORD) || [];
      if (!all.length) return { items: [], count: 0, slips: [], isPart: false, isDay: false, right: "" };
      const { units, slips } = this.units(all);
      const right = all.map((word) => (slips.find(([typed]) => typed === word) || [0, word])[1]);
      const every = this.ranked(units, right), needed = this.needed(units, right);
      const isFull = (one) => one.isNamed || one.hits >= needed;
      const full = every.filter(isFull), best = Math.max(0, ...full.map((one) => one.base));
      const results = full.length < FEW ? every
        : every.filter((one) => isFull(one) || one.base >= best * NEARLY);
      return {
        items: results.slice(0, MOST).map((one) => this.shown(one, units, right)),
        count: results.length,
        slips,
        isDay: units.length > 0 && units.every(isDay),
        isPart: results.length > 0 && !isFull(results[0]),
        right: right.join(" "),
      };
    }

    ranked(units, words) {
      const found = new Map(), count = countIn(words);
      const of = (entry) => {
        if (!found.has(entry)) found.set(entry, { entry, sum: 0, hits: 0, extra: 0, anchor: null });
        return found.get(entry);
      };
      for (const unit of units) {
        for (const [entry, worth] of unit.found) {
          const one = of(entry);
          one.sum += worth;
          one.hits += 1;
        }
      }
      this.askedFor(words, of);
      this.named(words, of);
      const most = this.needed(units, words);
      const said = new Set(units.flatMap((unit) => unit.words.map((word) => this.key(word))));
      for (const one of found.values()) one.score = this.score(one, units, most, count, said);
      return [...found.values()].sort((a, b) => b.score - a.score || a.entry - b.entry);
    }

    // How many units a page must have to have all: the count of candles stands on none.
    needed(units, words) {
      const count = countIn(words);
      return Math.max(1, units.filter((unit) => unit.said !== count).length);
    }

    title(entry) {
      if (!this.titles.has(entry)) {
        this.titles.set(entry, this.names[entry][0].map((word) => this.key(word)));
      }
      return this.titles.get(entry);
    }

    // The more of its words a name has to do with the query, the better.
    score(one, units, most, count, said) {
      const share = Math.min(1, one.hits / most);
      const title = this.title(one.entry);
      const cover = title.filter((word) => said.has(word)).length / Math.max(1, title.length);
      const boost = Math.pow(this.index.entries[one.entry][6], 0.35);
      const isSheet = count && this.isSheet(one.entry) && one.hits >= most ? 6 : 1;
      const dated = units.every(isDay) ? this.dated(one.entry) : 1;
      one.base = one.sum * share * share * (1 + cover / 2) * boost * isSheet * dated;
      const isCalled = one.extra >= ASKED ? 1 + cover : 1;
      return one.base + one.extra * isCalled * boost;
    }

    // A day is looked for where something happens on it.
    dated(entry) {
      const at = this.index.dated.indexOf(this.index.entries[entry][0].split("/")[0]);
      return at < 0 ? 1 : 1 + this.index.dated.length - at;
    }

    isSheet(entry) {
      return this.index.entries[entry][0].startsWith("pour/");
    }

    // What people ask in words of their own. Among other words it is a hint and no answer.
    askedFor(words, of) {
      const key = " " + this.phraseKey(words) + " ", all = this.telling(words).length;
      for (const [phrase, entry, anchor, telling] of this.asked) {
        if (!key.includes(" " + phrase + " ")) continue;
        const share = telling / all, one = of(entry);
        const extra = share === 1 ? ASKED + phrase.length : HINT * share * share;
        if (extra <= one.extra) continue;
        Object.assign(one, { extra, anchor, isNamed: share === 1 });
      }
    }

    telling(words) {
      const left = words.filter((word) => !this.little.has(word));
      return left.length ? left : words;
    }

    // What is called exactly so, or begins so; a code also without its hyphens. Sections are called
    // by common words, and the guide that is about records by the names of their kinds.
    named(words, of) {
      const query = words.join(" "), whole = words.join("");
      this.joined.forEach((names, entry) => {
        let extra = 0;
        names.forEach((text, at) => {
          if (text === whole) extra = Math.max(extra, IS_CALLED);
          else if (text.startsWith(whole) && (whole.length > 3 || this.names[entry][at][0].startsWith(query))) {
            const worth = (at ? HINT : BEGINS_SO) * Math.min(1, this.index.entries[entry][6]);
            extra = Math.max(extra, worth * (1 + whole.length / text.length));
          }
        });
        if (!extra || this.isPart(entry)) return;
        const one = of(entry);
        if (extra > one.extra) Object.assign(one, { extra, anchor: null });
        one.isNamed = true;
      });
    }

    isPart(entry) {
      const place = this.index.entries[entry][0];
      return place.includes("#") && !place.startsWith("guides/glossary");
    }

    // One hit as it is drawn. A word that a heading of the page has and its names have not leads to
    // that section; a count leads to the sheet for so many.
    shown(one, units, words) {
      const [path, title, kind, state, code, lead, , heads] = this.index.entries[one.entry];
      const [word, tone] = this.index.states[state];
      const head = one.anchor === null ? this.headFor(one, units, heads)
        : one.anchor ? this.headCalled(heads, one.anchor) : null;
      const count = this.isSheet(one.entry) ? countIn(words) : "";
      return {
        location: path + (count ? "?count=" + count : "") + (head ? "#" + head[0] : ""),
        title, head: head ? head[1] : "", kind: this.index.kinds[kind], word, tone, code, lead,
        mark: this.index.marks[tone] || "",
        without: one.isNamed ? [] : units.filter((unit) => !unit.found.has(one.entry))
          .map((unit) => unit.said.replace(/^0000-/, "")),
        marked: units.flatMap((unit) => [...unit.words, ...unit.others.flat()]),
      };
    }

    headCalled(heads, anchor) {
      const found = heads.map((at) => this.index.heads[at]).find(([name]) => name === anchor);
      return found || [anchor, ""];
    }

    headFor(one, units, heads) {
      const names = this.names[one.entry].flat().map((word) => this.key(word));
      const open = units.filter((unit) => !unit.words.every((word) => names.includes(this.key(word))));
      let best = null;
      for (const at of heads) {
        const head = this.index.heads[at];
        const keys = cut(head[1] + " " + head[2]).map((word) => this.key(word));
        const holds = (phrase) => phrase.every((word) => keys.includes(this.key(word)));
        const worth = open.reduce((sum, unit) =>
          sum + (holds(unit.words) ? 1 : unit.others.some(holds) ? SAME : 0), 0);
        if (worth && (!best || worth > best.worth)) best = { head, worth };
      }
      return best && best.head;
    }

    isMarked(word, marked) {
      const key = this.key(folded(word));
      return marked.some((other) => this.key(other) === key ||
        other.length > 2 && folded(word).startsWith(other));
    }
  }

  const isDay = (unit) => /^\d{4}-\d{2}/.test(unit.said);

  // For how many candles, when a query begins with a number or asks to pour so many.
  function countIn(words) {
    if (words.length < 2) return "";
    const at = words.findIndex((word) => /^[1-9]\d{0,3}$/.test(word));
    if (at < 0) return "";
    const isAsked = at === 0 || ["pour", "weigh", "make", "sheet", "of"].includes(words[at - 1]);
    return isAsked && !MEASURED.test(words[at + 1] || "") ? words[at] : "";
  }

  window.HandbookFinder = Finder;
})();
