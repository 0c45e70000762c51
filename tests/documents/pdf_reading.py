"""What a checker of tagged PDF looks at, read with pypdf. Clause numbers are those of ISO 14289-1:2014."""

import io
from collections.abc import Iterator
from typing import Any

from pypdf import PdfReader


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def words_of(pdf: bytes, page: int | None = None) -> str:
    """All text without spaces and places to break, since extraction puts both where lines end."""
    pages = read(pdf).pages
    texts = [p.extract_text() for p in (pages if page is None else [pages[page]])]
    return squeezed("".join(texts))


def squeezed(text: str) -> str:
    return "".join(text.replace("\u200b", "").replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split())


def structure(reader: PdfReader) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every structure element in reading order, as (type, element)."""
    root: Any = reader.trailer["/Root"]
    yield from _walk(root["/StructTreeRoot"].get_object())


def _walk(node: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for child in node:
            yield from _walk(child)
    elif isinstance(node, dict):
        if "/S" in node:
            yield str(node["/S"]), node
        if "/K" in node:
            yield from _walk(node["/K"])


def accessibility_faults(pdf: bytes) -> list[str]:
    """The machine-checkable requirements that this PDF misses; empty if none."""
    reader = read(pdf)
    root: Any = reader.trailer["/Root"]
    faults = []
    metadata = root["/Metadata"].get_object().get_data().decode("utf-8") if "/Metadata" in root else ""
    if "<pdfuaid:part>1</pdfuaid:part>" not in metadata:
        faults.append("5: the metadata do not name PDF/UA-1")
    if not root.get("/MarkInfo", {}).get("/Marked") or "/StructTreeRoot" not in root:
        return [*faults, "7.1: the document is not tagged"]
    if "<dc:title>" not in metadata or not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle"):
        faults.append("7.1: no title, or a viewer would show the file's name instead")
    if not root.get("/Lang"):
        faults.append("7.2: no natural language")
    elements = list(structure(reader))
    if any(kind == "/Figure" and not element.get("/Alt") for kind, element in elements):
        faults.append("7.3: a figure without words in its place")
    level = 0
    for kind, _ in elements:
        if kind in ("/H1", "/H2", "/H3", "/H4", "/H5", "/H6"):
            if int(kind[2]) > level + 1:
                faults.append(f"7.4.2: heading {kind} follows level {level}")
            level = int(kind[2])
    if not any(kind == "/TH" for kind, _ in elements) and any(kind == "/Table" for kind, _ in elements):
        faults.append("7.5: a table without headers")
    for font in fonts(reader):
        if not font["embedded"]:
            faults.append(f"7.21.4.1: {font['name']} is not embedded")
        if not font["readable"]:
            faults.append(f"7.21.7: {font['name']} does not map to Unicode")
    return faults


def fonts(reader: PdfReader) -> list[dict[str, Any]]:
    found = {}
    for page in reader.pages:
        resources: Any = page["/Resources"]
        for reference in resources.get("/Font", {}).values():
            font = reference.get_object()
            inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            descriptor = inner["/FontDescriptor"].get_object()
            found[str(font["/BaseFont"])] = {
                "name": str(font["/BaseFont"]),
                "embedded": any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3")),
                "readable": "/ToUnicode" in font,
            }
    return list(found.values())
