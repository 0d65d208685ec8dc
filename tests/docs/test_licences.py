"""The list of licences is that of the locked packages, and none of them is silent."""

from deploy.licences import TABLE, licence_of, locked


def test_every_locked_package_is_listed_with_its_version() -> None:
    text = TABLE.read_text(encoding="utf-8")
    listed = {
        tuple(cell.strip() for cell in line.split("|")[1:3])
        for line in text.splitlines()
        if line.startswith("| ") and "package" not in line
    }

    assert listed == set(locked())
    assert len(listed) > 20


def test_every_package_here_names_its_licence() -> None:
    assert [name for name, _ in locked() if not licence_of(name)] == []
    assert licence_of("fastapi") == "MIT"
