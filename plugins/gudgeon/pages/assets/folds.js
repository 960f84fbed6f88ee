// What an address leads to may be folded: a browser that does not open the folds round it by itself is helped.
const unfold = () => {
  const to = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  let folded = false;
  for (let fold = to && to.closest("details"); fold; fold = fold.parentElement.closest("details")) {
    folded = folded || !fold.open;
    fold.open = true;
    fold.classList.add("g-asked");
  }
  if (folded) to.scrollIntoView();
};
// A print shows of the folds that are read on asking those that somebody opened.
addEventListener("click", ({ target }) => {
  const summary = target instanceof Element && target.closest("summary");
  if (summary) summary.parentElement.classList.toggle("g-asked", !summary.parentElement.open);
});
addEventListener("hashchange", unfold);
unfold();
