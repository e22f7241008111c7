"""Commissioning for programs: the objects whose types are in `objects.py`."""

from collections.abc import Iterable

from optimiser.auditing import Finding, breaches
from optimiser.commissioning import VERDICTS, Check, Expectation, Report
from optimiser.printing.as_json import CAUTION, findings_of
from optimiser.printing.objects import CheckRowObject, ExpectationObject, ReadingsObject


def expectation_object(found: Expectation | None, findings: Iterable[Finding] = ()) -> ExpectationObject:
    """What meters should show; None: the build was refused, for the breaches among its findings."""
    moment = found.moment if found else None
    return {
        "status": "expected" if found else "breach",
        "at": moment.at.isoformat(timespec="minutes") if moment else None,
        "sky": moment.sky.name if moment and moment.sky else None,
        "scenario": found.scenario if found else None,
        "air_c": found.air_c if found else None,
        "bank_v": found.bank_v if found else None,
        "light_w_m2": found.light_w_m2 if found else {},
        "strings": found.strings if found else (),
        "arrays": found.arrays if found else (),
        "sources": found.sources if found else (),
        "loads": found.loads if found else (),
        "measured": found.measured if found else (),
        "total": found.total if found else None,
        "assumed": list(found.assumed) if found else [],
        "breaches": findings_of(breaches(findings)),
        "caution": CAUTION,
    }


def readings_object(
    report: Report | None, findings: Iterable[Finding] = (), checks: Iterable[Check] = ()
) -> ReadingsObject:
    """Readings checked against the design; without a report a blank sheet, or a build that was refused."""
    broken = breaches(findings)
    return {
        "status": report.status if report else "breach" if broken else "blank",
        "kind": report.kind if report else "test sheet",
        "counts": {name: report.count(name) for name in VERDICTS} if report else {},
        "readings": report.held if report else (),
        "causes": report.causes if report else (),
        "checks": [_check(check) for check in checks],
        "breaches": findings_of(broken),
        "caution": CAUTION,
    }


def _check(check: Check) -> CheckRowObject:
    design, low, high = check.printed
    return {
        "group": check.group,
        "id": check.id,
        "what": check.what,
        "how": check.how,
        "unit": check.unit,
        "design": design,
        "low": low,
        "high": high,
        "basis": check.basis,
        "source": check.source,
        "licensed": check.licensed,
        "table_of": check.table_of,
        "table": check.table,
    }
