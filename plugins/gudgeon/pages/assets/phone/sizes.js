/* The forms in which a reading is typed or said: 4.2559, 1 51/64, 107.998mm, 4 1/4 +5.9t, "four point two five". The same forms, and
   the same refusals, as gudgeon enter has (entry/sizes.py); the tests run both. Exact: no binary fraction comes near a size. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const UNITS = ["in", "mm", "thou", "µm", "um"];
  const NUMBER = /^([0-9]{1,6}(?:\.[0-9]{1,8})?|\.[0-9]{1,8})(in|mm|thou|µm|um)?$/;
  const COMMA = /^([0-9]{1,6}),([0-9]{1,8})(in|mm|thou|µm|um)?$/;
  const FRACTION = /^([0-9]{1,4})\/([0-9]{1,4})(in)?$/;
  const OFFSET = /^([+\-−])([0-9]{1,4}(?:\.[0-9]{1,3})?)(t|tenths?|thou)?$/;
  const MOST_READINGS = 50; // of a row

  const { NotClear } = gudgeon;

  /* An exact number of millimetres: n over d. */
  const ratio = (n, d) => ({ n, d });
  const plus = (a, b) => ratio(a.n * b.d + b.n * a.d, a.d * b.d);
  const times = (a, b) => ratio(a.n * b.n, a.d * b.d);
  const float = (a) => {
    // Numbers of a size have few digits: scaled to twelve places they are exact enough for every sum of this page.
    const scaled = (a.n * 10n ** 15n) / a.d;
    return Number(scaled) / 1e15;
  };
  const INCH = ratio(254n, 10n);
  const MM_OF = {
    in: INCH, thou: times(INCH, ratio(1n, 1000n)), tenth: times(INCH, ratio(1n, 10000n)),
    mm: ratio(1n, 1n), "µm": ratio(1n, 1000n), um: ratio(1n, 1000n),
  };

  function exact(text) {
    const mixed = /^(?:([0-9]+) )?([0-9]+)\/([0-9]+)$/.exec(text);
    if (mixed) {
      const [, whole, top, bottom] = mixed;
      if (BigInt(bottom) === 0n) throw new NotClear(`"${text}" divides by nought.`);
      return ratio(BigInt(whole || 0) * BigInt(bottom) + BigInt(top), BigInt(bottom));
    }
    const [before, behind = ""] = text.split(".");
    return ratio(BigInt((before || "0") + behind), 10n ** BigInt(behind.length));
  }

  /* An exact decimal, as short as it is; null where eight places do not hold it. */
  function decimal(value) {
    const scaled = value.n * 10n ** 8n;
    if (scaled % value.d !== 0n) return null;
    const digits = scaled / value.d;
    const sign = digits < 0n ? "-" : "";
    const text = String(digits < 0n ? -digits : digits).padStart(9, "0");
    return sign + `${text.slice(0, -8)}.${text.slice(-8)}`.replace(/0+$/, "").replace(/\.$/, "");
  }

  function measure(text, unit) {
    return { text: `${text} ${unit}`, mm: times(exact(text), MM_OF[unit]), inches: unit === "in" || unit === "thou" };
  }

  /* One reading from the front of the words; the words are shortened. */
  function takeSize(words, units) {
    let word = words.shift();
    const comma = COMMA.exec(word);
    if (comma) {
      if (comma[2].length === 3)
        throw new NotClear(`"${word}" could be ${comma[1]}.${comma[2]} or ${comma[1]}${comma[2]}. Write a point: ${comma[1]}.${comma[2]}.`);
      word = `${comma[1]}.${comma[2]}${comma[3] || ""}`;
    }
    const start = [word];
    const number = NUMBER.exec(word);
    let over = FRACTION.exec(word);
    const after = words.length ? FRACTION.exec(words[0]) : null;
    let text, unit;
    if (number && after && number[2] === undefined && !number[1].includes(".")) {
      start.push(words.shift());
      over = after;
      text = `${number[1]} ${after[1]}/${after[2]}`;
      unit = after[3];
    } else if (over) {
      text = `${over[1]}/${over[2]}`;
      unit = over[3];
    } else if (number) {
      text = number[1];
      unit = number[2];
    } else {
      throw new NotClear(`"${word}" is no reading. Write it like 4.2559, 1 51/64, 107.998mm or 4 1/4 +5.9t.`);
    }
    if (unit === undefined && UNITS.includes(words[0])) unit = words.shift();
    if (unit === undefined && ["tenth", "tenths", "t"].includes(words[0]))
      throw new NotClear(`"${text} ${words[0]}": tenths of a thou, or a tenth of a unit? Write it out as a decimal.`);
    if (unit === undefined && over && units === "mm")
      throw new NotClear(`"${text}" is a fraction, and this build is in millimetres. Write its unit: ${text}in.`);
    const size = measure(text, unit || units);
    const add = words.length ? OFFSET.exec(words[0]) : null;
    if (!add) return size;
    const typed = [...start, words.shift()].join(" ");
    if (add[3] === undefined) throw new NotClear(`"${typed}": tenths or thou? Write +${add[2]}t for tenths, +${add[2]}thou for thou.`);
    if (!size.inches) throw new NotClear(`"${typed}": tenths and thou are of an inch, and ${size.text} is not in inches.`);
    const step = times(exact(add[2]), add[3] === "thou" ? MM_OF.thou : MM_OF.tenth);
    const total = times(plus(size.mm, add[1] === "+" ? step : ratio(-step.n, step.d)), ratio(10n, 254n));
    const written = decimal(total);
    if (written === null) throw new NotClear(`"${typed}" has no short decimal. Write the reading as a decimal.`);
    return { text: `${written} in`, mm: times(total, INCH), inches: true, typed };
  }

  /* What dictation writes for a figure that it took for another word, and for units. */
  const HEARD = { o: "oh", naught: "nought", to: "two", too: "two", for: "four", ate: "eight", niner: "nine", dot: "point" };
  const SPELLED = { inch: "in", inches: "in", millimetre: "mm", millimetres: "mm", millimeter: "mm", millimeters: "mm" };

  /* What was said, as it would be typed: "four point two five six one" is 4.2561, "one and three quarters" is 1 3/4. */
  function asTyped(said) {
    const words = said.trim().toLowerCase().replace(/[;]/g, " ").split(/\s+/).filter(Boolean);
    return gudgeon.inFigures(words.map((word) => HEARD[word] || word)).map((word) => SPELLED[word] || word);
  }

  /* Every reading of a text, in its order. Throws NotClear. units: of a number that has none. */
  function readings(said, units) {
    const words = asTyped(said);
    const reads = [];
    while (words.length) reads.push(takeSize(words, units));
    if (reads.length > MOST_READINGS) throw new NotClear(`a row holds at most ${MOST_READINGS} readings. Start another row.`);
    return reads;
  }

  /* Readings as a file has them: "4.2515 4.2516 in" where they are decimals that share a unit, otherwise one by one. */
  function together(texts) {
    const parts = texts.map((text) => [text.slice(0, text.lastIndexOf(" ")), text.slice(text.lastIndexOf(" ") + 1)]);
    const plain = parts.every(([number, unit]) => unit === parts[0][1] && /^[0-9]*\.?[0-9]+$/.test(number));
    return plain ? `${parts.map(([number]) => number).join(" ")} ${parts[0][1]}` : texts;
  }

  const TEMPERATURE = /^([+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?)$/;
  /* A temperature as a row has it, or null where the text is none. */
  function temperature(text, scale) {
    const typed = TEMPERATURE.exec(text.trim().replace(",", "."));
    return typed ? `${typed[1].replace("−", "-").replace("+", "")} °${scale}` : null;
  }
  function celsius(text) {
    const [number, unit] = text.split(" ");
    return unit === "°F" ? ((Number(number) - 32) * 5) / 9 : Number(number);
  }

  Object.assign(gudgeon, { readings, together, temperature, celsius, float, decimal, INCH_MM: 25.4 });
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
