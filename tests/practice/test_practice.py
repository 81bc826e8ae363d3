"""Opening a practice where it cannot be kept."""

import pytest

from practice import FolderError, Practice


def test_a_folder_that_cannot_be_made_is_told_with_the_remedy(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(FolderError, match="name another folder with --folder or KAAN_HOME"):
        Practice(tmp_path / "file" / "kaan", speaker="silence")
