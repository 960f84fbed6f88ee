// The slider of a fit: moves the walls of one drawing from one temperature that the page gives to the next. At each of them the words
// are the page's own; between two of them both temperatures and the clearance go in a straight line, as the sum itself does.
const say = (value, places) => value.toFixed(places).replace(/^-(?=.*[1-9])/, "\u2212").replace(/^-/, "");
// A piece of a ring from one angle to another, in degrees clockwise from its top.
const sector = ({ middle, outside, inside }, first, last) => {
  const at = (radius, degrees) => {
    const turn = (degrees * Math.PI) / 180;
    return `${(+middle + radius * Math.sin(turn)).toFixed(2)} ${(middle - radius * Math.cos(turn)).toFixed(2)}`;
  };
  const far = +(last - first > 180);
  return `M ${at(outside, first)} A ${outside} ${outside} 0 ${far} 1 ${at(outside, last)} L ${at(inside, last)} A ${inside} ${inside} 0 ${far} 0 ${at(inside, first)} Z`;
};
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
  for (const ring of box.querySelectorAll("[data-ring]")) {
    const half = Math.max(ring.dataset.ring * gap, 0.01);
    ring.setAttribute("d", sector(ring.dataset, half, 360 - half));
  }
  for (const lap of box.querySelectorAll("[data-lapped]")) {
    const half = Math.max(-lap.dataset.lapped * gap, 0);
    lap.setAttribute("d", sector(lap.dataset, -half, half));
    lap.setAttribute("visibility", half ? "visible" : "hidden");
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
