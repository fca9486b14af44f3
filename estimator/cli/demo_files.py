"""The demo workshop's files, from the installed package or a source checkout."""

import shutil
from pathlib import Path

import estimator
from estimator.errors import EstimatorError, Fault, InputError


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


def write_demo(folder: Path) -> None:
    """Copy the demo workshop.

    Parameters
    ----------
    folder : Path
        New or empty.

    Raises
    ------
    InputError
        If there is something in it already, or it cannot be written.
    """
    if folder.exists() and not folder.is_dir():
        raise InputError(Fault(problem=f"{folder} is a file", remedy="name a new folder"))
    source = demo_source()
    try:
        if folder.is_dir() and any(folder.iterdir()):
            raise InputError(
                Fault(problem=f"{folder} is not empty", remedy="name a new folder for the demo")
            )
        shutil.copytree(source, folder, dirs_exist_ok=True, ignore=_not_files)
    except (OSError, shutil.Error) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(
            Fault(problem=f"{folder} cannot be written: {reason}", remedy="name another folder")
        ) from None


def _not_files(folder: str, names: list[str]) -> list[str]:  # noqa: ARG001  (as shutil calls it)
    """Names that are not part of the demo."""
    return [name for name in names if name.startswith((".", "__pycache__"))]
