"""The demo workshop's files, from the installed package or a source checkout."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

import estimator
from estimator.errors import EstimatorError, Fault, InputError
from estimator.kept import disk_faults
from estimator.writing.rule import real_path, write_files


def demo_source() -> Path:
    """Find the demo workshop.

    Returns
    -------
    Path
        ``demo`` in the installed package, or ``data/demo`` of a checkout.

    Raises
    ------
    EstimatorError
        If neither is there: the installation is broken.
    """
    package = Path(estimator.__file__).parent
    for folder in (package / "demo", package.parent / "data" / "demo"):
        if (folder / "order.toml").is_file():
            return folder
    raise EstimatorError("the demo workshop is missing from this installation")


@contextmanager
def write_demo(folder: Path) -> Iterator[None]:
    """Copy the demo workshop, and take it away again if what is done with it fails.

    Parameters
    ----------
    folder : Path
        New or empty.

    Raises
    ------
    InputError
        If there is something in it already, or it cannot be written.
    """
    place = real_path(folder)
    with disk_faults(folder):
        if place.exists() and not place.is_dir():
            raise InputError(Fault(problem=f"{folder} is a file", remedy="name a new folder"))
        if place.is_dir() and any(place.iterdir()):
            raise InputError(
                Fault(problem=f"{folder} is not empty", remedy="name a new folder for the demo")
            )
    source = demo_source()
    contents = {place / each.relative_to(source): each.read_bytes() for each in _files(source)}
    above = [each for each in (place, *place.parents) if not each.exists()]
    write_files(contents, makes_folder=True)
    try:
        yield
    except BaseException:
        _remove(place, contents, above)
        raise


def _remove(place: Path, contents: Mapping[Path, bytes], above: list[Path]) -> None:
    """Take away what was written, unless somebody has changed it already."""
    for path, content in contents.items():
        with suppress(OSError):
            if path.read_bytes() == content:
                path.unlink()
    folders = {path.parent for path in contents if path.parent != place}
    for each in (*sorted(folders, key=lambda each: -len(each.parts)), *above):
        with suppress(OSError):
            each.rmdir()


def _files(source: Path) -> list[Path]:
    """The files of the demo; hidden ones and what Python keeps are none."""
    return [
        each
        for each in sorted(source.rglob("*"))
        if each.is_file()
        and not any(
            part.startswith((".", "__pycache__")) for part in each.relative_to(source).parts
        )
    ]
