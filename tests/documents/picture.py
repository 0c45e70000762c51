"""Pages as pictures, so that a second program can read what is drawn on them."""

import io
from pathlib import Path

import typst
from PIL import Image

PIXELS_PER_MM = 8


def picture_of(pdf: bytes, folder: Path, page: int = 1) -> Image.Image:
    """One page at eight pixels a millimetre."""
    (folder / "document.pdf").write_bytes(pdf)
    (folder / "show.typ").write_text(
        '#set page(width: auto, height: auto, margin: 0pt)\n#image("document.pdf", page: int(sys.inputs.page))\n'
    )
    drawn = typst.compile(
        str(folder / "show.typ"),
        root=str(folder),
        format="png",
        ppi=PIXELS_PER_MM * 25.4,
        sys_inputs={"page": str(page)},
    )
    assert isinstance(drawn, bytes)
    return Image.open(io.BytesIO(drawn))
