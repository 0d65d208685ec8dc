"""axe-core over a page: WCAG 2.0, 2.1 and 2.2, levels A and AA, and its own best practices."""

from importlib.resources import files

from playwright.sync_api import Page

AXE = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
RUN = """async (tags) => {
  const found = await axe.run({runOnly: {type: "tag", values: tags}});
  return {passes: found.passes.map((one) => one.id), violations: found.violations.map(
    (one) => `${one.id}: ${one.nodes.map((node) => node.html).join(" ")}`)};
}"""


def complaints(page: Page, least: int = 10, rules: list[str] = RULES) -> list[str]:
    """What axe finds on a page, where it must find more than some rules kept."""
    page.evaluate(AXE)
    found = page.evaluate(RUN, rules)
    assert len(found["passes"]) > least, page.url
    return [f"{page.url}: {one}" for one in found["violations"]]
