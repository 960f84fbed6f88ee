/* The answer to a reading at the machine: gudgeon/bench/places.py and answer.py once more, name by name and word by word. The tests run
   both on the same readings. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const { sizeAt20, gaugeShows, expandedOfReading, metalOn, ask, divisions, chanceOfScrap, taperAlong, number, probability, formatter, INCH } =
    gudgeon.sums;
  const NEAR = 1e-4; // mm and degrees
  const GRAIN = 1e-7; // mm

  /* ---- places.py ---- */
  const samePlace = (one, other) => [0, 1].every((at) => (one[at] === null) === (other[at] === null) && Math.abs((one[at] || 0) - (other[at] || 0)) <= NEAR);

  function readsHigh(gauge, day) {
    const off = gauge.off;
    return off === null || day < off.since || (off.until !== null && day >= off.until) ? 0 : off.by;
  }

  function thermometerOf(data, gauge, said) {
    const name = said || data.thermometer;
    if (name) return data.thermometers[name];
    return gauge.thermometer === null ? data.usual_thermometer : gauge.thermometer;
  }

  function sized(data, reading) {
    const feature = data.features[reading.of];
    const gauge = data.gauges[reading.gauge];
    const read = reading.reads.reduce((sum, one) => sum + one, 0) / reading.reads.length;
    const high = readsHigh(gauge, reading.day);
    const part = reading.part_temp ?? null;
    const of_gauge = reading.gauge_temp ?? null;
    if (part === null || of_gauge === null || gauge.vee !== null) return { read, size: null, expanded: null, high };
    const warmth = [part, of_gauge, feature.part_cte, gauge.cte];
    const doubts = {
      use: gauge.use, scale: gauge.scale, thermometer: thermometerOf(data, gauge, reading.thermometer), uneven: data.uneven,
      partCte: feature.part_cte_within || 0,
    };
    return { read, size: sizeAt20(read - high, warmth), expanded: expandedOfReading(read - high, warmth, doubts), high };
  }

  const nothing = () => ({ places: [], guessed: null });
  function placeOf(data, event, metal) {
    const angle = data.gauges[event.gauge].contacts === 3 ? null : event.angle ?? null;
    const place = [event.station ?? null, angle];
    const known = metal.places.find((one) => samePlace(one.at, place));
    return known ? known.at : place;
  }

  function cameOff(data, ref, event, known, taken) {
    if (!known) return null;
    const off = data.features[ref].decides === "least" ? taken.size - known.size : known.size - taken.size;
    const scales = new Set([...known.hands].map((hand) => data.gauges[hand.split("\n")[0]].scale_of));
    const gauge = data.gauges[event.gauge];
    const shared = scales.size === 1 && scales.has(gauge.scale_of) ? gauge.scale : 0;
    const both = Math.max(0, taken.expanded ** 2 - shared ** 2) + Math.max(0, known.doubt ** 2 - shared ** 2);
    return off > Math.sqrt(both) + GRAIN ? off : null;
  }

  function metalOf(data, ref, events) {
    let metal = nothing();
    for (const place of data.features[ref].places) {
      const hands = new Set(place.gauges.flatMap((gauge) => place.by.map((by) => `${gauge}\n${by}`)));
      metal.places.push({ at: [place.station, place.angle], size: place.size, rows: place.rows.length, doubt: place.expanded, hands, several: false });
    }
    for (const event of events) {
      if (event.of !== ref) continue;
      if ("cut" in event) {
        metal = nothing();
        continue;
      }
      const taken = sized(data, event);
      if (taken.size === null) continue;
      const at = placeOf(data, event, metal);
      let known = metal.places.find((one) => one.at === at);
      const off = cameOff(data, ref, event, known, taken);
      if (off !== null) {
        metal = nothing();
        metal.guessed = off;
        known = undefined;
      }
      const hand = `${event.gauge}\n${event.by}`;
      if (!known) {
        known = { at, size: 0, rows: 0, doubt: 0, hands: new Set([hand]), several: false };
        metal.places.push(known);
      }
      if (known.hands.size === 1 && known.hands.has(hand)) known.size = (known.size * known.rows + taken.size) / (known.rows + 1);
      else [known.size, known.several] = [taken.size, true];
      known.rows += 1;
      known.hands.add(hand);
      known.doubt = taken.expanded;
    }
    return metal;
  }

  /* ---- answer.py ---- */
  function answer(data, events) {
    const reading = events[events.length - 1];
    const feature = data.features[reading.of];
    const gauge = data.gauges[reading.gauge];
    const fmt = formatter(data.units);
    const taken = sized(data, reading);
    if (gauge.vee !== null) return [`${fmt.clearance(taken.read)} of movement over the vee: no size, and nothing to go by it.`];
    if (taken.size === null)
      return [`${fmt.size(taken.read)} as read; without the temperatures of part and gauge its size at 20 °C, what is to go and what the gauge will show are not known.`];
    const metal = metalOf(data, reading.of, events);
    const at = placeOf(data, reading, metal);
    const here = metal.places.find((one) => one.at === at);
    const parts = [`${fmt.size(here.size)} at 20 °C`];
    const held = outOfReach(data, gauge, reading.gauge, taken, fmt);
    if (held) return [`${parts[0]}, which does not count.`, held];
    const cut = events.filter((event) => event.of === reading.of && "cut" in event).pop();
    const lathe = latheOf(data, feature, cut ? cut.machine : null);
    const more = [];
    if (feature.state === "frozen") more.push("What is read now is not the size that its fit was made with.");
    const pressed = feature.state === "frozen";
    if (feature.target === null || feature.side === null || pressed) {
      parts.push(againstLimits(feature, metal, taken));
      if (pressed) parts.push("nothing to cut: it was pressed since");
      else if (feature.side !== null || feature.limits === null) parts.push(`nothing to cut to: ${feature.no_target}`);
    } else tellCut(more, parts, { data, feature, reading, metal, taken, lathe, gauge }, fmt);
    const line = `${parts.filter(Boolean).join("; ")}.`;
    return [line, ...more, ...ofPlaces(data, feature, metal, fmt, lathe), ...ofReading(data, reading, gauge, taken, metal, here, fmt)];
  }

  function latheOf(data, feature, machine) {
    const names = Object.keys(data.machines);
    const plan = feature.plan;
    const name = machine || (plan ? plan.machine : null) || (names.length === 1 ? names[0] : null);
    if (!name) return { missing: names.length ? "no lathe is named, so no divisions" : "no lathe is written down, so no divisions", law: null };
    const dial = data.machines[name];
    const law = plan && plan.machine === name ? plan.law : null;
    return { missing: "", law, division: dial.division, reads: dial.reads };
  }

  function tellCut(more, parts, cut, fmt) {
    const { feature, lathe, gauge, reading } = cut;
    const { target, plan } = feature;
    const outside = feature.side === "external";
    const sizes = cut.metal.places.map((one) => one.size);
    const [least, most] = [Math.min(...sizes), Math.max(...sizes)];
    const deciding = outside ? most : least;
    const on = metalOn(feature.side, deciding, outside ? least : most, target.low, target.high);
    const standard = (target.gauges.includes(reading.gauge) ? target.expanded : Math.max(target.expanded, cut.taken.expanded)) / 2;
    const left = plan ? plan.left_on : 0;
    const toGo = on.onDiameter - left;
    const sign = outside ? 1 : -1;
    if (target.provisional) more.push("What is wanted may still move: its mate is not final.");
    if (on.toLast < -GRAIN) {
      let past = fmt.clearance(-on.toLast);
      past = isMore(past) ? `${past} past` : "just past";
      const sure = -on.toLast >= 2 * standard;
      parts.push(`${past} the last limit, ${target.shown[outside ? 0 : 1]}: ${sure ? "scrap" : "it reads scrap, within what the reading leaves open"}`);
      return;
    }
    if (on.toFirst <= GRAIN && !left) {
      const room = Math.min(-on.toFirst, on.toLast);
      parts.push(`${room >= 2 * standard - GRAIN ? "inside" : "reads inside"} what is wanted, ${target.shown.join(" to ")}${whereRead(feature, cut.metal)}`);
      const off = fmt.clearance(Math.abs(toGo));
      if (Math.abs(toGo) > GRAIN) parts.push(isMore(off) ? `${off} ${toGo > 0 ? "to" : "past"} the middle` : "in the middle of it");
      more.push(noMore(on, plan, fmt));
      return;
    }
    const final = on.turnTo + sign * left;
    if (toGo <= GRAIN) {
      parts.push(`down to what ${plan.operation} leaves on, ${fmt.clearance(left)}`);
      return;
    }
    let stop = final;
    for (const one of plan ? plan.stops : []) {
      if (one.kind !== "spring" && sign * (deciding - one.size_after) >= Math.max(one.on_diameter / 2, GRAIN)) {
        stop = outside ? Math.max(one.size_after, final) : Math.min(one.size_after, final);
        break;
      }
    }
    const takes = sign * (deciding - stop);
    parts.push(`${fmt.clearance(toGo)} to go${left ? ` in ${plan.operation}, which leaves ${fmt.clearance(left)}` : ""}`);
    if (Math.abs(takes - toGo) > GRAIN) parts.push(`next cut ${fmt.clearance(takes)} to ${fmt.size(stop)}`);
    const inOneCut = plan !== null || takes <= 2 * cut.data.usual_depth + GRAIN;
    if (inOneCut && takes > on.toLast + GRAIN) {
      const [differ, wide] = [fmt.clearance(most - least), fmt.clearance(target.high - target.low)];
      parts.push(`no straight cut brings all places inside: they differ by ${differ}, and what is wanted is ${wide} wide`);
      more.push(noMore(on, plan, fmt));
      return;
    }
    parts.push(inOneCut ? setting(lathe, takes) : "no operation says in which passes, so no divisions");
    const shows = gaugeShows(stop, [reading.part_temp, reading.gauge_temp, feature.part_cte, gauge.cte], cut.taken.high);
    parts.push(`your ${gauge.spoken} will show ${fmt.size(shows)} there now`);
    if (on.stopsShort) more.push(`It stops short of the middle, because the taper would make scrap of the ${outside ? "smallest" : "largest"} place.`);
    more.push(noMore(on, plan, fmt));
    const open = Object.entries(cut.data.operations).filter(([, operation]) => operation.changes.includes(reading.of)).map(([name]) => name);
    if (!left && open.length > 1)
      more.push(`To the finished size: ${open.join(", ")} have still to cut it, and what ${open[0]} leaves on is not written.`);
    more.push(chance(cut.data, lathe, plan, on, takes, standard));
  }

  const asked = (lathe, takes) => (lathe.law ? ask(lathe.law, takes) : takes);
  function setting(lathe, takes) {
    if (lathe.missing) return lathe.missing;
    if (asked(lathe, takes) <= 0) return "no infeed: the tool takes that as it stands";
    const words = `${number(divisions(asked(lathe, takes), lathe.division, lathe.reads), 1)} divisions${lathe.reads === "radius" ? " on the radius" : ""}`;
    return lathe.law ? words : `${words} if the dial takes what it says`;
  }

  function chance(data, lathe, plan, on, takes, standard) {
    if (lathe.law === null) {
      const alike = plan ? plan.cuts_alike || 0 : 0;
      const logged = `${alike || "no"} ${alike < 2 ? "cut like it is" : "cuts like it are"} logged, ${data.few_cuts} are needed`;
      const known = plan ? logged : "no open operation says how it is cut";
      return `What the dial really takes is not known (${known}), so the chance of passing scrap is not worked out.`;
    }
    const share = chanceOfScrap(on.toLast, Math.max(0, asked(lathe, takes)), lathe.law, standard);
    if (share >= 0.5) return "At this setting it is as likely as not that it passes scrap, or likelier.";
    return `Chance of passing scrap at this setting: ${share < 0.001 ? "" : "at most "}${probability(share)}.`;
  }

  function noMore(on, plan, fmt) {
    const room = fmt.clearance(on.toLast);
    const scrap = isMore(room) ? `past ${room} on diameter some place read is scrap` : "any more makes scrap of some place read";
    if (plan === null) return `${scrap[0].toUpperCase()}${scrap.slice(1)}.`;
    let most = on.toLast - (plan.held_back || 0);
    if (plan.left_on) most = Math.min(most, on.onDiameter - plan.left_on);
    return `Take no more${most > GRAIN ? ` than ${fmt.clearance(most)}` : ""}: ${scrap}.`;
  }

  // How many of the planned places were not read in this state of the metal.
  function notRead(feature, metal) {
    const covers = (at, planned) => samePlace([planned[0] === null ? null : at[0], planned[1] === null ? null : at[1]], planned);
    return feature.planned.filter((planned) => !metal.places.some((one) => covers(one.at, planned))).length;
  }

  const whereRead = (feature, metal) => (notRead(feature, metal) ? ", where it was read" : "");

  function againstLimits(feature, metal, taken) {
    if (feature.limits === null) return "";
    const [low, high] = feature.limits;
    const sizes = metal.places.map((one) => one.size);
    const room = Math.min(Math.min(...sizes) - low, high - Math.max(...sizes));
    const sure = Math.abs(room) >= taken.expanded - GRAIN ? "" : "reads ";
    return `${sure}${room >= -GRAIN ? "inside" : "outside"} its limits, ${feature.limits_shown.join(" to ")}${whereRead(feature, metal)}`;
  }

  function ofPlaces(data, feature, metal, fmt, lathe) {
    const words = [];
    const rest = notRead(feature, metal);
    const done = feature.planned.length - rest;
    if (rest > 0) words.push(`${done} of ${feature.planned.length} planned places read; ${rest === 1 ? "the other is" : "the others are"} not known.`);
    if (feature.target !== null && metal.places.length >= data.few_places)
      words.push(`By the single readings: from ${data.few_places} places on the pages go by the surface through them.`);
    const sections = new Map();
    for (const { at, size } of metal.places) if (at[0] !== null) sections.set(at[0], [...(sections.get(at[0]) || []), size]);
    const means = [...sections].sort((a, b) => a[0] - b[0]).map(([station, sizes]) => [station, sizes.reduce((sum, one) => sum + one, 0) / sizes.length]);
    const taper = taperAlong(means);
    if (taper === null || Math.abs(taper.overAll) < data.least_taper) return words;
    const large = taper.slope > 0 ? means[means.length - 1][0] : means[0][0];
    let said = `Taper ${fmt.clearance(Math.abs(taper.overAll))} in ${fmt.station(taper.length)}, larger at station ${fmt.station(large)}`;
    if (!lathe.missing && feature.side !== null) {
      const turned = divisions(Math.abs(taper.slope) * (fmt.inch ? INCH : 10), lathe.division, lathe.reads);
      said += `: ${number(turned, 2)} divisions ${fmt.inch ? "an inch" : "every 10 mm"} along the cut`;
    }
    words.push(`${said}.`);
    const angles = means.map(([station]) => metal.places.filter(({ at }) => at[0] === station).map(({ at }) => String(at[1])).sort().join());
    if (new Set(angles).size > 1) words.push("Not the same angles were read at every station: part of that may be ovality.");
    return words;
  }

  function ofReading(data, reading, gauge, taken, metal, here, fmt) {
    const words = [];
    if (metal.guessed !== null)
      words.push(`${fmt.clearance(metal.guessed)} less metal than before at this place: taken as read after a cut that is not written down. The places read before it no longer count.`);
    if (here.rows > 1)
      words.push(
        here.several
          ? "Several gauges or people read this place: the pages weigh their readings, and this is the newest alone."
          : `The mean of ${here.rows} readings at this place in this state of the metal; this one alone is ${fmt.size(taken.size)}.`,
      );
    if (taken.high)
      words.push(`${reading.gauge} is known to read ${fmt.clearance(Math.abs(taken.high))} ${taken.high > 0 ? "high" : "low"}: taken out of the size, and left in what it will show.`);
    for (const [name, due] of gauge.checks_due) if (reading.day > due) words.push(`The check of ${name} is overdue: it was due on ${due}.`);
    if (gauge.never_checked) words.push(`${gauge.scale_of} was never checked against anything: what it shows is not known to be true.`);
    const apart = Math.abs(reading.part_temp - reading.gauge_temp);
    const off = Math.abs(reading.part_temp - 20);
    const soak = data.limits_of_soak;
    if (apart > soak.gap + GRAIN || off > soak.part + GRAIN)
      words.push(`${apart > soak.gap + GRAIN ? `Part and gauge are ${kelvin(apart)} apart` : `The part is ${kelvin(off)} off 20 °C`}: let them soak before the last cut.`);
    return words;
  }

  const isMore = (amount) => Number(amount.split(" ")[0]) !== 0;
  const kelvin = (difference) => `${number(difference, 1).replace(/\.0$/, "")} °C`;

  function outOfReach(data, gauge, name, taken, fmt) {
    if (gauge.low === null || gauge.high === null) return "";
    const past = Math.max(gauge.low - taken.read, taken.read - gauge.high);
    if (past <= data.past_end * (gauge.high - gauge.low) + GRAIN) return "";
    return `${name} reaches from ${fmt.size(gauge.low)} to ${fmt.size(gauge.high)}: was it another gauge, or another unit?`;
  }

  Object.assign(gudgeon, { answer, sized, metalOf });
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
