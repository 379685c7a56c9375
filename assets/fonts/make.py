#!/usr/bin/env python3
"""Make the two interface fonts, Inter-Regular.ttf and Inter-SemiBold.ttf.

What it does to each weight of Inter (SIL Open Font License 1.1, see
Inter-OFL.txt):

1. Tabular figures. Inter keeps digits of one width, and the point, comma,
   colon and semicolon that go with them, as alternates behind the OpenType
   feature `tnum`. The user interface cannot switch a feature on, so the
   character map is pointed at those alternates: columns of numbers line up
   with no feature at all. Where an alternate's advance is a few units off its
   fellows, it is centred in the common one.
2. Subset. Only the Unicode blocks in BLOCKS are kept, as far as Inter has
   them. The substitution and positioning tables go (contextual alternates
   would turn "->" into an arrow and move signs between digits; kerning would
   add about 29 kB a weight), and so does hinting.
3. Outlines. Cubic (CFF) outlines become quadratic (glyf) ones, so that the
   user interface's auto-hinter sets baselines and horizontal strokes on whole
   pixels.

The family's name stays "Inter": no Reserved Font Name is declared for it.
The version string says that the font was modified.

How to run it, on Debian 12:

    apt-get install fonts-inter
    pip install fonttools==4.68.0
    python3 assets/fonts/make.py

Options: --source FOLDER (where the OTFs are), --out FOLDER (where to write;
this script's own folder unless given). It ends with a check, and fails if the
ten digits differ in width or a sign in MUST_HAVE is missing.
"""

import argparse
import sys
from pathlib import Path

from fontTools import subset
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont, newTable

WEIGHTS = ("Regular", "SemiBold")
MARK = "modified for Barwright: tabular figures, subset"
DIGITS = "0123456789"
MUST_HAVE = "–—…·•°±×÷−≤≥≈→←↑↓✓✗◆◇▲▼▶◀●○■□₂²½\u2009\u202f\u00a0"
MAX_ERROR = 1.4  # of a curve, in font units: 1/2000 em

# First and last character of each block kept.
BLOCKS = (
    (0x0020, 0x007E),  # Latin
    (0x00A0, 0x00FF),  # Latin-1
    (0x0100, 0x024F),  # Latin Extended-A and -B
    (0x02B0, 0x036F),  # modifier letters, combining marks
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x04FF),  # Cyrillic
    (0x1E9E, 0x1E9E),  # capital sharp s
    (0x2000, 0x206F),  # general punctuation, spaces
    (0x2070, 0x209F),  # superscripts and subscripts
    (0x20A0, 0x20CF),  # currency
    (0x2100, 0x218F),  # letterlike signs, fractions
    (0x2190, 0x21FF),  # arrows
    (0x2200, 0x22FF),  # mathematical operators
    (0x2300, 0x23FF),  # technical: keys
    (0x25A0, 0x25FF),  # geometric shapes
    (0x2600, 0x26FF),  # stars, warning sign
    (0x2700, 0x27BF),  # check marks
)


def bake_tabular_figures(font):
    """Point the character map at the `tnum` alternates, and level their widths."""
    gsub = font["GSUB"].table
    lookups = {
        index
        for record in gsub.FeatureList.FeatureRecord
        if record.FeatureTag == "tnum"
        for index in record.Feature.LookupListIndex
    }
    alternates = {}
    for index in sorted(lookups):
        for table in gsub.LookupList.Lookup[index].SubTable:
            alternates.update(getattr(table, "ExtSubTable", table).mapping)
    for table in font["cmap"].tables:
        if table.isUnicode():
            for code, glyph in table.cmap.items():
                # Text only: the private use area reaches the old glyphs itself.
                if code < 0xE000:
                    table.cmap[code] = alternates.get(glyph, glyph)
    cmap = font.getBestCmap()
    shift = {}
    for group in (DIGITS, ".,:;"):
        glyphs = [cmap[ord(sign)] for sign in group]
        widths = [font["hmtx"][glyph][0] for glyph in glyphs]
        common = max(set(widths), key=widths.count)
        for glyph, width in zip(glyphs, widths):
            shift[glyph] = (common - width) // 2
            font["hmtx"][glyph] = (common, font["hmtx"][glyph][1])
    return shift


def cut(font):
    """Keep the characters in BLOCKS and the tables that drawing them needs."""
    options = subset.Options()
    options.layout_features = []
    options.drop_tables += ["GSUB", "GPOS", "GDEF"]
    options.hinting = False
    options.desubroutinize = True
    options.glyph_names = False
    options.notdef_outline = True
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 7, 13, 14, 16, 17]
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[u for a, z in BLOCKS for u in range(a, z + 1)])
    subsetter.subset(font)


def to_quadratic(font, shift):
    """Replace the CFF outlines by glyf ones, moving those in `shift` sideways."""
    order = font.getGlyphOrder()
    shapes = font.getGlyphSet()
    glyphs = {}
    for name in order:
        pen = TTGlyphPen(None)
        shapes[name].draw(Cu2QuPen(pen, MAX_ERROR, reverse_direction=True))
        glyph = glyphs[name] = pen.glyph(dropImpliedOnCurves=True)
        if shift.get(name) and glyph.numberOfContours:
            glyph.coordinates.translate((shift[name], 0))
    font["loca"] = newTable("loca")
    font["glyf"] = glyf = newTable("glyf")
    glyf.glyphOrder = order
    glyf.glyphs = glyphs
    for name, glyph in glyphs.items():
        glyph.recalcBounds(glyf)
        left = glyph.xMin if glyph.numberOfContours else 0
        font["hmtx"][name] = (font["hmtx"][name][0], left)
    del font["CFF "]
    if "VORG" in font:
        del font["VORG"]
    maxp = font["maxp"] = newTable("maxp")
    maxp.tableVersion = 0x00010000
    maxp.maxZones = 1
    for field in ("maxTwilightPoints", "maxStorage", "maxFunctionDefs", "maxStackElements",
                  "maxInstructionDefs", "maxSizeOfInstructions", "maxComponentElements"):
        setattr(maxp, field, 0)
    font["post"].formatType = 3.0  # no glyph names
    font.sfntVersion = "\x00\x01\x00\x00"


def make(weight, source, out):
    # The font's own dates are kept, so that the same input gives the same bytes.
    font = TTFont(source / f"Inter-{weight}.otf", recalcTimestamp=False)
    shift = bake_tabular_figures(font)
    cut(font)
    to_quadratic(font, shift)
    for record in font["name"].names:
        if record.nameID == 5:
            record.string = f"{record.toUnicode()}; {MARK}"
    path = out / f"Inter-{weight}.ttf"
    font.save(path)
    return path


def check(path):
    font = TTFont(path)
    cmap = font.getBestCmap()
    widths = {font["hmtx"][cmap[ord(digit)]][0] for digit in DIGITS}
    missing = [f"U+{ord(sign):04X}" for sign in MUST_HAVE if ord(sign) not in cmap]
    print(f"{path}: {path.stat().st_size} bytes, {len(cmap)} characters, "
          f"digit width {sorted(widths)} of {font['head'].unitsPerEm}, missing {missing}")
    return len(widths) == 1 and not missing


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--source", type=Path, default=Path("/usr/share/fonts/opentype/inter"))
    parser.add_argument("--out", type=Path, default=Path(__file__).resolve().parent)
    options = parser.parse_args()
    good = [check(make(weight, options.source, options.out)) for weight in WEIGHTS]
    sys.exit(0 if all(good) else 1)


if __name__ == "__main__":
    main()
