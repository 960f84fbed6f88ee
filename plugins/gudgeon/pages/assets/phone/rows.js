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

  /* The text of a file of readings. kept: what the queue holds, rows and finished operations. */
  function fileText(build, kept) {
    const rows = kept.filter((one) => one.row);
    const done = kept.filter((one) => one.operation);
    const head = done.length
      ? ["# Finished besides. Whoever brings this file in runs:", ...done.map((one) => `#   ${command(build, one)}`)]
      : [];
    const body = rows.length ? ["rows:", ...rows.map((one) => `  - ${flow(one.row)}`)] : [];
    return [...head, ...body, ""].join("\n");
  }

  /* Where the forge makes a new file with name and content filled in. forge: page, and the names of its two parameters. */
  function newFileAddress(forge, path, text) {
    const address = `${forge.page}?${forge.name}=${encodeURIComponent(forge.folder + path)}&${forge.content}=${encodeURIComponent(text)}`;
    return { address, fits: address.length <= LONGEST_ADDRESS };
  }

  Object.assign(gudgeon, { letters, readingId, scalar, flow, plain, command, fileText, newFileAddress, LONGEST_ADDRESS });
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
