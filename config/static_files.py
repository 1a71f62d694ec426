"""Static files under names that change with their content, so that a browser may keep them."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStaticFiles(CompressedManifestStaticFilesStorage):
    """Also renames what ES modules import from one another."""

    support_js_module_import_aggregation = True
