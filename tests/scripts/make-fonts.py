#!/usr/bin/env python3
"""Makes the fonts of the score and the table of their metrics.

    /usr/bin/python3 tests/scripts/make-fonts.py     (Debian: python3-fonttools, python3-brotli)

Reads Bravura and Academico from node_modules (both SIL OFL 1.1 with reserved names), writes subsets
under names of their own, as the licence asks of a modified version, one TypeScript file with the
advance and ink box of every glyph, and one with the files themselves, for drawings that are written without
a browser. The music font holds exactly the signs of glyphs.ts. Kerning and
other layout features are left out: a browser then sets a text exactly as wide as the table says.
"""

import base64
import io
import re
from pathlib import Path

from fontTools import subset
from fontTools.misc.transform import Transform
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "node_modules/@vexflow-fonts"
TARGET = ROOT / "src/engrave/font"

# Text that the program itself sets, and the letters of European languages for words of the user.
ASCII = "".join(chr(c) for c in range(32, 127))
LATIN = "".join(chr(c) for c in range(0xA0, 0x180)) + "–—‘’‚“”„†•…€™"
SIGNS = "♭♮♯½¼¾°ø∆→×‹›𝄫𝄪"


def load(path, text):
    options = subset.Options()
    options.layout_features = []
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    options.name_languages = [0x409]
    options.notdef_outline = True
    options.hinting = False
    options.desubroutinize = True
    options.drop_tables += ["DSIG", "GDEF", "GPOS", "GSUB"]
    font = subset.load_font(str(path), options)
    cutter = subset.Subsetter(options)
    cutter.populate(text=text)
    cutter.subset(font)
    return font


def rename(font, family, style):
    full = family if style == "Regular" else f"{family} {style}"
    post = full.replace(" ", "")
    new = {1: family, 2: style, 3: f"{full} subset", 4: full, 6: post}
    for record in font["name"].names:
        if record.nameID in new:
            record.string = new[record.nameID]
    cff = font["CFF "].cff
    cff.fontNames = [post]
    top = cff.topDictIndex[0]
    top.FamilyName, top.FullName = family, full
    for gone in ("Notice", "Copyright"):
        if gone in top.rawDict:
            del top.rawDict[gone]


def add_glyph(font, name, code, width, draw):
    """Adds an outline to a CFF font; `draw` gets a pen in font units."""
    cff = font["CFF "].cff
    top = cff.topDictIndex[0]
    pen = T2CharStringPen(width - top.Private.nominalWidthX, None)
    draw(pen)
    glyph = pen.getCharString(private=top.Private, globalSubrs=cff.GlobalSubrs)
    top.CharStrings.charStringsIndex.append(glyph)
    top.CharStrings.charStrings[name] = len(top.CharStrings.charStringsIndex) - 1
    if name not in top.charset:
        top.charset.append(name)
    font.setGlyphOrder(top.charset)
    font["hmtx"].metrics[name] = (width, 0)
    font["maxp"].numGlyphs = len(top.charset)
    for table in font["cmap"].tables:
        if code > 0xFFFF and table.format < 12:
            continue
        table.cmap[code] = name


def arrow(pen):
    """A plain arrow to the right, as high as the small letters."""
    for x0, y0, x1, y1 in ((60, 232, 700, 278),):
        pen.moveTo((x0, y0)), pen.lineTo((x1, y0)), pen.lineTo((x1, y1)), pen.lineTo((x0, y1))
        pen.closePath()
    pen.moveTo((560, 90)), pen.lineTo((790, 255)), pen.lineTo((560, 420)), pen.lineTo((620, 255))
    pen.closePath()


def cross(pen):
    """The multiplication sign, which is also the dead note of the tablature."""
    for dx in (1, -1):
        pts = [(-205, -155), (-155, -205), (205, 155), (155, 205)]
        pts = [(280 + x * dx, 330 + y) for x, y in pts]
        if dx < 0:
            pts.reverse()
        pen.moveTo(pts[0])
        for p in pts[1:]:
            pen.lineTo(p)
        pen.closePath()


def add_text_signs(font, music):
    """Signs the text font lacks: an arrow, a cross, and the double accidentals of the music font."""
    if 12 not in [t.format for t in font["cmap"].tables]:
        from fontTools.ttLib.tables._c_m_a_p import CmapSubtable

        wide = CmapSubtable.newSubtable(12)
        wide.platformID, wide.platEncID, wide.language = 3, 10, 0
        wide.cmap = dict(font.getBestCmap())
        font["cmap"].tables.append(wide)
    add_glyph(font, "arrowright", ord("→"), 850, arrow)
    if ord("×") not in font.getBestCmap():
        add_glyph(font, "cross", ord("×"), 560, cross)
    glyphs = music.getGlyphSet()
    scale = 0.95
    for name, source, code in (("doubleflat", 0xE264, 0x1D12B), ("doublesharp", 0xE263, 0x1D12A)):
        original = music.getBestCmap()[source]
        width = round(glyphs[original].width * scale) + 30
        lift = 190 if code == 0x1D12B else 330
        move = Transform(scale, 0, 0, scale, 15, lift)
        add_glyph(font, name, code, width, lambda pen, g=original, m=move: glyphs[g].draw(TransformPen(pen, m)))


def table_of(font):
    """`code,advance,x0,y0,x1,y1` of every glyph in font units; y grows upwards."""
    glyphs = font.getGlyphSet()
    rows = []
    for code, name in sorted(font.getBestCmap().items()):
        pen = BoundsPen(glyphs)
        glyphs[name].draw(pen)
        box = pen.bounds or (0, 0, 0, 0)
        numbers = [round(n) for n in (glyphs[name].width, *box)]
        rows.append(",".join([format(code, "x"), *map(str, numbers)]))
    return ";".join(rows)


def save(font, name):
    font.flavor = "woff2"
    font.save(str(TARGET / name))
    return TTFont(str(TARGET / name))


def packed(rows):
    """The same column by column, which compresses better: codes as steps, right edges from the advance."""
    cells = [row.split(",") for row in rows.split(";")]
    columns = [[], [], [], [], [], []]
    before = 0
    for code, *numbers in cells:
        advance, x0, y0, x1, y1 = map(int, numbers)
        for column, n in zip(columns, (int(code, 16) - before, advance, x0, y0, advance - x1, y1)):
            column.append(str(n) if n else "")
        before = int(code, 16)
    return ";".join(",".join(column) for column in columns)


def write_files():
    out = io.StringIO()
    out.write("// Made by tests/scripts/make-fonts.py; do not edit.\n")
    out.write("/** The font files in base 64, for where they cannot be fetched. */\n")
    out.write("export const FONT_FILES = {\n")
    for name in ["degreewise-music.woff2", "degreewise-text.woff2", "degreewise-text-bold.woff2"]:
        text = base64.b64encode((TARGET / name).read_bytes()).decode("ascii")
        out.write(f"  '{name}':\n    '{text}',\n")
    out.write("} as const;\n")
    (TARGET / "files-data.ts").write_text(out.getvalue(), "utf-8")


def main():
    glyphs = (TARGET / "glyphs.ts").read_text("utf-8")
    signs = "".join(chr(int(c, 16)) for c in re.findall(r"'\\u([0-9a-f]{4})'", glyphs))
    music = load(SOURCE / "bravura/bravura.otf", signs)
    missing = [hex(ord(c)) for c in signs if ord(c) not in music.getBestCmap()]
    if missing:
        raise SystemExit(f"not in the music font: {missing}")
    full = TTFont(str(SOURCE / "bravura/bravura.otf"))
    text = load(SOURCE / "academico/academico.otf", ASCII + LATIN + SIGNS)
    bold = load(SOURCE / "academico/academico-bold.otf", ASCII + "♭♮♯°ø∆")
    add_text_signs(text, full)
    add_text_signs(bold, full)
    rename(music, "Degreewise Music", "Regular")
    rename(text, "Degreewise Text", "Regular")
    rename(bold, "Degreewise Text", "Bold")
    tables = {
        "music": table_of(save(music, "degreewise-music.woff2")),
        "text": table_of(save(text, "degreewise-text.woff2")),
        "bold": table_of(save(bold, "degreewise-text-bold.woff2")),
    }
    out = io.StringIO()
    out.write("// Made by tests/scripts/make-fonts.py; do not edit.\n")
    out.write("/**\n * Per font six columns: steps from code to code, advance, x0, y0, advance − x1 and y1, in thousandths\n")
    out.write(" * of an em, y upwards; nothing stands for 0.\n */\n")
    out.write("export const METRICS = {\n")
    for name, rows in tables.items():
        out.write(f"  {name}:\n    '{packed(rows)}',\n")
    out.write("} as const;\n")
    (TARGET / "metrics-data.ts").write_text(out.getvalue(), "utf-8")
    write_files()
    total = 0
    for f in sorted(TARGET.glob("*.woff2")):
        total += f.stat().st_size
        print(f.name, f.stat().st_size)
    print("total", total, "table", len(out.getvalue()))


main()
