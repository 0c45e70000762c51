"""QR codes that lead from paper back to the record (ISO/IEC 18004, drawn by segno)."""

import io
from typing import TypedDict

import segno

# Paper on a bench gets wet and muddy. Level Q still reads with about a quarter of the code spoilt; H would
# make the dots of a normal address too small for an old phone at the size we print.
_ERROR_CORRECTION = "q"

# The standard asks for a quiet zone of four modules on every side; it is part of the picture, so that no
# template can crowd it.
_QUIET_ZONE = 4


class QrCode(TypedDict):
    """``qr_svg`` is the picture, ``qr_border`` the share of its width that is white on either side."""

    qr_svg: str
    qr_border: float


def qr_code(url: str) -> QrCode:
    """The code as SVG, one unit a module, black on white, quiet zone included.

    Raises ValueError if the address is too long for any code (some 1,600 bytes at this level).
    """
    try:
        code = segno.make(url, error=_ERROR_CORRECTION, boost_error=False, micro=False)
    except segno.DataOverflowError as overflow:
        raise ValueError(f"An address of {len(url)} characters does not fit a QR code") from overflow
    picture = io.BytesIO()
    code.save(picture, kind="svg", border=_QUIET_ZONE, xmldecl=False, light="#fff", dark="#000", nl=False)
    width, _ = code.symbol_size(border=_QUIET_ZONE)
    return {"qr_svg": picture.getvalue().decode("utf-8"), "qr_border": round(_QUIET_ZONE / width, 6)}
