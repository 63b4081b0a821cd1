"""What anyone must be able to see, reach and hear of a page: problems as sentences, none if well.

axe-core comes from a package, not from a network. It and the scripts here are evaluated by the
browser's own debugger, which our content policy does not stop.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from playwright.sync_api import Page

FINGER_PX, LINE_PX = 44, 60
"""What a finger meets: everywhere, and in the line, with gloves and in the rain."""
NARROW = {"width": 320, "height": 640}
"""A screen of 1,280 pixels at 400 %."""

_LAYOUT = """([finger, line]) => {
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
}"""

_FOCUS = """() => {
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
}"""


@cache
def _axe() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text()


def by_axe(page: Page, *rules: str) -> list[str]:
    """What axe-core finds against WCAG 2.2 AA and its best practices; or by these rules alone."""
    if not page.evaluate("'axe' in globalThis"):
        page.evaluate(_axe())
    how = {"resultTypes": ["violations"]} | ({"runOnly": list(rules)} if rules else {})
    found = page.evaluate("how => axe.run(document, how).then(({ violations }) => violations)", how)
    return [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary']}"
        for one in found
        for node in one["nodes"]
    ]


def in_the_dark(page: Page) -> list[str]:
    page.emulate_media(color_scheme="dark")
    try:
        return [f"dark: {one}" for one in by_axe(page, "color-contrast")]
    finally:
        page.emulate_media(color_scheme="light")


def layout(page: Page) -> list[str]:
    """Nothing beyond the screen or its button, and every target large enough."""
    return list(page.evaluate(_LAYOUT, [FINGER_PX, LINE_PX]))


def focus(page: Page) -> list[str]:
    """Every control takes the focus, shows it, and is not hidden under another while it has it."""
    return list(page.evaluate(_FOCUS))


def narrow(page: Page) -> list[str]:
    """The same at 320 px."""
    before = page.viewport_size
    assert before is not None
    page.set_viewport_size(NARROW)  # type: ignore[arg-type]
    try:
        return [f"at 320 px: {one}" for one in layout(page) + focus(page)]
    finally:
        page.set_viewport_size(before)
