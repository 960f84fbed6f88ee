// The slider of a fit: moves the walls of one drawing from one temperature that the page gives to the next. At each of them the words
// are the page's own; between two of them both temperatures and the clearance go in a straight line, as the sum itself does.
const say = (value, places) => value.toFixed(places).replace(/^-(?=.*[1-9])/, "\u2212").replace(/^-/, "");
const move = (box, stops, at) => {
  const first = Math.min(Math.floor(at / 100), stops.length - 2);
  const share = at / 100 - first;
  const [from, to] = [stops[first], stops[first + 1]];
  const between = (name) => from[name] + (to[name] - from[name]) * share;
  const { unit, per, places, side } = box.dataset;
  const gap = between("gap");
  for (const wall of box.querySelectorAll("[data-wall]"))
    wall.setAttribute("transform", `translate(${(wall.dataset.wall * side * (gap - stops[0].gap)).toFixed(2)} 0)`);
  for (const overlap of box.querySelectorAll("[data-overlap]")) {
    const wide = Math.max(-gap * side, 0);
    overlap.setAttribute("width", wide.toFixed(2));
    overlap.setAttribute("x", (overlap.dataset.overlap < 0 ? +overlap.dataset.face : overlap.dataset.face - wide).toFixed(2));
  }
  if (share === 0 || share === 1) return (share ? to : from).said;
  const temperatures = ["outer", "inner"].map((part) => say(between(part), 0)).join(" / ");
  return `between “${from.name}” and “${to.name}”: about ${say(gap / per, +places)} ${unit}; ${temperatures} °C`;
};
for (const box of document.querySelectorAll(".g-slide")) {
  const [slider, output] = [box.querySelector("input"), box.querySelector("output")];
  const stops = JSON.parse(box.dataset.stops);
  const show = () => {
    output.textContent = move(box, stops, +slider.value);
    slider.setAttribute("aria-valuetext", output.textContent);
  };
  slider.addEventListener("input", show);
  box.hidden = false;
  show();
}
