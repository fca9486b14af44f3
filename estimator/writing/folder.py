"""A folder of outputs that also holds what others put there.

Its marker lists our files with their hashes. Written again, only those that are unedited are
replaced, one by one, the marker last; what is not ours and in the way is kept by the rule
(``rule.py``), and everything else is left alone.
"""

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from estimator.errors import Fault, InputError
from estimator.kept import disk_faults, flush_folder
from estimator.writing.lock import lock_folder
from estimator.writing.marker import (
    MARKER,
    OWN,
    UNDER_WAY,
    Marker,
    hash_of,
    marker_text,
    read_marker,
)
from estimator.writing.rule import content_of, real_path
from estimator.writing.swap import (
    Kept,
    Swap,
    is_temporary,
    new_token,
    swap_files,
    sweep,
)


def check_folder(
    folder: Path, *, reference: str, force: bool = False, reads: Iterable[Path] = ()
) -> Path:
    """Refuse a folder that outputs must not go to.

    Parameters
    ----------
    folder : Path
        Where they shall go; links are followed.
    reference : str
        Of the order.
    force : bool
        Whether a folder that was not made here may be written into.
    reads : iterable of Path
        Files that the order was read from.

    Returns
    -------
    Path
        The folder itself, absolute and without links.

    Raises
    ------
    InputError
        If it is a file; holds one of ``reads``, itself or in a folder of its own; holds the
        outputs of another order; or holds other things and ``force`` is not given.
    """
    place = real_path(folder)
    with disk_faults(folder):
        if not place.exists():
            return place
    if not place.is_dir():
        raise _refusal(f"{folder} is a file", "name a folder with --out")
    for read in reads:
        if _is_in_folder(place, read):
            raise _refusal(
                f"{folder} holds {read.name}, which this order is read from",
                "name a folder of its own for the outputs with --out",
            )
    known = _marker_of(place)
    if known is not None and known.reference not in {"", reference}:
        raise _refusal(
            f"{folder} holds the outputs of order {known.reference}",
            f"name another folder for {reference} with --out",
        )
    if known is None and not force and _has_others(place):
        raise _refusal(
            f"{folder} holds files that were not made by this command",
            "name another folder with --out, or write among them with --force; nothing is deleted",
        )
    return place


def write_folder(
    folder: Path,
    contents: Mapping[str, bytes],
    *,
    reference: str,
    force: bool = False,
    reads: Iterable[Path] = (),
    settle: Callable[[], None] | None = None,
) -> tuple[Kept, ...]:
    """Write outputs into a folder: all of them, or everything stays as it was.

    Parameters
    ----------
    folder : Path
        Where to; made if it is not there.
    contents : mapping of str to bytes
        Files by name.
    reference, force, reads
        See :func:`check_folder`.
    settle : callable, optional
        Called once all files are in their places; if it fails, they are taken back.

    Returns
    -------
    tuple of Kept
        Files in the way that were not as we wrote them, and where they are now.

    Raises
    ------
    InputError
        If the folder is refused, in use, or cannot be written; nothing has changed then.
    """
    token = new_token()
    with swap_files(token) as swap:
        place = check_folder(folder, reference=reference, force=force, reads=reads)
        swap.make_folder(place)
        with lock_folder(place, token) as left:
            try:
                check_folder(place, reference=reference, force=force, reads=reads)
                mark = Marker(reference=reference, hashes={}, token=token)
                _write(swap, place, contents, mark, left)
                if settle is not None:
                    settle()
            except BaseException:
                swap.undo()
                raise
            swap.finish()
    return tuple(swap.kept)


def _write(swap: Swap, place: Path, contents: Mapping[str, bytes], mark: Marker, left: str) -> None:
    """Stage all, tell what is under way, put each in its place, the marker last."""
    known = _marker_of(place) or Marker(hashes={})
    sweep(place, tokens=frozenset({left, known.token} - {""}))
    new = {name: frozenset({hash_of(content)}) for name, content in contents.items()}
    either = {
        name: known.hashes.get(name, frozenset()) | new.get(name, frozenset())
        for name in {*known.hashes, *new}
    }
    marker, under_way = place / MARKER, place / UNDER_WAY
    record = Marker(reference=mark.reference, hashes=either, token=mark.token)
    swap.stage(under_way, marker_text(record).encode())
    for name, content in contents.items():
        swap.stage(place / name, content)
    final = Marker(reference=mark.reference, hashes=new, token=mark.token)
    swap.stage(marker, marker_text(final).encode())
    swap.place(under_way, keep=False, is_record=True)
    flush_folder(place)
    for name, content in contents.items():
        path = place / name
        before = None if path.is_symlink() else content_of(path)
        if before != content or path.is_symlink():
            is_ours = before is not None and known.has(name, before)
            swap.place(path, keep=not is_ours)
    for name in sorted(known.hashes.keys() - contents.keys()):
        path = place / name
        if path.is_file() and not path.is_symlink() and known.has(name, content_of(path) or b""):
            swap.remove(path)
    swap.place(marker, keep=False)


def _marker_of(place: Path) -> Marker | None:
    """What the folder says is ours; None if it says nothing, so was not made here."""
    found = [read_marker(place / name) for name in (MARKER, UNDER_WAY)]
    marks = [mark for mark in found if mark is not None]
    if not marks:
        return None
    return Marker(
        reference=next((mark.reference for mark in marks if mark.reference), ""),
        hashes={
            name: frozenset().union(*(mark.hashes.get(name, frozenset()) for mark in marks))
            for mark in marks
            for name in mark.hashes
        },
        token=marks[-1].token,
    )


def _has_others(place: Path) -> bool:
    """Whether there is more in a folder than what a killed run of ours left."""
    with disk_faults(place):
        return any(each.name not in OWN and not is_temporary(each.name) for each in place.iterdir())


def _is_in_folder(place: Path, read: Path) -> bool:
    """Whether a file lies in a folder, or in one below it, whatever they are called."""
    with disk_faults(read):
        above = {*read.absolute().parents, *read.resolve().parents}
        return any(each.exists() and each.samefile(place) for each in above)


def _refusal(problem: str, remedy: str) -> InputError:
    return InputError(Fault(problem=problem, remedy=remedy, key=("out",)))
