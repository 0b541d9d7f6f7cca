"""Take the pictures of the README from a plan's page, with a Chromium that is on the machine.

usage: python tools/pictures.py build/larkfield.html (made by `make run`)
"""

import shutil
import sys
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"
CHROMIUM = ("chromium", "chromium-browser", "google-chrome", "chrome")
PATCH, RECIPE = "front-wings", "chassis-legs"
_OPEN_RECIPE = """area => {
    const recipes = [...document.getElementById("area-" + area).closest("article")
        .querySelectorAll("section.strokes details")]
        .filter(one => one.querySelector("summary").textContent.includes("Stroke recipe"));
    recipes.at(-1).open = true;
    recipes.at(-1).id = "picked";
}"""
_BOX = """([first, last]) => {
    const top = document.querySelector(first).getBoundingClientRect();
    const end = document.querySelector(last).getBoundingClientRect();
    return {x: top.left, y: top.top + scrollY, right: top.right, bottom: end.bottom + scrollY};
}"""


def shoot(page: Page, name: str, first: str, last: str) -> None:
    """From the top of one element to the foot of another, over the whole column."""
    box = page.evaluate(_BOX, [first, last])
    clip = {
        "x": max(box["x"] - 16, 0),
        "y": box["y"] - 12,
        "width": box["right"] - box["x"] + 28,
        "height": box["bottom"] - box["y"] + 20,
    }
    file = PICTURES / f"{name}.png"
    page.screenshot(path=file, full_page=True, clip=clip)
    print(f"{file.name}: {file.stat().st_size / 1000:.0f} kB")


def main(plan: Path) -> None:
    chromium = next(path for path in map(shutil.which, CHROMIUM) if path)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for kind, width in (("desk", 1200), ("phone", 390)):
            page = browser.new_page(
                viewport={"width": width, "height": 900}, reduced_motion="reduce"
            )
            page.goto(plan.resolve().as_uri())
            if kind == "desk":
                page.evaluate(_OPEN_RECIPE, RECIPE)
                shoot(page, "recipe", "#picked", "#picked figure svg")
            heading = f"#area-{PATCH}"
            shoot(page, f"section-{kind}", heading, f"article:has({heading}) section.patch .beside")
        browser.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
