"""Static files under names that change with their content, so that a browser may keep them."""

from django.contrib.staticfiles.storage import HashedFilesMixin
from whitenoise.storage import CompressedManifestStaticFilesStorage

_IMPORTS = HashedFilesMixin._js_module_import_aggregation_patterns[1]  # type: ignore[attr-defined]


class HashedStaticFiles(CompressedManifestStaticFilesStorage):
    """Also renames what our own ES modules import from one another.

    Django can do so for all scripts or for none; some of the packages' scripts hold examples that
    import files which aren't there.
    """

    patterns = (
        *CompressedManifestStaticFilesStorage.patterns,
        ("evaluations/*.js", _IMPORTS),
    )
