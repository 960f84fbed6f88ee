/* What is asked before a reading is kept. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});
  gudgeon.doubts = (data, entered) => [];
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
