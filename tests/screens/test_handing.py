"""What a file that is handed over is called."""

from screens.handing import file_name, free_path


def test_a_file_takes_nobody_elses_name(tmp_path):
    assert file_name("Phrases of June", "d1", ["Gaps"]) == "phrases-of-june.zip"
    assert file_name("Phrases of June", "d1", ["phrases of June!"]) == "d1.zip"
    assert file_name("राग", "d1", []) == "d1.zip"
    path = tmp_path / "june.zip"
    assert free_path(path) == path
    path.write_bytes(b"")
    (tmp_path / "june-2.zip").symlink_to(tmp_path / "gone")  # a link that leads nowhere
    assert free_path(path) == tmp_path / "june-3.zip"
