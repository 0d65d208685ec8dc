"""The commands that bring in, take out, plan and draw from a file; their exit codes."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from pypdf import PdfReader

from service.bringing.sheet import sample
from service.console import main
from tests.service.api import DOG, LENGTHS, SLIPPED, YARN

HOOD = {"dog": DOG, "measurements": LENGTHS, "yarn": YARN}


def run(
    capsys: pytest.CaptureFixture[str], *arguments: str | Path, code: int = 0
) -> tuple[str, str]:
    """Run a command that must end with an exit code; return what it said."""
    capsys.readouterr()
    assert main(list(map(str, arguments))) == code
    said = capsys.readouterr()
    return said.out, said.err


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "orders.csv"
    path.write_bytes(sample())
    return path


@pytest.fixture
def hood(tmp_path: Path) -> Path:
    path = tmp_path / "pipkin.json"
    path.write_text(json.dumps(HOOD))
    return path


def count(data: Path) -> int:
    with closing(sqlite3.connect(data / "hoodwright.sqlite")) as connection:
        found: int = connection.execute("SELECT count(*) FROM hood_order").fetchone()[0]
    return found


def test_a_table_is_looked_at_brought_in_and_taken_out_again(
    capsys: pytest.CaptureFixture[str], table: Path, tmp_path: Path
) -> None:
    shop, second = tmp_path / "shop", tmp_path / "second"
    out, _ = run(capsys, "import", table, "--data", shop, "--look")
    assert "line 2: Wilhelmina Orrick · Sprocket: new buyer, new dog, order taken" in out
    assert count(shop) == 0

    out, err = run(capsys, "import", table, "--data", shop)
    assert "2 orders, 1 dogs without an order; 3 new buyers, 3 new dogs" in out
    assert err == ""
    to = tmp_path
    for kind in ("json", "zip"):
        to = tmp_path / f"all.{kind}"
        run(capsys, "export", "--data", shop, "--to", to, *(["--json"] if kind == "json" else []))
        out, _ = run(capsys, "import", to, "--data", second / kind)
        assert "the whole shop, 2 orders" in out
        assert count(second / kind) == 2
    _, err = run(capsys, "export", "--data", shop, "--to", to, code=4)
    assert "is there already" in err
    _, err = run(capsys, "import", to, "--data", shop, code=4)
    assert "something in this shop already" in err
    assert count(shop) == 2


def test_a_line_that_is_wrong_ends_with_seven_and_its_place(
    capsys: pytest.CaptureFixture[str], table: Path, tmp_path: Path
) -> None:
    table.write_bytes(sample().replace(b"35.5 cm", b"35.5 em"))
    for look in ((), ("--look",)):
        _, err = run(capsys, "import", table, "--data", tmp_path / "shop", *look, code=7)
        assert "line 2, neck girth: “35.5 em” is not a measurement" in err
    assert count(tmp_path / "shop") == 0
    _, err = run(capsys, "import", tmp_path / "none.csv", "--data", tmp_path, code=1)
    assert "cannot be read" in err


def test_a_plan_and_a_ticket_need_no_database(
    capsys: pytest.CaptureFixture[str], hood: Path, table: Path, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    out, _ = run(capsys, "plan", hood)
    assert "Bramble · Beagle" in out
    assert "Rows 2 to" in out
    assert "ask the vet" in out
    told, _ = run(capsys, "plan", hood, "--json")
    assert json.loads(told)["engine"]
    _, err = run(capsys, "plan", table, code=7)
    assert "Say which line with --line. There are: 2, 3, 4." in err
    out, _ = run(capsys, "plan", table, "--line", "3")
    assert "Lady Plum · Greyhound" in out

    out, _ = run(capsys, "ticket", hood, "--paper", "Letter")
    assert "pipkin.pdf" in out
    reader = PdfReader(tmp_path / "pipkin.pdf")
    assert "Bramble" in reader.pages[0].extract_text()
    assert float(reader.pages[0].mediabox.width) == pytest.approx(612)
    _, err = run(capsys, "ticket", hood, code=4)
    assert "is there already" in err
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "orders.csv", "pipkin.json", "pipkin.pdf",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({**HOOD, "measurements": SLIPPED}, "A number stops the plan"),
        ({**HOOD, "measurements": {**LENGTHS, "nape_length": "?"}}, "nape_length"),
        ({**HOOD, "yarn": {}}, "yarn.name: Please fill this in."),
        ({**HOOD, "hook_mm": 900}, "hook"),
        ({**HOOD, "colour": "red"}, "colour"),
        ([1], "JSON object"),
    ],
)
def test_numbers_that_make_no_plan_end_with_seven(
    capsys: pytest.CaptureFixture[str], hood: Path, told: object, said: str
) -> None:
    hood.write_text(json.dumps(told) if isinstance(told, dict) else "{ [")
    if not isinstance(told, dict):
        said = "no JSON"
    _, err = run(capsys, "plan", hood, code=7)

    assert said in err
    run(capsys, "ticket", hood, code=7)
    assert not hood.with_suffix(".pdf").exists()


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--help"])

    assert ended.value.code == 0
    out = capsys.readouterr().out
    for name in ("serve", "backup", "restore", "import", "export", "plan", "ticket"):
        assert name in out
