"""The procedure as canonical JSON, for programs without YAML.

Numbers of a procedure are strings with their digits; the whole numbers in it are small.
"""

from __future__ import annotations

from author.contract.canonical_json import canonical
from author.contract.procedure_file import as_plain
from author.procedure.document import Procedure
from author.publish.published_yaml import with_si_values


def canonical_json(procedure: Procedure) -> bytes:
    """Return the procedure with its SI values as canonical JSON.

    The same document always gives the same bytes, whoever writes it by the scheme. Our
    own reader takes it as it takes YAML.

    Args:
        procedure: the document.

    Raises:
        InputError: if a text has a code point in it that is no character; the scheme
            allows none (RFC 8785, section 3.1, by way of RFC 7493, section 2.1).
    """
    return canonical(as_plain(with_si_values(procedure)))
