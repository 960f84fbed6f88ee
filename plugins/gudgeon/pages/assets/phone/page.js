/* The page at the lathe: what is on the screen and what is done with it. All text of the records is put in as text, never as markup. */
(function () {
  "use strict";
  const gudgeon = globalThis.gudgeon;
  const { at, put, empty, day, hour } = gudgeon.screen;
  const data = JSON.parse(at("known-data").textContent);
  const bench = data.shown; // what is shown and offered
  const folder = location.pathname.replace(/[^/]*$/, "");
  const REMEMBERED = `gudgeon phone ${folder}`;
  const TEMPERATURES_HOLD = 3 * 3600e3; // ms; a shop warms in an evening: older ones are asked for anew. Common practice, no source
  const SECOND_TAP = 500; // ms before a doubtful row can be confirmed, so that one tap of a wet thumb is not two

  /* What the phone remembers from the last time; nothing where it refuses to. */
  const memory = {
    read() {
      try {
        return JSON.parse(localStorage.getItem(REMEMBERED)) || {};
      } catch {
        return {};
      }
    },
    write(values) {
      try {
        localStorage.setItem(REMEMBERED, JSON.stringify({ ...memory.read(), ...values }));
      } catch {
        /* it is typed again next time */
      }
    },
  };

  const cutting = gudgeon.cutting(bench, data.asked, memory);

  /* ---- What is read, and where ---- */
  const ELSEWHERE = "elsewhere";
  let places = [];
  let job = null; // the operation that the address names
  let other = ""; // what to say where the address names something of which no size is here
  let earlier = []; // what was kept here and the records do not have yet
  const sound = Boolean(Object.keys(bench.features).length && Object.keys(bench.gauges).length && Object.keys(bench.people).length);
  let confirmed = null; // the doubtful row that was shown, and when

  function fillFeatures(first) {
    const chooser = at("feature");
    empty(chooser);
    const listed = (label, refs) => {
      if (!refs.length) return;
      const group = put(chooser, "optgroup", null, { label });
      for (const ref of refs) put(group, "option", bench.features[ref].title, { value: ref });
    };
    const of_job = (job ? job.features : []).filter((ref) => ref in bench.features);
    listed("For this job", of_job);
    const parts = new Map();
    for (const [ref, feature] of Object.entries(bench.features)) {
      if (of_job.includes(ref)) continue;
      if (!parts.has(feature.part_name)) parts.set(feature.part_name, []);
      parts.get(feature.part_name).push(ref);
    }
    for (const [name, refs] of parts) listed(name, refs);
    if (first in bench.features) chooser.value = first;
  }

  function label(place) {
    const where = [place.station ? place.station : "", place.angle !== null ? `${place.angle}°` : ""].filter(Boolean).join(", ");
    return `${where || "one place"}: ${place.shown || "not read"}`;
  }

  /* The gauge that most likely reads a feature: the one chosen for it here, the one of its last reading, one that reads others of its
     kind; each only where it reaches the size. None rather than a wrong one. */
  function likelyGauge(ref) {
    const { features, gauges } = data.bench;
    const feature = features[ref];
    const size = feature.size ?? feature.expected;
    const reaches = (name) =>
      name in bench.gauges && (size === null || gauges[name].low === null || (gauges[name].low <= size && size <= gauges[name].high));
    const newest = (of) => of.last.map((one) => [one.day, one.gauge]).sort().reverse().map(([, gauge]) => gauge);
    const of_kind = Object.values(features).filter((one) => one.kind === feature.kind).flatMap(newest);
    return [(memory.read().gauges || {})[ref], ...newest(feature), ...of_kind].find((name) => name && reaches(name)) || "";
  }

  function fillPlaces(station, angle) {
    at("gauge").value = likelyGauge(at("feature").value);
    cutting.fill(at("feature").value);
    const chooser = at("place");
    empty(chooser);
    places = bench.features[at("feature").value].places;
    places.forEach((place, index) => put(chooser, "option", label(place), { value: String(index) }));
    put(chooser, "option", "another place …", { value: ELSEWHERE });
    const wanted = places.findIndex((place) => (station === undefined || place.station === station) && (angle === undefined || place.angle === angle));
    const open = places.findIndex((place) => !place.shown);
    chooser.value = String(station !== undefined || angle !== undefined ? wanted : open);
    if (chooser.selectedIndex < 0) chooser.value = places.length && station === undefined && angle === undefined ? "0" : ELSEWHERE;
    if (chooser.value === ELSEWHERE && (station !== undefined || angle !== undefined)) {
      at("station").value = station || "";
      at("angle").value = angle ?? "";
    }
    showPlace();
  }

  const here = () => (at("place").value === ELSEWHERE ? null : places[Number(at("place").value)]);

  function showPlace() {
    const place = here();
    at("elsewhere").hidden = place !== null;
    const unread = place && places.some((one) => one.shown) && !place.shown ? "This place is not read. " : "";
    at("known").textContent = other + unread + bench.features[at("feature").value].known;
    changed();
  }

  function step(by) {
    const chooser = at("place");
    const to = chooser.selectedIndex + by;
    if (to >= 0 && to < chooser.options.length) {
      chooser.selectedIndex = to;
      showPlace();
    }
  }

  /* ---- The row as it stands on the screen ---- */
  function place() {
    const chosen = here();
    if (chosen) return { station: chosen.station, angle: chosen.angle };
    const typed = at("station").value.trim();
    const station = typed ? gudgeon.readings(typed, bench.units) : [];
    if (station.length > 1) throw new gudgeon.NotClear("one station for one row.");
    const turned = at("angle").value.trim().replace(/(?:deg|°)$/, "");
    if (turned && (!/^[0-9]{1,3}(?:\.[0-9])?$/.test(turned) || Number(turned) >= 360)) throw new gudgeon.NotClear("an angle is from 0 to 359.");
    return { station: station.length ? station[0].text : null, angle: turned ? Number(turned) : null };
  }

  /* Throws NotClear with what to write instead. */
  function rowNow(now) {
    const ref = at("feature").value;
    const feature = bench.features[ref];
    const where = place();
    const reads = gudgeon.readings(at("reading").value, bench.units);
    const temps = ["part_temp", "gauge_temp"].map((name) => {
      const typed = at(name).value.trim();
      if (!typed) return null;
      const text = gudgeon.temperature(typed, at("scale").value);
      if (text === null) throw new gudgeon.NotClear(`"${typed}" is no temperature.`);
      return text;
    });
    if ((temps[0] === null) !== (temps[1] === null)) throw new gudgeon.NotClear("two temperatures, of the part and of the gauge, or none.");
    if (!at("gauge").value) throw new gudgeon.NotClear("which gauge was it read with?");
    const row = { id: "", of: ref, date: day(now), time: hour(now), by: at("by").value, gauge: at("gauge").value };
    if (where.station) row.station = where.station;
    if (where.angle !== null) row.angle = `${where.angle} deg`;
    if (reads.length) row.reads = gudgeon.together(reads.map((read) => read.text));
    if (temps[0]) [row.part_temp, row.gauge_temp] = temps;
    if (feature.after) row.after = feature.after;
    const held = gudgeon.plain(at("as_held").value, 200);
    if (held) row.as_held = held;
    const photo = gudgeon.plain(at("photo").value, 80);
    const typed = reads.filter((read) => read.typed).map((read) => read.typed).join(" ");
    const note = [gudgeon.plain(at("note").value, 300), typed ? `typed "${typed}"` : "", photo ? `photo ${photo}, still to be put into photos/` : ""];
    if (note.some(Boolean)) row.note = note.filter(Boolean).join("; ");
    const celsius = temps[0] ? temps.map(gudgeon.celsius) : [null, null];
    const event = {
      of: ref, station: where.station === null ? null : gudgeon.float(gudgeon.readings(where.station, bench.units)[0].mm), angle: where.angle,
      reads: reads.map((read) => gudgeon.float(read.mm)), part_temp: celsius[0], gauge_temp: celsius[1],
      gauge: row.gauge, by: row.by, day: row.date,
    };
    return { row, reads, event, where, cut: cutting.now(ref) };
  }

  /* Reads back what stands on the screen. Gives it, or null where it is not clear yet. */
  function changed() {
    const says = at("says");
    const doubts = at("doubts");
    empty(says);
    empty(doubts);
    const degrees = (name) => (at(name).value.trim() ? `${at(name).value.trim()} °${at("scale").value}` : "? °");
    const gauge = at("gauge").value ? bench.gauges[at("gauge").value].name : "which gauge?";
    at("with-what").textContent = `Part ${degrees("part_temp")}, gauge ${degrees("gauge_temp")}; ${gauge}; ${bench.people[at("by").value]}`;
    at("with").classList.toggle("wanting", !at("part_temp").value || !at("gauge_temp").value || !at("gauge").value);
    at("cut-what").textContent = at("divisions").value.trim() ? `After a cut: dial moved by ${at("divisions").value.trim()}` : "After a cut";
    let entered = null;
    try {
      entered = rowNow(new Date());
    } catch (problem) {
      if (!(problem instanceof gudgeon.NotClear)) throw problem;
      if (at("reading").value.trim()) put(doubts, "li", problem.message);
    }
    if (entered && entered.reads.length) {
      const feature = bench.features[entered.row.of];
      const before = entered.cut ? [...earlier, entered.cut.event] : earlier;
      if (entered.cut) put(says, "p", `Cut on ${bench.machines[entered.cut.machine].name}: ${entered.cut.asked} asked on diameter`);
      const where = [entered.where.station && `station ${entered.where.station}`, entered.where.angle !== null && `${entered.where.angle}°`];
      put(says, "p", [feature.title, ...where].filter(Boolean).join(", ") + `: ${entered.reads.map((read) => read.text).join(", ")}`);
      const [line, ...more] = gudgeon.answer(data.bench, [...before, entered.event]);
      put(says, "p", line, { class: "answer" });
      for (const words of more) put(says, "p", words);
      const asked = gudgeon.doubts(data, entered.event, entered.reads.map((read) => read.text), entered.reads.map((read) => read.inches), before);
      entered.doubts = asked.words;
      entered.event.known = asked.known;
      for (const doubt of entered.doubts) put(doubts, "li", doubt);
    }
    const standing = entered && entered.doubts && entered.doubts.length ? JSON.stringify({ ...entered.row, id: "", time: "", cut: entered.cut && entered.cut.divisions }) : null;
    if (!confirmed || confirmed.row !== standing) confirmed = null;
    at("keep").textContent = confirmed ? "Keep it all the same" : "Keep";
    at("keep").classList.toggle("doubtful", confirmed !== null);
    return entered && { ...entered, standing };
  }

  /* An id that neither the records nor this phone has given. */
  function newId(row, kept) {
    const given = { ...data.rows };
    for (const one of kept) if (one.row) given[one.id] = [one.row.by, one.row.date];
    const own = Object.values(given).filter(([by, date]) => by === row.by && date === row.date);
    return gudgeon.readingId(row, Object.keys(bench.people), own.length + 1, new Set(Object.keys(given)));
  }

  async function keep(event) {
    event.preventDefault();
    const entered = changed();
    if (!entered || !entered.reads.length) {
      if (!at("doubts").children.length) put(at("doubts"), "li", "No reading yet.");
      return;
    }
    if (entered.standing) {
      if (!confirmed) {
        confirmed = { row: entered.standing, since: Date.now() };
        changed();
        return;
      }
      if (Date.now() - confirmed.since < SECOND_TAP) return;
    }
    confirmed = null;
    const answer = [...at("says").children].map((line) => line.textContent);
    const now = new Date();
    at("keep").disabled = true;
    entered.row.id = newId(entered.row, await queue.all());
    const one = { id: entered.row.id, kept: now.toISOString(), row: entered.row, event: entered.event, says: answer, doubts: entered.doubts };
    if (entered.cut) one.cut = entered.cut;
    const stored = await queue.put(one);
    at("keep").disabled = false;
    memory.write({
      by: entered.row.by, gauges: { ...memory.read().gauges, [entered.row.of]: entered.row.gauge }, scale: at("scale").value, feature: entered.row.of,
      temps: ["part_temp", "gauge_temp"].map((name) => at(name).value), temps_since: now.getTime(),
    });
    if (entered.cut) cutting.keep(entered.row.of, entered.cut);
    for (const name of ["reading", "note", "photo"]) at(name).value = "";
    const read = here();
    if (read) {
      read.shown = `${[].concat(entered.row.reads).join(", ")} as read today`;
      at("place").selectedOptions[0].textContent = label(read);
      step(places.length > 1 && at("place").selectedIndex < places.length - 1 ? 1 : 0);
    }
    at("with").open = false;
    if (stored && navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => false);
    await showQueue();
    put(at("says"), "p", stored ? `Kept on this phone as ${one.id}. Not handed over yet.` : "Not kept by the phone.");
    answer.forEach((line, index) => put(at("says"), "p", line, index === (entered.cut ? 2 : 1) ? { class: "answer" } : {}));
  }

  /* ---- Keys ---- */
  let field = null;
  function typeInto(input) {
    if (input.id === "reading" && at("part_temp").value && at("gauge_temp").value) at("with").open = false;
    if (input.id === "reading") at("cutting").open = false;
    if (field) field.classList.remove("active");
    field = input;
    field.classList.add("active");
  }
  function press(key) {
    if (!field) typeInto(at("reading"));
    const start = field.selectionStart ?? field.value.length;
    const end = field.selectionEnd ?? start;
    if (key === "⌫") field.setRangeText("", start === end ? Math.max(0, start - 1) : start, end, "end");
    else field.setRangeText(key, start, end, "end");
    changed();
  }

  /* ---- What is kept ---- */
  const queue = new gudgeon.Queue(REMEMBERED, () => showQueue());
  const showKept = gudgeon.handOver(data, queue);
  async function showQueue() {
    await showKept();
    // What the records have by now counts there, and not a second time.
    earlier = (await queue.all())
      .filter((one) => one.event && !(one.id in data.rows))
      .flatMap((one) => [...(one.cut ? [one.cut.event] : []), { ...one.event, id: one.id }]);
    if (sound) changed();
  }

  async function finish(event) {
    event.preventDefault();
    const minutes = at("minutes").value.trim();
    if (minutes && !/^[0-9]{1,4}$/.test(minutes)) {
      at("finished-says").textContent = "Minutes are a whole number.";
      return;
    }
    const now = new Date();
    const id = `done-${gudgeon.letters(6)}`;
    const stored = await queue.put({
      id, kept: now.toISOString(), operation: at("operation").value, day: day(now), by: at("by").value, minutes, what: gudgeon.plain(at("what").value, 300),
    });
    at("finished-says").textContent = stored ? "Kept on this phone. Not handed over yet." : "Not kept by the phone.";
    at("minutes").value = at("what").value = "";
    await showQueue();
  }

  /* ---- Without a network ---- */
  async function keepPage() {
    const says = at("network");
    const told = (words) => { says.textContent = words; };
    if (location.protocol === "file:") return told("From a file: open it once on the site to have it without a network.");
    if (!("serviceWorker" in navigator)) return told("This browser keeps no page: it needs the network.");
    try {
      const had = navigator.serviceWorker.controller;
      const registration = await navigator.serviceWorker.register("worker.js", { scope: "./", updateViaCache: "none" });
      navigator.serviceWorker.addEventListener("controllerchange", () => { if (had) at("update").hidden = false; });
      await navigator.serviceWorker.ready;
      const show = () => told(navigator.onLine ? "Works without a network." : "No network: this page is kept.");
      const caches_of_page = await caches.keys();
      if (registration.active && caches_of_page.some((name) => name.includes(registration.scope))) show();
      addEventListener("online", show);
      addEventListener("offline", show);
    } catch {
      told("Needs the network: not kept on this phone.");
    }
  }

  /* ---- Begin ---- */
  function open() {
    const named = new URLSearchParams(location.hash.slice(1));
    const remembered = memory.read();
    job = bench.operations.find((one) => one.id === named.get("op")) || null;
    at("job").hidden = !job;
    if (job) at("job").textContent = `${job.does} (${job.id})`;
    const of_part = Object.keys(bench.features).find((ref) => ref.startsWith(`${named.get("part")}.`));
    const of_job = job && job.features.find((ref) => ref in bench.features);
    const nothing_of_it = !named.get("of") && ((job && !of_job && "this job") || (named.get("part") && !of_part && "this part"));
    other = nothing_of_it ? `No size is here to be read for ${nothing_of_it}; this is of another. ` : "";
    const ref = [named.get("of"), of_job, of_part, remembered.feature].find((one) => one && one in bench.features);
    fillFeatures(ref);
    const turned = named.get("angle");
    fillPlaces(named.get("station") ?? undefined, turned === null ? undefined : Number.parseFloat(turned));
    if (named.get("of") && !(named.get("of") in bench.features)) put(at("doubts"), "li", "The address names something that is not in these records.");
  }

  function begin() {
    const remembered = memory.read();
    at("records").textContent = bench.as_of ? `Records up to ${bench.as_of}.` : "No dated record yet.";
    at("queue").hidden = true;
    for (const [id, name] of Object.entries(bench.people)) put(at("by"), "option", name, { value: id });
    put(at("gauge"), "option", "which gauge?", { value: "" });
    for (const [id, gauge] of Object.entries(bench.gauges)) put(at("gauge"), "option", `${gauge.name} (${id})`, { value: id });
    for (const one of bench.operations) put(at("operation"), "option", `${one.does} (${one.id})`, { value: one.id });
    at("finish").hidden = !bench.operations.length;
    at("unit").textContent = bench.units;
    if (remembered.by in bench.people) at("by").value = remembered.by;
    if (remembered.scale === "F") at("scale").value = "F";
    if (remembered.temps && Date.now() - remembered.temps_since < TEMPERATURES_HOLD) [at("part_temp").value, at("gauge_temp").value] = remembered.temps;
    if (!sound) {
      put(at("alarm"), "p", "Nothing can be read yet: the records need a part with a size, an instrument and a person.");
    } else {
      at("entry").hidden = false;
      open();
    }
    at("feature").addEventListener("change", () => {
      other = "";
      fillPlaces();
    });
    at("place").addEventListener("change", showPlace);
    at("before").addEventListener("click", () => step(-1));
    at("next").addEventListener("click", () => step(1));
    for (const input of document.querySelectorAll("#entry input, #entry select")) input.addEventListener("input", changed);
    for (const input of document.querySelectorAll("#entry input[inputmode]")) input.addEventListener("focus", () => typeInto(input));
    for (const key of document.querySelectorAll("[data-key]")) {
      key.addEventListener("pointerdown", (event) => event.preventDefault()); // the field keeps its place
      key.addEventListener("click", () => press(key.dataset.key));
    }
    at("say").addEventListener("click", () => {
      const spoken = at("reading").getAttribute("inputmode") === "none";
      at("reading").setAttribute("inputmode", spoken ? "text" : "none");
      at("say").setAttribute("aria-pressed", String(spoken));
      at("reading").blur();
      at("reading").focus();
    });
    at("entry").addEventListener("submit", keep);
    at("finished").addEventListener("submit", finish);
    at("reload").addEventListener("click", () => location.reload());
    addEventListener("hashchange", () => { if (sound) open(); });
    addEventListener("beforeunload", (event) => { if (queue.unkept.length) event.preventDefault(); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) showQueue(); });
    if (sound) typeInto(at("reading"));
  }

  begin();
  queue.open().then(showQueue);
  keepPage();
})();
