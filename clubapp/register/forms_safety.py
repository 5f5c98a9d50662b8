"""Parse and check readings of heat."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.engine.safety import Table
from clubapp.register.safety import Heat, heat_of, table_words


class HeatForm(forms.Form):
    """Temperature with humidity, or a reading of the WBGT, or both; nothing is assessed without."""

    temperature = forms.FloatField(label=_("Air temperature, °C"), min_value=-30, max_value=50, required=False)
    humidity = forms.FloatField(label=_("Relative humidity, %"), min_value=0, max_value=100, required=False)
    wbgt = forms.FloatField(
        label=_("WBGT, °C"),
        min_value=-10,
        max_value=45,
        required=False,
        help_text=_(
            "Only from an instrument for the wet-bulb globe temperature; a weather service's temperature is none."
        ),
    )
    table = forms.ChoiceField(label=_("Limits on the WBGT"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["table"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", table_words(None)), *((str(table), table_words(table)) for table in Table)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name, other in (("temperature", "humidity"), ("humidity", "temperature")):
            if data.get(name) is None and data.get(other) is not None and name not in self.errors:
                self.add_error(name, _("The heat index needs both temperature and humidity."))
        return data

    def heat(self) -> tuple[Heat, ...]:
        """Only after `is_valid`."""
        data = self.cleaned_data
        table = Table(data["table"]) if data["table"] else None
        return tuple(heat_of(data["temperature"], data["humidity"], data["wbgt"], table))
