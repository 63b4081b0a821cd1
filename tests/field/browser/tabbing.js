// Numbers what Tab should reach, and lets the next Tab begin at the top. Of radios, the chosen one,
// else the first.
() => {
  const all = document.querySelectorAll("a[href], button, summary, input, select, textarea, [tabindex='0']");
  const ofGroup = (node) => [...all].filter((one) => one.type === "radio" && one.name === node.name);
  const isReached = (radio) => radio === (ofGroup(radio).find((one) => one.checked) ?? ofGroup(radio)[0]);
  const reached = [...all].filter(
    (node) =>
      !node.disabled &&
      node.checkVisibility({ visibilityProperty: true }) &&
      (node.type !== "radio" || isReached(node)),
  );
  for (const node of all) delete node.dataset.tab;
  for (const [at, node] of reached.entries()) node.dataset.tab = at;
  document.body.tabIndex = -1;
  document.body.focus();
  document.body.removeAttribute("tabindex");
  return reached.map((node) => node.getAttribute("aria-label") ?? node.textContent.trim());
}
