// Small life for the studio's pages. Everything works without it.
const faults = document.querySelector(".faults");
if (faults) faults.focus();
