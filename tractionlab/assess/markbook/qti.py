"""Questions as 1EdTech QTI 3.0: one XML file per item and a manifest in a zip package. Choice and
number items; others go by title only.

Element names, namespaces and resource types: QTI 3.0 assessment and content-packaging bindings,
read in stored public files that use them; the schema files themselves were not at hand, so the
structure is tested by rules of our own (tests/test_assess_markbook.py)."""

import zipfile
from xml.etree import ElementTree as xml

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.shown import option_text

ITEM_SPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
PACKAGE_SPACE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
ITEM_TYPE = "imsqti_item_xmlv3p0"
#: Any date will do, as long as the same questions give the same bytes.
_DATE = (2026, 1, 1, 0, 0, 0)


def package(path, pairs):
    """Write (Item, Variant) pairs as a QTI 3.0 package.

    Returns (ids written, ids that QTI has no plain form for).
    """
    written, left = [], []
    manifest = xml.Element("manifest", {"xmlns": PACKAGE_SPACE, "identifier": "tractionlab-items"})
    metadata = xml.SubElement(manifest, "metadata")
    xml.SubElement(metadata, "schema").text = "QTI Package"
    xml.SubElement(metadata, "schemaversion").text = "3.0.0"
    xml.SubElement(manifest, "organizations")
    resources = xml.SubElement(manifest, "resources")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for item, variant in pairs:
            tree = assessment_item(item, variant)
            if tree is None:
                left.append(item.id)
                continue
            name = f"items/{identifier(item.id)}.xml"
            resource = xml.SubElement(
                resources,
                "resource",
                {"identifier": identifier(item.id), "type": ITEM_TYPE, "href": name},
            )
            xml.SubElement(resource, "file", {"href": name})
            _write(archive, name, tree)
            written.append(item.id)
        _write(archive, "imsmanifest.xml", manifest)
    return written, left


def identifier(text):
    """A name that XML accepts: a letter first."""
    return f"item-{text}"


def _write(archive, name, tree):
    xml.indent(tree)
    archive.writestr(
        zipfile.ZipInfo(name, _DATE),
        b'<?xml version="1.0" encoding="UTF-8"?>\n' + xml.tostring(tree, encoding="utf-8"),
    )


def assessment_item(item, variant):
    """Element tree of an item with choice and number fields, or None for another kind."""
    if any(part.kind not in ("choice", "number") for part in item.fields) or item.figure:
        return None
    right = keys(item, variant.params)
    root = xml.Element(
        "qti-assessment-item",
        {
            "xmlns": ITEM_SPACE,
            "identifier": identifier(item.id),
            "title": variant.title,
            "adaptive": "false",
            "time-dependent": "false",
            "xml:lang": "en-GB",
        },
    )
    body, processing = xml.Element("qti-item-body"), xml.Element("qti-response-processing")
    for line in [variant.text, *(f"{label}: {value}" for label, value in variant.given)]:
        xml.SubElement(body, "p").text = line
    for number, (part, field) in enumerate(zip(item.fields, variant.fields), 1):
        name = f"RESPONSE{number}"
        choice = part.kind == "choice"
        declared = xml.SubElement(
            root,
            "qti-response-declaration",
            {
                "identifier": name,
                "cardinality": "single",
                "base-type": "identifier" if choice else "float",
            },
        )
        correct = xml.SubElement(xml.SubElement(declared, "qti-correct-response"), "qti-value")
        if choice:
            words = next(
                option_text(option, item, variant.params)
                for option in part.options
                if option.id == right[part.name]
            )
            correct.text = next(letter for letter, shown in field.choices if shown == words)
            asked = xml.SubElement(
                body,
                "qti-choice-interaction",
                {"response-identifier": name, "max-choices": "1", "shuffle": "false"},
            )
            xml.SubElement(asked, "qti-prompt").text = field.label
            for letter, shown in field.choices:
                xml.SubElement(asked, "qti-simple-choice", {"identifier": letter}).text = shown
        else:
            correct.text = repr(float(right[part.name]))
            asked = xml.SubElement(body, "p")
            asked.text = (
                f"{field.label}{'' if part.unit in ('1', 'times') else f' [{part.unit}]'}: "
            )
            xml.SubElement(
                asked,
                "qti-text-entry-interaction",
                {"response-identifier": name, "expected-length": "12"},
            )
        _award(processing, name, part, choice, right)
    most = xml.SubElement(
        root,
        "qti-outcome-declaration",
        {"identifier": "MAXSCORE", "cardinality": "single", "base-type": "float"},
    )
    xml.SubElement(xml.SubElement(most, "qti-default-value"), "qti-value").text = f"{item.marks:g}"
    score = xml.SubElement(
        root,
        "qti-outcome-declaration",
        {"identifier": "SCORE", "cardinality": "single", "base-type": "float"},
    )
    xml.SubElement(xml.SubElement(score, "qti-default-value"), "qti-value").text = "0"
    root.extend([body, processing])
    return root


def _award(processing, name, part, choice, right):
    """Add the field's marks to SCORE if the response is right, numbers within the item's own
    tolerance.
    """
    condition = xml.SubElement(
        xml.SubElement(processing, "qti-response-condition"), "qti-response-if"
    )
    test = xml.SubElement(
        condition,
        "qti-match" if choice else "qti-equal",
        (
            {}
            if choice
            else {
                "tolerance-mode": "absolute",
                "tolerance": f"{tolerance(part, right[part.name]):.9g}",
            }
        ),
    )
    xml.SubElement(test, "qti-variable", {"identifier": name})
    xml.SubElement(test, "qti-correct", {"identifier": name})
    total = xml.SubElement(
        xml.SubElement(condition, "qti-set-outcome-value", {"identifier": "SCORE"}), "qti-sum"
    )
    xml.SubElement(total, "qti-variable", {"identifier": "SCORE"})
    xml.SubElement(total, "qti-base-value", {"base-type": "float"}).text = f"{part.marks:g}"
