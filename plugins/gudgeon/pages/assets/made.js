// The list of parts as one that is asked: by family, size, metal, work and gauge. Without it the whole list stands there.
(() => {
  const form = document.querySelector(".g-made-asked");
  const told = form.querySelector("[role=status]");
  const families = [...document.querySelectorAll(".g-made-family")];
  const number = (text) => (text.trim() === "" ? null : Number(text.trim().replace(",", ".")));

  const show = () => {
    const asked = Object.fromEntries(["family", "metal", "process", "gauge"].map((name) => [name, form.elements[name].value]));
    const wrong = form.elements.wrong.checked;
    const [least, most] = ["least", "most"].map((name) => number(form.elements[name].value));
    if (Number.isNaN(least) || Number.isNaN(most)) {
      told.textContent = "A size is a number, such as 5 or 5.25.";
      return;
    }
    const unit = Number(form.elements.unit.value);
    const grain = 1e-6; // mm: what binary fractions leave decides nothing
    let count = 0;
    for (const family of families) {
      let here = 0;
      for (const part of family.querySelectorAll(".g-made")) {
        const { mm, metal, process, gauge } = part.dataset;
        const sized = (least === null && most === null)
          || (mm !== "" && !(least !== null && mm < least * unit - grain) && !(most !== null && mm > most * unit + grain));
        const fits = sized && (!asked.family || family.dataset.family === asked.family) && (!asked.metal || metal === asked.metal)
          && (!asked.process || process.split("|").includes(asked.process)) && (!asked.gauge || gauge.split("|").includes(asked.gauge))
          && (!wrong || part.dataset.wrong);
        part.hidden = !fits;
        here += fits ? 1 : 0;
      }
      family.hidden = !here;
      count += here;
    }
    const all = !wrong && least === null && most === null && !Object.values(asked).some(Boolean);
    for (const family of families) family.open = !all && count <= 30;
    told.textContent = all ? "" : count === 1 ? "1 part" : count ? `${count} parts` : "No part in these builds is like that.";
  };

  form.addEventListener("input", show);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("reset", () => setTimeout(show));
  form.hidden = false;
  show();
})();
