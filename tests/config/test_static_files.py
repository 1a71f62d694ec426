"""A browser never mixes scripts of two versions of the site."""

from __future__ import annotations

from pathlib import Path

from django.core.files.base import ContentFile

from config.static_files import HashedStaticFiles


def test_a_script_imports_its_neighbour_under_the_name_of_its_content(tmp_path: Path) -> None:
    storage = HashedStaticFiles(location=tmp_path)
    files = {
        "evaluations/js/form.js": 'import { saved } from "./save.js";\n',
        "evaluations/js/save.js": "export const saved = 1;\n",
        "vendor/example.js": 'import { x } from "./not-here.js";\n',
    }
    for name, text in files.items():
        storage.save(name, ContentFile(text))
    for _name, _hashed, outcome in storage.post_process({name: (storage, name) for name in files}):
        assert not isinstance(outcome, Exception)
    form = tmp_path / storage.stored_name("evaluations/js/form.js")
    neighbour = Path(storage.stored_name("evaluations/js/save.js")).name
    assert neighbour != "save.js"
    assert f'from "./{neighbour}"' in form.read_text(encoding="utf-8")
