"""Every word shown to a person passes through `tr`, so that a translation is one catalogue file.

The catalogue is gettext's: `resources/languages/LANG/LC_MESSAGES/candlebench.mo`, chosen by the usual
environment variables. Without one, the English text in the code is shown. Values go in by name afterwards:
``tr("Add {grams} g of oil").format(grams="43")``.
"""

import gettext

from candlebench.resources_folder import resources_folder

_catalogue = gettext.translation(
    "candlebench", localedir=str(resources_folder() / "languages"), fallback=True
)

tr = _catalogue.gettext
tr_count = _catalogue.ngettext
