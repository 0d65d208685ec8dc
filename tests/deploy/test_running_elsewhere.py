"""The files by which it runs elsewhere say what their readers take, and the service reads."""

# ruff: noqa: S603 - the programs started here are our own

import configparser
import json
import re
import shutil
import subprocess
import sys
from ipaddress import IPv4Address, IPv4Network
from pathlib import Path
from typing import Any

import pytest
import yaml

from deploy.environment import ROOT
from deploy.rolling import SETTINGS, settings_for
from service.console import parser
from service.settings import FROM_FILES, Settings

DEPLOY = ROOT / "deploy"
FILES = sorted(
    path
    for folder in ("container", "systemd", "kubernetes")
    for path in (DEPLOY / folder).iterdir()
    if path.is_file()
)
MANIFESTS = sorted((DEPLOY / "kubernetes").glob("*.yaml"))
UNITS = sorted((DEPLOY / "systemd").glob("*.service"))
POD = ("Deployment", "Job")


def program(name: str) -> str:
    found = shutil.which(name, path=str(Path(sys.executable).parent))
    assert found, f"{name} is no part of this environment"
    return found


def accepts(*command: str | Path) -> bool:
    done = subprocess.run(list(map(str, command)), capture_output=True, text=True, check=False)
    sys.stdout.write(done.stdout + done.stderr)  # shown when the test fails
    return done.returncode == 0


def documents() -> list[dict[str, Any]]:
    return [one for path in MANIFESTS for one in yaml.safe_load_all(path.read_text())]


def pods() -> list[dict[str, Any]]:
    return [one["spec"]["template"]["spec"] for one in documents() if one["kind"] in POD]


def test_there_is_something_of_each_kind() -> None:
    assert (len(MANIFESTS), len(UNITS)) == (5, 2)
    assert len(FILES) == 11


def test_the_container_file_has_no_fault_that_its_linter_knows(tmp_path: Path) -> None:
    path = DEPLOY / "container" / "Containerfile"
    assert accepts(program("hadolint"), path)

    wrong = tmp_path / "Containerfile"
    wrong.write_text(path.read_text().replace("WORKDIR /data", "WORKDIR data"))
    assert not accepts(program("hadolint"), wrong)


def test_the_container_takes_only_packages_whose_hashes_are_locked_and_runs_as_nobody() -> None:
    text = (DEPLOY / "container" / "Containerfile").read_text()

    assert "--require-hashes" in text
    assert "--only-binary=:all:" in text
    assert re.search(r"^USER 10001:10001$", text, re.MULTILINE)
    assert "/healthz" in text
    assert text.index("USER ") > text.index("COPY service")


def test_compose_takes_its_file(tmp_path: Path) -> None:
    path = DEPLOY / "container" / "compose.yaml"
    check = (program("check-jsonschema"), "--builtin-schema", "vendor.compose-spec")
    assert accepts(*check, path)

    wrong = tmp_path / "compose.yaml"
    wrong.write_text(path.read_text().replace("read_only: true", "read_only: [1]", 1))
    assert not accepts(*check, wrong)


def test_every_service_of_ours_has_a_read_only_root_and_no_rights() -> None:
    services = yaml.safe_load((DEPLOY / "container" / "compose.yaml").read_text())["services"]

    for name in ("migrate", "server", "worker", "proxy"):
        assert services[name]["read_only"] is True, name
        assert services[name]["cap_drop"] == ["ALL"], name
        assert "no-new-privileges:true" in services[name]["security_opt"], name


def test_the_address_by_which_the_proxy_is_known_is_kept_for_it() -> None:
    known = yaml.safe_load((DEPLOY / "container" / "compose.yaml").read_text())
    (net,) = known["networks"]["front"]["ipam"]["config"]
    proxy = IPv4Address(known["services"]["proxy"]["networks"]["front"]["ipv4_address"])

    assert known["services"]["server"]["environment"]["HOODWRIGHT_TLS_PROXY"] == str(proxy)
    assert proxy in IPv4Network(net["subnet"])
    assert proxy not in IPv4Network(net["ip_range"])  # what the engine gives to the others
    assert IPv4Network(net["ip_range"]).subnet_of(IPv4Network(net["subnet"]))


def test_a_sign_to_stop_is_heard_while_a_container_starts() -> None:
    """The kernel keeps signals without a handler from the first process of a namespace."""
    services = yaml.safe_load((DEPLOY / "container" / "compose.yaml").read_text())["services"]
    for name in ("migrate", "server", "worker"):
        assert services[name]["init"] is True, name
    for pod in pods():
        assert pod["shareProcessNamespace"] is True


def test_a_migration_that_fails_is_not_tried_for_ever() -> None:
    services = yaml.safe_load((DEPLOY / "container" / "compose.yaml").read_text())["services"]
    assert services["migrate"]["restart"] == "no"


def test_the_database_is_ready_only_when_it_is_reached_as_the_servers_reach_it() -> None:
    services = yaml.safe_load((DEPLOY / "container" / "compose.yaml").read_text())["services"]
    assert "--host=127.0.0.1" in services["database"]["healthcheck"]["test"]


def test_the_image_can_copy_the_database_that_compose_has() -> None:
    container = DEPLOY / "container"
    database = yaml.safe_load((container / "compose.yaml").read_text())["services"]["database"]
    release = database["image"].partition(":")[2]
    assert f" postgresql-client-{release} " in (container / "Containerfile").read_text()


@pytest.mark.parametrize("path", MANIFESTS, ids=lambda path: path.stem)
def test_kubernetes_takes_every_manifest(path: Path) -> None:
    assert accepts(program("kubernetes-validate"), "--strict", "-k", "1.31", path)


def test_a_manifest_that_is_wrong_is_found(tmp_path: Path) -> None:
    text = (DEPLOY / "kubernetes" / "server.yaml").read_text()
    wrong = tmp_path / "server.yaml"
    wrong.write_text(text.replace("readOnlyRootFilesystem", "readOnlyRoot"))
    assert not accepts(program("kubernetes-validate"), "--strict", "-k", "1.31", wrong)


def test_every_pod_is_kept_from_what_it_does_not_need() -> None:
    assert not [one for one in documents() if one["kind"] == "Secret"]
    assert len(pods()) == 3

    for pod in pods():
        assert pod["securityContext"]["runAsNonRoot"] is True
        assert pod["automountServiceAccountToken"] is False
        for container in pod["containers"]:
            kept = container["securityContext"]
            assert kept["readOnlyRootFilesystem"] is True
            assert kept["allowPrivilegeEscalation"] is False
            assert kept["capabilities"] == {"drop": ["ALL"]}


@pytest.mark.parametrize("path", UNITS, ids=lambda path: path.stem)
def test_a_unit_writes_to_its_data_alone_and_gains_no_rights(path: Path) -> None:
    unit = configparser.RawConfigParser(strict=False, interpolation=None)
    unit.optionxform = str  # type: ignore[assignment,method-assign]  # names keep their capitals
    unit.read_string(path.read_text())
    service = dict(unit["Service"])

    assert service["User"] == "hoodwright"
    assert service["ProtectSystem"] == "strict"
    assert service["ReadWritePaths"] == "/var/lib/hoodwright"
    assert service["NoNewPrivileges"] == "yes"
    assert service["CapabilityBoundingSet"] == ""
    assert service["ProtectHome"] == "yes"


def test_the_files_set_only_what_the_service_reads_and_no_secret_itself() -> None:
    known = {f"HOODWRIGHT_{name.upper()}" for name in Settings.model_fields}
    secret = {f"HOODWRIGHT_{name.upper()}" for name in (*FROM_FILES, "mail_password")}
    for path in FILES:
        named = set(re.findall(r"HOODWRIGHT_[A-Z_]+", path.read_text()))
        assert named <= known, path
        assert not named & secret, path


def test_the_files_start_commands_that_there_are() -> None:
    for words in (
        ["serve", "--host", "0.0.0.0", "--port", "8000"],  # noqa: S104 - a container's own
        ["work"],
        ["migrate"],
    ):
        assert parser().parse_args(words).command == words[0]
    assert "-m service.command work" in UNITS[0].read_text()


def test_the_proxy_of_the_trial_has_the_settings_that_are_shipped() -> None:
    shipped = SETTINGS.read_text()
    text = settings_for(shipped, 9000, [9001, 9002])

    assert "server s1 127.0.0.1:9002" in text
    assert "ssl crt" not in text
    kept = {line for line in shipped.splitlines() if "http-check" in line or "retr" in line}
    assert kept
    assert kept <= set(text.splitlines())


def test_the_dashboard_asks_for_counts_that_there_are() -> None:
    board = json.loads((DEPLOY / "dashboard" / "grafana.json").read_text())
    asked = {
        name
        for panel in board["panels"]
        for target in panel["targets"]
        for name in re.findall(r"hoodwright_[a-z_]+", target["expr"])
    }
    source = "".join(
        (ROOT / "service" / name).read_text()
        for name in ("meters.py", "standing.py", "web/metering.py")
    )
    for name in asked:
        bare = re.sub(r"_(total|bucket|count|sum)$", "", name).removeprefix("hoodwright_")
        assert re.search(rf'"(hoodwright_)?{bare}"', source), name
    assert len(asked) >= 9
    assert len({panel["id"] for panel in board["panels"]}) == len(board["panels"])
