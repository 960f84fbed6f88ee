// Asks the list of pages (pages.js) by the library (minisearch.js); on the page Search it shows the answers while somebody types.
(() => {
  const { kinds, builds, pages } = gudgeon.listed;
  const MOST = 30; // answers shown
  // How much an entry of a kind weighs, in the order of the kinds: from engines and fits down to what is hardly ever looked for.
  const weight = (kind) => 2.6 - (2.3 * kind) / (kinds.length - 1);
  const plain = (text) => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "");
  // Ends of words that make no other word: rings is ring, bored stays.
  const stem = (word) => (word.length > 3 && /[^s]s$/.test(word) ? word.slice(0, -1) : word);
  // Words that people put around what they look for.
  const EMPTY = new Set(["a", "an", "the", "of", "in", "on", "to", "for", "and", "is", "how", "what", "do", "i", "my"]);

  const index = new MiniSearch({
    fields: ["title", "ids", "words"],
    tokenize: (text) => text.toLowerCase().split(/[^\p{L}\p{N}]+/u).filter(Boolean),
    processTerm: (word) => (EMPTY.has(word) ? null : stem(word)),
  });
  index.addAll(
    pages.map(([address, title, kind, build, ids, words], id) => ({
      id, title, words,
      // A-F01 is asked for as A-F01, AF01 and F01 too.
      ids: ids.split(" ").flatMap((name) => [name, plain(name)]).join(" "),
    })),
  );
  const names = pages.map(([, title, , , ids]) => [plain(title), ...ids.split(" ").map(plain)]);
  const own = new URLSearchParams(globalThis.location ? location.search : "").get("in");

  // The entries that answer, best first: those that have all words, or else those that have some.
  gudgeon.ask = (asked, at = own) => {
    const whole = plain(asked);
    if (!whole) return [];
    const given = {
      boost: { title: 4, ids: 5 },
      prefix: (word, place, all) => place === all.length - 1,
      fuzzy: (word) => (word.length > 4 && !/\d/.test(word) ? 0.2 : false),
      weights: { prefix: 0.5, fuzzy: 0.2 },
      boostDocument: (id) => {
        const [address, , kind] = pages[id];
        const here = at && address.includes(`builds/${at}/`) ? 1.3 : 1;
        return weight(kind) * here * (names[id].includes(whole) ? 4 : 1);
      },
    };
    const all = index.search(asked, { ...given, combineWith: "AND" });
    return (all.length ? all : index.search(asked, given)).map(({ id }) => {
      const [address, title, kind, build] = pages[id];
      return { address, title, kind: kinds[kind], build: builds[build] || "" };
    });
  };

  const box = globalThis.document && document.getElementById("g-asked");
  if (!box) return;
  const [told, answers] = ["g-told", "g-answers"].map((id) => document.getElementById(id));

  const show = () => {
    const best = gudgeon.ask(box.value);
    answers.replaceChildren(
      ...best.slice(0, MOST).map(({ address, title, kind, build }) => {
        const line = document.createElement("li");
        const link = line.appendChild(document.createElement("a"));
        link.href = address;
        link.textContent = title;
        line.appendChild(document.createElement("small")).textContent = ` ${build ? `${kind}, ${build}` : kind}`;
        return line;
      }),
    );
    told.textContent = !box.value.trim() ? ""
      : !best.length ? "Nothing by these words. Fewer words find more; the lists below lead to every page."
      : best.length > MOST ? `The best ${MOST} of ${best.length}` : best.length === 1 ? "1 answer" : `${best.length} answers`;
  };
  const links = () => [...answers.querySelectorAll("a")];

  box.addEventListener("input", () => {
    show();
    // Kept in the address, so that the way back from an answer leads to the answers.
    history.replaceState(null, "", `#${encodeURIComponent(box.value)}`);
  });
  document.querySelector(".g-search").addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target === box && links().length) links()[0].click();
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const stops = [box, ...links()];
    stops[Math.min(Math.max(stops.indexOf(document.activeElement) + step, 0), stops.length - 1)].focus();
  });
  document.querySelector(".g-search").hidden = false;
  document.querySelector(".g-no-script").hidden = true;
  try {
    box.value = decodeURIComponent(location.hash.slice(1));
  } catch {
    box.value = ""; // an address that was cut
  }
  show();
  box.focus();
})();
