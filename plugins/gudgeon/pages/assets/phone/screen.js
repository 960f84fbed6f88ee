/* Small tools of the page: what it puts on the screen, always as text, and how it says a day. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const at = (id) => document.getElementById(id);

  function put(parent, tag, text, more = {}) {
    const made = document.createElement(tag);
    if (text !== undefined && text !== null) made.textContent = text;
    for (const [name, value] of Object.entries(more)) {
      if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
      else if (value !== null && value !== undefined) made.setAttribute(name, value);
    }
    parent.append(made);
    return made;
  }
  const empty = (node) => node.replaceChildren();
  const two = (number) => String(number).padStart(2, "0");
  const day = (now) => `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const hour = (now) => `${two(now.getHours())}:${two(now.getMinutes())}`;
  const entries = (number) => (number === 1 ? "1 entry" : `${number} entries`);

  /* A button that asks once more, in its own words, before it does what cannot be taken back. */
  function twice(parent, words, sure, act) {
    const button = put(parent, "button", words, { type: "button", class: "key" });
    button.addEventListener("click", () => {
      if (button.dataset.asked) return act();
      button.dataset.asked = "1";
      button.textContent = sure;
      setTimeout(() => {
        delete button.dataset.asked;
        button.textContent = words;
      }, 5000);
    });
    return button;
  }

  async function copy(text) {
    try {
      await navigator.clipboard.writeText(text);
      return true;
    } catch {
      return false;
    }
  }

  gudgeon.screen = { at, put, empty, day, hour, entries, twice, copy };
})(globalThis);
