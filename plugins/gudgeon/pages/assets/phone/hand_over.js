/* The part of the page that shows what is kept on this phone, and hands it over: as a file, as text, or on the forge's own page. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  const { at, put, empty, day, entries, twice, copy } = gudgeon.screen;

  /* data: what the page was built with. queue: what is kept. */
  gudgeon.handOver = function (data, queue) {
    const bench = data.shown;
    let shown = null; // the ids that the open panel hands over

    function alarm() {
      const box = at("alarm");
      empty(box);
      if (!queue.unkept.length) return;
      const reason = queue.why === "QuotaExceededError" ? "its storage is full" : "the browser keeps nothing here, as in a private window";
      put(box, "p", `${entries(queue.unkept.length)} not kept by this phone: ${reason}. Nothing is lost while this page stays open: hand over now.`);
      const again = async () => {
        await queue.tryAgain();
        await show();
      };
      put(box, "button", "Try to keep it again", { type: "button", class: "key wide", onclick: again });
    }

    function line(list, one) {
      const item = put(list, "li", null, { "data-id": one.id });
      if (queue.unkept.some((other) => other.id === one.id)) {
        item.className = "lost";
        put(item, "p", "Not kept by this phone yet.");
      }
      if (one.row) {
        const answer = one.cut ? 2 : 1; // what stands before it tells the cut and the reading
        one.says.slice(0, answer).forEach((words, index) => put(item, "p", index ? words : `${one.id}: ${words}`));
        if (one.says[answer]) put(item, "p", one.says[answer], { class: "answer" });
        if (one.doubts.length) put(item, "p", `Kept with a doubt: ${one.doubts.join(" ")}`);
      } else {
        const operation = bench.operations.find((other) => other.id === one.operation);
        const took = one.minutes ? `, ${one.minutes} min` : "";
        put(item, "p", `Finished: ${operation ? `${operation.does} (${one.operation})` : one.operation}${took}${one.what ? `: ${one.what}` : ""}`);
      }
      return item;
    }

    async function show() {
      const all = await queue.all();
      alarm();
      at("queue").hidden = !all.length;
      const open = all.filter((one) => !one.handed);
      at("count").textContent = open.length ? `${entries(open.length)} not handed over.` : "All of it was handed over.";
      at("hand-over").hidden = !open.length;
      const list = at("rows");
      empty(list);
      for (const one of open.reverse()) {
        const remove = async () => {
          await queue.remove([one.id]);
          closePanel();
          await show();
        };
        twice(line(list, one), "Delete", "Delete for good?", remove);
      }
      const handed = new Map();
      for (const one of all.filter((other) => other.handed)) handed.set(one.file, [...(handed.get(one.file) || []), one]);
      showHanded(handed);
    }

    function showHanded(handed) {
      const batches = at("batches");
      empty(batches);
      for (const [file, of_file] of handed) {
        const { how, when } = of_file[0].handed;
        const box = put(batches, "details", null, { class: "batch" });
        put(box, "summary", `${entries(of_file.length)} ${how}, ${when}`);
        put(box, "p", file);
        const items = put(box, "ol", null, { class: "rows" });
        for (const one of of_file) line(items, one);
        put(box, "button", "Hand over again", { type: "button", class: "key", onclick: () => panel(of_file, file) });
        const remove = async () => {
          await queue.remove(of_file.map((one) => one.id));
          closePanel();
          await show();
        };
        twice(box, "Delete from this phone", "Is it in the records? Then delete", remove);
      }
    }

    function closePanel() {
      empty(at("panel"));
      at("panel").hidden = true;
      shown = null;
    }

    /* What a panel offers for one file of entries. */
    function panel(of_file, file) {
      const box = at("panel");
      empty(box);
      box.hidden = false;
      shown = of_file.map((one) => one.id);
      const rows = of_file.some((one) => one.row && !one.cut);
      const name = rows ? file : file.replace(/yaml$/, "txt");
      const text = gudgeon.fileText(bench.build, of_file, data.bench.features);
      const mark = async (how) => {
        const now = new Date();
        await queue.mark(shown, file, how, `${day(now)} ${gudgeon.screen.hour(now)}`);
        await show();
        at("handed").textContent = `Marked as ${how}. It stays on this phone until you delete it.`;
      };
      if (rows) put(box, "p", `It belongs into ${bench.path}/readings/${file}.`);
      if (of_file.some((one) => one.operation || one.cut))
        put(box, "p", "A cut and a finished operation change files that are there already. The commands that write them down go with this text.");
      if (rows && data.forge) offerForge(box, `readings/${file}`, text, mark);
      offerFile(box, name, text, mark);
      const area = put(box, "textarea", null, { readonly: "", "aria-label": "Text of the file", rows: "8" });
      area.value = text;
      const copied = async () => {
        if (await copy(text)) return mark("copied as text");
        area.focus();
        area.select();
        at("handed").textContent = "This browser would not copy it. The text is marked: copy it with the phone's own menu.";
      };
      put(box, "button", "Copy the text", { type: "button", class: "key wide", onclick: copied });
      put(box, "p", "", { id: "handed", role: "status" });
      box.scrollIntoView({ block: "start" });
    }

    function offerForge(box, path, text, mark) {
      const { address, fits } = gudgeon.newFileAddress(data.forge, path, text);
      if (!fits) {
        put(box, "p", "This is too much for the address of the forge's page. Hand it over as a file, or fewer readings at a time.");
        return;
      }
      const opened = () => {
        copy(text);
        mark("opened on the forge, whether it was sent is not known");
      };
      put(box, "a", "Make a request", { class: "key wide main", href: address, target: "_blank", rel: "noopener noreferrer", onclick: opened });
      put(box, "p", data.forge.told, { class: "notice" });
    }

    function offerFile(box, name, text, mark) {
      const made = new File([text], name, { type: "text/plain" });
      const share = async () => {
        try {
          await navigator.share({ files: [made], title: name });
          await mark("shared as a file");
        } catch (problem) {
          if (problem.name !== "AbortError") at("handed").textContent = "This phone would not share it. Save it as a file instead.";
        }
      };
      if (navigator.canShare && navigator.canShare({ files: [made] }))
        put(box, "button", "Share as a file", { type: "button", class: "key wide", onclick: share });
      const save = () => {
        const link = put(document.body, "a", null, { href: URL.createObjectURL(made), download: name, hidden: "" });
        link.click();
        setTimeout(() => {
          URL.revokeObjectURL(link.href);
          link.remove();
        }, 60000);
        mark("saved as a file");
      };
      put(box, "button", "Save as a file", { type: "button", class: "key wide", onclick: save });
    }

    at("hand-over").addEventListener("click", async () => {
      const file = `${day(new Date())}-phone-${gudgeon.letters(6)}.yaml`;
      panel(await queue.gather(file), file);
      await show();
    });
    return show;
  };
})(globalThis);
