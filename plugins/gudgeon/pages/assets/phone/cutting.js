/* The pass that a reading follows: what the dial was moved by, on which lathe, with what. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const { at, put, day } = gudgeon.screen;

  /* bench: what the page shows. asked: what is known of each feature. memory: what the phone remembers. */
  gudgeon.cutting = function (bench, asked, memory) {
    put(at("machine"), "option", "which lathe?", { value: "" });
    for (const [id, machine] of Object.entries(bench.machines)) put(at("machine"), "option", `${machine.name} (${id})`, { value: id });

    /* The cut that a reading of a feature follows, or null where none is said. Throws NotClear. */
    function now(ref) {
      const divisions = at("divisions").value.trim();
      const how = asked.features[ref].cut;
      if (!divisions || !how) return null;
      const machine = at("machine").value;
      if (!machine) throw new gudgeon.NotClear("on which lathe was it cut?");
      const [tool, feed] = ["tool", "feed"].map((name) => gudgeon.plain(at(name).value, 100));
      if (!tool || !feed) throw new gudgeon.NotClear("with which tool, and which feed?");
      if (!/^\.?[0-9]\S* ?(?:in|mm|thou)$/.test(feed)) throw new gudgeon.NotClear(`"${feed}": write the feed with its unit, like 0.004 in.`);
      const { text, mm } = gudgeon.asked(divisions, bench.machines[machine]);
      return { divisions, machine, tool, feed, asked: text, operation: how.operation, event: { of: ref, cut: mm, machine, day: day(new Date()) } };
    }

    /* Shows what the phone and the records say of how a feature is cut. */
    function fill(ref) {
      const how = asked.features[ref].cut;
      const remembered = (memory.read().cuts || {})[ref] || {};
      at("cutting").hidden = !how;
      at("divisions").value = "";
      for (const name of ["machine", "tool", "feed"]) at(name).value = (how && (remembered[name] || how[name])) || "";
    }

    /* Remembers how it was cut, for the next pass; the dial is said anew. */
    function keep(ref, { machine, tool, feed }) {
      memory.write({ cuts: { ...memory.read().cuts, [ref]: { machine, tool, feed } } });
      at("divisions").value = "";
    }

    return { now, fill, keep };
  };
})(globalThis);
