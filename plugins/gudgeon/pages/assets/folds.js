// What an address leads to may be folded: a browser that does not open the folds round it by itself is helped.
const unfold = () => {
  const to = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  let folded = false;
  for (let fold = to && to.closest("details"); fold; fold = fold.parentElement.closest("details")) {
    folded = folded || !fold.open;
    fold.open = true;
  }
  if (folded) to.scrollIntoView();
};
addEventListener("hashchange", unfold);
unfold();
