/* What the page hands over: rows, the file that holds them, and the address of the forge's page for a new file. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  /* RFC 9112, section 3, asks that a request line of 8000 octets be taken; what is longer may be refused. */
  const LONGEST_ADDRESS = 8000 - "GET  HTTP/1.1\r\n".length;
  // Letters that are told apart when they are read aloud or written by hand: no i, l, o, 0, 1.
  const LETTERS = "abcdefghjkmnpqrstuvwxyz23456789";

  /* The id of a new row, as entry/reading_ids.py gives it. number: which of that person's rows of that day it is, from 1. */
  const SIGNS = "23456789bcdfghjkmnpqrstvwxz";
  const SAID = ["of", "date", "time", "by", "gauge", "station", "angle", "reads", "part_temp", "gauge_temp", "lobes", "as_held"];
  function lettersOf(person, people) {
    const others = people.filter((name) => name !== person).map((name) => name.toLowerCase());
    const own = person.toLowerCase();
    for (let length = 2; length < own.length; length += 1)
      if (!others.some((other) => other.startsWith(own.slice(0, length)))) return own.slice(0, length);
    return own;
  }
  function signs(text) {
    let number = 2166136261;
    for (const byte of new TextEncoder().encode(text)) number = Math.imul(number ^ byte, 16777619) >>> 0;
    let drawn = "";
    for (let at = 0; at < 4; at += 1) {
      drawn += SIGNS[number % SIGNS.length];
      number = Math.floor(number / SIGNS.length);
    }
    return drawn;
  }
  function readingId(row, people, number, taken) {
    const front = `${lettersOf(row.by, people)}${String(number).padStart(2, "0")}`;
    const said = SAID.map((key) => (Array.isArray(row[key]) ? row[key].join(" ") : row[key] ?? "")).join("|");
    for (let again = 0; ; again += 1) {
      const id = `${front}-${signs(again ? `${said}|${again}` : said)}`;
      if (!taken.has(id)) return id;
    }
  }

  function letters(count) {
    const drawn = new Uint8Array(count * 4);
    const bytes = [];
    while (bytes.length < count) {
      root.crypto.getRandomValues(drawn);
      for (const byte of drawn) if (byte < 248 && bytes.length < count) bytes.push(byte % LETTERS.length); // 248 = 8 × 31
    }
    return bytes.map((at) => LETTERS[at]).join("");
  }

  /* What can stand without quotes inside braces and be read back as the same text: as records/yaml_writing.py has it. */
  const PLAIN = /^[A-Za-z0-9.][A-Za-z0-9 ._/°µ³·+-]*$/;
  const OTHER = /^(?:y|n|yes|no|on|off|true|false|null|[0-9.][0-9._]*(e[+-]?[0-9]+)?|0x[0-9a-f]+|\.(inf|nan))$/i;
  function scalar(text) {
    const bare = PLAIN.test(text) && !text.endsWith(" ") && !OTHER.test(text) && !/ [-+] |-$|\.\.\./.test(text);
    return bare ? text : JSON.stringify(text);
  }
  function flow(row) {
    const value = (one) => (Array.isArray(one) ? `[${one.map(scalar).join(", ")}]` : scalar(one));
    return `{${Object.entries(row).map(([key, one]) => `${key}: ${value(one)}`).join(", ")}}`;
  }

  /* One line of plain text: no line ends, no control or direction marks, nothing that a file could not hold. */
  function plain(text, most) {
    const clean = String(text).normalize("NFC").replace(/[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Zl}\p{Zp}]/gu, " ");
    return [...clean.replace(/\s+/g, " ").trim()].slice(0, most).join("");
  }

  const quoted = (word) => (/^[A-Za-z0-9._-]+$/.test(word) ? word : `'${word.replace(/'/g, "’")}'`);
  /* A finished operation as the command that writes it down: it changes a file that is there, which a new file cannot. */
  function command(build, one) {
    const words = ["gudgeon", "done", build, one.operation, "--on", one.day];
    if (one.minutes) words.push("--took", `${one.minutes} min`);
    if (one.by) words.push("--by", one.by);
    if (one.what) words.push("--found", one.what);
    return words.map(quoted).join(" ");
  }

  /* What a dial that was moved by so many divisions asks on diameter, as entry/cut_line.py has it: its text, and mm. Throws NotClear. */
  function asked(divisions, machine) {
    const typed = divisions.trim();
    if (!/^(?:[0-9]{1,6}(?:\.[0-9]{1,8})?|\.[0-9]{1,8})$/.test(typed)) throw new gudgeon.NotClear(`"${typed}" is no number of divisions.`);
    const [division] = gudgeon.readings(machine.division, "mm");
    const [moved] = gudgeon.readings(`${typed} mm`, "mm");
    const sides = machine.reads === "radius" ? 2 : 1;
    const size = (gudgeon.float(division.mm) * sides * gudgeon.float(moved.mm)) / (division.inches ? gudgeon.INCH_MM : 1);
    const text = size.toFixed(6).replace(/0+$/, "").replace(/\.$/, "") || "0";
    const unit = division.inches ? "in" : "mm";
    return { text: `${text} ${unit}`, mm: gudgeon.float(gudgeon.readings(`${text} ${unit}`, unit)[0].mm) };
  }

  /* A pass and the reading after it as the command that writes both down: cuts stand in a file that is there, which a new file cannot
     continue. feature: of the bench data. */
  function cutCommand(build, one, feature) {
    const { row, cut } = one;
    const joined = (text) => text.replace(/ (?=[^ ]+$)/, "");
    const place = [];
    if (row.station) place.push(feature.has_station ? joined(row.station) : `at ${joined(row.station)}`);
    else if (feature.has_station) place.push("-");
    if (row.angle) place.push(`${parseFloat(row.angle)}${feature.has_angle ? "" : "deg"}`);
    else if (feature.has_angle) place.push("-");
    const reads = Array.isArray(row.reads) ? row.reads.map(joined) : together_apart(row.reads);
    const degrees = (text) => text.replace(/ °([CF])/, (whole, scale) => scale.toLowerCase());
    const temps = row.part_temp ? [`${degrees(row.part_temp)}/${degrees(row.gauge_temp)}`] : [];
    const line = [row.of, "dial", cut.divisions, "reads", ...place, ...reads, ...temps, row.gauge, "at", row.time];
    if (row.as_held) line.push("held", row.as_held.replace(/#/g, ""));
    if (row.note) line.push("#", row.note);
    const words = ["gudgeon", "cut", build, line.join(" "), "--on", row.date, "--by", row.by, "--machine", cut.machine];
    if (cut.operation) words.push("--operation", cut.operation);
    words.push("--tool", cut.tool, "--feed", cut.feed);
    return words.map(quoted).join(" ");
  }
  /* "4.2515 4.2516 in" as readings with a unit each. */
  function together_apart(text) {
    const words = text.split(" ");
    const unit = words.pop();
    return text.includes("/") ? [`${words.join(" ")}${unit}`] : words.map((word) => `${word}${unit}`);
  }

  /* The text of a file of readings. kept: what the queue holds, rows and finished operations. */
  function fileText(build, kept, features) {
    const rows = kept.filter((one) => one.row && !one.cut);
    const cuts = kept.filter((one) => one.cut);
    const done = kept.filter((one) => one.operation);
    const told = (words, commands) => (commands.length ? [words, ...commands.map((one) => `#   ${one}`)] : []);
    const head = [
      ...told("# Cut and read besides. Whoever brings this file in runs:", cuts.map((one) => cutCommand(build, one, features[one.row.of]))),
      ...told("# Finished besides. Whoever brings this file in runs:", done.map((one) => command(build, one))),
    ];
    const body = rows.length ? ["rows:", ...rows.map((one) => `  - ${flow(one.row)}`)] : [];
    return [...head, ...body, ""].join("\n");
  }

  /* Where the forge makes a new file with name and content filled in. forge: page, and the names of its two parameters. */
  function newFileAddress(forge, path, text) {
    const address = `${forge.page}?${forge.name}=${encodeURIComponent(forge.folder + path)}&${forge.content}=${encodeURIComponent(text)}`;
    return { address, fits: address.length <= LONGEST_ADDRESS };
  }

  Object.assign(gudgeon, { letters, readingId, scalar, flow, plain, asked, cutCommand, command, fileText, newFileAddress, LONGEST_ADDRESS });
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
