/* The page that takes readings: shows what is kept, keeps what is typed at once, and hands it over.
   It gives no verdict. What is kept, asked and handed over stands in the scripts beside this one. */
(function () {
  "use strict";

  const data = document.querySelector("[data-bench-told]");
  if (!data) return;
  const told = JSON.parse(data.textContent);
  const { handover, benchClock } = window;
  const quantities = window.benchQuantities(told.understood, told.habit);
  const states = window.benchState(told, quantities);
  const said = (name, given) => quantities.fill(told.said[name], given || {});
  const blank = document.querySelector("[data-bench-blank]");
  const keyOf = (burn) => "cycles " + burn;
  const photoKey = (state, number) => ["photo", state.burn, state.session, number].join(" ");
  const files = new Map([...told.candles, ...(told.ended || [])].map((one) => [one.burn, one]));
  const sheets = new Map();
  const today = () => handover.localTime(new Date()).slice(0, 10);
  const clockTime = (date) => date.toTimeString().slice(0, 8);
  const two = (number) => String(number).padStart(2, "0");
  let where = "none";

  // ---- Moments as records have them, without a zone: counted in UTC, where days have 24 hours.

  function later(cycle, minutes) {
    const at = new Date(Date.parse(cycle.day + "T" + (cycle.time || "00:00") + "Z") + minutes * 60000);
    return at.toISOString().slice(0, 16).replace("T", " ");
  }

  function litAt(cycle) {
    if (cycle.lit) return cycle.lit;
    const at = cycle.day && cycle.time ? new Date(cycle.day + "T" + cycle.time).getTime() : NaN;
    return Number.isNaN(at) ? null : at;
  }

  const minutesText = (minutes) => {
    const hours = Math.floor(minutes / 60), left = minutes - hours * 60;
    return [hours ? hours + " h" : "", left || !hours ? left + " min" : ""].filter(Boolean).join(" ");
  };

  // ---- One sheet: a candle, its state and its elements.

  function Sheet(candle, state, root) {
    const find = (name) => root.querySelector("[data-" + name + "]");
    const all = (name) => Array.from(root.querySelectorAll("[data-" + name + "]"));
    const ask = candle ? window.benchQuestions(candle, told, quantities) : null;
    const show = (element, text) => { element.textContent = text; element.hidden = !text; };
    const now = () => state.cycles[state.at];
    let writing = null, again = false, hears = false;
    let onDisk = JSON.stringify(state);  // as this tab last kept it, or found it kept

    // What is on file before the cycles of this device.
    const before = () => (candle ? candle.cycles.slice(0, state.base) : []).map((one) => {
      const [day, time] = one.on.split(" ");
      const { on, seen, checks, ...read } = one;
      return { day, time: time || "", read, checks: checks || [], seen: seen || [] };
    });
    const ours = (upTo) => state.cycles.slice(0, upTo).map((one) => states.parsed(one, today()));
    const howAt = (at) => (at === state.cycles.length - 1 ? state.end.how : "");

    // ---- Keeping: at once, and once more when something came while the disk was busy.

    function keep() {
      show(find("kept"), said("keeping"));
      // A tab that slept may have missed what another one kept: both stand.
      const news = handover.newsAtOnce(keyOf(state.burn));
      if (news) takeOver(news);
      again = Boolean(writing);
      writing = writing || write();
      if (news) fillIn();
      return writing;
    }

    function write() {
      onDisk = JSON.stringify(state);
      return handover.keep(keyOf(state.burn), state).then(kept);
    }

    function takeOver(news) {
      state = states.merged(JSON.parse(onDisk), state, news.value);
      onDisk = JSON.stringify(news.value);
    }

    function kept(answer) {
      writing = null;
      if (again) return keep();
      const name = !answer.ok ? "not_kept" : answer.safe ? "kept" : "kept_lesser";
      show(find("kept"), said(name, { time: clockTime(answer.at) }));
      find("kept").classList.toggle("bench__kept--bad", !answer.ok);
      tellOthers(state.burn);
      return answer;
    }

    // ---- From the elements into the state.

    function typed(event) {
      const field = event.target, cycle = now(), key = field.dataset.key;
      if (field.type === "file") return;
      quantities.pointTyped(event);
      if (field.name && field.name.startsWith("tilt_new")) state.tilt = field.value;
      else if (field.name && field.name.startsWith("how")) state.end.how = field.value;
      else if (field.name && field.name.startsWith("end_")) {
        state.end[field.name.split(" ")[0].slice(4)] = field.value;
      } else if (field.dataset.asRead !== undefined) cycle.as_read = field.checked;
      else if (field.dataset.seen !== undefined) {
        cycle.seen = all("seen").filter((one) => one.checked).map((one) => one.value);
      } else if (key === "day" || key === "time") timed(cycle, key, field.value);
      else if (key === "alt") cycle.alt = field.value;
      else if (key && key.startsWith("check ")) cycle.checks[key.slice(6)] = field.value;
      else if (key && key.startsWith("end.")) state.end[key.slice(4)] = field.value;
      else if (key) cycle.values[key] = field.value;
      else return;
      if (key === "burned" && !field.value.trim()) cycle.out = null;
      changed(field.dataset.asRead === undefined);
    }

    // An answer holds for what was asked: another value is asked about anew.
    function changed(isReading) {
      const cycle = now();
      if (isReading) cycle.as_read = false;
      if (!cycle.day && (!states.isEmpty(cycle) || state.end.how)) cycle.day = today();
      keep();
      refresh();
    }

    function timed(cycle, key, value) {
      cycle[key] = value;
      cycle.lit = null;
      cycle.rung = passed(cycle).length;
    }

    // ---- From the state into the elements.

    function fillIn() {
      const cycle = now(), put = (element, value) => { if (element.value !== value) element.value = value; };
      for (const field of all("key")) {
        const key = field.dataset.key;
        if (key === "day" || key === "time" || key === "alt") put(field, cycle[key]);
        else if (key.startsWith("check ")) put(field, cycle.checks[key.slice(6)] || "");
        else if (key.startsWith("end.")) put(field, state.end[key.slice(4)] || "");
        else put(field, cycle.values[key] || "");
      }
      for (const one of all("seen")) one.checked = cycle.seen.includes(one.value);
      const chosen = { tilt_new: state.tilt, how: state.end.how, end_vessel: state.end.vessel, end_tilt: state.end.tilt };
      for (const one of root.querySelectorAll("input[type=radio]")) {
        one.checked = one.value === (chosen[one.name.split(" ")[0]] || "");
      }
      find("tilt-new").hidden = !((candle && candle.tilt_due) || state.tilt);
      showMine();
      showPhoto();
      refresh();
    }

    function showMine() {
      const list = find("mine-list");
      find("mine").hidden = state.cycles.length < 2;
      list.replaceChildren(...state.cycles.map((_, at) => {
        const button = document.createElement("button");
        button.type = "button";
        button.className = "button";
        button.textContent = said("cycle", { number: state.base + at + 1 });
        button.setAttribute("aria-pressed", String(at === state.at));
        button.addEventListener("click", () => { state.at = at; keep(); fillIn(); });
        return button;
      }));
    }

    function refresh() {
      const cycle = now(), parsed = states.parsed(cycle, today());
      const faults = [...parsed.faults, ...states.endFaults(state.end)];
      const asked = ask && !states.isEmpty(cycle)
        ? ask.asked([...before(), ...ours(state.at)], parsed, howAt(state.at)) : [];
      show(find("cycle"), said("cycle", { number: state.base + state.at + 1 }));
      showWrong(faults, asked);
      showStands(parsed);
      showOffered(cycle);
      showEnd();
      showOver(parsed, faults, asked);
      tick();
    }

    function showWrong(faults, asked) {
      for (const place of root.querySelectorAll("[data-field]")) {
        const key = place.dataset.field, box = place.querySelector("[data-wrong]");
        if (!box || place.dataset.field.startsWith("on-")) continue;
        const wrong = faults.filter((one) => one.key === key), doubts = asked.filter((one) => one.key === key);
        const lines = [...wrong.map((one) => ["bench-fault", one.text]), ...doubts.map((one) => ["bench-asked", one.text])];
        const was = Array.from(box.children, (one) => one.textContent).join("\n");
        if (was === lines.map((one) => one[1]).join("\n")) continue;
        box.replaceChildren(...lines.map(([kind, text]) => {
          const line = document.createElement("p");
          line.className = kind;
          line.textContent = text;
          return line;
        }));
        const field = place.querySelector("[data-key]");
        if (field) field.setAttribute("aria-invalid", String(wrong.length > 0));
      }
    }

    // Where a reading stands against its limits; what that means, the handbook says.
    function showStands(parsed) {
      for (const place of root.querySelectorAll("[data-field]")) {
        const key = place.dataset.field, line = place.querySelector("[data-stands]");
        if (!line) continue;
        const number = state.base + state.at + 1;
        const limits = candle ? (candle.limits[key] || []).filter((one) => !one.mean && number >= one.from) : [];
        const value = parsed.read[key];
        show(line, value === undefined ? "" : limits.map((one) => stands(key, value, one)).join(" "));
      }
    }

    function stands(key, value, limit) {
      const unit = { wall: "c", room: "c", after_smoke: "s" }[key] || "mm";
      const off = Math.abs(value - limit.bound), isBeyond = limit.upper ? value > limit.bound : value < limit.bound;
      return said(isBeyond && off > 1e-9 ? "beyond" : "stands", {
        read: quantities.quantity(value, unit), limit: limit.told,
        off: quantities.quantity(off, unit === "c" ? "k" : unit) }) + ".";
    }

    function lastWeight() {
      const earlier = [...before(), ...ours(state.at)], last = earlier[earlier.length - 1];
      return last && last.read.after !== undefined ? last.read.after : null;
    }

    function showOffered(cycle) {
      const place = root.querySelector('[data-field="before"]'), button = place.querySelector("[data-take]");
      const last = lastWeight(), trimmed = states.parsed(cycle, today()).read.trimmed || 0;
      button.hidden = last === null || Boolean((cycle.values.before || "").trim());
      if (last === null) return;
      const value = String(Number((last - trimmed).toPrecision(10))) + " g";
      button.dataset.value = value;
      button.textContent = quantities.fill(button.dataset.words, { value });
      button.title = trimmed
        ? said("offered", { last: quantities.quantity(last, "g"), trimmed: quantities.quantity(trimmed, "g") })
        : said("offered_plain", { last: quantities.quantity(last, "g") });
    }

    function showEnd() {
      const how = state.end.how, isLast = state.at === state.cycles.length - 1;
      find("end").hidden = !isLast;
      find("ended").hidden = !how || !isLast;
      find("stopped").hidden = how !== "stopped";
      find("next").hidden = Boolean(how) || states.isEmpty(state.cycles[state.cycles.length - 1]);
    }

    function showOver(parsed, faults, asked) {
      const isLast = state.at === state.cycles.length - 1;
      const open = ask && isLast ? ask.unanswered(state.tilt, state.end) : [];
      const texts = [...asked.map((one) => one.text), ...open];
      find("asked").hidden = !texts.length;
      find("as-read").checked = now().as_read;
      find("asked-list").replaceChildren(...texts.map((text) => {
        const line = document.createElement("li");
        line.textContent = text;
        return line;
      }));
      show(find("lacking"), lacking(parsed, faults));
    }

    function lacking(parsed, faults) {
      if (faults.length) return said("faulty", { what: [...new Set(faults.map((one) => called(one.key)))].join(", ") });
      if (!states.isBegun(state) || (candle && states.isEmpty(now()))) return said("empty");
      if (!candle) return "";
      const due = howAt(state.at) === "went_out" ? candle.due_last : candle.due;
      const open = due.filter((key) => parsed.read[key] === undefined && !(key === "room" && candle.room !== null));
      return open.length ? said("lacking", { what: open.map(called).join(", ") }) : "";
    }

    const called = (key) => told.readings[key.replace("end.", "")] || key.replace("end.", "");

    // ---- The clock.

    const passed = (cycle) => {
      const lit = litAt(cycle);
      return lit === null || !candle ? [] : benchClock.marks(candle.cycle_h)
        .filter((one) => lit + one.hours * 3600000 <= Date.now());
    };
    const isBurning = (cycle) => litAt(cycle) !== null && !cycle.out && !(cycle.values.burned || "").trim();

    function tick() {
      const cycle = now(), lit = litAt(cycle), burning = isBurning(cycle);
      find("lit").hidden = lit !== null;
      find("out").hidden = !burning;
      find("sound").hidden = !burning || hears;
      show(find("elapsed"), burning ? benchClock.elapsed(Date.now() - lit) : "");
      show(find("clock-state"), clockState(cycle, lit, burning));
      showMarks(cycle, lit, burning);
      showRest(cycle);
    }

    function clockState(cycle, lit, burning) {
      if (burning) return said("burning", { time: handover.localTime(new Date(lit)) });
      if ((cycle.values.burned || "").trim()) return said("burned", { time: cycle.values.burned });
      return said("unlit");
    }

    function showMarks(cycle, lit, burning) {
      const marks = candle && lit !== null ? benchClock.marks(candle.cycle_h) : [], due = passed(cycle);
      find("marks").hidden = !marks.length;
      const lines = marks.map((one) => {
        const at = clockTime(new Date(lit + one.hours * 3600000)).slice(0, 5);
        const name = said(one.isEnd ? "mark_end" : "mark", { time: quantities.quantity(one.hours, "h") });
        return name + ": " + said(due.length && due.some((it) => it.hours === one.hours) ? "mark_passed" : "mark_coming", { at });
      });
      const list = find("marks");
      if (list.textContent !== lines.join("")) {
        list.replaceChildren(...lines.map((text) => {
          const line = document.createElement("li");
          line.textContent = text;
          return line;
        }));
      }
      showDue(cycle, due, burning);
    }

    function showDue(cycle, due, burning) {
      const open = due.filter((one) => one.isEnd || !(cycle.checks[one.hours] || "").trim());
      const last = open[open.length - 1];
      const what = !burning || !last ? "" : said("mark_due", { what: said(last.isEnd ? "put_out" : "check_pool") });
      if (find("clock-due").textContent !== what) show(find("clock-due"), what);
      root.classList.toggle("bench--due", Boolean(what));
      if (!burning || due.length <= cycle.rung) return;
      cycle.rung = due.length;
      benchClock.ring(due[due.length - 1].isEnd);
      keep();
    }

    function showRest(cycle) {
      const read = states.parsed(cycle, today()).read;
      let text = "";
      if (candle && read.burned !== undefined && cycle.day && cycle.time && !state.end.how) {
        const minutes = Math.ceil((read.burned + candle.rest_h) * 60 - 1e-8);
        text = said("rest", { at: later(cycle, minutes), rest: quantities.quantity(candle.rest_h, "h") });
      } else if (candle && state.base + state.at === 0 && (cycle.day || today()) < candle.cured_on) {
        text = said("cures", { on: candle.cured_on });
      }
      if (find("rest").textContent !== text) show(find("rest"), text);
    }

    function light() {
      const cycle = now(), at = new Date();
      [cycle.day, cycle.time] = handover.localTime(at).split(" ");
      cycle.lit = at.getTime();
      cycle.out = null;
      cycle.rung = 0;
      unlock();
      changed(true);
      fillIn();
    }

    function putOut() {
      const cycle = now(), lit = litAt(cycle);
      cycle.out = Date.now();
      cycle.values.burned = minutesText(Math.round((cycle.out - lit) / 60000));
      changed(true);
      fillIn();
    }

    function unlock() {
      benchClock.unlock().then((can) => { hears = can; tick(); });
    }

    // ---- A photo: at most 1600 pixels, without what the camera wrote into it.

    async function pick(event) {
      const file = event.target.files[0], at = state.at, cycle = now();
      event.target.value = "";
      if (!file) return;
      const made = await scaled(file).catch(() => null);
      if (!made) { show(find("photo-told"), said("photo_bad")); return; }
      const number = at + 1, name = states.pictureName(state, number);
      const isKept = await handover.keepFile(photoKey(state, number), made.blob);
      cycle.photo = { name, sha256: await handover.digest(made.blob), width: made.width, height: made.height,
        size: made.blob.size };
      unkept.set(photoKey(state, number), made.blob);
      if (!cycle.day) cycle.day = today();
      keep();
      fillIn();
      if (!isKept) show(find("photo-told"), said("photo_lost"));
    }

    async function showPhoto() {
      const photo = now().photo, at = state.at, image = find("photo-shown");
      image.hidden = true;
      find("photo-more").hidden = !photo;
      show(find("photo-told"), photo ? said("photo_kept", {
        width: photo.width, height: photo.height, size: Math.round(photo.size / 1000) }) : "");
      if (!photo) return;
      const blob = await pictureOf(state, at + 1);
      if (!blob) { show(find("photo-told"), said("photo_lost")); return; }
      const reader = new FileReader();
      reader.onload = () => { if (at === state.at) { image.src = reader.result; image.hidden = false; } };
      reader.readAsDataURL(blob);
    }

    function dropPhoto() {
      handover.forgetFile(photoKey(state, state.at + 1));
      unkept.delete(photoKey(state, state.at + 1));
      now().photo = null;
      now().alt = "";
      keep();
      fillIn();
    }

    // ---- Handing over.

    async function made() {
      if (!states.isBegun(state)) { show(find("handed"), said("empty")); return null; }
      const at = new Date(), pictures = [];
      for (const [place, one] of state.cycles.entries()) {
        const blob = one.photo ? await pictureOf(state, place + 1) : null;
        if (blob) pictures.push({ name: one.photo.name, blob });
      }
      return { name: states.name(state, at), text: states.text(state, at), pictures };
    }

    function handed(event) {
      const { way, answer, name } = event.detail, time = clockTime(new Date());
      const done = { share: "shared", save: "saved", copy: "copied" }[way];
      const told = answer === "done" ? said(done, { time, name }) : said(answer);
      const cycle = state.cycles[state.cycles.length - 1];
      const goesOn = answer === "done" && !state.end.how && !(cycle.values.after || "").trim() && !states.isEmpty(cycle);
      const number = state.base + state.cycles.length;
      show(find("handed"), goesOn ? told + " " + said("goes_on", { number }) : told);
      if (answer !== "done") return;
      state.handed = { at: Date.now(), way, name };
      if (way !== "copy") state.pictures = state.cycles.map((one) => (one.photo ? one.photo.sha256 : "")).filter(Boolean);
      keep();
    }

    function next() {
      state.cycles.push(states.cycle());
      state.at = state.cycles.length - 1;
      keep();
      fillIn();
      root.scrollIntoView({ block: "start" });
      find("lit").focus({ preventScroll: true });
    }

    async function discard() {
      await letGo();
      show(find("kept"), said("thrown"));
    }

    async function letGo() {
      for (let number = 1; number <= state.cycles.length; number += 1) {
        await handover.forgetFile(photoKey(state, number));
      }
      await handover.forget(keyOf(state.burn));
      tellOthers(state.burn);
      if (!candle) { root.remove(); return; }
      state = states.fresh(candle);
      onDisk = JSON.stringify(state);
      fillIn();
    }

    // ---- What became of it: taken, in part, or against another record.

    async function settle() {
      const file = files.get(state.burn);
      if (!file) return;
      const found = states.taken(state, file);
      if (found.all) {
        const left = state.cycles.some((one) => one.photo && !state.pictures.includes(one.photo.sha256));
        if (left) { show(find("note"), said("photo_left")); return; }
        const count = found.of, many = told.cycles_told[count === 1 ? "one" : "many"];
        if (states.isBegun(state)) show(find("note"), said("taken", { cycles: quantities.fill(many, { count }) }));
        await letGo();
      } else if (found.isNewer) show(find("note"), said("newer"));
      else if (found.count) show(find("note"), said("partly", { taken: found.count, of: found.of, cycles: found.of }));
    }

    // ---- Putting it together.

    function name(element, suffix) {
      for (const one of element.querySelectorAll("input[type=radio]")) one.name += " " + suffix;
      for (const place of element.querySelectorAll("[data-field]")) {
        const box = place.querySelector("[data-wrong]"), field = place.querySelector("[data-key], [data-seen]");
        if (!box || !field) continue;
        box.id = "wrong-" + suffix + "-" + place.dataset.field.replace(/[ .]/g, "-");
        place.querySelectorAll("[data-key]").forEach((one) => one.setAttribute("aria-describedby", box.id));
      }
    }

    function buildChecks() {
      const place = find("checks"), plain = root.querySelector('[data-field="pool"]');
      const marks = candle ? benchClock.marks(candle.cycle_h).filter((one) => !one.isEnd) : [];
      const hours = new Set([...marks.map((one) => one.hours),
        ...state.cycles.flatMap((one) => Object.keys(one.checks).map(Number))]);
      for (const one of [...hours].sort((a, b) => a - b)) {
        const field = plain.cloneNode(true), key = "check " + one, due = field.querySelector("[data-due]");
        field.dataset.field = key;
        field.querySelector("[data-key]").dataset.key = key;
        const label = field.querySelector(".bench-field__label");
        label.textContent = quantities.fill(place.dataset.label, { time: quantities.quantity(one, "h"), unit: place.dataset.unit }) + " ";
        label.append(due);
        field.querySelector("[data-limit]").remove();
        field.querySelector("[data-stands]").remove();
        place.append(field);
      }
    }

    function build() {
      find("name").textContent = state.title;
      find("code").textContent = state.code;
      buildChecks();
      for (const place of root.querySelectorAll("[data-field]")) {
        const key = place.dataset.field, line = place.querySelector("[data-limit]"), due = place.querySelector("[data-due]");
        const limits = candle ? candle.limits[key] || [] : [];
        if (line) show(line, limits.map((one) => one.told).join(" · "));
        if (due) show(due, candle && candle.due.includes(key) ? told.words.due : "");
      }
      const take = root.querySelector('[data-field="before"] [data-take]');
      take.dataset.words = take.dataset.words || told.words.take;
      take.addEventListener("click", () => {
        now().values.before = take.dataset.value;
        changed(true);
        fillIn();
        root.querySelector('[data-key="before"]').focus();
      });
      name(root, state.burn);
      root.addEventListener("input", typed);
      listen();
      show(find("kept"), said("nothing_kept"));
    }

    function listen() {
      const on = (it, act) => find(it).addEventListener("click", act);
      on("lit", light);
      on("out", putOut);
      on("sound", unlock);
      on("next", next);
      handover.askTwice(root, said, told.words, discard);
      on("photo-out", dropPhoto);
      find("photo").addEventListener("change", pick);
      handover.offer(root, made);
      root.addEventListener("handed", handed);
    }

    // Another tab kept something newer: what was typed here meanwhile stands beside it.
    async function reread() {
      const found = await handover.news(keyOf(state.burn));
      if (!found) return;
      takeOver(found);
      if (JSON.stringify(state) !== onDisk) keep();
      fillIn();
      keptBefore(found);
    }

    function keptBefore(found) {
      if (found) show(find("kept"), said("kept", { time: clockTime(found.at) }));
    }

    async function start(found) {
      build();
      fillIn();
      keptBefore(found);
      if (found) await settle();
      root.querySelector(".bench__all").disabled = false;
      root.dataset.ready = "";
    }

    return { start, tick, reread, root, burn: state.burn, letter: state.candle, title: state.title, isDue: () => root.classList.contains("bench--due") };
  }

  // ---- Pictures that no place kept live as long as the page.

  const unkept = new Map();

  async function pictureOf(state, number) {
    return (await handover.keptFile(photoKey(state, number))) || unkept.get(photoKey(state, number)) || null;
  }

  const MOST_PIXELS = 1600;

  async function scaled(file) {
    const drawn = await createImageBitmap(file);
    const by = Math.min(1, MOST_PIXELS / Math.max(drawn.width, drawn.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(drawn.width * by));
    canvas.height = Math.max(1, Math.round(drawn.height * by));
    canvas.getContext("2d").drawImage(drawn, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((done) => { canvas.toBlob(done, "image/jpeg", 0.85); });
    return blob ? { blob, width: canvas.width, height: canvas.height } : null;
  }

  // ---- Several tabs of one site tell one another.

  const channel = (() => {
    try { return new BroadcastChannel("handbook-bench"); } catch (none) { return null; }
  })();

  function tellOthers(burn) {
    if (channel) channel.postMessage(burn);
  }

  if (channel) {
    channel.onmessage = (event) => { if (sheets.has(event.data)) sheets.get(event.data).reread(); };
  }

  // ---- The page: the candles that are on it, and which of them is in front on a phone.

  async function open(burn, place) {
    const candle = told.candles.find((one) => one.burn === burn) || null;
    const found = await handover.kept(keyOf(burn));
    if (!candle && !found) return;
    const root = blank.content.firstElementChild.cloneNode(true);
    const sheet = Sheet(candle, found ? found.value : states.fresh(candle), root);
    place.append(root);
    sheets.set(burn, sheet);
    await sheet.start(found);
  }

  function tickAll() {
    let due = false;
    for (const sheet of sheets.values()) { sheet.tick(); due = due || sheet.isDue(); }
    document.title = (due ? "\u25cf " : "") + document.title.replace(/^\u25cf /, "");
    showTabs();
  }

  const tabs = document.querySelector("[data-bench-tabs]");
  let front = "";

  function showTabs() {
    if (!sheets.has(front)) front = sheets.keys().next().value || "";
    tabs.hidden = sheets.size < 2;
    const letters = [...sheets.values()].map((one) => one.letter);
    const isClear = new Set(letters).size === letters.length;
    const names = [...sheets.values()].map((one) => [one.burn, isClear ? said("tab", { candle: one.letter }) : one.title,
      one.root.querySelector("[data-elapsed]").textContent, one.isDue()]);
    const state = JSON.stringify([names, front]);
    if (tabs.dataset.state === state) return;
    tabs.dataset.state = state;
    tabs.replaceChildren(...names.map(([burn, called, time, isDue]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "button";
      button.textContent = [isDue ? "\u25cf" : "", called, time].filter(Boolean).join(" ");
      button.setAttribute("aria-pressed", String(burn === front));
      button.addEventListener("click", () => { front = burn; keepFront(); showTabs(); });
      return button;
    }));
    for (const [burn, sheet] of sheets) sheet.root.classList.toggle("bench--front", burn === front);
  }

  function keepFront() {
    handover.keep("front", front);
  }

  async function choose(form, place) {
    const chosen = Array.from(form.querySelectorAll("input:checked"), (one) => one.value);
    await handover.keep("chosen", chosen);
    for (const [burn, sheet] of sheets) {
      if (chosen.includes(burn) || !told.candles.some((one) => one.burn === burn)) continue;
      sheet.root.remove();
      sheets.delete(burn);
    }
    for (const burn of chosen) if (!sheets.has(burn)) await open(burn, place);
    tickAll();
  }

  async function several(form, place) {
    const kept = await handover.keptKeys("cycles "), here = new Set(told.candles.map((one) => one.burn));
    const burns = kept.map((one) => one.slice("cycles ".length));
    const before = await handover.kept("chosen");
    const chosen = new Set([...(before ? before.value : []), ...burns]);
    for (const box of form.querySelectorAll("input")) box.checked = chosen.has(box.value);
    form.hidden = false;
    form.addEventListener("change", () => choose(form, place));
    for (const burn of chosen) if (here.has(burn)) await open(burn, place);
    const also = document.querySelector("[data-bench-also]"), others = burns.filter((burn) => !here.has(burn));
    for (const burn of others) await open(burn, document.querySelector("[data-bench-others]"));
    also.hidden = !document.querySelector("[data-bench-others]").children.length;
  }

  async function begin() {
    where = await handover.canKeep();
    document.querySelector("[data-bench-trouble]").hidden = where !== "none";
    const place = document.querySelector("[data-bench-sheets]"), form = document.querySelector("[data-bench-choose]");
    place.addEventListener("submit", (event) => event.preventDefault());
    if (form) await several(form, place);
    else await open(told.candles[0].burn, place);
    const kept = await handover.kept("front");
    front = kept ? kept.value : "";
    tickAll();
    setInterval(tickAll, 1000);
    document.addEventListener("visibilitychange", async () => {
      if (document.hidden) return;
      await Promise.all([...sheets.values()].map((sheet) => sheet.reread()));
      tickAll();
    });
    window.addEventListener("pageshow", (event) => {
      if (event.persisted) for (const sheet of sheets.values()) sheet.reread();
    });
    if (where !== "none" && navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => false);
    document.body.dataset.benchReady = where;
  }

  // Where a browser allows it, the page opens again without a network.
  function stayOffline() {
    if (!("serviceWorker" in navigator) || !window.isSecureContext || !/^https?:$/.test(location.protocol)) return;
    const beside = Array.from(document.querySelectorAll("script[src], link[rel=stylesheet], link[rel=icon]"),
      (one) => one.src || one.href).filter((one) => new URL(one).origin === location.origin);
    const pages = [...told.candles.map((one) => one.burn), "index"].map((one) => new URL(one + ".html", location.href).href);
    navigator.serviceWorker.register("worker.js").then(() => navigator.serviceWorker.ready)
      .then((found) => found.active.postMessage({ keep: [location.href.split(/[?#]/)[0], ...beside, ...pages] }))
      .catch(() => null);
  }

  begin();
  stayOffline();
})();
