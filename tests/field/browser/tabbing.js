// Numbers what Tab should reach, and lets the next Tab begin at the top. Of radios, the chosen one.
() => {
  const all = document.querySelectorAll("a[href], button, input, select, textarea, [tabindex='0']");
  const reached = [...all].filter(
    (node) =>
      !node.disabled &&
      node.checkVisibility({ visibilityProperty: true }) &&
      (node.type !== "radio" || node.checked),
  );
  for (const node of all) delete node.dataset.tab;
  for (const [at, node] of reached.entries()) node.dataset.tab = at;
  document.body.tabIndex = -1;
  document.body.focus();
  document.body.removeAttribute("tabindex");
  return reached.map((node) => node.getAttribute("aria-label") ?? node.textContent.trim());
}
