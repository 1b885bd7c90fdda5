"""Make the four font files and the table of letter measures that the package ships.

Run by hand by a maintainer, once per change of the repertoire; needs fonttools and brotli:

    python tools/make_fonts.py FOLDER

FOLDER holds the four source files named in `FACES`, as the foundry publishes them under the SIL Open
Font License 1.1. The faces are cut down to the repertoire below and lose hinting, kerning and
ligatures, so that the width of a text is the plain sum of its advance widths in every writer. A cut
face is a modified version, for which the licence keeps the foundry's name back: they are called
"Loomwright Sans" and "Loomwright Mono".
"""

import csv
import sys
from io import BytesIO
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FONTS = Path(__file__).parent.parent / "src" / "loomwright" / "drawing" / "fonts"
FACES = (  # source file, family, style, weight, stem of the file we write
    ("IBMPlexSansCondensed-Regular", "Loomwright Sans", "Regular", 400),
    ("IBMPlexSansCondensed-Medium", "Loomwright Sans", "Medium", 500),
    ("IBMPlexSansCondensed-SemiBold", "Loomwright Sans", "SemiBold", 600),
    ("IBMPlexMono-Regular", "Loomwright Mono", "Regular", 400),
)
REPERTOIRE = (
    (0x0020, 0x007E), (0x00A0, 0x00AC), (0x00AE, 0x017F), (0x0218, 0x021B),  # Latin, Latin-1, Extended-A
    (0x0386, 0x03CE), (0x0400, 0x045F), (0x0490, 0x0491),  # Greek and Cyrillic, for names typed in them
    (0x2010, 0x2014), (0x2018, 0x201E), (0x2020, 0x2022), (0x2026, 0x2026), (0x2030, 0x2030),
    (0x2032, 0x2033), (0x2039, 0x203A), (0x2070, 0x2089), (0x20AC, 0x20AC), (0x2116, 0x2116),
    (0x2122, 0x2122), (0x2190, 0x2195), (0x2206, 0x2206), (0x2211, 0x2212), (0x221A, 0x221A),
    (0x221E, 0x221E), (0x2248, 0x2248), (0x2260, 0x2260), (0x2264, 0x2265), (0x25A1, 0x25A1),
    (0xFFFD, 0xFFFD),
)  # fmt: skip
#: Letters that a face lacks although it holds the same shape under another code point.
SAME_SHAPE = {0x03A9: 0x2126, 0x0394: 0x2206, 0x03BC: 0x00B5, 0x25A1: 0xFFFD}


def cut(source: Path, family: str, style: str, weight: int) -> TTFont:
    """Return the face of `source` with our repertoire, measures and name, and nothing else."""
    font = TTFont(source, recalcTimestamp=False)
    for table in font["cmap"].tables:
        for wanted, held in SAME_SHAPE.items():
            if table.isUnicode() and wanted not in table.cmap and held in table.cmap:
                table.cmap[wanted] = table.cmap[held]
    options = Options(hinting=False, layout_features=[], notdef_outline=True, name_IDs=[0, 13, 14])
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[code for first, last in REPERTOIRE for code in range(first, last + 1)])
    subsetter.subset(font)
    for table_tag in ("GPOS", "GSUB", "GDEF", "GlyphOrder", "gasp"):
        if table_tag in font:
            del font[table_tag]
    name_it(font, family, style, weight)
    return font


def name_it(font: TTFont, family: str, style: str, weight: int) -> None:
    """Give the cut face its own names; copyright and licence stay as they were."""
    plain = family if weight == 400 else f"{family} {style}"
    full = f"{family} {style}"
    names = {1: plain, 2: "Regular", 3: f"{full}; cut for Loomwright", 4: full, 5: "Version 1.0",
             6: full.replace(f" {style}", f"-{style}").replace(" ", ""), 16: family, 17: style}  # fmt: skip
    for name_id, text in names.items():
        font["name"].setName(text, name_id, 3, 1, 0x409)
    font["OS/2"].usWeightClass, font["OS/2"].usWidthClass = weight, 5  # the family has one width only


def save(font: TTFont, stem: str) -> None:
    """Write the face as TrueType, for PDF, and as WOFF2, for pages and drawings."""
    whole = BytesIO()
    font.flavor = None
    font.save(whole)
    (FONTS / f"{stem}.ttf").write_bytes(whole.getvalue())
    packed = TTFont(BytesIO(whole.getvalue()), recalcTimestamp=False)
    packed.flavor = "woff2"
    packed.save(FONTS / f"{stem}.woff2")


def measures(fonts: list[TTFont]) -> list[list[int | None]]:
    """Return code point, then per face advance, lowest and highest point, in 1/1000 of the type size.

    The three are left empty where a face has no such letter.
    """
    letters = [font.getBestCmap() for font in fonts]
    return [
        [code, *(x for font in fonts for x in measure(font, code))] for code in sorted(set().union(*letters))
    ]


def measure(font: TTFont, code: int) -> tuple[int | None, int | None, int | None]:
    """Return advance, lowest and highest point of one letter."""
    glyph_name = font.getBestCmap().get(code)
    if glyph_name is None:
        return None, None, None
    outline = font["glyf"][glyph_name]
    low, high = (outline.yMin, outline.yMax) if outline.numberOfContours else (0, 0)
    return font["hmtx"][glyph_name][0], low, high


def main(folder: Path) -> None:
    """Cut all faces found in `folder` and write them, with their measures, into the package."""
    fonts = []
    columns = ["code_point"]
    for source, family, style, weight in FACES:
        font = cut(folder / f"{source}.woff2", family, style, weight)
        assert font["head"].unitsPerEm == 1000
        save(font, f"{family.replace(' ', '')}-{style}")
        fonts.append(font)
        face = "mono400" if family.endswith("Mono") else f"sans{weight}"
        columns += [f"{face}_{what}_per_mille" for what in ("advance", "low", "high")]
    with (FONTS / "measures.csv").open("w", newline="", encoding="ascii") as sheet:
        writer = csv.writer(sheet, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows(measures(fonts))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
