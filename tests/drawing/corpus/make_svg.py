"""The SVG files of the corpus: what each is about, its text, and its parts in closed form."""

from collections.abc import Iterator

from tests.drawing.corpus.case import Case, Part

NAMES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
)
A4 = 'width="210mm" height="297mm" viewBox="0 0 210 297"'
SQUARE = '<rect id="body" x="10" y="10" width="40" height="25"/>'
ARCH = "c9 12 24 12 33 0"
"""A Pythagorean-hodograph cubic (Farouki and Sakkalis 1990): its derivative is the square of
6 + 3i(1 - 2t), so its length is (45 + 27 + 45) / 3 and the area below it is 205.2."""


def drawing(page: str, content: str, *, before: str = "") -> str:
    """Put a whole drawing together."""
    return f"{before}<svg {NAMES} {page}>\n{content}\n</svg>\n"


def case(about: str, name: str, page: str, content: str, *parts: Part, **more: str) -> Case:
    """Make a case of an SVG."""
    text = drawing(page, content, before=more.get("before", ""))
    raw = text.encode(more.get("encoding", "utf-8"))
    return Case(f"{name}.svg", about, raw, parts, unit=more.get("unit", ""))


def sizes() -> Iterator[Case]:
    """All ways in which a size can be stated or left open."""
    body = Part("40 * 25", "2 * (40 + 25)", name="body")
    for unit, per_mm in (("mm", 1.0), ("cm", 0.1), ("in", 1 / 25.4), ("Q", 4.0)):
        page = f'width="{200 * per_mm:.12g}{unit}" height="{100 * per_mm:.12g}{unit}" '
        about = f"width and height in {unit}"
        yield case(about, f"size-{unit.lower()}", page + 'viewBox="0 0 200 100"', SQUARE, body)
    inch = 'height="1in" viewBox="0 0 100 100"'
    part = Part("(25.4 / 100)**2 * 1000", "25.4 / 100 * 130", name="body")
    for wide in ("72pt", "6pc", "96px", "+2.54E0cm"):
        about = f"width in {wide.lstrip('+.0123456789E')}, height in inches"
        name = f"size-{wide.lstrip('+.0123456789E')}-by-in"
        yield case(about, name, f'width="{wide}" {inch}', SQUARE, part)
    px = Part("(25.4 / 96)**2 * 1000", "25.4 / 96 * 130", name="body")
    yield case(
        "no viewBox: user units are px",
        "size-no-viewbox",
        'width="100mm" height="100mm"',
        SQUARE,
        px,
    )
    double = Part("4000", "260", name="body")
    page = 'viewBox="0 0 100 100"'
    yield case("height left out", "size-width-alone", f'width="200mm" {page}', SQUARE, double)
    yield case(
        "width in per cent", "size-per-cent", f'width="100%" height="200mm" {page}', SQUARE, double
    )
    yield case(
        "sizes in a style", "size-style", f'style="width:200mm;height:200mm" {page}', SQUARE, double
    )
    yield case(
        "bare numbers, unit asked for",
        "unit-bare",
        f'width="200" height="200" {page}',
        SQUARE,
        double,
        unit="mm",
    )
    inches = Part("25.4**2 * 1000", "25.4 * 130", name="body")
    yield case("no size at all, unit asked for", "unit-none", page, SQUARE, inches, unit="in")
    yield case("nothing but user units, unit asked for", "unit-user", "", SQUARE,
               Part("100000", "1300", name="body"), unit="cm")  # fmt: skip
    box = 'width="100mm" height="50mm" viewBox="0 0 40 40"'
    disc = '<circle id="disc" cx="20" cy="20" r="8"/>'
    yield case("box and page of other shapes, meet", "aspect-meet",
               f'{box} preserveAspectRatio="xMaxYMin meet"', disc,
               Part("pi * 10**2", "2 * pi * 10", name="disc"))  # fmt: skip
    yield case("box and page of other shapes, slice", "aspect-slice",
               f'{box} preserveAspectRatio="defer xMidYMid slice"', disc,
               Part("pi * 20**2", "2 * pi * 20", name="disc"))  # fmt: skip
    yield case("box stretched to the page", "aspect-none", f'{box} preserveAspectRatio="none"',
               disc, Part("pi * 20 * 10", "ellipse(20, 10)", name="disc"))  # fmt: skip
    yield case("a box that begins elsewhere", "box-shifted",
               'width="5cm" height="5cm" viewBox="-100 -100 200 200"',
               '<circle cx="-50" cy="20" r="40"/>', Part("pi * 10**2", "2 * pi * 10"))  # fmt: skip


def shapes() -> Iterator[Case]:
    """Basic shapes and path commands."""
    yield case("rect with both radii", "rect-rounded", A4,
               '<rect x="9" y="9" width="100" height="60" rx="20" ry="10"/>',
               Part("6000 - (4 - pi) * 200", "2 * 60 + 2 * 40 + ellipse(20, 10)"))  # fmt: skip
    yield case("rect with one radius, too large", "rect-round-ends", A4,
               '<rect x="9" y="9" width="100" height="60" ry="90"/>',
               Part("6000 - (4 - pi) * 50 * 30", "ellipse(50, 30)"))  # fmt: skip
    yield case("circle, ellipse, polygon, polyline that comes home", "basic-shapes", A4,
               '<circle cx="20" cy="20" r="1.5"/><ellipse cx="60" cy="60" rx="30" ry="8"/>'
               '<polygon points="100,100 130,100 130-140"/>'
               '<polyline points="10 200 40 200 40 240 10 200"/>'
               '<line x2="9" y2="9"/><polyline points="1 1 2 2 3 1"/>',
               Part("pi * 1.5**2", "3 * pi"), Part("240 * pi", "ellipse(30, 8)"),
               Part("3600", "30 + 240 + sqrt(30**2 + 240**2)"),
               Part("600", "30 + 40 + 50"))  # fmt: skip
    yield case("moves and lines, relative, run together, two outlines", "path-lines", A4,
               '<path id="p" d="m10 10h40v30h-40zm60 0 30 0 0 40-30 0z"/>',
               Part("1200", "140", name="p 1"), Part("1200", "140", name="p 2"))  # fmt: skip
    yield case("numbers run together, signs and points part them", "path-crowded", A4,
               '<path d="M10.5.5 50.5.5l0 2e1-40-20z"/>',
               Part("40 * 20 / 2", "40 + 20 + sqrt(40**2 + 20**2)"))  # fmt: skip
    yield case("arcs with their flags run together", "path-arc-flags", A4,
               '<path d="M20 50a15 15 0 0130 0 15 15 0 11-30 0z"/>',
               Part("pi * 15**2", "2 * pi * 15"))  # fmt: skip
    yield case("the large arc of a circle", "path-arc-large", A4,
               '<path d="M50 50h20v20A20 20 0 1 1 50 50z"/>',
               Part("3 * pi * 100 + 400", "3 * pi * 10 + 40"))  # fmt: skip
    yield case("an ellipse of two turned arcs", "path-arc-turned", A4,
               '<path d="M60 60A40 10 90 0 0 60 140A40 10 90 0 0 60 60Z"/>',
               Part("pi * 400", "ellipse(40, 10)"))  # fmt: skip
    yield case("an arc too small for its ends", "path-arc-small", A4,
               '<path d="M30 30A1 1 0 0 1 80 30Z"/>',
               Part("pi * 25**2 / 2", "25 * pi + 50"))  # fmt: skip
    yield case("an arc without radius is a line", "path-arc-flat", A4,
               '<path d="M30 30A0 9 0 0 1 80 30V60Z"/>',
               Part("750", "80 + sqrt(50**2 + 30**2)"))  # fmt: skip
    yield case("quadratic curves, the second one smooth", "path-quadratic", A4,
               '<path d="M20 100q30 -40 60 0t60 0v60h-120z"/>',
               Part("120 * 60", "2 * parabola(60, 20) + 240"))  # fmt: skip
    yield case("cubic curves, the second one smooth", "path-cubic", A4,
               f'<path d="M20 20{ARCH}s24-12 33 0v60h-66z"/>',
               Part("66 * 60", "2 * 39 + 186"))  # fmt: skip
    yield case("a cubic arch", "path-arch", A4, f'<path d="M20 20{ARCH}z"/>',
               Part("205.2", "39 + 33"))  # fmt: skip
    yield case("a thin curved strip, as a welt", "thin-strip", A4,
               '<path d="M20 100A60 60 0 0 1 140 100H137A57 57 0 0 0 23 100Z"/>',
               Part("pi / 2 * (60**2 - 57**2)", "pi * 117 + 6"))  # fmt: skip
    yield case("a rivet hole by itself", "small-disc", A4, '<circle cx="9" cy="9" r=".8"/>',
               Part("pi * 0.64", "pi * 1.6"))  # fmt: skip
    yield case("as large as a side", "large-side",
               'width="300cm" height="200cm" viewBox="0 0 3000 2000"',
               '<path d="M100 100H2100A800 800 0 0 1 2100 1700H100Z"/>',
               Part("2000 * 1600 + pi * 800**2 / 2", "5600 + pi * 800"))  # fmt: skip


def trees() -> Iterator[Case]:
    """Groups, transforms, uses, windows."""
    yield case("transforms within transforms", "transforms", A4,
               '<g transform="translate(100-20) rotate(30)"><g transform="scale(2 .5)">'
               '<g transform="rotate(90 10 10)"><rect id="r" width="30" height="20"/></g></g></g>',
               Part("600", "2 * (40 + 15)", name="r"))  # fmt: skip
    yield case("a skewed square", "skewed", A4,
               '<rect width="30" height="40" x="50" y="50" transform="skewX(45)"/>',
               Part("1200", "60 + 80 * sqrt(2)"))  # fmt: skip
    golden = "ellipse(10 * (sqrt(5) + 1) / 2, 10 * (sqrt(5) - 1) / 2)"
    yield case("a skewed circle is an ellipse", "skewed-circle", A4,
               '<circle cx="50" cy="50" r="10" transform="matrix(1 0 1 1 0 0)"/>',
               Part("100 * pi", golden))  # fmt: skip
    yield case("a mirrored and turned arc", "mirrored-arc", A4,
               '<path transform="translate(100 100) scale(-1 1) rotate(17)" '
               'd="M-20 0A20 20 0 0 1 20 0Z"/>', Part("200 * pi", "20 * pi + 40"))  # fmt: skip
    yield case("used twice, moved and scaled", "use", A4,
               '<defs><path id="half" d="M0 0A10 10 0 0 1 20 0Z"/></defs>'
               '<use id="left" xlink:href="#half" x="20" y="30"/>'
               '<use id="right" href="#half" transform="translate(90 90) scale(3)"/>',
               Part("50 * pi", "10 * pi + 20", name="left"),
               Part("450 * pi", "30 * pi + 60", name="right"))  # fmt: skip
    yield case("a symbol in two sizes", "symbol", A4,
               '<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol>'
               '<use id="one" href="#s" width="20" height="20"/>'
               '<use id="two" href="#s" x="50" width="40" height="60"/>',
               Part("100 * pi", "20 * pi", name="one"),
               Part("400 * pi", "40 * pi", name="two"))  # fmt: skip
    yield case("a drawing in a drawing, and shares of it", "nested", A4,
               '<svg x="10" y="10" width="50%" height="99" viewBox="0 0 210 198">'
               '<rect width="100%" height="50%"/></svg>',
               Part("105 * 49.5", "2 * (105 + 49.5)"))  # fmt: skip
    yield case("a used drawing in another size", "use-nested", A4,
               '<defs><svg id="s" viewBox="0 0 2 2" width="9" height="9">'
               '<rect width="2" height="1"/></svg></defs><use href="#s" width="40" height="40"/>',
               Part("800", "120"))  # fmt: skip
    yield case("layers, one of them hidden", "layers", A4,
               '<g inkscape:groupmode="layer" inkscape:label="Cut" id="layer1">'
               '<g id="group"><rect id="body" width="50" height="20"/></g></g>'
               '<g inkscape:groupmode="layer" inkscape:label="Stitch" id="layer2">'
               '<rect width="40" height="10" x="5" y="5"/></g>'
               '<g inkscape:groupmode="layer" inkscape:label="Old" style="display:none">'
               '<circle r="9"/></g>', Part("1000", "140", name="body"))  # fmt: skip
    yield case("hidden in every way", "hidden", A4,
               "<style>.gone { display: none } #away, g .far > rect { visibility: hidden }</style>"
               '<rect class="a gone" width="9" height="9"/><rect id="away" width="9" height="9"/>'
               '<g><g class="far"><rect width="9" height="9"/></g></g>'
               '<g display="none"><rect width="9" height="9"/></g>'
               '<g visibility="hidden"><rect width="9" height="9"/>'
               '<rect id="seen" visibility="visible" width="6" height="7"/></g>'
               '<rect opacity="0" width="9" height="9"/><rect width="9" height="9" '
               'style="fill:red;display:none"/>', Part("42", "26", name="seen"))  # fmt: skip
    yield case("a switch and what it falls back to", "switch", A4,
               '<switch><foreignObject requiredExtensions="urn:x"><p/></foreignObject>'
               '<g><rect width="8" height="5"/></g><rect width="90" height="90"/></switch>',
               Part("40", "26"))  # fmt: skip
    yield case("definitions, clips and masks", "not-drawn", A4,
               '<defs><rect width="9" height="9"/></defs><clipPath id="c"><rect width="7" '
               'height="7"/></clipPath><mask id="m"><circle r="9"/></mask>'
               '<pattern id="q"><rect width="3" height="3"/></pattern>'
               '<rect clip-path="url(#c)" mask="url(#m)" width="30" height="20"/>',
               Part("600", "100"))  # fmt: skip


def holes() -> Iterator[Case]:
    """Holes by containment, and how files are written."""
    yield case("a compound path, even-odd", "holes-even-odd", A4,
               '<path fill-rule="evenodd" d="M10 10h100v60h-100zM20 20h20v20h-20z'
               'M60 40a10 10 0 1 0 20 0a10 10 0 1 0-20 0z"/>',
               Part("6000 - 400 - 100 * pi", "320 + 80 + 20 * pi", holes=2))  # fmt: skip
    yield case("a compound path, nonzero, the hole the other way round", "holes-nonzero", A4,
               '<path id="p" d="M10 10h100v60h-100zM20 20v20h20v-20z"/>',
               Part("5600", "400", holes=1, name="p"))  # fmt: skip
    yield case("a hole with an island in it", "holes-island", A4,
               '<path id="p" d="M10 10h100v60h-100zM20 20h60v40h-60zM30 30h10v10h-10z"/>',
               Part("6000 - 2400", "320 + 200", holes=1, name="p 1"),
               Part("100", "40", name="p 2"))  # fmt: skip
    yield case("holes drawn as shapes of their own", "holes-apart", A4,
               '<rect id="body" width="80" height="50"/><circle id="snap-hole" cx="20" cy="20" '
               'r="3"/><circle cx="60" cy="25" r="6"/>',
               Part("4000 - 45 * pi", "260 + 18 * pi", holes=2, name="body"))  # fmt: skip
    yield case("an entity of its own in the DOCTYPE", "doctype", A4, "&box;",
               Part("800", "120"),
               before='<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY box '
               '"<rect width=\'40\' height=\'20\'/>">]>')  # fmt: skip
    yield case("UTF-16", "utf-16", A4, '<rect id="ножны" width="40" height="20"/>',
               Part("800", "120", name="ножны"), encoding="utf-16",
               before='<?xml version="1.0" encoding="UTF-16"?>')  # fmt: skip
    yield case("Latin-1", "latin-1", A4, '<rect id="étui" width="40" height="20"/>',
               Part("800", "120", name="étui"), encoding="latin-1",
               before='<?xml version="1.0" encoding="ISO-8859-1"?>')  # fmt: skip


def svg_cases() -> tuple[Case, ...]:
    """All of them."""
    return (*sizes(), *shapes(), *trees(), *holes())
