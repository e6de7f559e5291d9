"""The MusicXML files inside the installed music21 package: read where they are, none is copied.

Their licences differ from file to file, so nothing of them may be kept in the repository.
"""

from __future__ import annotations

from collections import defaultdict
from importlib.util import find_spec
from pathlib import Path

from tabtools.musicxml.package import is_package, unpack

_SUFFIXES = (".xml", ".mxl", ".musicxml")


def package() -> Path:
    """The folder of the installed package. Raises RuntimeError where there is none."""
    spec = find_spec("music21")
    if spec is None or spec.origin is None:
        raise RuntimeError("music21 is not installed: pip install -e '.[test]'")
    return Path(spec.origin).parent


def corpus_files() -> list[Path]:
    """Every MusicXML file of the corpus, sorted by path."""
    return sorted(path for path in (package() / "corpus").rglob("*") if path.suffix in _SUFFIXES)


def own_inputs() -> list[Path]:
    """The other MusicXML files of the package, which it tests itself with."""
    found = (path for path in package().rglob("*") if path.suffix in _SUFFIXES)
    outside = (path for path in found if "corpus" not in path.relative_to(package()).parts)
    return sorted(path for path in outside if path.suffix == ".mxl" or b"<score-" in path.read_bytes()[:4000])


def xml_of(path: Path) -> bytes:
    """The bytes of the score in a file, plain or packed."""
    data = path.read_bytes()
    return unpack(data) if is_package(data) else data


def spread(count: int, largest: int = 700_000) -> list[tuple[Path, bytes]]:
    """About ``count`` files with their XML: a fair share of each folder, over all sizes up to ``largest``."""
    folders: defaultdict[str, list[tuple[int, Path, bytes]]] = defaultdict(list)
    root = package()
    for path in corpus_files() + own_inputs():
        xml = xml_of(path)
        if len(xml) <= largest:
            parts = path.relative_to(root).parts
            folders["/".join(parts[:2]) if parts[0] == "corpus" else "other"].append((len(xml), path, xml))
    share = 1
    while sum(min(share, len(group)) for group in folders.values()) < count and share < count:
        share += 1
    chosen = []
    for group in folders.values():
        group.sort(key=lambda item: item[:2])
        number = min(share, len(group))
        places = {round(i * (len(group) - 1) / max(1, number - 1)) for i in range(number)}
        chosen += [group[place][1:] for place in sorted(places)]
    return sorted(chosen, key=lambda item: item[0])
