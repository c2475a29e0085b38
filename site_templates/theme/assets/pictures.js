/* Opens a picture of a strip over the page. Without this script each is a plain link to its large
   size. What is shown is what the strip holds: nothing is asked of any other place. */
(function () {
  "use strict";

  const links = Array.from(document.querySelectorAll("a.strip__open"));
  if (!links.length || typeof HTMLDialogElement === "undefined") return;

  function made(tag, name, text) {
    const it = document.createElement(tag);
    it.className = name;
    if (text) it.textContent = text;
    return it;
  }

  function button(name, text, act) {
    const it = made("button", "lightbox__" + name, text);
    it.type = "button";
    it.addEventListener("click", act);
    return it;
  }

  const box = made("dialog", "lightbox");
  const image = made("img", "lightbox__image");
  const words = made("p", "lightbox__words");
  const keys = made("div", "lightbox__keys");
  const before = button("before", "Before", () => go(-1));
  const after = button("after", "After", () => go(1));
  keys.append(before, after, button("close", "Close", () => box.close()));
  box.append(image, words, keys);
  document.body.append(box);
  let at = 0;

  // The pictures of one strip follow one another; the first and the last have none beyond them.
  const stripOf = (link) => links.filter((one) => one.closest(".strip") === link.closest(".strip"));

  function show(link) {
    const strip = stripOf(link), small = link.querySelector("img");
    at = links.indexOf(link);
    image.src = link.href;
    image.alt = small.alt;
    image.width = small.width;
    image.height = small.height;
    words.textContent = small.alt;
    before.disabled = strip[0] === link;
    after.disabled = strip[strip.length - 1] === link;
    box.setAttribute("aria-label", small.alt);
  }

  function go(by) {
    const strip = stripOf(links[at]), next = strip[strip.indexOf(links[at]) + by];
    if (next) show(next);
  }

  links.forEach((link) => link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    show(link);
    box.showModal();
  }));
  box.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (by) { event.preventDefault(); go(by); }
  });
  // A tap beside the picture closes it; the dialog itself gives the focus back to its link.
  box.addEventListener("click", (event) => { if (event.target === box) box.close(); });
  box.addEventListener("close", () => { image.removeAttribute("src"); });
})();
