/* What is asked before a reading is kept, and never accepted in silence: records/mistyped.py, records/number_doubts.py, entry/doubts.py,
   entry/known.py and entry/against_known.py once more, word by word. The tests run both on the same readings. Lengths in millimetres. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const INCH = 25.4;
  const GRAIN = 1e-6;
  const IRON = 12e-6;
  const [COPIED, LARGE] = [0.03, 5];
  const [WIDE, SMALL, TIMES, PAST, MOVED, ELSEWHERE, COLD] = [2.5, 5, 8, 0.002, 0.002, 0.003, -30];
  const [MIRRORED, WARMER] = [1, 2];

  /* ---- A number by itself ---- */
  const within = (ratio, near) => Math.abs(ratio - 1) <= near;

  function mistyped(feature, read, inInches) {
    const size = feature.expected;
    if (size === null && feature.plausible) return implausible(feature.plausible, read, inInches);
    if (!size || !read) return null;
    const ratio = read / size;
    const inside = (factor) => {
      if (!feature.play || !feature.allowed) return false;
      const [low, high] = feature.allowed;
      return low <= read * factor && read * factor <= high && !(low / 2 <= read && read <= high * 2);
    };
    if (!inInches && (within(ratio * INCH, feature.room) || inside(INCH))) return "inch typed as millimetre";
    if (inInches && (within(ratio / INCH, feature.room) || inside(1 / INCH))) return "millimetre typed as inch";
    const slipped = (factors, near) => factors.flatMap((factor) => [factor, 1 / factor]).find((slip) => within(ratio / slip, near));
    if (slipped([10, 100], feature.room) !== undefined) return "a nought slipped";
    const twice = feature.round ? slipped([2], COPIED) : undefined;
    if (twice !== undefined) return twice < 1 ? "radius for diameter" : "diameter doubled";
    return null;
  }
  function implausible([least, most], read, inInches) {
    const between = (value) => least <= value && value <= most;
    if (between(read)) return null;
    if (between(read / (inInches ? INCH : 1 / INCH))) return inInches ? "millimetre typed as inch" : "inch typed as millimetre";
    return [10, 0.1, 100, 0.01].some((slip) => between(read / slip)) ? "a nought slipped" : null;
  }
  const MEANT = {
    "inch typed as millimetre": (number) => `it would fit as inches: write the unit, ${number}in`,
    "millimetre typed as inch": (number) => `it would fit as millimetres: write the unit, ${number}mm`,
    "radius for diameter": () => "it would fit as a radius: write the diameter",
    "diameter doubled": () => "it is twice that: write one diameter",
    "a nought slipped": () => "a point has slipped",
  };
  const numberOf = (text) => text.slice(0, text.lastIndexOf(" "));
  const unitOf = (text) => text.slice(text.lastIndexOf(" ") + 1);
  const MM_OF = { in: INCH, thou: INCH / 1000, mm: 1, "µm": 0.001, um: 0.001 };
  /* The step of the last digit that a reading was written with, or of its fraction. */
  function smallestStep(text) {
    const number = numberOf(text);
    const step = number.includes("/") ? 1 / Number(number.split("/")[1]) : 10 ** -(number.split(".")[1] || "").length;
    return step * MM_OF[unitOf(text)];
  }

  /* [words, whether the site would hold the reading back] */
  function ofNumbers(feature, gauge, name, reads) {
    const coarse = () => {
      const read = reads.find((one) => smallestStep(one.text) > gauge.step + GRAIN);
      if (!read) return [];
      return read.text.includes("/")
        ? [[`${read.text} is a fraction, and ${name} steps by ${gauge.step_text}: was it read with a rule?`, false]]
        : [[`${read.text} has fewer digits than ${name} shows, which steps by ${gauge.step_text}: was it rounded?`, false]];
    };
    for (const read of reads) {
      const kind = mistyped(feature, read.size, read.inches);
      if (kind) return [[`${read.text} ${feature.far}: ${MEANT[kind](numberOf(read.text))}.`, true]];
    }
    const beyond = reads.flatMap((read) =>
      gauge.reach
        .filter((link) => read.size < link.low - GRAIN || read.size > link.high + GRAIN)
        .map((link) => ({ read, link, spoils: Math.max(link.low - read.size, read.size - link.high) > link.room + GRAIN })),
    );
    const worst = beyond.find((one) => one.spoils) || beyond[0];
    if (!worst) return coarse();
    const reach = `what ${name} can reach (${worst.link.name}: ${worst.link.span})`;
    if (worst.spoils) return [[`${worst.read.text} is outside ${reach}. Another gauge, or another unit?`, true]];
    return [[`${worst.read.text} lies just past ${reach}; it counts, and is told as doubtful.`, false], ...coarse()];
  }
  function inOrder(feature, reads) {
    const size = feature.expected;
    if (size === null || size < LARGE) return [];
    const odd = reads.find((read) => !mistyped(feature, read.size, read.inches) && !within(read.size / size, feature.room));
    return odd ? [[`${odd.text} ${feature.far}.`, false]] : [];
  }

  /* ---- Against what is known of the place ---- */
  function at20(asked, ref, gauge, reads, temps, day) {
    const { cte } = asked.features[ref];
    const one = asked.gauges[gauge];
    const mean = reads.reduce((sum, read) => sum + read.size, 0) / reads.length;
    const rounded = Math.max(...reads.map((read) => smallestStep(read.text))) / 2;
    const ofPart = cte || IRON;
    let unsure = mean * (temps ? Math.hypot(ofPart, one.cte) : 20 * IRON);
    if (temps && !cte) unsure += mean * ofPart * Math.abs(temps[0] - 20);
    const size = temps ? gudgeon.sums.sizeAt20(mean, [...temps, ofPart, one.cte]) : mean;
    return { size, open: Math.sqrt(one.scale ** 2 + one.use ** 2 + unsure ** 2 + rounded ** 2), day, at_20: Boolean(temps) };
  }

  const sameCoordinate = (one, other) => (one === null || other === null ? one === other : Math.abs(one - other) < 5e-5);
  const samePlace = (one, other) => sameCoordinate(one.station, other.station) && sameCoordinate(one.angle, other.angle);

  /* What the records and this phone know of a place. earlier: what was kept here and the records do not have yet. */
  function knownPlace(data, ref, where, earlier) {
    const feature = data.asked.features[ref];
    const places = feature.places.map((place) => ({ ...place }));
    for (const event of earlier) {
      if (event.of !== ref) continue;
      if ("cut" in event) {
        for (const place of places.filter((one) => one.last)) {
          // Of one day a reading without a time may have been taken before the cut or after it.
          const unsure = place.cut_since === null || (place.last.day === event.day && !place.timed);
          place.cut_since = unsure ? null : place.cut_since + event.cut;
          place.came_off = place.cut_since;
          place.may_be_cut = true;
        }
        continue;
      }
      if (!event.known) continue;
      const fresh = {
        station: event.station, angle: event.angle, last: event.known, timed: true, came_off: null, cut_since: 0, may_be_cut: feature.open,
        may_have_moved: feature.depends,
      };
      const at = places.findIndex((place) => samePlace(place, fresh));
      if (at >= 0) places.splice(at, 1);
      places.push(fresh);
    }
    const here = places.find((place) => samePlace(place, where)) || null;
    const state = here && here.last ? here : { last: null, came_off: null, may_be_cut: feature.open, may_have_moved: feature.depends };
    return {
      ...feature, ...state, unit: data.bench.units, read_before: here !== null,
      elsewhere: places.filter((place) => place !== here && place.last).map((place) => place.last),
    };
  }

  const size = (mm, unit) => (unit === "mm" ? `${mm.toFixed(3)} mm` : `${(mm / INCH).toFixed(4)} in`);
  function amount(mm, unit) {
    if (unit === "mm") return `${mm.toFixed(3)} mm`;
    return mm >= INCH ? `${(mm / INCH).toFixed(3)} in` : `${(mm / 0.0254).toFixed(1).replace(/\.0$/, "")} thou`;
  }
  const number = (value) => value.toFixed(4).replace(/0+$/, "").replace(/\.$/, "");
  const MONTHS = "January February March April May June July August September October November December".split(" ");
  function dayWords(day, today) {
    const [year, month, date] = day.split("-").map(Number);
    return `${date} ${MONTHS[month - 1]}${day.slice(0, 4) === today.slice(0, 4) ? "" : ` ${year}`}`;
  }
  const among = (value, planned) => planned.some((one) => Math.abs(value - one) <= 1e-3);

  /* A hint where two neighbouring figures, put the other way round, bring the first reading to what it is meant to be. */
  function swapped(line, meant, loose) {
    const [text, unit] = [numberOf(line.texts[0]), unitOf(line.texts[0])];
    const factor = { in: INCH, mm: 1 }[unit];
    if (factor === undefined || text.includes("/")) return "";
    const shift = line.now.size - line.reads[0];
    for (let at = 0; at < text.length - 1; at += 1) {
      const other = text.slice(0, at) + text[at + 1] + text[at] + text.slice(at + 2);
      if (other === text || text.slice(at, at + 2).includes(".")) continue;
      if (Math.abs(Number(other) * factor + shift - meant) <= Math.max(loose, 5 * line.step)) return `. Two figures the other way round, ${other}, would fit`;
    }
    return "";
  }

  function past(now, known) {
    if (known.outside && known.least !== null) return now < known.least ? `past its least size ${size(known.least, known.unit)}` : "";
    if (!known.outside && known.most !== null) return now > known.most ? `past its greatest size ${size(known.most, known.unit)}` : "";
    if (known.wanted === null) return "";
    const by = known.outside ? known.wanted - now : now - known.wanted;
    return by > PAST * known.wanted ? `${amount(by, known.unit)} past its ${size(known.wanted, known.unit)}` : "";
  }

  function small(line, known) {
    const wanted = known.most !== null ? known.most : known.wanted;
    if (!wanted || wanted >= SMALL || !line.now.size) return null;
    const ratio = line.now.size / wanted;
    if ((1 / TIMES <= ratio && ratio <= TIMES) || (known.least === 0 && ratio < 1)) return null;
    const times = ratio > 1 ? `${ratio.toFixed(0)} times` : `1/${(1 / ratio).toFixed(0)} of`;
    const first = line.texts[0].split(" ")[0];
    return `${line.texts[0]} is ${times} the ${size(wanted, known.unit)} of ${line.ref}${ratio > 100 ? `; ${first} thou would be written ${first}thou` : ""}`;
  }

  function elsewhere(line, known) {
    if (!known.elsewhere.length || line.now.size < SMALL) return null;
    const off = (reading) => Math.abs(reading.size - line.now.size);
    const nearest = known.elsewhere.reduce((best, one) => (off(one) < off(best) ? one : best));
    const apart = line.now.size - nearest.size;
    const cutTo = known.may_be_cut && known.outside !== null && apart < 0 === known.outside;
    if (Math.abs(apart) <= ELSEWHERE * nearest.size || (cutTo && !past(line.now.size, known))) return null;
    const slip = swapped(line, nearest.size, ELSEWHERE * nearest.size);
    const words = `the nearest size read of ${line.ref} elsewhere was ${size(nearest.size, known.unit)} on ${dayWords(nearest.day, line.now.day)}`;
    return `${words}: this is ${amount(Math.abs(apart), known.unit)} ${apart > 0 ? "more" : "less"}${slip}`;
  }

  function ofSize(line, known) {
    const { now } = line;
    const { last } = known;
    const tiny = small(line, known);
    if (tiny || last === null) return tiny || elsewhere(line, known);
    const more = now.size - last.size;
    const loose = Math.sqrt(now.open ** 2 + last.open ** 2);
    const was = `was ${size(last.size, known.unit)}${last.at_20 ? " at 20 °C" : ""} on ${dayWords(last.day, now.day)}`;
    const differs = `${was}: ${amount(Math.abs(more), known.unit)} ${more > 0 ? "more" : "less"}`;
    const slip = swapped(line, last.size, loose);
    if (known.outside === null) {
      if (Math.abs(more) > loose && !known.may_be_cut && !known.may_have_moved) return `${differs}; nothing is written that changed it since${slip}`;
      return null;
    }
    const on = known.outside ? more : -more;
    if (on > loose) {
      if (!known.may_have_moved || on > MOVED * last.size) return `${differs}; cutting does not ${known.outside ? "add metal" : "close it"}${slip}`;
      return null;
    }
    if (-on <= loose) return null;
    if (!known.may_be_cut) return `${differs}; nothing is written to have come off since${slip}`;
    if (known.came_off !== null && -on > 1.5 * known.came_off + loose) return `${differs}; the cuts since took ${amount(known.came_off, known.unit)}${slip}`;
    const gone = past(now.size, known);
    return gone ? `${differs}, and ${gone}${slip}` : null;
  }

  function ofSpread(line, known) {
    const apart = Math.max(...line.reads) - Math.min(...line.reads);
    if (apart <= WIDE * Math.max(line.use, line.step) + 1e-9) return null;
    return `the readings are ${amount(apart, known.unit)} apart; ${line.gauge} repeats to ${amount(line.use, known.unit)}`;
  }

  function ofPlace(line, known) {
    if (known.read_before) return null;
    const { station, angle } = line;
    const oddStation = station !== null && known.stations.length > 0 && !among(station, known.stations);
    const oddAngle = angle !== null && known.angles.length > 0 && !among(angle, known.angles);
    if (!oddStation && !oddAngle) return null;
    const unit = known.unit === "in" ? INCH : 1;
    if (station !== null && angle !== null && among(angle * unit, known.stations) && among(station / unit, known.angles))
      return `station and angle look swapped: planned are station ${number(angle)} ${known.unit} and angle ${number(station / unit)}`;
    const planned = [];
    if (oddStation) planned.push(`stations ${known.stations.map((one) => number(one / unit)).join(", ")} ${known.unit}`);
    if (oddAngle) planned.push(`angles ${known.angles.map(number).join(", ")}`);
    return `this place is not planned and was not read before; planned: ${planned.join("; ")}`;
  }

  /* The same reading once more: a tap that came twice, or a row that another tab has. */
  function ofTwice(event, earlier) {
    const same = (other) =>
      other.of === event.of && other.day === event.day && other.gauge === event.gauge && samePlace(other, event) && String(other.reads) === String(event.reads);
    const twin = earlier.find(same);
    return twin ? `row ${twin.id} of that day says the same: was it entered twice?` : null;
  }

  /* A phone's clock is not asked for, so it has to be held against something. */
  function ofClock(day, newest) {
    return newest !== null && day < newest ? `this phone says that today is ${day}, and the records go on to ${newest}: is its clock right?` : null;
  }

  function ofTemperatures(temps, hot) {
    const odd = (temps || []).find((one) => one >= hot || one < COLD);
    if (odd === undefined) return null;
    return `${number(Math.round(odd * 10) / 10)} °C is ${odd >= hot ? "hotter than a hand holds" : "colder than any shop"}`;
  }

  /* Temperatures of part and gauge the other way round than all of the day, on this phone and in the records. */
  function ofSwappedWarmth(temps, event, asked, earlier) {
    if (!temps || Math.abs(temps[0] - temps[1]) < WARMER) return null;
    const noted = asked.warmth && asked.warmth.day === event.day ? asked.warmth.pairs : [];
    const here = earlier.filter((one) => one.day === event.day && Number.isFinite(one.part_temp) && Number.isFinite(one.gauge_temp));
    const others = [...noted, ...here.map((one) => [one.part_temp, one.gauge_temp])];
    if (others.some(([part, gauge]) => (part - gauge) * (temps[0] - temps[1]) > 0)) return null;
    const twin = others.find(([part, gauge]) => Math.max(Math.abs(part - temps[1]), Math.abs(gauge - temps[0])) <= MIRRORED);
    if (!twin) return null;
    const [part, gauge] = twin.map((temp) => number(Math.round(temp * 10) / 10));
    return `the day's other readings have the part at ${part} °C and the gauge at ${gauge} °C: are they swapped here?`;
  }

  const ofPressed = (line, known) =>
    known.pressed_by === null ? null : `${known.pressed_by} pressed ${line.ref} into its mate, where no gauge reaches: was another feature read?`;

  /* Everything to ask of a reading. Gives the words, and what the phone knows of the place from now on. event: as answer() takes it;
     texts, inches: of its readings as they were written. */
  function doubts(data, event, texts, inches, earlier) {
    const gauge = data.asked.gauges[event.gauge];
    const feature = data.asked.features[event.of];
    const reads = event.reads.map((one, at) => ({ size: one, text: texts[at], inches: inches[at] }));
    const temps = event.part_temp === null || event.gauge_temp === null ? null : [event.part_temp, event.gauge_temp];
    const now = at20(data.asked, event.of, event.gauge, reads, temps, event.day);
    const line = { reads: event.reads, texts, now, use: gauge.use, step: gauge.step, station: event.station, angle: event.angle, ref: event.of, gauge: event.gauge };
    const known = knownPlace(data, event.of, event, earlier);
    const ofReads = [...ofNumbers(feature, gauge, event.gauge, reads), ...inOrder(feature, reads)];
    const warmth = [ofTemperatures(temps, data.asked.hot), ofSwappedWarmth(temps, event, data.asked, earlier)];
    const off = gauge.found_off && gauge.found_off.day === event.day ? gauge.found_off.words : null;
    const told = [...warmth, off, ofTwice(event, earlier), ofPressed(line, known), ofSize(line, known), ofSpread(line, known), ofPlace(line, known), ofClock(event.day, data.bench.as_of)];
    return { words: [...ofReads.map(([words, spoils]) => (spoils ? `${words} As it stands it would count for nothing.` : words)), ...told.filter(Boolean)], known: now };
  }

  gudgeon.doubts = doubts;
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
