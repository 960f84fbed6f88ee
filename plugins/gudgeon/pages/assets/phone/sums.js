/* What is worked out between two passes: calc/gudgeon_calc/at_the_lathe.py and student.py once more, name by name. The tests run both on
   the same readings. Lengths are millimetres. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const REFERENCE = 20; // °C, ISO 1
  const SMALLEST_RISK = 1e-6;

  const sizeAt20 = (reading, [part, gauge, ofPart, ofGauge]) =>
    (reading * (1 + ofGauge * (gauge - REFERENCE))) / (1 + ofPart * (part - REFERENCE));
  const gaugeShows = (size, [part, gauge, ofPart, ofGauge], readsHigh) =>
    (size * (1 + ofPart * (part - REFERENCE))) / (1 + ofGauge * (gauge - REFERENCE)) + readsHigh;

  function expandedOfReading(reading, warmth, doubts) {
    const [part, gauge, ofPart, ofGauge] = warmth;
    const byPart = 1 + ofPart * (part - REFERENCE);
    const size = sizeAt20(reading, warmth);
    const byPartTemp = (-size * ofPart) / byPart;
    const byGaugeTemp = (reading * ofGauge) / byPart;
    const share = reading ? size / reading : 1;
    const parts = [
      share * doubts.use,
      (share * doubts.scale) / 2,
      ((byPartTemp + byGaugeTemp) * doubts.thermometer) / Math.sqrt(3),
      (byPartTemp * doubts.uneven * Math.abs(part - gauge)) / Math.sqrt(3),
      (((-size * (part - REFERENCE)) / byPart) * doubts.partCte) / Math.sqrt(3),
    ];
    return 2 * Math.sqrt(parts.reduce((sum, one) => sum + one ** 2, 0));
  }

  function metalOn(side, most, least, low, high) {
    const sign = side === "external" ? 1 : -1;
    const [first, last] = side === "external" ? [high, low] : [low, high];
    const toFirst = sign * (most - first);
    const toLast = sign * (least - last);
    let onDiameter = sign * (most - (low + high) / 2);
    const stopsShort = toFirst < toLast && toLast < onDiameter;
    if (stopsShort) onDiameter = (toFirst + toLast) / 2;
    return { onDiameter, turnTo: most - sign * onDiameter, toFirst, toLast, stopsShort };
  }

  const ask = (law, wanted) => (wanted - law.offset) / law.slope;
  const nextScatter = (law, asked) => law.scatter * Math.sqrt(1 + 1 / law.cuts + (asked - law.middle) ** 2 / law.spread);
  const divisions = (onDiameter, division, reads) => (reads === "radius" ? onDiameter / 2 : onDiameter) / division;

  /* Wichura 1988, algorithm AS 241, as Python's statistics has it. */
  const OF_MIDDLE = [
    [2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457, 13731.693765509461125,
      1971.5909503065514427, 133.14166789178437745, 3.387132872796366608],
    [5226.495278852854561, 28729.085735721942674, 39307.89580009271061, 21213.794301586595867, 5394.1960214247511077,
      687.1870074920579083, 42.313330701600911252, 1],
  ];
  const OF_SIDE = [
    [7.7454501427834140764e-4, 0.0227238449892691845833, 0.24178072517745061177, 1.27045825245236838258, 3.64784832476320460504,
      5.7694972214606914055, 4.6303378461565452959, 1.42343711074968357734],
    [1.05075007164441684324e-9, 5.475938084995344946e-4, 0.0151986665636164571966, 0.14810397642748007459, 0.68976733498510000455,
      1.6763848301838038494, 2.05319162663775882187, 1],
  ];
  const OF_TAIL = [
    [2.01033439929228813265e-7, 2.71155556874348757815e-5, 0.0012426609473880784386, 0.026532189526576123093, 0.29656057182850489123,
      1.7848265399172913358, 5.4637849111641143699, 6.6579046435011037772],
    [2.04426310338993978564e-15, 1.4215117583164458887e-7, 1.8463183175100546818e-5, 7.868691311456132591e-4, 0.0148753612908506148525,
      0.13692988092273580531, 0.59983220655588793769, 1],
  ];
  function normalQuantile(risk) {
    const p = 1 - risk;
    const q = p - 0.5;
    const share = ([over, under], r) => over.reduce((sum, one) => sum * r + one, 0) / under.reduce((sum, one) => sum * r + one, 0);
    if (Math.abs(q) <= 0.425) return share(OF_MIDDLE, 0.180625 - q * q) * q;
    const r = Math.sqrt(-Math.log(q <= 0 ? p : 1 - p));
    const x = r <= 5 ? share(OF_SIDE, r - 1.6) : share(OF_TAIL, r - 5);
    return q < 0 ? -x : x;
  }

  function chanceWithin(angle, degrees) {
    const odd = degrees % 2;
    let term = odd ? Math.cos(angle) : 1;
    let total = 0;
    for (let power = odd; power < degrees - 1; power += 2) {
      total += term;
      term *= (Math.cos(angle) ** 2 * (power + 1)) / (power + 2);
    }
    return odd ? (2 / Math.PI) * (angle + Math.sin(angle) * total) : Math.sin(angle) * total;
  }
  function tQuantile(risk, degrees) {
    let [low, high] = [0, Math.PI / 2];
    for (let turn = 0; turn < 60; turn += 1) {
      const angle = (low + high) / 2;
      if ((1 - chanceWithin(angle, degrees)) / 2 > risk) low = angle;
      else high = angle;
    }
    return Math.sqrt(degrees) * Math.tan(high);
  }

  const landingShift = (risk, law, asked, reading) =>
    Math.hypot(tQuantile(risk, law.cuts - 2) * nextScatter(law, asked), normalQuantile(risk) * reading);
  function chanceOfScrap(toLast, asked, law, reading) {
    const room = toLast - (law.slope * asked + law.offset);
    if (room <= 0) return room < 0 && !(law.scatter || reading) ? 1 : 0.5;
    let [least, most] = [SMALLEST_RISK, 0.5];
    if (room >= landingShift(least, law, asked, reading)) return least;
    for (let turn = 0; turn < 40; turn += 1) {
      const middle = Math.sqrt(least * most);
      if (landingShift(middle, law, asked, reading) > room) least = middle;
      else most = middle;
    }
    return most;
  }

  function taperAlong(sections) {
    const stations = sections.map(([station]) => station);
    if (new Set(stations).size < 2) return null;
    const middle = stations.reduce((sum, one) => sum + one, 0) / stations.length;
    const mean = sections.reduce((sum, [, size]) => sum + size, 0) / sections.length;
    const spread = stations.reduce((sum, one) => sum + (one - middle) ** 2, 0);
    const slope = sections.reduce((sum, [station, size]) => sum + (station - middle) * (size - mean), 0) / spread;
    const length = Math.max(...stations) - Math.min(...stations);
    return { slope, length, overAll: slope * length };
  }

  /* ---- How numbers are said: wording.py ---- */
  const INCH = 25.4;
  const MINUS = "−";
  /* A figure to so many places, halves up, with a true minus and never a negative nought. */
  function number(value, places) {
    const [whole, behind] = Math.abs(value).toFixed(places + 6).split(".");
    const scaled = BigInt(whole + behind);
    const digits = String((scaled + 500000n) / 1000000n).padStart(places + 1, "0");
    const text = places ? `${digits.slice(0, -places)}.${digits.slice(-places)}` : digits;
    return value < 0 && /[1-9]/.test(text) ? MINUS + text : text;
  }
  function probability(share) {
    if (share < 0.001) return "under 0.1 %";
    if (share > 0.999) return "over 99.9 %";
    const percent = share * 100;
    return `${number(percent, percent < 10 || percent > 99 ? 1 : 0)} %`;
  }
  const formatter = (units) => ({
    inch: units === "in",
    size: (mm) => (units === "in" ? `${number(mm / INCH, 4)} in` : `${number(mm, 3)} mm`),
    clearance: (mm) => (units === "in" ? `${number((mm / INCH) * 1000, 1)} thou` : `${number(mm, 3)} mm`),
    station: (mm) => (units === "in" ? `${number(mm / INCH, 2)} in` : `${number(mm, 1)} mm`),
  });

  gudgeon.sums = { sizeAt20, gaugeShows, expandedOfReading, metalOn, ask, divisions, chanceOfScrap, taperAlong, number, probability, formatter, INCH };
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
