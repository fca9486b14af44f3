"""The public names: sorted, complete, and all there."""

from estimator import api


def test_public_names_are_sorted_and_complete() -> None:
    assert api.__all__ == sorted(api.__all__)
    assert len(api.__all__) == len(set(api.__all__))
    imported = {name for name in vars(api) if not name.startswith("_")}
    assert imported == set(api.__all__)
