/* The search of the handbook. The base theme's search field hands its queries to a worker; this
   script stands in for that worker, in the page itself, so that search also works in a site that
   was opened from a folder (file://), where browsers start no workers.
   Order of results: what is named exactly so (id, title, code), then what begins so, then names
   that hold all words, then texts that do; within each, the rank that the page was given. */
(function () {
  "use strict";

  // The messages of the base theme's search.
  const SETUP = 0, READY = 1, QUERY = 2, RESULT = 3;
  const MOST_RESULTS = 40;
  const SNIPPET = 180;
  const ENDINGS = /(ings?|ed|es|s)$/;

  // Accents, case and hyphens must not decide; "&" and "and" are left out alike.
  function folded(text) {
    return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, " ").split(" ")
      .filter((word) => word && word !== "and").join(" ");
  }

  function joined(text) {
    return text.replaceAll(" ", "");
  }

  function stem(word) {
    const short = word.replace(ENDINGS, "");
    return short.length > 3 ? short : word;
  }

  function escaped(text) {
    return text.replace(/[&<>"']/g, (sign) => "&#" + sign.charCodeAt(0) + ";");
  }

  function prepared(doc) {
    const names = [doc.title, ...doc.words].map(folded).filter(Boolean);
    const words = folded(doc.text).split(" ");
    return {
      doc, names,
      titleWords: names.length ? names[0].split(" ") : [],
      nameWords: names.join(" ").split(" "),
      allWords: names.join(" ").split(" ").concat(words),
    };
  }

  const begins = (word) => (other) => other.startsWith(word);
  const same = (word) => (other) => other === word;
  const related = (word) => (other) => stem(other) === stem(word);
  const holds = (words, wanted, how) => wanted.every((word) => words.some(how(word)));

  function tier(entry, query, wanted) {
    const whole = joined(query);
    if (entry.names.some((name) => joined(name) === whole)) return 7;
    if (entry.names.some((name) => name.startsWith(query))) return 6;
    if (whole.length > 3 && entry.names.some((name) => joined(name).startsWith(whole))) return 6;
    if (holds(entry.titleWords, wanted, begins)) return 5;
    if (holds(entry.nameWords, wanted, begins)) return 4;
    if (holds(entry.allWords, wanted, same)) return 3;
    if (holds(entry.allWords, wanted, begins)) return 2;
    if (holds(entry.allWords, wanted, related)) return 1;
    return 0;
  }

  function found(entry, word) {
    return entry.allWords.some(begins(word)) || entry.allWords.some(related(word));
  }

  function scored(entry, query, wanted) {
    const hits = wanted.filter((word) => found(entry, word));
    const often = entry.allWords.filter((word) => wanted.includes(word)).length;
    return { entry, hits, often, tier: tier(entry, query, wanted), boost: entry.doc.boost };
  }

  function better(a, b) {
    return b.tier - a.tier || b.hits.length - a.hits.length || b.boost - a.boost ||
      b.often - a.often;
  }

  // The text around the first word that was found; never cut inside a word.
  function snippet(text, wanted) {
    const low = text.toLowerCase();
    const spots = wanted.map((word) => low.indexOf(stem(word))).filter((spot) => spot >= 0);
    const near = spots.length ? Math.max(0, Math.min(...spots) - SNIPPET / 3) : 0;
    const start = near ? text.indexOf(" ", near) + 1 : 0;
    const piece = text.slice(start, start + SNIPPET);
    const end = start + SNIPPET < text.length ? Math.max(1, piece.lastIndexOf(" ")) : piece.length;
    return (start ? "… " : "") + piece.slice(0, end) + (start + end < text.length ? " …" : "");
  }

  // The base theme sets titles and texts as markup: all of it is escaped here.
  function marked(text, wanted) {
    const starts = wanted.map(stem);
    return text.split(/([\p{L}\p{N}]+)/u).map((part) => {
      const hit = part && starts.some((start) => folded(part).startsWith(start));
      return hit ? "<mark>" + escaped(part) + "</mark>" : escaped(part);
    }).join("");
  }

  function shown(result, rank, wanted) {
    const doc = result.entry.doc;
    const terms = Object.fromEntries(wanted.map((word) => [word, result.hits.includes(word)]));
    return [{
      location: doc.location,
      title: marked(doc.title, wanted),
      text: marked(snippet(doc.text, wanted), wanted),
      score: MOST_RESULTS - rank,
      terms,
    }];
  }

  function search(entries, text) {
    const query = folded(text);
    if (!query) return { items: [] };
    const wanted = [...new Set(query.split(" "))];
    const results = entries.map((entry) => scored(entry, query, wanted))
      .filter((result) => result.tier || result.hits.length)
      .sort(better);
    const whole = results.filter((result) => result.tier);
    return {
      items: (whole.length ? whole : results).slice(0, MOST_RESULTS)
        .map((result, rank) => shown(result, rank, wanted)),
    };
  }

  class SearchInPage extends EventTarget {
    postMessage(message) {
      if (message.type === SETUP) {
        this.entries = message.data.docs.map(prepared);
        this.answer({ type: READY });
      } else if (message.type === QUERY) {
        this.answer({ type: RESULT, data: search(this.entries || [], message.data) });
      }
    }

    answer(data) {
      setTimeout(() => this.dispatchEvent(new MessageEvent("message", { data })), 0);
    }

    terminate() {}
  }

  // The index of a large studio is larger than all that a page shows: it is fetched when search is
  // opened. From a folder the base theme waits for that by itself.
  const opened = new Promise((resolve) => {
    const isAsked = () => new URLSearchParams(location.search).has("q");
    const isOpen = (event) => event.target.matches &&
      event.target.matches("[data-md-component=search-query], [data-md-toggle=search]");
    if (isAsked()) resolve();
    for (const sign of ["focusin", "change", "input"]) {
      document.addEventListener(sign, (event) => { if (isOpen(event)) resolve(); }, true);
    }
  });
  const requests = XMLHttpRequest.prototype;
  const { open, send } = requests;
  requests.open = function (method, url, ...rest) {
    this.ofSearch = String(url).endsWith("search/search_index.json");
    return open.call(this, method, url, ...rest);
  };
  requests.send = function (...body) {
    if (!this.ofSearch) return send.apply(this, body);
    opened.then(() => send.apply(this, body));
  };

  const SystemWorker = window.Worker;
  window.Worker = function (url, options) {
    const ours = String(url).includes("/workers/search.");
    return ours ? new SearchInPage() : new SystemWorker(url, options);
  };
})();
