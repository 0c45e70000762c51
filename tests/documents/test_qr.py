"""The code that leads back: shaped as ISO/IEC 18004 asks, read by a general decoder where there is one."""

import io
import re

import pytest
import typst
from tests.documents.conftest import URL

from whetpanel.documents.qr import qr_code


def test_four_modules_of_white_on_every_side() -> None:
    """ISO/IEC 18004: a quiet zone of four modules; sizes are 21 + 4 (version − 1) modules."""
    code = qr_code(URL)
    found = re.search(r'width="(\d+)" height="(\d+)"', code["qr_svg"])
    assert found is not None
    width = int(found[1])

    assert int(found[2]) == width
    assert (width - 8 - 21) % 4 == 0
    assert code["qr_border"] == pytest.approx(4 / width, abs=1e-6)


def test_the_same_address_gives_the_same_picture() -> None:
    """Sheets are compared by their bytes."""
    assert qr_code(URL) == qr_code(URL)
    assert qr_code(URL) != qr_code(URL + "?version=2")


def test_an_address_too_long_for_any_code_is_a_mistake_of_ours() -> None:
    """Addresses are made by us; version 40-Q holds 1663 bytes (ISO/IEC 18004, table of capacities)."""
    assert qr_code("x" * 1663)
    with pytest.raises(ValueError, match="does not fit"):
        qr_code("x" * 1664)


def test_a_decoder_reads_the_address_from_the_picture() -> None:
    """A second program, which knows nothing of ours, reads what we meant."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    from PIL import Image

    template = (
        b"#set page(width: 40mm, height: 40mm, margin: 4mm)\n#image(bytes(sys.inputs.svg), width: 32mm)"
    )
    picture = typst.compile(template, format="png", ppi=200, sys_inputs={"svg": qr_code(URL)["qr_svg"]})

    assert [code.text for code in zxingcpp.read_barcodes(Image.open(io.BytesIO(picture)))] == [URL]
