// The list of parts as one that is asked: by family, size, metal, work and gauge. Without it the whole list stands there.
(() => {
  const box = document.querySelector(".g-made-asked");
  const told = box.querySelector("[role=status]");
  const field = (name) => box.querySelector(`[name=${name}]`);
  const families = [...document.querySelectorAll(".g-made-family")];
  const number = (text) => (text.trim() === "" ? null : Number(text.trim().replace(",", ".")));

  const show = () => {
    const asked = Object.fromEntries(["family", "metal", "process", "gauge"].map((name) => [name, field(name).value]));
    const wrong = field("wrong").checked;
    const [least, most] = ["least", "most"].map((name) => number(field(name).value));
    if (Number.isNaN(least) || Number.isNaN(most)) {
      told.textContent = "A size is a number, such as 5 or 5.25.";
      return;
    }
    const unit = Number(field("unit").value);
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

  const reset = () => {
    for (const one of box.querySelectorAll("select")) one.selectedIndex = 0;
    for (const name of ["least", "most"]) field(name).value = "";
    field("wrong").checked = false;
    show();
  };

  box.addEventListener("input", show);
  box.querySelector("button").addEventListener("click", reset);
  box.hidden = false;
  show();
})();
