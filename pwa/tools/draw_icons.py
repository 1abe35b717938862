"""Draw the icons a manifest asks for from `public/icons/icon.svg`, with the Chromium that the tests use.

Run it by hand after changing the drawing: `.venv/bin/python pwa/tools/draw_icons.py`.
"""

from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ICONS = Path(__file__).parents[1] / "public" / "icons"
CHROMIUM = "/usr/bin/chromium"

# A launcher may cut a maskable icon to a circle of 80 % of its width: the plain drawing lies inside it already.
SIZES = {"icon-192.png": 192, "icon-512.png": 512, "icon-180.png": 180}

COLOURS = 32  # two, and what lies between them at an edge: a third of the bytes that each phone keeps


def draw(page: Page, name: str, size: int) -> None:
    """Paint the drawing at `size` pixels into the file `name`."""
    page.set_viewport_size({"width": size, "height": size})
    page.set_content(
        f"<style>html,body{{margin:0}}svg{{display:block}}</style>{(ICONS / 'icon.svg').read_text()}"
    )
    drawn = Image.open(BytesIO(page.screenshot())).convert("RGB")
    drawn.quantize(COLOURS, dither=Image.Dither.NONE).save(ICONS / name, optimize=True)


def main() -> None:
    """Draw every icon."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page()
        for name, size in SIZES.items():
            draw(page, name, size)
        browser.close()


if __name__ == "__main__":
    main()
