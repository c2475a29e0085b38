/* Says that something is wrong, as a file to hand over: kept at once, like the readings. */
(function () {
  "use strict";

  const root = document.querySelector("[data-incident]");
  if (!root) return;
  const told = JSON.parse(document.querySelector("[data-incident-told]").textContent);
  const { handover } = window;
  const quantities = window.benchQuantities(told.understood, "metric");
  const said = (name, given) => quantities.fill(told.said[name], given || {});
  const find = (name) => root.querySelector("[data-" + name + "]");
  const fields = Array.from(root.querySelectorAll("[data-key]"));
  const show = (element, text) => { element.textContent = text; element.hidden = !text; };
  const clockTime = (date) => date.toTimeString().slice(0, 8);
  const today = () => handover.localTime(new Date()).slice(0, 10);
  const asked = new URLSearchParams(window.location.search).get("about") || "";
  // One for each thing, so that a second report does not write over the first.
  let key = "incident " + asked, state = null;

  const fresh = () => ({ session: handover.session(), about: known(asked) ? asked : "", what: "", lot: "",
    on: today(), by: "" });
  const known = (ref) => Array.from(find("key").options).some((one) => one.value === ref);

  function fillIn() {
    for (const field of fields) field.value = state[field.dataset.key];
    check();
  }

  function check() {
    const what = state.what.trim(), faults = {
      what: what ? quantities.reason("what", what) : "", lot: state.lot.trim() ? quantities.text("lot", state.lot) : "",
      on: state.on > today() ? quantities.fill(told.future, { on: state.on, today: today() }) : "",
    };
    for (const box of root.querySelectorAll("[data-wrong]")) {
      const text = faults[box.dataset.wrong];
      if (box.textContent !== text) box.textContent = text;
    }
  }

  async function keep() {
    show(find("kept"), said("keeping"));
    const answer = await handover.keep(key, state);
    const name = !answer.ok ? "not_kept" : answer.safe ? "kept" : "kept_lesser";
    show(find("kept"), said(name, { time: clockTime(answer.at) }));
  }

  function made() {
    const what = quantities.oneLine(state.what);
    if (!state.about || !what) { show(find("handed"), told.lacking); return null; }
    const now = new Date(), lines = [
      ["handover", "1"], ["kind", "incident"], ["session", state.session],
      ["written", handover.localTime(now)], ["edition", told.edition], ["about", state.about],
    ];
    for (const one of ["lot", "on", "by"]) {
      const text = quantities.oneLine(state[one]);
      if (text) lines.push([one, text]);
    }
    lines.push(["what", what]);
    const name = ["incident", handover.localTime(now).slice(0, 10), state.session.slice(0, 6)].join("-") + ".txt";
    return { name, text: handover.text(lines), pictures: [] };
  }

  function handed(event) {
    const { way, answer, name } = event.detail;
    const done = { share: "shared", save: "saved", copy: "copied" }[way];
    show(find("handed"), answer === "done" ? said(done, { time: clockTime(new Date()), name }) : said(answer));
  }

  async function discard() {
    await handover.forget(key);
    state = fresh();
    fillIn();
    show(find("kept"), said("thrown"));
  }

  async function begin() {
    const where = await handover.canKeep();
    document.querySelector("[data-bench-trouble]").hidden = where !== "none";
    const found = await handover.kept(key);
    state = found ? found.value : fresh();
    fillIn();
    show(find("kept"), found ? said("kept", { time: clockTime(found.at) }) : said("nothing_kept"));
    root.addEventListener("submit", (event) => event.preventDefault());
    root.addEventListener("input", (event) => {
      state[event.target.dataset.key] = event.target.value;
      check();
      keep();
    });
    handover.askTwice(root, said, told.words, discard);
    handover.offer(root, made);
    root.addEventListener("handed", handed);
    root.querySelector(".bench__all").disabled = false;
    document.body.dataset.benchReady = where;
  }

  begin();
})();
