"""Keeps the finished pages of a PDF out of memory: compressed, in a temporary file, until the file is put together."""

from __future__ import annotations

from typing import IO, Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream


class SpooledStream(PDFStream):  # type: ignore[misc]  # reportlab has no types
    """Content of a page, kept in `spool`, that goes straight to `out` when the canvas puts its file together.

    `packed` is compressed as zlib does (FlateDecode, ISO 32000-1, 7.4.4). The canvas would hold all pages three times
    while it saves: as streams, as formatted objects, and joined.
    """

    def __init__(self, packed: bytes, spool: IO[bytes], out: IO[bytes]) -> None:
        super().__init__(PDFDictionary({"Filter": PDFArray([PDFName("FlateDecode")])}), b"")
        self._spool, self._out = spool, out
        self._start, self._length = spool.seek(0, 2), len(packed)
        spool.write(packed)

    def format(self, document: Any) -> bytes:
        """Return the object's bytes; from here on the file that is being put together goes to `out`."""
        file = document.__accum__  # where the canvas gathers it, open to objects while they are formatted
        if file.strings:
            self._out.write(b"".join(file.strings))
            file.strings.clear()
            file.write = self._out.write
        self._spool.seek(self._start)
        self.content = self._spool.read(self._length)
        try:
            return bytes(super().format(document))
        finally:
            self.content = b""
