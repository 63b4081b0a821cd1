// Controls that take no focus, do not show it, or are hidden under another while they have it.
() => {
  const found = [];
  const before = document.activeElement;
  for (const node of document.querySelectorAll("a[href], button:not(:disabled), input, select, textarea, [tabindex='0']")) {
    if (!node.checkVisibility({ visibilityProperty: true })) continue;
    node.blur();
    if (getComputedStyle(node).outlineStyle === "solid" && !node.matches("[aria-pressed='true']")) found.push(`a ring without the focus: ${node.className}`);
    node.focus({ focusVisible: true });
    const told = `${node.tagName.toLowerCase()} "${(node.getAttribute("aria-label") ?? node.textContent).trim().slice(0, 40)}"`;
    if (document.activeElement !== node) { found.push(`takes no focus: ${told}`); continue; }
    const look = getComputedStyle(node);
    if (look.outlineStyle !== "solid" || parseFloat(look.outlineWidth) < 3) found.push(`no ring at ${told}`);
    const { left, top, width, height } = node.getBoundingClientRect();
    const over = document.elementFromPoint(left + width / 2, top + height / 2);
    if (!over || !(node.contains(over) || over.closest("label")?.contains(node))) found.push(`hidden while it has the focus: ${told}`);
  }
  before?.focus?.({ preventScroll: true });
  return found;
}
