"""The command line: what it prints, what it writes, and how it ends."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

import rigfeed
from rigfeed import cli

HAZEL = rigfeed.example("hazel")
COMMAND = [sys.executable, "-c", "from rigfeed.cli import main; main()"]


@pytest.fixture
def accepted(tmp_path):
    """Hazel, its one fault accepted."""
    file = tmp_path / "accepted.toml"
    deviation = 'check = "breaking-capacity-low"\nsubject = "nodes.F1"\nreason = "nobody drives it"\nby = "a test"\n'
    file.write_text(f"{HAZEL.read_text()}\n[[deviations]]\n{deviation}")
    return file


@pytest.fixture
def starved(tmp_path):
    """Hazel with cables that are too thin and its fuse too far."""
    file = tmp_path / "starved.toml"
    text = HAZEL.read_text().replace("cable:thinwall-2.5", "cable:thinwall-1").replace('"0.15 m"', '"0.9 m"')
    file.write_text(text)
    return file


def test_a_design_without_error_ends_with_0(run, accepted):
    code, out, err = run("check", accepted)
    assert (code, err) == (0, "")
    assert "No error among the checks made: 0 errors, " in out
    assert ", 1 accepted" in out
    assert "Accepted by a test: nobody drives it" in out
    assert "vhf: VHF set 25 W: 11.9 V, needs 11.7 V (everything keyed, engine off)" in out


def test_errors_end_with_1_and_lead(run, starved):
    code, out, _ = run("check", starved)
    assert code == 1
    assert out.index("To be fixed: ") < out.index("[!!] ERROR") < out.index("Volts at the equipment")
    assert out.index("ERROR volts-below-minimum  nodes.vhf") < out.index("WARNING") < out.index("Cautions")


def test_the_output_fits_80_columns_and_has_no_colour_off_a_terminal(run, starved):
    for arguments in (("check", HAZEL), ("check", starved), ("check", starved, "--units", "us")):
        out = run(*arguments)[1]
        assert max(map(len, out.splitlines())) < 80
        assert "\x1b" not in out


def test_severity_is_a_word_and_a_shape_before_it_is_a_colour(starved):
    from rigfeed.cli.report import report

    text = report(rigfeed.assess_file(starved), "metric")
    assert "\x1b[31m\x1b[1m[!!] ERROR\x1b[0m" in text


def test_us_units(run, starved):
    out = run("check", starved, "--units", "us")[1]
    assert "35.4 in" in out
    assert " m of cable" not in out


def test_the_cautions_stand_on_every_face(run, tmp_path):
    assert "This work can hurt" in run("check", HAZEL)[1]
    assert "This work can hurt" in run("--help")[1]
    assert "This work can hurt" in json.loads(run("check", HAZEL, "--json")[1])["cautions"][0]
    run("papers", HAZEL, "--out", tmp_path)
    for sheet in openpyxl.load_workbook(tmp_path / "hazel.xlsx"):
        assert any("This work can hurt" in str(cell.value) for row in sheet for cell in row)


def test_json_is_complete_and_stable(run, starved):
    code, out, _ = run("check", starved, "--json")
    assert code == 1
    data = json.loads(out, parse_constant=pytest.fail)  # NaN and infinity are not JSON
    assert data["schema"] == 1
    assert set(data) == {
        "schema", "title", "practice", "counts", "findings", "not_checked", "assumptions", "checks", "checks_made",
        "left_out", "states", "conductors", "passages", "cautions",
    }
    finding = next(finding for finding in data["findings"] if finding["check"] == "volts-below-minimum")
    assert set(finding) == {
        "check", "group", "severity", "subject", "pointer", "also", "state", "also_states", "value", "limit", "message",
        "remedy", "authority", "accepted_by",
    }
    assert finding["pointer"] == "/nodes/vhf"
    assert finding["limit"] == {"value": 11.7, "unit": "V"}
    assert data["states"]["all-keyed-engine-off"]["volts_across"]["vhf"] == finding["value"]["value"]
    severities = [finding["severity"] for finding in data["findings"]]
    assert data["counts"] == {name: severities.count(name) for name in ("error", "warning", "advice")}
    assert data["conductors"]["W2"]["cut_length_m"] == 3.75
    assert data["conductors"]["V1"]["cut_length_m"] is None
    assert out == run("check", starved, "--json")[1]


def test_another_practice(run):
    assert "practice: Amateur radio in road vehicles" in run("check", HAZEL, "--practice", "amateur")[1]
    code, _, err = run("check", HAZEL, "--practice", "amatuer")
    assert code == 2
    assert "there is no practice 'amatuer' (did you mean 'amateur'?)" in err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["check"], "Missing argument"),
        (["check", "none.toml"], "none.toml: cannot be read: No such file or directory"),
        (["check", HAZEL, "--units", "imperial"], "Invalid value"),
        (["wire", HAZEL], "No such command"),
        (["papers", HAZEL], "Missing option '--out'"),
        (["papers", HAZEL, "--out", HAZEL], "cannot be made"),
        (["papers", HAZEL, "--out", ""], "it is empty; name a folder"),
        (["demo", "hazel", "--out", " "], "it is empty; name a folder"),
        (["papers", HAZEL, "--out", "x", "--format", "pdf"], "'pdf' is not one of xlsx, csv, svg, png, json"),
        (["demo", "hezel"], "did you mean 'hazel'?"),
    ],
)
def test_bad_usage_ends_with_2_and_says_why(run, arguments, says):
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert says in err
    assert "Traceback" not in err


def test_a_fault_of_ours_ends_with_3_one_line_and_a_log(run, monkeypatch, tmp_path):
    monkeypatch.setattr(cli.tempfile, "tempdir", str(tmp_path))
    monkeypatch.setattr(sys.modules["rigfeed.load"], "assess_file", lambda *_, **__: 1 / 0)
    code, out, err = run("check", HAZEL)
    assert (code, out) == (3, "")
    assert err.count("\n") == 1
    assert "ZeroDivisionError" in Path(err.rsplit(" ", 1)[-1].strip()).read_text()


def test_a_reader_that_leaves_early_is_no_fault():
    with subprocess.Popen([*COMMAND, "check", str(HAZEL)], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdout.close()
        _, err = process.communicate()
    assert err == b""
    assert process.returncode == 0


def test_papers(run, tmp_path):
    code, out, _ = run("papers", HAZEL, "--out", tmp_path / "a", "--units", "us")
    assert code == 0
    written = [Path(line).name for line in out.splitlines()]
    names = [
        "cut-list", "termination-list", "label-list", "fuse-schedule", "fuse-window", "fault-table", "what-if",
        "return-question", "hole-list", "load-list", "bill-of-materials", "survey-sheet", "findings", "assumptions",
        "not-checked",
    ]
    drawings = ["hazel-circuit.svg", "hazel-routes.svg", "hazel-fault-energy.svg", "hazel-time-current-vhf.svg"]
    assert written == ["hazel.xlsx", *(f"hazel-{name}.csv" for name in names), *drawings]
    cut = (tmp_path / "a" / "hazel-cut-list.csv").read_text().splitlines()
    assert cut[0].startswith("id,cable,colour,from,to,net length [in],slack [in],cut length [in]")
    assert ",148," in cut[2]  # 3.75 m are 147.6 in: up to the next half inch


def test_formats_of_papers(run, tmp_path):
    code, out, _ = run("papers", HAZEL, "--out", tmp_path, "--format", "json, csv")
    assert code == 0
    assert [Path(line).name for line in out.splitlines()][:3] == [
        "hazel-cut-list.csv", "hazel-cut-list.json", "hazel-termination-list.csv",
    ]
    assert not (tmp_path / "hazel.xlsx").exists()
    data = json.loads((tmp_path / "hazel-cut-list.json").read_text(), parse_constant=pytest.fail)
    assert data["schema"] == 1
    assert "This work can hurt" in data["cautions"][0]
    assert next(row for row in data["rows"] if row["id"] == "W2")["cut"] == 3.75
    assert {column["key"]: column["unit"] for column in data["columns"]}["cut"] == "m"


def test_papers_are_the_same_bytes_from_run_to_run(tmp_path):
    for name, zone in (("a", "UTC"), ("b", "Pacific/Auckland")):
        environment = {**os.environ, "TZ": zone, "PYTHONHASHSEED": name.encode().hex()}
        subprocess.run([*COMMAND, "papers", str(HAZEL), "--out", str(tmp_path / name)], check=True, env=environment)
    for file in sorted((tmp_path / "a").iterdir()):
        assert file.read_bytes() == (tmp_path / "b" / file.name).read_bytes()


@pytest.mark.slow
def test_libreoffice_opens_the_workbook_and_every_row_of_the_cut_list_is_on_paper(run, tmp_path, tool):
    office, to_text = tool("soffice"), tool("pdftotext")
    run("papers", HAZEL, "--out", tmp_path)
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    subprocess.run(
        [office, profile, "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(tmp_path / "hazel.xlsx")],
        check=True, capture_output=True, timeout=180,
    )
    text = subprocess.run(
        [to_text, "-layout", str(tmp_path / "hazel.pdf"), "-"], check=True, capture_output=True, text=True
    ).stdout
    for id_, length in (("W1", "0.15"), ("W2", "3.75"), ("W3", "0.40"), ("W4", "0.15"), ("W5", "2.85"), ("W6", "4.45")):
        assert any(line.split()[:1] == [id_] and length in line for line in text.splitlines()), (id_, text)


def test_demo(run, tmp_path):
    code, out, _ = run("demo", "--out", tmp_path / "papers")
    assert code == 0
    assert str(tmp_path / "papers") in out
    assert (tmp_path / "papers" / "hazel.xlsx").exists()


def test_a_shops_own_practice_beside_the_design(run, tmp_path):
    (tmp_path / "practices").mkdir()
    (tmp_path / "practices" / "shop.toml").write_text(
        'practice = "shop"\ntitle = "Our shop"\nextends = "road"\n'
        '[thresholds]\n"lead-drop-high.share" = { value = "2 %", meaning = "ours", authority = "our habit" }\n'
    )
    file = tmp_path / "van.toml"
    file.write_text(HAZEL.read_text().replace('practice = "road"', 'practice = "shop"'))
    out = run("check", file)[1]
    assert "practice: Our shop" in out
    assert "WARNING lead-drop-high" in out
    assert "our habit" in out


def test_a_misspelt_key_of_a_shops_practice_is_told(run, tmp_path):
    (tmp_path / "practices").mkdir()
    (tmp_path / "practices" / "shop.toml").write_text(
        'practice = "shop"\nextends = "road"\nseverities = { volts-below-minimun = "warning" }\n'
        '[thresholds]\n"lead-drop-hig.share" = { value = "2 %", authority = "our habit" }\n'
    )
    file = tmp_path / "van.toml"
    file.write_text(HAZEL.read_text().replace('practice = "road"', 'practice = "shop"'))
    out = " ".join(run("check", file)[1].split())
    assert "nothing reads this key (did you mean 'lead-drop-high.share'" in out
    assert "nothing reads this key (did you mean 'volts-below-minimum'" in out


def test_a_threshold_below_zero_is_refused_with_its_place(run, tmp_path):
    (tmp_path / "practices").mkdir()
    (tmp_path / "practices" / "shop.toml").write_text(
        'practice = "shop"\nextends = "road"\n'
        '[thresholds]\n"lead-drop-high.share" = { value = "-3 %", authority = "our habit" }\n'
    )
    file = tmp_path / "van.toml"
    file.write_text(HAZEL.read_text().replace('practice = "road"', 'practice = "shop"'))
    _, out, err = run("check", file)
    assert "'-3 %' is below zero" in out + err


def test_a_full_disk_is_no_fault_of_ours():
    with open("/dev/full", "w") as full:
        command = [*COMMAND, "check", str(HAZEL)]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 2
    assert "cannot be written: No space left on device" in done.stderr


def test_a_pipe_is_refused_instead_of_waited_for(run, tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    code, _, err = run("check", tmp_path / "pipe.toml")
    assert code == 2
    assert "not a file" in err


def test_a_paper_that_fails_is_named_and_the_others_are_written(run, tmp_path, monkeypatch):
    from rigfeed.papers.paper import Paper
    from rigfeed.registry import installed_registry

    def raising(*_):
        raise KeyError("battery")

    monkeypatch.setitem(installed_registry().papers, "odd", Paper("odd", "odd", raising))
    for command in (("papers", HAZEL, "--out", tmp_path), ("demo", "--out", tmp_path / "demo")):
        code, out, err = run(*command)
        assert code == 3
        assert err == "left out: the paper 'odd' failed: KeyError: 'battery'\n"
        assert "hazel-cut-list.csv" in out
        assert "fault" not in err
