"""The bill for the owner: as PDF to print, as CSV for the books, as JSON for anything else."""

import csv
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from io import StringIO
from typing import Any

from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, format_percent, get_currency_precision

from coatwright.faces.arranged.contents import capital
from coatwright.faces.format import Words
from coatwright.faces.papers.press import Paper, press
from coatwright.faces.papers.setting import polished
from coatwright.faces.papers.tables import cell
from coatwright.faces.telling import ENGLISH, Tongue
from coatwright.faces.texts import LANGUAGES, tongue
from coatwright.record.account import Bill, Line, Unbilled, Yes
from coatwright.sentences import joined, say


@dataclass(frozen=True)
class Heading:
    """What stands over the lines: number, day, job, shop and owner.

    locale: how amounts and dates are set, and in which language; English where there is no other.
    """

    number: str
    day: date
    job: str
    shop: str
    owner: str
    locale: str = "en_GB"
    invented: bool = False

    @property
    def tongue(self) -> Tongue:
        """The language of the paper."""
        language = self.locale.split("_")[0]
        return tongue(language if language in LANGUAGES else "en")


def invoice_pdf(bill: Bill, heading: Heading, paper: Paper = "a4") -> bytes:
    """The bill as a paper."""
    return press("invoice", invoice_data(bill, heading), paper, tongue=heading.tongue)


def invoice_data(bill: Bill, heading: Heading) -> dict[str, Any]:
    """Every text of the bill, amounts set for its locale."""
    words = Words(currency=bill.currency, tongue=heading.tongue)
    said = _Setter(bill.currency, heading.locale)
    made: dict[str, Any] = polished({
        "title": say("Invoice {number}", number=heading.number),
        "kind": say("Invoice"),
        "foot": f"{heading.shop} · {heading.job}",
        "invented": heading.invented,
        "number": heading.number,
        "date": format_date(heading.day, "long", locale=heading.locale),
        "job": heading.job,
        "shop": heading.shop,
        "owner": heading.owner,
        "agreed": [said.agreement(yes) for yes in bill.agreed],
        "lines": [said.line(line) for line in bill.lines],
        "sums": said.sums(bill),
        "unbilled": [said.unbilled(row) for row in bill.unbilled],
    }, words)  # fmt: skip
    return made


def invoice_csv(bill: Bill, tongue: Tongue = ENGLISH) -> str:
    """The lines as a table of plain numbers (hours or pieces, price of one, sum), then the sums.

    Titles are told in a language; heads and keys are the same in each.
    """
    told = Words(currency=bill.currency, tongue=tongue).plain
    places = get_currency_precision(bill.currency)
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["key", "title", "quantity", "unit", "price", "net", "currency"])
    for line in bill.lines:
        quantity, price = _told(line)
        row = [
            cell(line.key),
            cell(told(line.title)),
            f"{quantity:g}",
            line.unit,
            f"{price:.{places}f}",
        ]
        table.writerow([*row, f"{line.net:.{places}f}", bill.currency])
    for key, title, amount in _totals(bill):
        table.writerow([key, cell(told(title)), "", "", "", f"{amount:.{places}f}", bill.currency])
    return out.getvalue()


def invoice_json(bill: Bill, heading: Heading) -> str:
    """The whole bill, with what each line rests on; amounts to the smallest coin."""
    places = get_currency_precision(bill.currency)

    def amount(value: float) -> float:
        return round(value, places)

    said = {
        "number": heading.number,
        "date": heading.day.isoformat(),
        "job": heading.job,
        "shop": heading.shop,
        "owner": heading.owner,
        "invented": heading.invented,
        "currency": bill.currency,
        "tax_rate": bill.tax_rate,
        "lines": [
            {
                "key": line.key,
                "title": line.title,
                "quantity": _told(line)[0],
                "unit": line.unit,
                "price": amount(_told(line)[1]),
                "net": amount(line.net),
            }
            for line in bill.lines
        ],
        "agreed": [
            {
                "what": yes.title,
                "most": amount(yes.most),
                "by": yes.decision.by,
                "at": yes.decision.place.at.isoformat(),
                "how": yes.decision.how,
            }
            for yes in bill.agreed
        ],
        "not_billed": [
            {
                "what": row.title,
                "amount": None if row.amount is None else amount(row.amount),
                "why": row.why,
            }
            for row in bill.unbilled
        ],
        **{key: amount(value) for key, _, value in _totals(bill)},
    }
    return json.dumps(said, indent=2, ensure_ascii=False) + "\n"


def _told(line: Line) -> tuple[float, float]:
    """Quantity and price as a person counts: hours, not seconds."""
    if line.unit == "hours":
        return round(line.quantity / 3600, 2), line.price * 3600
    return line.quantity, line.price


def _totals(bill: Bill) -> Sequence[tuple[str, str, float]]:
    return (
        ("net", say("without tax"), bill.net),
        ("tax", say("tax"), bill.tax),
        ("total", say("with tax"), bill.total),
        ("received", say("received"), bill.received),
        ("due", say("due"), bill.due),
    )


class _Setter:
    """Sets amounts in one currency for one locale."""

    def __init__(self, currency: str, locale: str) -> None:
        self.currency, self.locale = currency, locale

    def money(self, value: float) -> str:
        text: str = format_currency(value, self.currency, locale=self.locale)
        return text

    def line(self, line: Line) -> dict[str, str]:
        quantity, price = _told(line)
        hours = f"{format_decimal(quantity, '0.00', locale=self.locale)} h"
        return {
            "title": capital(line.title),
            "quantity": hours if line.unit == "hours" else "",
            "price": self.money(price) if line.unit == "hours" else "",
            "net": self.money(line.net),
        }

    def sums(self, bill: Bill) -> list[dict[str, Any]]:
        rate = format_percent(bill.tax_rate, locale=self.locale)
        titles = {
            "tax": say("Tax, {rate}", rate=rate),
            "net": say("Without tax"),
            "total": say("In all"),
            "received": say("Received, with thanks"),
            "due": say("To be paid"),
        }
        found = []
        for key, _, amount in _totals(bill):
            if key == "received":
                amount = -amount
            strong = key in ("total", "due")
            found.append({"title": titles[key], "amount": self.money(amount), "strong": strong})
        return found

    def agreement(self, yes: Yes) -> dict[str, str]:
        day = format_date(yes.decision.place.at, "long", locale=self.locale)
        text = say(
            "up to {most}: yes of {who}, {day}",
            most=self.money(yes.most),
            who=yes.decision.by,
            day=day,
        )
        return {
            "what": say("Agreed: {title}", title=yes.title),
            "text": joined(", ", filter(None, (text, yes.decision.how))),
        }

    def unbilled(self, row: Unbilled) -> dict[str, str]:
        amount = "" if row.amount is None else self.money(row.amount)
        return {"title": row.title, "amount": amount, "why": row.why}
