"""One scene as SVG in a browser, as PDF and as DXF: three pictures that must show the same.

The pictures are left in tests/out/drawing, to be looked at.
"""

import subprocess
from io import BytesIO, StringIO

import ezdxf
import numpy as np
import pymupdf
import pytest
from ezdxf.addons.drawing import Frontend, RenderContext, config, layout
from ezdxf.addons.drawing.pymupdf import PyMuPdfBackend
from ezdxf.fonts import fonts
from PIL import Image

from loomwright.drawing.dxf import to_dxf
from loomwright.drawing.ink import DAY, Pen
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Sheet, Wire, rectangle
from loomwright.drawing.svg import to_svg

#: Dots per inch of all pictures, that of a browser's page.
DPI = 96
DOTS_PER_MM = DPI / 25.4


@pytest.fixture(scope="session")
def out(root):
    folder = root / "tests" / "out" / "drawing"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture(scope="module")
def sheet(framed_sheet):
    """The framed sheet with a line at the edge of the paper, so that all writers agree on its extents."""
    edge = rectangle(0.0, 0.0, 420.0, 297.0, pen=Pen("ink", 0.18), layer="frame")
    return Sheet(width=420, height=297, title="Sample", description="", items=(edge, *framed_sheet.items))


def browser_picture(sheet, folder):
    """Return what chromium shows of the SVG, opened as a file by itself."""
    (folder / "sample.svg").write_bytes(to_svg(sheet, inline_fonts=True))
    width, height = (round(side * DOTS_PER_MM) for side in (sheet.width, sheet.height))
    subprocess.run(
        ["chromium", "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         f"--user-data-dir={folder / 'profile'}", f"--window-size={width},{height}",
         f"--screenshot={folder / 'svg.png'}", (folder / "sample.svg").as_uri()],
        check=True, capture_output=True, timeout=60,
    )  # fmt: skip
    return Image.open(folder / "svg.png").convert("RGB")


def pdf_picture(sheet):
    with pymupdf.open(stream=to_pdf([sheet])) as document:
        return Image.open(BytesIO(document[0].get_pixmap(dpi=DPI).tobytes("png"))).convert("RGB")


def dxf_picture(sheet, font_folder):
    fonts.font_manager.build([str(font_folder)], support_dirs=False)
    document = ezdxf.read(StringIO(to_dxf(sheet).decode()))
    backend = PyMuPdfBackend()
    asked = config.Configuration(
        lineweight_scaling=1.0, background_policy=config.BackgroundPolicy.CUSTOM, custom_bg_color=DAY["paper"]
    )
    Frontend(RenderContext(document), backend, config=asked).draw_layout(document.modelspace())
    page = layout.Page(sheet.width, sheet.height, layout.Units.mm, margins=layout.Margins.all(0))
    settings = layout.Settings(fit_page=False, scale=1)
    dots = backend.get_pixmap_bytes(page, fmt="png", settings=settings, dpi=DPI)
    return Image.open(BytesIO(dots)).convert("RGB")


@pytest.fixture(scope="module")
def pictures(sheet, out, tmp_path_factory, root):
    made = {
        "svg": browser_picture(sheet, tmp_path_factory.mktemp("svg")),
        "pdf": pdf_picture(sheet),
        "dxf": dxf_picture(sheet, root / "src" / "loomwright" / "drawing" / "fonts"),
    }
    for name, picture in made.items():
        picture.save(out / f"{name}.png")
    width, height = made["svg"].size
    return {name: np.asarray(picture.crop((0, 0, width, height))) for name, picture in made.items()}


def inked(picture, threshold=0.35):
    """Return where a picture is clearly darker than its paper."""
    return picture.min(axis=2) < 255 * (1 - threshold)


def spread(dots, by):
    """Return the dots grown by `by` in all directions."""
    grown = np.zeros_like(dots)
    for dx in range(-by, by + 1):
        for dy in range(-by, by + 1):
            grown |= np.roll(dots, (dy, dx), axis=(0, 1))
    return grown


@pytest.mark.parametrize(("one", "other"), [("svg", "pdf"), ("pdf", "svg"), ("svg", "dxf"), ("dxf", "svg")])
def test_ink_of_one_picture_is_ink_in_the_other(pictures, one, other):
    """All but 0.5 % of the inked dots have ink within 0.53 mm (two dots) in the other picture."""
    there, here = spread(inked(pictures[other], 0.15), 2), inked(pictures[one])
    stray = here & ~there
    assert here.sum() > 20_000
    assert stray.sum() / here.sum() < 0.005, np.argwhere(stray)[:5] / DOTS_PER_MM


@pytest.mark.parametrize(("other", "most"), [("pdf", 12), ("dxf", 20)])
def test_colours_are_the_same_all_over(pictures, other, most):
    """Mean colour of squares of 5 mm, of 255; in a DXF ink is black on light paper, hence more."""
    size = round(5 * DOTS_PER_MM)
    means = []
    for name in ("svg", other):
        rows, columns = (side // size for side in pictures[name].shape[:2])
        cut = pictures[name][: rows * size, : columns * size].astype(float)
        means.append(cut.reshape(rows, size, columns, size, 3).mean(axis=(1, 3)))
    assert np.abs(means[0] - means[1]).max() < most


def test_every_wire_shows_its_own_colour(pictures, sheet):
    """The dot in the middle of each thick wire, in all three pictures."""
    wires = [item for item in sheet.items if isinstance(item, Wire) and item.core >= 2.0 and item.colours]
    assert wires
    for wire in wires:
        (x, top), _ = wire.points[0], None
        asked = [int(DAY[wire.colours[0]][i : i + 2], 16) for i in (1, 3, 5)]
        y = top + 3.0  # past the first band of a second colour
        for name, picture in pictures.items():
            shown = picture[round(y * DOTS_PER_MM), round(x * DOTS_PER_MM)]
            assert np.abs(shown.astype(int) - asked).max() <= 3, (name, wire.colours, shown)


def test_the_sheet_of_all_signs_is_left_to_be_looked_at(all_signs, out):
    """Every sign leaves ink in its square of the sheet; the picture is for the eye."""
    with pymupdf.open(stream=to_pdf([all_signs])) as document:
        document[0].get_pixmap(dpi=150).save(out / "signs.png")
        picture = document[0].get_pixmap(dpi=DPI)
    dots = inked(np.frombuffer(picture.samples, np.uint8).reshape(picture.height, picture.width, 3))
    placed = [item for item in all_signs.items if getattr(item, "scale", None) == 1.0]
    assert len(placed) > 40
    for symbol in placed:
        box = symbol.box()
        rows = slice(int(box.top * DOTS_PER_MM), int(box.bottom * DOTS_PER_MM) + 1)
        columns = slice(int(box.left * DOTS_PER_MM), int(box.right * DOTS_PER_MM) + 1)
        assert dots[rows, columns].any(), symbol.sign.name
