// Pages opened from a folder, a memory stick for one: nothing there turns the name of a folder into the page in it.
if (location.protocol === "file:") {
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href]");
    const to = link && new URL(link.getAttribute("href"), location.href);
    if (!to || to.protocol !== "file:" || !to.pathname.endsWith("/")) return;
    event.preventDefault();
    to.pathname += "index.html";
    location.href = to.href;
  });
}
