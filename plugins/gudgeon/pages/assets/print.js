// The button of a shop sheet: shown only where a script can answer it.
for (const button of document.querySelectorAll(".g-print button")) {
  button.addEventListener("click", () => window.print());
  button.hidden = false;
}
