/* Keeps what is typed on this device, and hands it over as a small text file. Nothing is sent.

   window.handover
     .canKeep()            -> Promise of "both", "base" (IndexedDB alone), "store" (localStorage alone)
                              or "none": found out by really writing and reading, once a page.
     .keep(key, value)     -> Promise of {ok, at, safe}. It is done once it is on the disk: `at` is a
                              Date; `safe` is whether the strict transaction is complete. Values are
                              whatever JSON holds. A later call of the same key always wins.
     .kept(key)            -> Promise of {at, value}, the newest of both places, or null.
     .news(key)            -> the same of what another tab kept since this one read or kept it, or null.
     .newsAtOnce(key)      -> the same without waiting, of localStorage alone.
     .keptKeys(prefix)     -> Promise of the keys of all that is kept, sorted.
     .forget(key)          -> Promise of whether it is gone from both places.
     .keepFile(key, blob), .keptFile(key), .forgetFile(key): pictures; in IndexedDB alone.
     .session()            -> 16 random hex digits.
     .localTime(date)      -> "2026-11-28 13:42", the time of this device.
     .digest(blob)         -> Promise of the sha256 of a file, 64 hex digits; without a secure page too.
     .written(value)       -> a text, a list or a map as YAML: quoted as writing/values.py does.
     .inOneLine(entries)   -> a map in curly brackets; `entries` is a list of [key, value].
     .text(lines)          -> the text of a hand-over file, with its line `sum`; `lines` is a list of [key, value], where a
                              value is a text or number, a list, a map, {inline: "…"} for what is
                              written already, or {block: ["{…}", …]} for a list with a line each.
     .isText(value)        -> whether it can be saved: half a character cannot.
     .files({name, text, pictures}) -> the File objects; `pictures` is a list of {name, blob}.
     .canShare(files)      -> whether the device has a share sheet that takes them.
     .share(files), .save(file), .copy(text) -> Promise of "done", "cancelled" or "refused".
     .askTwice(root, said, words, act) -> makes the button [data-discard] in `root` ask twice, in [data-discard-ask],
                              before `act()` throws away what was typed: it may be nowhere else. `said(name)` gives the
                              questions throw_1 and throw_2, `words` the names of the button, discard_1 and discard_2.
     .offer(root, make)    -> makes the buttons [data-hand="share|save|copy"] in `root` work: `make()`
                              gives (a Promise of) {name, text, pictures}, or null. The event "handed"
                              is sent from `root` with detail {way, answer, name, text}. */
(function () {
  "use strict";

  const BASE = "handbook-handover", PREFIX = "handbook-handover ", TRIES = "probe";

  // ---- Two places to keep: a base with strict transactions, and a plain store beside it.

  let opened = null;

  function base() {
    opened = opened || new Promise((done, fail) => {
      const asked = window.indexedDB.open(BASE, 1);
      asked.onupgradeneeded = () => {
        for (const name of ["texts", "files"]) asked.result.createObjectStore(name);
      };
      asked.onerror = () => fail(asked.error);
      asked.onblocked = () => fail(new Error("blocked"));
      asked.onsuccess = () => {
        const found = asked.result;
        const lost = () => { opened = null; };
        found.onclose = lost;
        found.onversionchange = () => { found.close(); lost(); };
        done(found);
      };
    });
    opened.catch(() => { opened = null; });
    return opened;
  }

  // A transaction is done only when it is complete: what was asked of it before may yet be undone.
  async function inBase(name, mode, act) {
    const held = (await base()).transaction(name, mode, { durability: "strict" });
    return new Promise((done, fail) => {
      const asked = act(held.objectStore(name));
      held.oncomplete = () => done(asked.result);
      held.onabort = () => fail(held.error || new Error("aborted"));
      held.onerror = () => fail(held.error);
      if (mode === "readwrite" && held.commit) held.commit();
    });
  }

  const tried = (act) => { try { return act(); } catch (refused) { return null; } };
  const orNull = (promise) => promise.then((found) => found, () => null);

  function inStore(key) {
    return tried(() => JSON.parse(window.localStorage.getItem(PREFIX + key)));
  }

  // It is read back, since some browsers take a text and keep nothing.
  function putInStore(key, entry) {
    return Boolean(tried(() => {
      const text = JSON.stringify(entry);
      window.localStorage.setItem(PREFIX + key, text);
      return window.localStorage.getItem(PREFIX + key) === text;
    }));
  }

  function putInBase(key, entry) {
    return orNull(inBase("texts", "readwrite", (store) => store.put(entry, key)).then(() => true));
  }

  let probed = null;

  function canKeep() {
    probed = probed || probe();
    return probed;
  }

  async function probe() {
    const entry = { order: Date.now(), at: Date.now(), value: session() };
    const inPlain = putInStore(TRIES, entry);
    tried(() => window.localStorage.removeItem(PREFIX + TRIES));
    const put = await putInBase(TRIES, entry);
    const found = put && await orNull(inBase("texts", "readonly", (store) => store.get(TRIES)));
    await orNull(inBase("texts", "readwrite", (store) => store.delete(TRIES)));
    const inStrict = Boolean(found && found.value === entry.value);
    return inStrict ? (inPlain ? "both" : "base") : inPlain ? "store" : "none";
  }

  // ---- Keeping. The order goes up even when the clock is set back or two are kept at once.

  const orders = new Map();

  function nextOrder(key) {
    const last = orders.get(key) || 0, plain = inStore(key);
    const order = Math.max(Date.now(), last + 1, plain ? plain.order + 1 : 0);
    orders.set(key, order);
    return order;
  }

  async function keep(key, value) {
    const at = new Date();
    const entry = { order: nextOrder(key), at: at.getTime(), value };
    const inPlain = putInStore(key, entry);
    const inStrict = Boolean(await putInBase(key, entry));
    return { ok: inPlain || inStrict, safe: inStrict, at };
  }

  async function newestOf(key) {
    const strict = await orNull(inBase("texts", "readonly", (store) => store.get(key)));
    const both = [strict, inStore(key)].filter((one) => one && typeof one.order === "number");
    return both.sort((one, other) => other.order - one.order)[0] || null;
  }

  const known = (key) => orders.get(key) || 0;

  function told(key, found) {
    if (!found) return null;
    orders.set(key, Math.max(known(key), found.order));
    return found.value === null ? null : { at: new Date(found.at), value: found.value };
  }

  const isNews = (key, found) => Boolean(found) && found.order > known(key);

  const kept = async (key) => told(key, await newestOf(key));

  async function news(key) {
    const found = await newestOf(key);
    return isNews(key, found) ? told(key, found) : null;
  }

  function newsAtOnce(key) {
    const found = inStore(key);
    return isNews(key, found) ? told(key, found) : null;
  }

  async function keptKeys(prefix) {
    const found = new Set((await orNull(inBase("texts", "readonly", (store) => store.getAllKeys()))) || []);
    tried(() => Object.keys(window.localStorage).filter((one) => one.startsWith(PREFIX))
      .forEach((one) => found.add(one.slice(PREFIX.length))));
    const wanted = [...found].filter((one) => one.startsWith(prefix || "") && one !== TRIES);
    const there = await Promise.all(wanted.map(kept));
    return wanted.filter((_, at) => there[at]).sort();
  }

  // That it is forgotten is kept first: were one of the places to fail, the other would bring it back.
  async function forget(key) {
    const told = await keep(key, null);
    tried(() => window.localStorage.removeItem(PREFIX + key));
    const gone = await orNull(inBase("texts", "readwrite", (store) => store.delete(key)).then(() => true));
    if (!gone) putInStore(key, { order: nextOrder(key), at: Date.now(), value: null });
    return told.ok;
  }

  const keepFile = (key, blob) =>
    orNull(inBase("files", "readwrite", (store) => store.put(blob, key)).then(() => true)).then(Boolean);
  const keptFile = (key) => orNull(inBase("files", "readonly", (store) => store.get(key)))
    .then((found) => found || null);
  const forgetFile = (key) =>
    orNull(inBase("files", "readwrite", (store) => store.delete(key)).then(() => true)).then(Boolean);

  // ---- Small things: a name for a sitting, a time, a digest.

  const hex = (bytes) => Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");

  function session() {
    return hex(window.crypto.getRandomValues(new Uint8Array(8)));
  }

  const two = (number) => String(number).padStart(2, "0");

  function localTime(date) {
    const day = [date.getFullYear(), two(date.getMonth() + 1), two(date.getDate())].join("-");
    return day + " " + two(date.getHours()) + ":" + two(date.getMinutes());
  }

  async function digest(blob) {
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const own = window.crypto.subtle;
    if (own) return hex(new Uint8Array(await own.digest("SHA-256", bytes)));
    return hex(sha256(bytes));
  }

  // FIPS 180-4, for pages from plain http, where browsers hide their own.
  function fractions(count, root) {
    const found = [];
    for (let one = 2; found.length < count; one += 1) {
      let isPrime = true;
      for (let by = 2; by * by <= one; by += 1) if (one % by === 0) isPrime = false;
      if (isPrime) found.push(Math.floor((root(one) % 1) * 4294967296) | 0);
    }
    return found;
  }

  function sha256(bytes) {
    const rounds = fractions(64, Math.cbrt), state = fractions(8, Math.sqrt);
    const length = ((bytes.length + 8 >> 6) + 1) * 64;
    const padded = new Uint8Array(length), view = new DataView(padded.buffer);
    padded.set(bytes);
    padded[bytes.length] = 128;
    view.setUint32(length - 8, Math.floor(bytes.length / 536870912));
    view.setUint32(length - 4, (bytes.length << 3) >>> 0);
    for (let at = 0; at < length; at += 64) mix(state, rounds, view, at);
    const out = new DataView(new ArrayBuffer(32));
    state.forEach((one, place) => out.setInt32(place * 4, one));
    return new Uint8Array(out.buffer);
  }

  const turned = (word, by) => (word >>> by) | (word << (32 - by));

  function mix(state, rounds, view, at) {
    const words = [];
    for (let i = 0; i < 64; i += 1) {
      if (i < 16) { words.push(view.getInt32(at + i * 4)); continue; }
      const early = words[i - 15], late = words[i - 2];
      const one = turned(early, 7) ^ turned(early, 18) ^ (early >>> 3);
      const other = turned(late, 17) ^ turned(late, 19) ^ (late >>> 10);
      words.push((words[i - 16] + one + words[i - 7] + other) | 0);
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let i = 0; i < 64; i += 1) {
      const first = (h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g))
        + rounds[i] + words[i]) | 0;
      const second = ((turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + first) | 0, c, b, a, (first + second) | 0];
    }
    [a, b, c, d, e, f, g, h].forEach((one, i) => { state[i] = (state[i] + one) | 0; });
  }

  // ---- The text: what writing/values.py writes, character for character.

  const PLAIN = /^[A-Za-z0-9](?:[A-Za-z0-9.°%_\/+-]|:(?=[0-9])| (?! |$))*$/;
  const HIDDEN = /[\p{C}\p{Z}]/u;

  const shown = (one) => (one === " " || !HIDDEN.test(one)
    ? one : "\\U" + one.codePointAt(0).toString(16).toUpperCase().padStart(8, "0"));

  function scalar(text) {
    const said = String(text);
    return PLAIN.test(said) ? said : Array.from(JSON.stringify(said), shown).join("");
  }

  function written(value) {
    if (Array.isArray(value)) return "[" + value.map(written).join(", ") + "]";
    if (value && value.inline !== undefined) return value.inline;
    if (value && typeof value === "object") {
      return "{" + Object.entries(value).map(([key, one]) => scalar(key) + ": " + written(one)).join(", ") + "}";
    }
    return scalar(value);
  }

  const inOneLine = (entries) =>
    "{" + entries.map(([key, value]) => key + ": " + written(value)).join(", ") + "}";

  function line([key, value]) {
    if (value && value.block) return [key + ":", ...value.block.map((one) => "  - " + one)].join("\n");
    return key + ": " + written(value);
  }

  // CRC-32 (IEEE 802.3) of the lines, by which whoever takes the file sees that it came whole.
  function checksum(said) {
    let crc = -1;
    for (const one of new TextEncoder().encode(said)) {
      crc ^= one;
      for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
    }
    return ((crc ^ -1) >>> 0).toString(16).padStart(8, "0");
  }

  function text(lines) {
    const told = lines.map((one) => line(one) + "\n").join("");
    return "---\n" + told + "sum: " + checksum(told) + "\n---\n";
  }

  const isText = (value) => !/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/.test(value);

  // ---- Handing over.

  function files(made) {
    const own = new File([made.text], made.name, { type: "text/plain", lastModified: Date.now() });
    return [own, ...(made.pictures || []).map((one) => new File([one.blob], one.name, { type: one.blob.type }))];
  }

  const canShare = (several) =>
    Boolean(navigator.share && navigator.canShare && tried(() => navigator.canShare({ files: several })));

  function share(several) {
    if (!canShare(several)) return Promise.resolve("refused");
    return navigator.share({ files: several, title: several[0].name }).then(
      () => "done", (why) => (why && why.name === "AbortError" ? "cancelled" : "refused"));
  }

  function save(file) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    link.hidden = true;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    return Promise.resolve("done");
  }

  async function copy(said) {
    if (navigator.clipboard && await orNull(navigator.clipboard.writeText(said).then(() => true))) return "done";
    const field = document.createElement("textarea"), before = document.activeElement;
    field.value = said;
    document.body.append(field);
    field.select();
    const taken = tried(() => document.execCommand("copy"));
    field.remove();
    if (before && before.focus) before.focus();
    return taken ? "done" : "refused";
  }

  async function handed(root, way, make) {
    const made = await make();
    if (!made) return;
    const all = files(made);
    let answer = "";
    if (way === "copy") answer = await copy(made.text);
    else if (way === "share") answer = await share(all);
    else for (const one of all) answer = await save(one);
    const detail = { way, answer, name: made.name, text: made.text };
    root.dispatchEvent(new CustomEvent("handed", { bubbles: true, detail }));
  }

  // A share sheet is offered only where it takes a text file; the other two ways are always there.
  function offer(root, make) {
    const can = canShare([new File(["-"], "a.txt", { type: "text/plain" })]);
    root.querySelectorAll("[data-hand]").forEach((button) => {
      const way = button.getAttribute("data-hand");
      if (way === "share") button.hidden = !can;
      button.addEventListener("click", () => handed(root, way, make));
    });
  }

  // What was typed may be nowhere else.
  function askTwice(root, said, words, act) {
    const find = (name) => root.querySelector("[data-discard" + name + "]");
    let step = 0;

    function ask(to) {
      step = to;
      find("-ask").hidden = !step;
      if (!step) return;
      find("-said").textContent = said("throw_" + step);
      find("-yes").textContent = words["discard_" + step];
      find("-no").focus();
    }

    find("").addEventListener("click", () => ask(1));
    find("-no").addEventListener("click", () => ask(0));
    find("-yes").addEventListener("click", async () => {
      if (step === 1) { ask(2); return; }
      ask(0);
      await act();
    });
  }

  window.handover = {
    canKeep, keep, kept, news, newsAtOnce, keptKeys, forget, keepFile, keptFile, forgetFile, session, localTime, digest,
    written, inOneLine, text, isText, files, canShare, share, save, copy, offer, askTwice,
  };
})();
