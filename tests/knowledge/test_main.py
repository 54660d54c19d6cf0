"""The command for those who write rules."""

from diagnose.knowledge.__main__ import main

from .samples import RULES


def test_clean_rules_give_counts_and_nought(tmp_path, capsys):
    """One line of counts, exit status 0."""
    (tmp_path / "a.yaml").write_text(RULES)
    assert main([str(tmp_path)]) == 0
    assert (
        capsys.readouterr().out
        == "4 findings, 2 conditions, 3 causes, 5 rules, 3 links, 1 cautions, 2 features, 0 machines, 0 problems\n"
    )


def test_faulty_rules_give_each_fault_with_its_line_and_one(tmp_path, capsys):
    """Place, message, the line and a caret; exit status 1."""
    (tmp_path / "a.yaml").write_text("features:\n  a: {title: A}\ncuases: {}\n")
    assert main([str(tmp_path)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].endswith(
        "a.yaml:3:1 unknown-section 'cuases' is not a section of a rules file. Did you mean 'causes'?"
    )
    assert lines[1:3] == ["    3 | cuases: {}", "      | ^"]


def test_wrong_use_is_one_line_and_two(tmp_path, capsys):
    """No folder, or one that is missing; exit status 2."""
    assert main([]) == 2
    assert main([str(tmp_path / "nowhere")]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 2
