// Texts beyond the screen or their button, and targets too small for a finger.
([finger, line]) => {
  const found = [];
  const root = document.documentElement;
  const told = (node) => `${node.tagName.toLowerCase()}.${node.className} "${(node.getAttribute("aria-label") ?? node.textContent).trim().slice(0, 40)}"`;
  const isShown = (node) => node.checkVisibility({ visibilityProperty: true }) && !node.closest(".unseen");
  if (root.scrollWidth > root.clientWidth) found.push(`scrolls sideways: ${root.scrollWidth} of ${root.clientWidth} px`);
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let text = walker.nextNode(); text; text = walker.nextNode()) {
    const node = text.parentElement;
    if (!text.data.trim() || !isShown(node)) continue;
    const range = document.createRange();
    range.selectNodeContents(text);
    const box = range.getBoundingClientRect();
    const frame = node.closest("button, .button, .tile, .notice")?.getBoundingClientRect();
    if (box.left < -1 || box.right > root.clientWidth + 1) found.push(`beyond the screen: ${told(node)}`);
    else if (frame && (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 2 || box.bottom > frame.bottom + 2)) found.push(`beyond its button: ${told(node)}`);
  }
  for (const node of document.querySelectorAll("a[href], button, input, select, textarea, [tabindex='0']")) {
    if (!isShown(node)) continue;
    const box = (node.closest("label.choice") ?? node).getBoundingClientRect();
    const least = node.matches(".tile, .answers *, .beside *, .tape *, .thumb *") ? line : finger;
    if (Math.round(box.width) < Math.min(least, 60) || Math.round(box.height) < least) found.push(`${Math.round(box.width)} by ${Math.round(box.height)} px: ${told(node)}`);
  }
  return found;
}
