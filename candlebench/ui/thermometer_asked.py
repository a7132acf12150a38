"""A second probe of a thermometer that answers when asked: one more register of it, or one more question."""

from PySide6.QtWidgets import QLineEdit

from candlebench.ui.thermometer_kinds import KindForm, is_whole, whole_field
from candlebench.ui.thermometer_rows import Row, Rows
from candlebench.words import tr

# By how the first thermometer speaks: what the second probe is then offered as.
OFFERED = {
    "modbus": tr("another register of the same device"),
    "scpi": tr("another question to the same meter"),
}


class SecondAsked:
    """The fields for it; only the one that belongs to the first thermometer's way of speaking is shown.

    Parameters
    ----------
    rows : Rows
        Where the fields are added.
    first : KindForm
        How the first thermometer speaks now.
    scheme : str
        How it spoke when `present` was chosen.
    present : str
        The register or question in use; '' when there is none.
    """

    def __init__(self, rows: Rows, first: KindForm, scheme: str, present: str) -> None:
        self._first = first
        self.fields = {
            "modbus": whole_field(present if scheme == "modbus" else "", 0, 0xFFFF),
            "scpi": QLineEdit(present if scheme == "scpi" else ""),
        }
        register = tr("counted from 0 too; it is kept in the same way as the one in the melt")
        self._rows: dict[str, Row] = {
            "modbus": rows.row(tr("Its register"), self.fields["modbus"], register),
            "scpi": rows.row(tr("Its question"), self.fields["scpi"], tr("such as MEAS:TEMP? (@102)")),
        }

    def show(self, scheme: str) -> None:
        """Ask for what is needed when the first thermometer speaks like this; '' for nothing."""
        for key, row in self._rows.items():
            row.show(key == scheme)

    def text(self, scheme: str) -> str:
        """What is written; '' when nothing is."""
        field = self.fields.get(scheme)
        return "" if field is None else field.text().strip()

    def problem(self, scheme: str) -> str:
        """'' when what is written can be used, else one sentence with what to write."""
        text = self.text(scheme)
        if scheme == "scpi":
            if "?" not in text:
                return tr("Question of the second probe: write one with a question mark in it.")
            is_same = text == self._first.question.text().strip()
            same = tr("The second probe's question is the first one's: write the one that asks for it alone.")
            return same if is_same else ""
        highest = self._first.highest_register
        if not is_whole(text, 0, highest):
            return tr("Register of the second probe: write a whole number from 0 to {high}.").format(
                high=highest
            )
        melt = self._first.register.text().strip()
        if melt.isdigit() and abs(int(text) - int(melt)) < self._first.registers_each:
            return tr(
                "Register {register} holds the melt's temperature: write the second probe's own one."
            ).format(register=text)
        return ""
